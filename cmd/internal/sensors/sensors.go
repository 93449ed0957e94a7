// Package sensors reads the stations with buried sensors that the soil estimate
// is fitted to and judged by.
package sensors

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"github.com/gocarina/gocsv"

	"swardcast/climate"
	"swardcast/climate/check"
)

// Humid is the class, in stations.csv, of stations with over 600 mm of rain a
// year outside the mountains: their soil is like that of a watered lawn.
const Humid = "humid"

// A Station is a checked record with the soil temperatures of its sensors, °C,
// NaN where missing.
type Station struct {
	Name    string
	Class   string // of stations.csv, "" where it has none
	Climate Climate
	Record  *climate.Record
	Soil5C  []float64
	Soil10C []float64
}

type place struct {
	Station   string  `csv:"station"`
	Latitude  float64 `csv:"latitude"`
	Longitude float64 `csv:"longitude"`
	Climate   string  `csv:"climate"`
}

type observation struct {
	Date   climate.Day `csv:"date"`
	TMax   cell        `csv:"tmax_c"`
	TMin   cell        `csv:"tmin_c"`
	Precip cell        `csv:"prcp_mm"`
	Soil5  cell        `csv:"soil5_c"`
	Soil10 cell        `csv:"soil10_c"`
}

// A cell is a number or, blank, NaN.
type cell float64

// UnmarshalCSV implements gocsv.TypeUnmarshaller, which would make a blank 0.
func (c *cell) UnmarshalCSV(s string) error {
	if s == "" {
		*c = cell(math.NaN())
		return nil
	}
	v, err := strconv.ParseFloat(s, 64)
	*c = cell(v)
	return err
}

// Load reads the stations that keep accepts, nil for all. dir holds stations.csv
// with station,latitude,longitude and, optionally, climate, and one file a
// station with date,tmax_c,tmin_c,prcp_mm,soil5_c,soil10_c.
func Load(dir string, keep func(*Station) bool) ([]*Station, error) {
	var places []place
	if err := readCSV(filepath.Join(dir, "stations.csv"), &places); err != nil {
		return nil, err
	}
	var out []*Station
	for _, p := range places {
		var obs []observation
		if err := readCSV(filepath.Join(dir, p.Station+".csv"), &obs); err != nil {
			return nil, err
		}
		s, err := newStation(p, obs)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", p.Station, err)
		}
		if keep == nil || keep(s) {
			out = append(out, s)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("no station of the class in %s", dir)
	}
	return out, nil
}

func readCSV(path string, to any) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := gocsv.Unmarshal(f, to); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}

func newStation(p place, obs []observation) (*Station, error) {
	if len(obs) == 0 {
		return nil, fmt.Errorf("no rows")
	}
	first, last := obs[0].Date, obs[len(obs)-1].Date
	n := int(last-first) + 1
	nan := []float64{math.NaN()}
	s := &Station{Name: p.Station, Class: p.Climate, Soil5C: slices.Repeat(nan, n), Soil10C: slices.Repeat(nan, n)}
	rec := climate.NewRecord(climate.Place{Name: p.Station, Latitude: &p.Latitude, Longitude: &p.Longitude}, first, n)
	rec.PrecipMM = slices.Repeat(nan, n)
	for _, o := range obs {
		i := rec.Index(o.Date)
		rec.TMaxC[i], rec.TMinC[i], rec.PrecipMM[i] = float64(o.TMax), float64(o.TMin), float64(o.Precip)
		s.Soil5C[i], s.Soil10C[i] = float64(o.Soil5), float64(o.Soil10)
	}
	var err error
	if s.Record, _, err = check.Clean(rec); err != nil {
		return nil, err
	}
	s.Climate = climateOf(s.Record)
	return s, nil
}
