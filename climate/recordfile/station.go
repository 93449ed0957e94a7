package recordfile

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// A Station is one of several in a file.
type Station struct {
	ID                  string
	Name                string   // "" where the file gives none beside the ID
	Latitude, Longitude *float64 // nil where the file does not give them
	Rows                int
}

// reads tells whether the row is of the station to read: the one asked for, or
// else the first, until a second shows that one must be asked for.
func (p *parser) reads(r *row) bool {
	of := r.Station
	if !p.has.station {
		of = r.Name
	}
	if len(p.stations) > 0 && of == p.station {
		if p.current != nil {
			p.current.Rows++
		}
		return !p.other
	}
	p.station = strings.Clone(of)
	id := strings.TrimSpace(of)
	p.current = p.byID[id]
	if p.current == nil && len(p.stations) <= maxStations {
		p.current = &Station{ID: strings.Clone(id)} // not the whole row with it
		if name := strings.TrimSpace(r.Name); name != id {
			p.current.Name = strings.Clone(name)
		}
		set := func(to **float64, c *reading) {
			if v, ok := c.temperature(p.layout.decimalComma); ok && !math.IsNaN(v) {
				*to = &v
			}
		}
		set(&p.current.Latitude, &r.Latitude)
		set(&p.current.Longitude, &r.Longitude)
		p.stations = append(p.stations, p.current)
		if p.byID == nil {
			p.byID = map[string]*Station{}
		}
		p.byID[p.current.ID] = p.current
	}
	if p.current != nil {
		p.current.Rows++
	}
	if want := p.options.Station; want != "" {
		p.other = !strings.EqualFold(id, want) && !strings.EqualFold(strings.TrimSpace(r.Name), want)
	} else {
		p.other = id != p.stations[0].ID
	}
	return !p.other
}

// maxStations is how many stations of a file are listed.
const maxStations = 1000

// stationError is the error of a file that does not hold just the one station
// to read.
func (p *parser) stationError() error {
	want := p.options.Station
	switch {
	case want != "" && !p.has.station && !p.has.name:
		return &Error{Kind: NoStations, Field: string(roleStation), File: p.file,
			Message: fmt.Sprintf("there is no column of stations to find %s in", quoted(want))}
	case want != "" && p.rowCount == 0 && len(p.stations) > 0:
		return &Error{Kind: UnknownStation, Field: string(roleStation), File: p.file,
			Message:  fmt.Sprintf("there is no station %s; the file holds %s", quoted(want), p.stationList()),
			Stations: p.found()}
	case want == "" && len(p.stations) > 1:
		return &Error{Kind: SeveralStations, Field: string(roleStation), File: p.file,
			Message: "the file holds " + p.stationList(), Stations: p.found()}
	}
	return nil
}

// found are the stations of the file.
func (p *parser) found() []Station {
	list := make([]Station, len(p.stations))
	for i, s := range p.stations {
		list[i] = *s
	}
	return list
}

func (p *parser) stationList() string {
	const most = 12
	list, count := p.stations, fmt.Sprint(len(p.stations))
	if len(list) > maxStations {
		count = fmt.Sprintf("over %d", maxStations)
	}
	var names []string
	for _, s := range list[:min(most, len(list))] {
		names = append(names, clipped(s.ID))
	}
	text := strings.Join(names, ", ")
	if len(list) > most {
		text += ", …"
	}
	return fmt.Sprintf("%s stations: %s", count, text)
}

// movedDegrees is how far apart two places are that are not one station's.
const movedDegrees = 0.1

// placed notes a row of another place than the first.
func (p *parser) placed(r *row) {
	if r.Latitude.state != cellNumber || r.Longitude.state != cellNumber {
		return
	}
	lat, lon := r.Latitude.value, r.Longitude.value
	if p.rowCount == 0 {
		p.at.lat, p.at.lon = lat, lon
	} else if math.Abs(lat-p.at.lat) > movedDegrees || math.Abs(lon-p.at.lon) > movedDegrees {
		p.moved = p.rowLine
	}
}

// severalSeries reports whether the rows read as one station's seem to be those of
// several: their place changes, their days begin again or contradict each other, or
// the station asked for is under no name that is known.
func (p *parser) severalSeries(err error) bool {
	if e, ok := err.(*Error); ok {
		switch e.Kind {
		case SeveralStations:
			return false
		case NoStations, UnknownStation, Contradiction:
			return true
		}
	}
	return len(p.stations) < 2 && (p.moved > 0 || len(p.restarts()) > 0)
}

// restarts are the lines on which the days of a file in their order begin again.
func (p *parser) restarts() map[int]bool {
	up, down := 0, 0
	var at map[int]bool
	for i := 1; i < len(p.obs); i++ {
		switch d := p.obs[i].date.day - p.obs[i-1].date.day; {
		case d > 0:
			up++
		case d < 0:
			if down++; down > maxStations {
				return nil
			}
			if at == nil {
				at = map[int]bool{}
			}
			at[int(p.obs[i].line)] = true
		}
	}
	if down == 0 || up < 20*down {
		return nil
	}
	return at
}

// lookedRows is how many rows the second look goes through.
const lookedRows = 300_000

// A series counts the values of one column, to find out whether it tells stations
// apart.
type series struct {
	values  map[string]int // rows of each
	seen    map[string]bool
	again   int // rows whose value and day stood before
	changes []int
	last    string
}

// tellsStations reports whether a column of a role can tell stations apart.
func tellsStations(r role) bool {
	return r == roleNone || r == roleStation || r == roleName || r == roleLatitude || r == roleLongitude
}

// mayHoldSeveral reports whether a column can tell several stations apart.
func (l *layout) mayHoldSeveral() bool { return slices.ContainsFunc(l.roles, tellsStations) }

// stationColumn looks through the rows again for the column that tells several
// stations apart, -1 for none: one of few values by which every day stands but once,
// or that changes where the days begin again or the place changes, and nowhere else.
func (p *parser) stationColumn(r io.Reader) int {
	l := p.layout
	in := bufio.NewReaderSize(r, peekBytes)
	if b, err := in.Peek(3); err == nil && string(b) == "\xef\xbb\xbf" {
		in.Discard(3)
	}
	for range l.skip {
		if _, err := in.ReadSlice('\n'); err != nil {
			return -1
		}
	}
	if l.blanks {
		in = bufio.NewReader(newBlankSeparated(in))
	}
	rows := csv.NewReader(in)
	rows.Comma, rows.FieldsPerRecord, rows.ReuseRecord, rows.LazyQuotes = l.delimiter, -1, true, true
	columns := make([]*series, len(l.roles))
	for i, r := range l.roles {
		if tellsStations(r) {
			columns[i] = &series{values: map[string]int{}, seen: map[string]bool{}}
		}
	}
	days := map[string]int{}
	repeats, n := 0, 0
	for first := !l.noHeader; ; first = false {
		cells, err := rows.Read()
		if err != nil {
			break
		}
		if first || len(cells) < len(l.roles) {
			continue
		}
		line, _ := rows.FieldPos(0)
		line += l.skip
		key := ""
		for i, r := range l.roles {
			switch r {
			case roleDate, roleYear, roleMonth, roleDay, roleYearDay, roleTime, roleElement:
				key += "|" + cells[i]
			}
		}
		if n++; n > lookedRows {
			break
		}
		if days[key] > 0 {
			repeats++
		}
		days[key]++
		for i, s := range columns {
			if s == nil {
				continue
			}
			v := strings.TrimSpace(cells[i])
			if s.seen[key+"|"+v] {
				s.again++
			}
			s.seen[key+"|"+v] = true
			if s.values[v]++; v != s.last && n > 1 {
				s.changes = append(s.changes, line)
			}
			if s.last = strings.Clone(v); len(s.values) > maxStations {
				columns[i] = nil
			}
		}
	}
	busiest := 0 // rows of one day
	for _, k := range days {
		busiest = max(busiest, k)
	}
	restarts := p.restarts()
	found := -1
	rank := func(i int) int {
		return slices.Index([]role{roleStation, roleName, roleNone, roleLatitude, roleLongitude}, l.roles[i])
	}
	for i, s := range columns {
		if s == nil || len(s.values) < 2 {
			continue
		}
		one := func(line int) bool { return restarts[line] || line == p.moved }
		var tells bool
		switch want := p.options.Station; {
		case want != "":
			tells = s.has(want)
		case 20*repeats > n:
			tells = 10*s.again <= repeats && len(s.values) <= 3*busiest
		default:
			tells = len(s.changes) == len(s.values)-1 && !s.years() && slices.ContainsFunc(s.changes, one) &&
				(p.moved > 0 || !slices.ContainsFunc(s.changes, func(line int) bool { return !one(line) }))
		}
		if tells && (found < 0 || rank(i) < rank(found)) {
			found = i
		}
	}
	return found
}

func (s *series) has(want string) bool {
	for v := range s.values {
		if strings.EqualFold(v, want) {
			return true
		}
	}
	return false
}

// years reports whether every value is a year.
func (s *series) years() bool {
	for v := range s.values {
		if y, ok := digits(v); !ok || y < 1700 || y > 2200 {
			return false
		}
	}
	return true
}
