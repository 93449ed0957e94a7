package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"swardcast/climate"
	"swardcast/climate/recordfile"
)

// placesName is the file that, beside station records, tells where they are from.
const placesName = "stations.csv"

// maxPlacesBytes is the largest that a table of places may be: some hundred
// thousand stations.
const maxPlacesBytes = 64 << 20

const placesHint = "a table of places has the columns station,name,latitude,longitude,elevation_m,temp_unit; the first names the file"

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

// A stationPlace is what a table of places tells of a station.
type stationPlace struct {
	climate.Place
	unit recordfile.Unit // "" where it does not tell
}

// over puts what is known over what a file says.
func (s *stationPlace) over(p *climate.Place) {
	if s.Name != "" {
		p.Name = s.Name
	}
	for _, v := range []struct {
		to   **float64
		told *float64
	}{{&p.Latitude, s.Latitude}, {&p.Longitude, s.Longitude}, {&p.ElevationM, s.ElevationM}} {
		if v.told != nil {
			*v.to = v.told
		}
	}
}

// places are the stations of a table of places by what names their files.
type places map[string]stationPlace

// of finds the place of a file: by its path, its name, or its name without what
// stands behind the dot.
func (p places) of(file string) (stationPlace, bool) {
	base := filepath.Base(file)
	for _, key := range []string{file, base, strings.TrimSuffix(base, ".gz"), stem(base)} {
		if s, ok := p[key]; ok {
			return s, true
		}
	}
	return stationPlace{}, false
}

// stem is the name of a file without .gz and the ending before it.
func stem(base string) string {
	base = strings.TrimSuffix(base, ".gz")
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// readPlaces reads a table of places.
func readPlaces(r io.Reader, file string) (places, error) {
	t, err := openTableUpTo[placeRow](r, file, placesHint, maxPlacesBytes)
	if err != nil {
		return nil, err
	}
	if !t.has("station") {
		return nil, &recordfile.Error{File: file, Line: 1, Message: `the header has no column "station"`, Hint: t.hint}
	}
	list := places{}
	for row, err := range t.rows() {
		if err != nil {
			return nil, err
		}
		key := strings.TrimSpace(row.Station)
		if key == "" {
			return nil, t.fault("station", "the station has no name")
		}
		if _, twice := list[key]; twice {
			return nil, t.fault("station", "the station %s stands twice", quotedText(key))
		}
		s := stationPlace{Place: climate.Place{Name: strings.TrimSpace(row.Name)}}
		for _, c := range []struct {
			column, cell string
			to           **float64
			limit        float64
		}{
			{"latitude", row.Latitude, &s.Latitude, 90}, {"longitude", row.Longitude, &s.Longitude, 180}, {"elevation_m", row.Elevation, &s.ElevationM, 9000},
		} {
			if cell := strings.TrimSpace(c.cell); cell != "" {
				v, err := strconv.ParseFloat(cell, 64)
				if err != nil || !(math.Abs(v) <= c.limit) {
					return nil, t.fault(c.column, "%s is no %s between %g and %g", quotedText(cell), strings.TrimSuffix(c.column, "_m"), -c.limit, c.limit)
				}
				*c.to = &v
			}
		}
		if u := strings.TrimSpace(row.Unit); u != "" {
			s.unit = recordfile.Unit(u)
			if !slices.Contains(recordfile.Units(), s.unit) {
				return nil, t.fault("temp_unit", "unknown unit %s; it is one of %s", quotedText(u), strings.Join(words(recordfile.Units()), ", "))
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

// openPlaces reads a table of places from a file. It is nil where there is no
// such file.
func openPlaces(name string) (places, error) {
	if _, err := os.Stat(name); err != nil {
		return nil, nil
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, fileError(name, err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, &dataError{fmt.Errorf("%s: this is a directory", name), placesHint}
	}
	return readPlaces(f, name)
}
