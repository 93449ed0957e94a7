package ask

import (
	"errors"
	"io"
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
	base := filepath.Base(file)
	for _, key := range []string{file, base, strings.TrimSuffix(base, ".gz"), stem(base)} {
		if s, ok := p[key]; ok {
			return s, true
		}
	}
	return StationPlace{}, false
}

// stem is the name of a file without .gz and the ending before it.
func stem(base string) string {
	base = strings.TrimSuffix(base, ".gz")
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// ReadPlaces reads a table of places.
func ReadPlaces(r io.Reader, file string) (Places, error) {
	t, err := files.OpenTableUpTo[placeRow](r, file, PlacesHint, maxPlacesBytes)
	if err != nil {
		return nil, err
	}
	if !t.Has("station") {
		return nil, t.Faulty(1, `the header has no column "station"`)
	}
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
// all records, or the one beside each.
type PlaceFinder struct {
	program *cli.Program
	table   string            // "" for the table beside each record
	known   map[string]Places // by the name of the table; nil for none
}

// NewPlaceFinder returns a finder that looks into a table; "" for the table named
// PlacesName beside each record.
func NewPlaceFinder(p *cli.Program, table string) *PlaceFinder {
	return &PlaceFinder{p, table, map[string]Places{}}
}

// Of returns the place of a record by its file, nil where no table has it. A table that
// was asked for must be there; one beside a record may be absent.
func (f *PlaceFinder) Of(file string) (*StationPlace, error) {
	name := f.table
	if name == "" {
		name = filepath.Join(filepath.Dir(file), PlacesName)
	}
	places, known := f.known[name]
	if !known {
		err := f.program.Files.Read(name, func(r io.Reader) (err error) {
			places, err = ReadPlaces(r, name)
			return err
		})
		if err != nil && !(f.table == "" && errors.Is(err, cli.ErrNoFile)) {
			return nil, err
		}
		f.known[name] = places
	}
	if s, ok := places.Of(file); ok {
		return &s, nil
	}
	return nil, nil
}
