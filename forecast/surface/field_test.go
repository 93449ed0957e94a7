package surface_test

import (
	"encoding/csv"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"swardcast/climate/check"
	"swardcast/climate/recordfile"
	"swardcast/climate/recordstest"
	"swardcast/forecast"
	"swardcast/forecast/surface"
	"swardcast/forecast/turf"
)

// lastSafe are the last safe dates of a species at the stations of a class of the US network,
// as days of the season; "" for every class.
func lastSafe(t testing.TB, species, class string) []surface.Site {
	t.Helper()
	folder := recordstest.Path(t, "soil")
	f, err := os.Open(filepath.Join(folder, "stations.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	sp, _ := turf.Find(species)
	var sites []surface.Site
	for _, row := range rows[1:] {
		if class != "" && row[10] != class {
			continue
		}
		latitude, errLat := strconv.ParseFloat(row[2], 64)
		longitude, errLon := strconv.ParseFloat(row[3], 64)
		r, err := os.Open(filepath.Join(folder, row[0]+".csv"))
		if err := errors.Join(err, errLat, errLon); err != nil {
			t.Fatal(err)
		}
		file, err := recordfile.Read(r, row[0], recordfile.Options{})
		r.Close()
		if err != nil {
			t.Fatal(err)
		}
		record, _, err := check.Clean(file.Record)
		if err != nil {
			continue
		}
		record.Place.Latitude, record.Place.Longitude = &latitude, &longitude
		s, err := forecast.NewStation(record)
		if err != nil {
			t.Fatal(err)
		}
		w, err := s.Dates(forecast.Options{Species: sp})
		if err != nil {
			continue // too few days
		}
		if safe, ok := w.Safe(); ok {
			sites = append(sites, surface.Site{Latitude: latitude, Longitude: longitude, ElevationM: math.NaN(),
				Value: float64(s.Calendar.Offset(w.Season, safe))})
		}
	}
	return sites
}

// Held against real records: at stations left out, a surface of last safe dates is clearly
// closer than the date of the nearest station, and its interval holds about as often as it
// says. Range and nugget are looked for anew without the station.
func TestStationsLeftOut(t *testing.T) {
	for _, class := range []string{"humid", ""} {
		sites := lastSafe(t, "tall-fescue", class)
		s, err := surface.Fit(sites)
		if err != nil {
			t.Fatal(err)
		}
		k, err := s.Skill()
		if err != nil {
			t.Fatal(err)
		}
		anew := 0.0
		for i := range sites {
			others := append(append([]surface.Site(nil), sites[:i]...), sites[i+1:]...)
			x, err := surface.Fit(others)
			if err != nil {
				t.Fatal(err)
			}
			v, _, err := x.At(sites[i].Latitude, sites[i].Longitude, math.NaN())
			if err != nil {
				t.Fatal(err)
			}
			anew += math.Abs(v-sites[i].Value) / float64(len(sites))
		}
		t.Logf("class %q, %d stations: error %.1f days (%.1f looked for anew), nearest station %.1f, median %.1f, "+
			"rms %.1f, in the interval %.0f %%, nearest %.0f km; L %g km, g %g, σ %.1f, %.2f days a degree",
			class, k.Sites, k.Surface, anew, k.Nearest, k.Median, k.RMS, 100*k.Within, k.NearestKM, s.RangeKM, s.Nugget,
			s.SD, s.Trend[1])
		if !k.Better || anew > surface.ClearlyBetter*k.Nearest {
			t.Errorf("class %q: not clearly better", class)
		}
		if k.Within < 0.65 || k.Within > 0.95 {
			t.Errorf("class %q: %.0f %% in an interval of 80 %%", class, 100*k.Within)
		}
	}
}

// A surface goes through a plain in latitude and elevation exactly, wherever it is asked.
func TestPlain(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	draw := func() surface.Site {
		x := surface.Site{Latitude: 30 + 15*r.Float64(), Longitude: -100 + 20*r.Float64(),
			ElevationM: 1000 * r.Float64()}
		x.Value = 250 - 4*x.Latitude - 0.02*x.ElevationM
		return x
	}
	var sites []surface.Site
	for range 40 {
		sites = append(sites, draw())
	}
	s, err := surface.Fit(sites)
	if err != nil {
		t.Fatal(err)
	}
	for range 20 {
		x := draw()
		if v, _, err := s.At(x.Latitude, x.Longitude, x.ElevationM); err != nil || math.Abs(v-x.Value) > 1e-3 {
			t.Errorf("%g, want %g, %v", v, x.Value, err)
		}
	}
}

// At its sites a surface without a nugget to speak of has their values, far away its trend.
func TestExact(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	var sites []surface.Site
	for range 60 {
		x := surface.Site{Latitude: 30 + 10*r.Float64(), Longitude: -100 + 10*r.Float64(), ElevationM: math.NaN()}
		x.Value = 8*math.Sin(x.Longitude/2) + 8*math.Cos(x.Latitude)
		sites = append(sites, x)
	}
	s, err := surface.Fit(sites)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range sites[:10] {
		v, sd, err := s.At(x.Latitude, x.Longitude, math.NaN())
		if err != nil || math.Abs(v-x.Value) > 1.5 || sd > s.SD {
			t.Errorf("%g ± %g at a site of %g, %v", v, sd, x.Value, err)
		}
	}
	v, sd, err := s.At(-35, 80, math.NaN()) // the other side of the Earth
	if trend := s.Trend[0] - 35*s.Trend[1]; err != nil || math.Abs(v-trend) > 1e-2*math.Abs(trend) || sd < s.SD {
		t.Errorf("%g ± %g, the trend has %g, %v", v, sd, trend, err)
	}
	if _, err := surface.Fit(sites[:surface.MinSites-1]); !errors.Is(err, surface.ErrFewSites) {
		t.Error(err)
	}
}
