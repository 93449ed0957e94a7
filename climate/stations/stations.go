// Package stations has the list of the weather stations whose records can be had: which
// of them suit a place, and the compact form in which the list is kept.
package stations

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"swardcast/climate"
)

// A Position is where a place or a station lies.
type Position struct {
	Latitude   float64 // degrees, north positive
	Longitude  float64 // degrees, east positive
	ElevationM float64 // metres above sea level; NaN where it is not known
}

// A Station is a station of GHCN-Daily that measures both temperatures.
type Station struct {
	ID    string
	Name  string
	State string // of the United States or province of Canada; "" elsewhere
	Position
	TMax Years // with a highest temperature
	TMin Years // with a lowest temperature
}

// Place returns where the station stands.
func (s *Station) Place() climate.Place {
	p := climate.Place{Name: s.Name, Latitude: &s.Latitude, Longitude: &s.Longitude}
	if !math.IsNaN(s.ElevationM) {
		p.ElevationM = &s.ElevationM
	}
	return p
}

// Years are the first and the last calendar year with a value. Some between may have
// none.
type Years struct{ First, Last int }

// Years returns the years with both temperatures.
func (s *Station) Years() Years {
	return Years{max(s.TMax.First, s.TMin.First), min(s.TMax.Last, s.TMin.Last)}
}

// String returns FIRST–LAST.
func (y Years) String() string { return fmt.Sprintf("%d–%d", y.First, y.Last) }

// Count returns how many years there are.
func (y Years) Count() int { return max(0, y.Last-y.First+1) }

// MinYears is how many years with both temperatures a station of an index has at
// least. Common practice, no source: a date that holds in nine of ten years takes ten.
const MinYears = 10

// packedHead is the first line of the compact form. Its number rises when the form
// changes.
const packedHead = "swardcast stations 1"

// Pack writes stations in the compact form: a line each, tabs between.
func Pack(list []Station) []byte {
	var b bytes.Buffer
	b.WriteString(packedHead + "\n")
	for i := range list {
		s := &list[i]
		fmt.Fprintf(
			&b,
			"%s\t%g\t%g\t%g\t%s\t%s\t%d\t%d\t%d\t%d\n",
			s.ID,
			s.Latitude,
			s.Longitude,
			s.ElevationM,
			s.State,
			s.Name,
			s.TMax.First,
			s.TMax.Last,
			s.TMin.First,
			s.TMin.Last,
		)
	}
	return b.Bytes()
}

// Unpack reads the compact form.
func Unpack(content []byte) ([]Station, error) {
	head, rest, _ := bytes.Cut(content, []byte("\n"))
	if string(head) != packedHead {
		return nil, fmt.Errorf("the kept list of stations has another form")
	}
	list := make([]Station, 0, bytes.Count(rest, []byte("\n")))
	for raw := range bytes.Lines(rest) {
		f := strings.Split(strings.TrimSuffix(string(raw), "\n"), "\t")
		if len(f) != 10 {
			return nil, fmt.Errorf("the kept list of stations is damaged")
		}
		s := Station{ID: f[0], State: f[4], Name: f[5]}
		var bad bool
		for i, to := range []*float64{&s.Latitude, &s.Longitude, &s.ElevationM} {
			v, err := strconv.ParseFloat(f[1+i], 64)
			*to, bad = v, bad || err != nil
		}
		for i, to := range []*int{&s.TMax.First, &s.TMax.Last, &s.TMin.First, &s.TMin.Last} {
			v, err := strconv.Atoi(f[6+i])
			*to, bad = v, bad || err != nil
		}
		if bad {
			return nil, fmt.Errorf("the kept list of stations is damaged")
		}
		list = append(list, s)
	}
	return list, nil
}
