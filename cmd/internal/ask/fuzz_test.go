package ask

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/files"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

func FuzzProbe(f *testing.F) {
	f.Add([]byte("date,depth_cm,soil_f,time\n2019-09-20,10,73.0,09:30\n2019-09-28,10,72.0,\n"))
	f.Add([]byte("DATE,depth_in,soil_c\n2019-09-20,4,20\n# moved\n2019-09-21,2,x\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, err := ReadProbe(bytes.NewReader(text), "x")
		for _, r := range list {
			if err != nil || math.IsNaN(r.SoilC) || math.IsInf(r.SoilC,
				0) || !(r.DepthCM >= soil.MinDepthCM && r.DepthCM <= soil.MaxDepthCM) || r.Hour < 0 || r.Hour >= 24 {
				t.Fatalf("%+v, %v", r, err)
			}
		}
	})
}

func FuzzSpecies(f *testing.F) {
	var text bytes.Buffer
	text.WriteString("species,parameter,value\n")
	for _, sp := range turf.All()[:2] {
		for _, p := range sp.Parameters() {
			fmt.Fprintf(&text, "%s,%s,%g\n", sp.ID, p.Key, p.Value)
		}
	}
	f.Add(text.Bytes())
	f.Add([]byte("species,parameter,value\nperennial-ryegrass,tillered,500\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, _, err := ReadSpecies(bytes.NewReader(text), "x")
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
	for _, s := range []string{"5000ft2", "0.5 ac", "-3m2", "1e9ha", "60ftx40ft", "18ft", "1e-323g", "1e308lb",
		"3,200 sq ft", "0.5 acre",
		"5 lbs per 1,000 sq. ft", "60 by 40 feet", "0,5ha", "60'x40'"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, of := range []units{areaUnits, lengthUnits, weightUnits, rateUnits} {
			v, err := parseQuantity(s, of)
			if err == nil && !(v >= minQuantity && v <= maxQuantity) {
				t.Fatalf("%q is %g", s, v)
			}
			q := Quantity{units: of}
			if (q.Set(s) == nil) != (err == nil) || err == nil && of.factors[q.Unit] == 0 {
				t.Fatalf("%q: the flag disagrees: %v, %q", s, err, q.Unit)
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
		var flag Temperature
		if v, err := ParseTemperature(s); err == nil && !(math.Abs(v) < 300) {
			t.Fatalf("%q is %g °C", s, v)
		} else if (flag.Set(s) == nil) != (err == nil) || flag.Given != (err == nil) {
			t.Fatalf("%q: the flag disagrees: %v", s, err)
		}
	})
}

func FuzzYears(f *testing.F) {
	for _, s := range []string{"1995-2020", "2020", "2020-1995", "-1-5", "1-9999", "0-10",
		"1995-99999999999999999999", " 1995-2020"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var y Years
		if y.Set(s) != nil {
			if y != (Years{}) {
				t.Fatalf("%q leaves %+v", s, y)
			}
			return
		}
		if y.First < 1 || y.Last < y.First || y.Last > 9999 {
			t.Fatalf("%q is %+v", s, y)
		}
		var again Years
		if err := again.Set(y.String()); err != nil || again != y {
			t.Fatalf("%q comes back as %q: %v", s, y.String(), err)
		}
	})
}

func FuzzDateFlag(f *testing.F) {
	for _, s := range []string{"2026-10-05", "2024-02-29", "2023-02-29", "0000-01-01", "9999-12-31", "2026-1-5",
		"10000-01-01",
		"Oct 14", "14 Oct 2026", "October 14th, 26", "10/14/2026", "10/5", "20261014", "2026 Feb 30",
		"-1 Oct", "may may 5"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var d, again Date
		if d.Set(s) != nil {
			if d != (Date{}) {
				t.Fatalf("%q leaves %+v", s, d)
			}
			return
		}
		if y := d.Day.Year(); d.HasYear() && (y < 1 || y > 9999) {
			t.Fatalf("%q is %s", s, d.Day)
		}
		if err := again.Set(d.String()); err != nil || again.Day != d.Day || again.day != d.day ||
			again.month != d.month {
			t.Fatalf("%q comes back as %q: %+v, %v", s, d.String(), again, err)
		}
	})
}

func FuzzPercent(f *testing.F) {
	for _, s := range []string{"40", "40%", "40 percent", "0.4", "1", "1%", "0.5%", "-3", "100.5", "NaN", "1e2",
		"%"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v := -1.0
		x := percent{&v, "", 100}
		if err := x.Set(s); err != nil && v != -1 || err == nil && !(v >= 0 && v <= 100) {
			t.Fatalf("%q is %g, %v", s, v, err)
		}
	})
}

func FuzzLatitude(f *testing.F) {
	for _, s := range []string{"35.9", "35.9N", "33.4 S", "-33.4", "35,-20", "91", "NaN", "-5S", ","} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var l latitudes
		err := l.Set(s)
		for _, v := range l {
			if err != nil || !(v >= -90 && v <= 90) {
				t.Fatalf("%q is %v, %v", s, l, err)
			}
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
	p := &cli.Program{Stdin: strings.NewReader(""), Stdout: io.Discard, Stderr: io.Discard, Files: files.Disk{}}
	var st StationFlags
	st.Declare(pflag.NewFlagSet("", pflag.ContinueOnError))
	in, err := OpenStation(p, nil, &st)
	if err != nil {
		f.Fatal(err)
	}
	name := filepath.Join(f.TempDir(), "ahead.csv")
	f.Fuzz(func(t *testing.T, text []byte) {
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
		rec, _, err := readAhead(p, name, in)
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
	f.Add(
		[]byte("station,name,latitude,longitude,elevation_m,temp_unit\na.csv,Far Paddock,-35.2,146.1,180,C\nb,,,,,\n"),
	)
	f.Add([]byte("STATION,latitude\n# none\na,91\na,1e400\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, err := ReadPlaces(bytes.NewReader(text), "x")
		for key, s := range list {
			latitude, longitude, elevation := s.Coordinates()
			outside := math.Abs(latitude) > 90 || math.Abs(longitude) > 180 || math.IsInf(elevation, 0)
			if err != nil || key == "" || outside {
				t.Fatalf("%q: %+v, %v", key, s, err)
			}
			p := climate.Place{Name: "own", Latitude: new(1.0), Longitude: new(2.0), ElevationM: new(3.0)}
			if s.Over(&p); p.Name == "" || p.Latitude == nil || p.Longitude == nil || p.ElevationM == nil {
				t.Fatalf("%+v over what is known gives %+v", s, p)
			}
		}
	})
}
