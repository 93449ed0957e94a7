package main

import (
	"bytes"
	"math"
	"testing"

	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

func FuzzProbe(f *testing.F) {
	f.Add([]byte("date,depth_cm,soil_f,time\n2019-09-20,10,73.0,09:30\n2019-09-28,10,72.0,\n"))
	f.Add([]byte("DATE,depth_in,soil_c\n2019-09-20,4,20\n# moved\n2019-09-21,2,x\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, err := readProbe(bytes.NewReader(text), "x")
		for _, r := range list {
			if err != nil || math.IsNaN(r.SoilC) || math.IsInf(r.SoilC, 0) || !(r.DepthCM >= soil.ShallowestCM && r.DepthCM <= soil.DeepestCM) || r.Hour < 0 || r.Hour >= 24 {
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
	for _, s := range []string{"5000ft2", "0.5 ac", "-3m2", "1e9ha", "60ftx40ft", "18ft", "28F", "-2.2°C"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if v, err := parseQuantity(s, areaUnits); err == nil && !(v > 0 && !math.IsInf(v, 0)) {
			t.Fatalf("%q is %g", s, v)
		}
		if v, err := parseRectangle(s); err == nil && !(v > 0) {
			t.Fatalf("%q is %g", s, v)
		}
		if v, err := parseTemperature(s); err == nil && !(math.Abs(v) < 300) {
			t.Fatalf("%q is %g", s, v)
		}
	})
}
