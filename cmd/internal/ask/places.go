package ask

import (
	"errors"
	"io"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"swardcast/climate"
	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/files"
)

// PlacesName is the file that, beside station records, says where they are from.
const PlacesName = "stations.csv"

// maxPlacesBytes is the largest that a table of places may be: some hundred
// thousand stations.
const maxPlacesBytes = 64 << 20

// PlacesHint says what a table of places is.
const PlacesHint = "a table of places has the columns " +
	"station,name,latitude,longitude,elevation_m,temp_unit; the first names the file"

// placeRow is a station of a table of places. A blank leaves what its own file
// says.
type placeRow struct {
	Station   string `csv:"station"`
	Name      string `csv:"name"`
	Latitude  string `csv:"latitude"`
	Longitude string `csv:"longitude"`
	Elevation string `csv:"elevation_m"`
	Unit      string `csv:"temp_unit"`
}

// A StationPlace is what a table of places says of a station.
type StationPlace struct {
	climate.Place
	Unit recordfile.Unit // "" where it does not say
}

// Over puts what is known over what a file says.
func (s *StationPlace) Over(p *climate.Place) {
	if s.Name != "" {
		p.Name = s.Name
	}
	for _, v := range []struct {
		to    **float64
		given *float64
	}{{&p.Latitude, s.Latitude}, {&p.Longitude, s.Longitude}, {&p.ElevationM, s.ElevationM}} {
		if v.given != nil {
			*v.to = v.given
		}
	}
}

// Places are the stations of a table of places by what names their files.
type Places map[string]StationPlace

// Of finds the place of a file: by its path, its name, or its name without what
// stands behind the dot.
func (p Places) Of(file string) (StationPlace, bool) {
	if keys := p.keysOf(fileKeys(file)); keys != nil {
		return p[keys[0]], true
	}
	return StationPlace{}, false
}

// fileKeys are the names that a table may give a file, the fullest first.
func fileKeys(file string) []string {
	base := filepath.Base(file)
	return []string{file, base, strings.TrimSuffix(base, ".gz"), stem(base)}
}

// keysOf are the names that are in the table, each once.
func (p Places) keysOf(names []string) (found []string) {
	for _, key := range names {
		if _, ok := p[key]; ok && !slices.Contains(found, key) {
			found = append(found, key)
		}
	}
	return found
}

// stem is the name of a file without .gz and the ending before it.
func stem(base string) string {
	base = strings.TrimSuffix(base, ".gz")
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// ReadPlaces reads a table of places.
func ReadPlaces(r io.Reader, file string) (Places, error) {
	list, _, err := readPlaces(r, file)
	return list, err
}

// readPlaces is [ReadPlaces] with the columns that it takes nothing from.
func readPlaces(r io.Reader, file string) (list Places, unknown []string, err error) {
	t, err := files.OpenTableUpTo[placeRow](r, file, PlacesHint, maxPlacesBytes)
	if err != nil {
		return nil, nil, err
	}
	if !t.Has("station") {
		return nil, nil, t.Faulty(1, `the header has no column "station"`)
	}
	list, err = placesOf(t)
	return list, t.Unknown(), err
}

// placesOf reads the rows of a table of places.
func placesOf(t *files.Table[placeRow]) (Places, error) {
	list := Places{}
	for row, err := range t.Rows() {
		if err != nil {
			return nil, err
		}
		key := strings.TrimSpace(row.Station)
		if key == "" {
			return nil, t.Fault("station", "the station has no name")
		}
		if _, twice := list[key]; twice {
			return nil, t.Fault("station", "the station %s stands twice", quotedText(key))
		}
		s := StationPlace{Place: climate.Place{Name: strings.TrimSpace(row.Name)}}
		for _, c := range []struct {
			column, cell string
			to           **float64
			limit        float64
		}{
			{"latitude", row.Latitude, &s.Latitude, 90}, {"longitude", row.Longitude, &s.Longitude,
				180}, {"elevation_m", row.Elevation, &s.ElevationM, 9000},
		} {
			if cell := strings.TrimSpace(c.cell); cell != "" {
				v, err := strconv.ParseFloat(cell, 64)
				if err != nil || !(math.Abs(v) <= c.limit) {
					return nil, t.Fault(c.column, "%s is no %s between %g and %g", quotedText(cell),
						strings.TrimSuffix(c.column, "_m"), -c.limit, c.limit)
				}
				*c.to = &v
			}
		}
		if u := strings.TrimSpace(row.Unit); u != "" {
			s.Unit = recordfile.Unit(u)
			if !slices.Contains(recordfile.Units(), s.Unit) {
				return nil, t.Fault("temp_unit", "unknown unit %s; it is one of %s", quotedText(u),
					strings.Join(Names(recordfile.Units()), ", "))
			}
		}
		list[key] = s
	}
	return list, nil
}

// quotedText shows a cell of the user's, cut where it is long.
func quotedText(s string) string {
	if r := []rune(s); len(r) > 40 {
		s = string(r[:40]) + "…"
	}
	return strconv.Quote(s)
}

// A PlaceFinder finds what a table of places says of a station record: one table for
// all records, or the one beside each. It says aloud what of a table it does not take.
type PlaceFinder struct {
	program *cli.Program
	table   string                 // "" for the table beside each record
	known   map[string]*placeTable // by the name of the table
}

// A placeTable is a table and which of its rows are of a record that was looked for.
type placeTable struct {
	places Places // nil for none
	used   map[string]bool
}

// NewPlaceFinder returns a finder that looks into a table; "" for the table named
// PlacesName beside each record.
func NewPlaceFinder(p *cli.Program, table string) *PlaceFinder {
	return &PlaceFinder{p, table, map[string]*placeTable{}}
}

// Of returns the place of a record by its file, nil where no table has it. A table that
// was asked for must be there; one beside a record may be absent.
func (f *PlaceFinder) Of(file string) (*StationPlace, error) {
	return f.of(file, file, fileKeys(file))
}

// OfStation is Of for one of several stations of a file, by its ID or its name.
func (f *PlaceFinder) OfStation(file, id, name string) (*StationPlace, error) {
	return f.of(file, file+", "+id, []string{file + "#" + id, filepath.Base(file) + "#" + id, id, name})
}

// of returns the place of what has some names.
func (f *PlaceFinder) of(file, what string, names []string) (*StationPlace, error) {
	name, t, err := f.tableFor(file)
	if err != nil {
		return nil, err
	}
	keys := t.places.keysOf(names)
	if keys == nil {
		return nil, nil
	}
	for _, key := range keys {
		t.used[key] = true
	}
	if len(keys) > 1 {
		f.program.Say("%s: the rows %s and %s are both of %s; the first is taken", name, quotedText(keys[0]),
			quotedText(keys[1]), what)
	}
	s := t.places[keys[0]]
	return &s, nil
}

// tableFor is the table for a record, read when it is first asked for.
func (f *PlaceFinder) tableFor(file string) (string, *placeTable, error) {
	name := f.table
	if name == "" {
		name = filepath.Join(filepath.Dir(file), PlacesName)
	}
	if t := f.known[name]; t != nil {
		return name, t, nil
	}
	t := &placeTable{used: map[string]bool{}}
	var unknown []string
	err := f.program.Files.Read(name, func(r io.Reader) (err error) {
		t.places, unknown, err = readPlaces(r, name)
		return err
	})
	if err != nil && !(f.table == "" && errors.Is(err, cli.ErrNoFile)) {
		return name, nil, err
	}
	if len(unknown) > 0 {
		f.program.Say("%s: columns that are not read: %s; %s", name, quotedList(unknown), PlacesHint)
	}
	f.known[name] = t
	return name, t, nil
}

// SayUnused says which rows of the tables are of no record that was looked for.
func (f *PlaceFinder) SayUnused() {
	for _, name := range slices.Sorted(maps.Keys(f.known)) {
		t := f.known[name]
		var unused []string
		for key := range t.places {
			if !t.used[key] {
				unused = append(unused, key)
			}
		}
		if unused == nil {
			continue
		}
		slices.Sort(unused)
		f.program.Say("%s: no record was read for %s", name, quotedList(unused))
		for _, key := range unused {
			for _, other := range slices.Sorted(maps.Keys(t.used)) {
				if strings.EqualFold(stem(other), stem(key)) {
					f.program.Say("%s: the rows %s and %s may be of one station", name, quotedText(key),
						quotedText(other))
				}
			}
		}
	}
}

// quotedList shows the first few of some cells.
func quotedList(list []string) string {
	const most = 5
	var b strings.Builder
	for i, s := range list[:min(most, len(list))] {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(quotedText(s))
	}
	if more := len(list) - most; more > 0 {
		b.WriteString(" and " + strconv.Itoa(more) + " more")
	}
	return b.String()
}
