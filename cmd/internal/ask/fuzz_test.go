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
			if err != nil || math.IsNaN(r.SoilC) || math.IsInf(r.SoilC, 0) || !(r.DepthCM >= soil.MinDepthCM && r.DepthCM <= soil.MaxDepthCM) || r.Hour < 0 || r.Hour >= 24 {
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
		list, err := ReadSpecies(bytes.NewReader(text), "x")
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
		var flag Temperature
		if v, err := ParseTemperature(s); err == nil && !(math.Abs(v) < 300) {
			t.Fatalf("%q is %g °C", s, v)
		} else if (flag.Set(s) == nil) != (err == nil) || flag.Given != (err == nil) {
			t.Fatalf("%q: the flag disagrees: %v", s, err)
		}
	})
}

func FuzzYears(f *testing.F) {
	for _, s := range []string{"1995-2020", "2020", "2020-1995", "-1-5", "1-9999", "0-10", "1995-99999999999999999999", " 1995-2020"} {
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
	for _, s := range []string{"2026-10-05", "2024-02-29", "2023-02-29", "0000-01-01", "9999-12-31", "2026-1-5", "10000-01-01"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var d Date
		if d.Set(s) != nil {
			return
		}
		if y := d.Day.Year(); y < 1 || y > 9999 || d.String() != s {
			t.Fatalf("%q is %s", s, d.Day)
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
	f.Add([]byte("station,name,latitude,longitude,elevation_m,temp_unit\na.csv,Far Paddock,-35.2,146.1,180,C\nb,,,,,\n"))
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
