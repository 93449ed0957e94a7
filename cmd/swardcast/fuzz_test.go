package main

import (
	"bytes"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

func FuzzProbe(f *testing.F) {
	f.Add([]byte("date,depth_cm,soil_f,time\n2019-09-20,10,73.0,09:30\n2019-09-28,10,72.0,\n"))
	f.Add([]byte("DATE,depth_in,soil_c\n2019-09-20,4,20\n# moved\n2019-09-21,2,x\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, err := readProbe(bytes.NewReader(text), "x")
		for _, r := range list {
			if err != nil || math.IsNaN(r.SoilC) || math.IsInf(r.SoilC, 0) || !(r.DepthCM >= soil.MinDepthCM && r.DepthCM <= soil.MaxDepthCM) || r.Hour < 0 || r.Hour >= 24 {
				t.Fatalf("%+v, %v", r, err)
			}
		}
	})
}

func FuzzSpecies(f *testing.F) {
	text, err := speciesCSV(turf.All()[:2])
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Add([]byte("species,parameter,value\nperennial-ryegrass,tillered,500\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, err := readSpecies(bytes.NewReader(text), "x")
		if err != nil {
			return
		}
		for i := range list {
			if err := list[i].Check(); err != nil || list[i].ID == "" {
				t.Fatalf("%+v: %v", list[i], err)
			}
		}
	})
}

func FuzzQuantity(f *testing.F) {
	for _, s := range []string{"5000ft2", "0.5 ac", "-3m2", "1e9ha", "60ftx40ft", "18ft", "1e-323g", "1e308lb"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, units := range []map[string]float64{areaUnits, lengthUnits, weightUnits, rateUnits} {
			if v, err := parseQuantity(s, units); err == nil && !(v >= minQuantity && v <= maxQuantity) {
				t.Fatalf("%q is %g", s, v)
			}
		}
		if v, err := parseRectangle(s); err == nil && !(v > 0 && !math.IsInf(v, 0)) {
			t.Fatalf("%q is %g", s, v)
		}
		if v, err := parseCircle(s); err == nil && !(v > 0 && !math.IsInf(v, 0)) {
			t.Fatalf("%q is %g", s, v)
		}
	})
}

func FuzzTemperature(f *testing.F) {
	for _, s := range []string{"28F", "-2.2°C", "75 f", "1e3C", "NaNF", "0x1pC", "F", "°"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var flag temperature
		if v, err := parseTemperature(s); err == nil && !(math.Abs(v) < 300) {
			t.Fatalf("%q is %g °C", s, v)
		} else if (flag.Set(s) == nil) != (err == nil) || flag.set != (err == nil) {
			t.Fatalf("%q: the flag disagrees: %v", s, err)
		}
	})
}

func FuzzYears(f *testing.F) {
	for _, s := range []string{"1995-2020", "2020", "2020-1995", "-1-5", "1-9999", "0-10", "1995-99999999999999999999", " 1995-2020"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var y yearRange
		if y.Set(s) != nil {
			if y != (yearRange{}) {
				t.Fatalf("%q leaves %+v", s, y)
			}
			return
		}
		if y.first < 1 || y.last < y.first || y.last > 9999 {
			t.Fatalf("%q is %+v", s, y)
		}
		var again yearRange
		if err := again.Set(y.String()); err != nil || again != y {
			t.Fatalf("%q comes back as %q: %v", s, y.String(), err)
		}
	})
}

func FuzzDateFlag(f *testing.F) {
	for _, s := range []string{"2026-10-05", "2024-02-29", "2023-02-29", "0000-01-01", "9999-12-31", "2026-1-5", "10000-01-01"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var d dateFlag
		if d.Set(s) != nil {
			return
		}
		if y := d.day.Year(); y < 1 || y > 9999 || d.String() != s {
			t.Fatalf("%q is %s", s, d.day)
		}
	})
}

func FuzzClock(f *testing.F) {
	for _, s := range []string{"14:30", "2:30 PM", "23:59:59", "24:00", "12:00am", "7"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if h, err := hourOf(s); err == nil && !(h >= 0 && h < 24) {
			t.Fatalf("%q is %g", s, h)
		}
	})
}

// FuzzAhead reads forecast rows to put after the demo record.
func FuzzAhead(f *testing.F) {
	f.Add([]byte("date,tmax_c,tmin_c\n2026-11-01,16,4\n2026-11-02,17,5\n"))
	f.Add([]byte("date,tmax,tmin\n2026-11-01,61,40\n2026-11-02,58,41\n"))
	f.Add([]byte("2026-11-01,16,4\n"))
	p := &program{Stdin: strings.NewReader(""), Stdout: io.Discard, Stderr: io.Discard}
	var st stationFlags
	st.declare(pflag.NewFlagSet("", pflag.ContinueOnError))
	in, err := p.openStation(nil, &st)
	if err != nil {
		f.Fatal(err)
	}
	name := filepath.Join(f.TempDir(), "ahead.csv")
	f.Fuzz(func(t *testing.T, text []byte) {
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
		rec, _, err := p.readAhead(name, in)
		if err != nil {
			return
		}
		for i := range rec.TMaxC {
			for _, v := range []float64{rec.TMaxC[i], rec.TMinC[i]} {
				if v < check.LowestEver || v > check.HighestEver {
					t.Fatalf("%s: %g °C", rec.Day(i), v)
				}
			}
		}
	})
}

func FuzzPlaces(f *testing.F) {
	f.Add([]byte("station,name,latitude,longitude,elevation_m,temp_unit\na.csv,Far Paddock,-35.2,146.1,180,C\nb,,,,,\n"))
	f.Add([]byte("STATION,latitude\n# none\na,91\na,1e400\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, err := readPlaces(bytes.NewReader(text), "x")
		for key, s := range list {
			latitude, longitude, elevation := s.Coordinates()
			outside := math.Abs(latitude) > 90 || math.Abs(longitude) > 180 || math.IsInf(elevation, 0)
			if err != nil || key == "" || outside {
				t.Fatalf("%q: %+v, %v", key, s, err)
			}
			p := climate.Place{Name: "own", Latitude: new(1.0), Longitude: new(2.0), ElevationM: new(3.0)}
			if s.over(&p); p.Name == "" || p.Latitude == nil || p.Longitude == nil || p.ElevationM == nil {
				t.Fatalf("%+v over what is known gives %+v", s, p)
			}
		}
		names, err := readList(bytes.NewReader(text))
		for _, name := range names {
			if err != nil || name == "" || name != strings.TrimSpace(name) || strings.ContainsAny(name, "\n\x00") {
				t.Fatalf("%q, %v", name, err)
			}
		}
	})
}

// Whatever is in an output that is gone on with, it is refused or cut behind a
// station with all its rows.
func FuzzResume(f *testing.F) {
	species, forms := []string{"a", "b"}, []regionForm{csvForm{}, linesForm{}, geoForm{}}
	rows := func(file string) []regionRow {
		return []regionRow{{File: file, Species: "a", Settings: "s"}, {File: file, Species: "b", Settings: "s"}}
	}
	for i, form := range forms {
		f.Add(uint8(i), slices.Concat(form.head(), form.rows(rows("x"), true), form.rows(rows("y"), false), form.foot()))
	}
	f.Fuzz(func(t *testing.T, form uint8, text []byte) {
		file, err := os.CreateTemp(t.TempDir(), "")
		if err != nil {
			t.Fatal(err)
		}
		defer file.Close()
		file.Write(text)
		o := &regionOutput{form: forms[int(form)%len(forms)], file: file, first: true, last: true}
		done := map[string]bool{}
		end, err := o.readDone(species, "s", done)
		if err != nil {
			return
		}
		if end < 0 || end > int64(len(text)) || end > 0 && text[end-1] != '\n' {
			t.Fatalf("cut at %d of %d", end, len(text))
		}
		again := map[string]bool{}
		if err := file.Truncate(end); err != nil {
			t.Fatal(err)
		}
		if n, err := o.readDone(species, "s", again); err != nil || n != end || len(again) != len(done) {
			t.Fatalf("what was kept, %q, reads to %d with %d files, want %d; %v", text[:end], n, len(again), len(done), err)
		}
	})
}
