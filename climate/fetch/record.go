package fetch

import (
	"bufio"
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/climate/recordfile"
)

// A Record is the whole record of a station as the service has it.
type Record struct {
	Station Station
	// Text is a file that package recordfile reads: rows of one element (ID, DATE,
	// ELEMENT, DATA_VALUE and flags) of both temperatures and rain, in tenths of °C and
	// of mm.
	Text   []byte
	Source Source
}

// Options returns how recordfile is to read the text.
func (r *Record) Options() recordfile.Options { return recordfile.Options{Unit: recordfile.TenthsC} }

// Read reads the text, and puts the place of the station to it.
func (r *Record) Read() (*recordfile.File, error) {
	f, err := recordfile.Read(bytes.NewReader(r.Text), r.Station.ID, r.Options())
	if err == nil {
		f.Record.Place = r.Station.Place()
	}
	return f, err
}

// Of records: how large one may be, and how often it is asked for.
const (
	maxRecordBytes = 48 << 20 // 11 MB today
	recordYoung    = 6 * time.Hour
	recordTime     = 5 * time.Minute
	byStationPath  = "csv/by_station/"
	accessPath     = "data/global-historical-climatology-network-daily/access/"
	absurdShare    = 0.001 // of the values that passed the service's checks, that lie beyond any on Earth
)

// RecordAddress returns where a person finds the record of a station.
func (b *Bases) RecordAddress(id string) string { return b.at(NCEI, accessPath+id+".csv") }

// Record returns the record of a station. It is asked for at most every six hours,
// and sent again only when it has changed: the service replaces it as a whole, old
// values too.
func (c *Client) Record(ctx context.Context, s Station) (*Record, error) {
	if !isID(s.ID) {
		return nil, fmt.Errorf("%q is not the ID of a station, which has %d letters and digits", s.ID, idLength)
	}
	e, stale, err := c.have(ctx, wanted{
		key:       "record" + keptForm + "-" + s.ID,
		addresses: []string{c.Bases.at(Mirror, byStationPath+s.ID+".csv"), c.Bases.at(NCEI, accessPath+s.ID+".csv")},
		form:      form{types: textTypes, most: maxRecordBytes, limit: recordTime},
		young:     recordYoung,
		take: func(_ context.Context, _ string, content []byte, old *Entry) ([]byte, error) {
			return takeRecord(content, s.ID, old, DayAt(c.now(), time.UTC))
		},
	})
	if err != nil {
		return nil, fmt.Errorf("record of %s: %w", s.ID, err)
	}
	return &Record{Station: s, Text: e.Content, Source: e.source(stale)}, nil
}

const keptHeader = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n"

// keptElements are those of a record that are kept.
var keptElements = []string{"TMAX", "TMIN", "PRCP"}

// takeRecord checks that a file is the whole record of a station, and returns what is
// kept of it.
func takeRecord(content []byte, id string, old *Entry, today climate.Day) ([]byte, error) {
	if err := wholeText(content); err != nil {
		return nil, err
	}
	kept, sum, err := keptRows(content, id, today)
	switch {
	case err != nil:
		return nil, err
	case sum.tmax == 0 || sum.tmin == 0:
		return nil, refuse("it has %d highest and %d lowest temperatures", sum.tmax, sum.tmin)
	case float64(sum.absurd) > absurdShare*float64(sum.tmax+sum.tmin):
		return nil, refuse("%d of %d temperatures lie beyond any on Earth", sum.absurd, sum.tmax+sum.tmin)
	}
	if old != nil {
		before, err := summed(old.Content)
		switch {
		case err != nil: // the kept one is damaged
		case float64(sum.tmax+sum.tmin) < minKept*float64(before.tmax+before.tmin):
			return nil, refuse(
				"it has %d temperatures, where there were %d",
				sum.tmax+sum.tmin,
				before.tmax+before.tmin,
			)
		case sum.last < before.last-maxBack:
			return nil, refuse("it ends on %s, where the one before ended on %s", sum.last, before.last)
		}
	}
	return kept, nil
}

// maxBack is how many days the end of a record may go back when it is made anew.
const maxBack = 31

// summed sums up a kept record.
func summed(kept []byte) (summary, error) {
	_, sum, err := keptRows(kept, "", math.MaxInt32-1)
	return sum, err
}

// A summary counts the values of a record that passed the service's checks.
type summary struct {
	tmax, tmin, absurd int
	last               climate.Day
}

// keptRows reads a record in either layout, checks each row, and returns the rows that
// are kept. An id of "" takes that of the first row.
func keptRows(content []byte, id string, today climate.Day) ([]byte, summary, error) {
	var kept bytes.Buffer
	var sum summary
	kept.WriteString(keptHeader)
	r := csv.NewReader(bufio.NewReader(bytes.NewReader(content)))
	r.ReuseRecord = true
	header, err := r.Read()
	if err != nil {
		return nil, sum, refuse("it is not a table")
	}
	rows, err := layoutOf(header)
	if err != nil {
		return nil, sum, err
	}
	for {
		cells, err := r.Read()
		if err == io.EOF {
			return kept.Bytes(), sum, nil
		}
		var parse *csv.ParseError
		if errors.As(err, &parse) {
			return nil, sum, refuse("line %d: %v", parse.Line, parse.Err)
		}
		line, _ := r.FieldPos(0)
		got := strings.TrimSpace(cells[rows.id])
		if id == "" {
			id = strings.Clone(got)
		}
		if got != id {
			return nil, sum, refuse("line %d is of station %.20q, not of %s", line, got, id)
		}
		day, ok := dayOf(strings.TrimSpace(cells[rows.date]))
		if !ok || day > today+1 {
			return nil, sum, refuse("line %d: %.20q is not a day up to today", line, cells[rows.date])
		}
		for _, v := range rows.values(cells) {
			if !slices.Contains(keptElements, v.element) {
				continue
			}
			n, err := strconv.Atoi(v.value)
			if err != nil {
				return nil, sum, refuse("line %d: %.20q is not a value in tenths", line, v.value)
			}
			sum.count(v, float64(n)/10, day)
			y, m, d := day.Date()
			fmt.Fprintf(
				&kept,
				"%s,%04d%02d%02d,%s,%d,%s,%s,%s,\n",
				id,
				y,
				m,
				d,
				v.element,
				n,
				v.measurement,
				v.quality,
				v.source,
			)
		}
	}
}

func (s *summary) count(v elementValue, c float64, day climate.Day) {
	if v.quality != "" || v.element == "PRCP" || missingTenths(c) {
		return
	}
	if v.element == "TMAX" {
		s.tmax++
	} else {
		s.tmin++
	}
	if c < check.LowestEver || c > check.HighestEver {
		s.absurd++
	}
	s.last = max(s.last, day)
}

// missingTenths reports the code of a missing value, -9999 in tenths.
func missingTenths(v float64) bool { return v == -999.9 }

// dayOf reads YYYYMMDD or YYYY-MM-DD.
func dayOf(s string) (climate.Day, bool) {
	if len(s) == 8 {
		s = s[:4] + "-" + s[4:6] + "-" + s[6:]
	}
	d, err := climate.ParseDay(s)
	return d, err == nil
}

// An elementValue is a value as it stands in a row.
type elementValue struct{ element, value, measurement, quality, source string }

// A rowLayout says where the cells of a layout stand.
type rowLayout struct {
	id, date int
	values   func(cells []string) []elementValue
}

// layoutOf recognises the two layouts by their header: of a row an element, and of a
// row a day with attributes.
func layoutOf(header []string) (*rowLayout, error) {
	names := map[string]int{}
	for i, h := range header {
		names[strings.ToUpper(strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")))] = i
	}
	at := func(alternatives ...string) int {
		for _, a := range alternatives {
			if i, ok := names[a]; ok {
				return i
			}
		}
		return -1
	}
	l := &rowLayout{id: at("ID", "STATION"), date: at("DATE")}
	if l.id < 0 || l.date < 0 {
		return nil, refuse("its header has no station and date")
	}
	if element, value := at("ELEMENT"), at("DATA_VALUE", "VALUE"); element >= 0 && value >= 0 {
		m, q, s := at("M_FLAG", "MFLAG"), at("Q_FLAG", "QFLAG"), at("S_FLAG", "SFLAG")
		if m < 0 || q < 0 || s < 0 {
			return nil, refuse("its header has no flags")
		}
		one := make([]elementValue, 1)
		l.values = func(c []string) []elementValue {
			one[0] = elementValue{
				c[element],
				strings.TrimSpace(c[value]),
				strings.TrimSpace(c[m]),
				strings.TrimSpace(c[q]),
				strings.TrimSpace(c[s]),
			}
			return one
		}
		return l, nil
	}
	if at("TMAX") < 0 || at("TMIN") < 0 || at("TMAX_ATTRIBUTES") < 0 || at("TMIN_ATTRIBUTES") < 0 {
		return nil, refuse("its header has no temperatures with flags")
	}
	l.values = func(c []string) []elementValue {
		var list []elementValue
		for _, e := range keptElements {
			i, flags := at(e), at(e+"_ATTRIBUTES")
			if i < 0 || strings.TrimSpace(c[i]) == "" {
				continue
			}
			v := elementValue{element: e, value: strings.TrimSpace(c[i])}
			if flags >= 0 {
				parts := append(strings.Split(c[flags], ","), "", "", "")
				v.measurement, v.quality, v.source = strings.TrimSpace(
					parts[0],
				), strings.TrimSpace(
					parts[1],
				), strings.TrimSpace(
					parts[2],
				)
			}
			list = append(list, v)
		}
		return list
	}
	return l, nil
}

// WriteCSV writes a record as a plain file that package recordfile reads: notes behind
// #, the place, and date,tmax_c,tmin_c with prcp_mm where there is rain. A missing value
// is blank.
func WriteCSV(w io.Writer, r *climate.Record, notes ...string) error {
	b := bufio.NewWriter(w)
	for _, n := range notes {
		fmt.Fprintf(b, "# %s\n", n)
	}
	latitude, longitude, elevation := r.Place.Coordinates()
	fmt.Fprintf(b, "Station Name: %s\nLatitude: %g, Longitude: %g\n", r.Place.Name, latitude, longitude)
	if r.Place.ElevationM != nil {
		fmt.Fprintf(b, "Elevation: %g m\n", elevation)
	}
	columns := [][]float64{r.TMaxC, r.TMinC}
	b.WriteString("date,tmax_c,tmin_c")
	if r.PrecipMM != nil {
		columns = append(columns, r.PrecipMM)
		b.WriteString(",prcp_mm")
	}
	b.WriteString("\n")
	for i := range r.Len() {
		b.WriteString(r.Day(i).String())
		for _, c := range columns {
			b.WriteString("," + cell(c[i]))
		}
		b.WriteString("\n")
	}
	return b.Flush()
}

// cell writes a value in tenths, "" where it is missing.
func cell(v float64) string {
	if math.IsNaN(v) {
		return ""
	}
	return strconv.FormatFloat(math.Round(v*10)/10+0, 'f', 1, 64)
}
