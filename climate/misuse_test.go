package climate_test

import (
	"errors"
	"math"
	"testing"

	"swardcast/climate"
	"swardcast/climate/check"
)

func panics(f func()) (with any) {
	defer func() { with = recover() }()
	f()
	return nil
}

// A record whose series do not fit each other, or whose place is not on Earth, is
// an error of every function that takes one.
func TestInvalidRecords(t *testing.T) {
	valid := func() *climate.Record {
		r := nights(climate.Date(2001, 1, 1), climate.Date(2004, 12, 31), nil)
		r.PrecipMM = make([]float64, r.Len())
		return r
	}
	if err := valid().Validate(); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func(*climate.Record){
		"short lowest":      func(r *climate.Record) { r.TMinC = r.TMinC[:9] },
		"long lowest":       func(r *climate.Record) { r.TMinC = append(r.TMinC, 1) },
		"short rain":        func(r *climate.Record) { r.PrecipMM = r.PrecipMM[:0] },
		"infinite highest":  func(r *climate.Record) { r.TMaxC[7] = math.Inf(1) },
		"infinite rain":     func(r *climate.Record) { r.PrecipMM[7] = math.Inf(-1) },
		"latitude 91":       func(r *climate.Record) { r.Place.Latitude = new(91.0) },
		"latitude NaN":      func(r *climate.Record) { r.Place.Latitude = new(math.NaN()) },
		"longitude -181":    func(r *climate.Record) { r.Place.Longitude = new(-181.0) },
		"elevation without": func(r *climate.Record) { r.Place.ElevationM = new(math.Inf(1)) },
	} {
		r := valid()
		spoil(r)
		_, _, filled := climate.Fill(r)
		_, freezes := climate.FirstFreezes(r, climate.Calendar{}, 0, climate.FreezeOptions{})
		_, _, moist := climate.Topsoil().Moist(r)
		_, calendar := r.Calendar()
		for of, err := range map[string]error{"Validate": r.Validate(), "Fill": filled, "FirstFreezes": freezes,
			"Moist": moist, "Calendar": calendar} {
			if !errors.Is(err, climate.ErrRecord) {
				t.Errorf("%s: %s: %v", name, of, err)
			}
		}
		_, _, err := check.Clean(r)
		if place := r.Place != valid().Place; !place && !errors.Is(err, climate.ErrRecord) {
			t.Errorf("%s: Clean: %v", name, err)
		}
	}
}

// A place of which nothing is said is nowhere, not at the equator.
func TestZeroPlaceIsNowhere(t *testing.T) {
	r := nights(climate.Date(2001, 1, 1), climate.Date(2001, 12, 31), nil)
	r.Place = climate.Place{Name: "Alder Flat (invented)"}
	if _, _, err := climate.Topsoil().Moist(r); !errors.Is(err, climate.ErrNoLatitude) {
		t.Errorf("the seedbed of a place without a latitude: %v", err)
	}
	lat, lon, m := r.Place.Coordinates()
	if !math.IsNaN(lat) || !math.IsNaN(lon) || !math.IsNaN(m) || r.Place.String() != "Alder Flat (invented)" {
		t.Errorf("%v: %g, %g, %g", r.Place, lat, lon, m)
	}
	r.Place.Latitude, r.Place.ElevationM = new(0.0), new(12.5)
	if _, _, err := climate.Topsoil().Moist(r); err != nil ||
		r.Place.String() != "Alder Flat (invented), latitude 0, elevation 12.5 m" {
		t.Errorf("%v: %v", r.Place, err)
	}
}

func TestMisuseOfNormals(t *testing.T) {
	if n, err := climate.FitNormals(0, 2); n != nil || err != nil {
		t.Errorf("no series: %v, %v", n, err)
	}
	_, err := climate.FitNormals(0, 2, make([]float64, 900), make([]float64, 899))
	if !errors.Is(err, climate.ErrRecord) {
		t.Errorf("series of different lengths: %v", err)
	}
	if _, err := climate.FitNormals(0, 2, nil); !errors.Is(err, climate.ErrTooShort) {
		t.Errorf("an empty series: %v", err)
	}
	for want, f := range map[string]func(){
		"climate: -1 harmonics": func() {
			climate.FitNormal(0, make([]float64, 900),
				-1)
		},
		"climate: the peak of a normal course without harmonics": func() { climate.Normal{Mean: 10}.Peak(2001) },
		"climate: a seedbed that holds 0 mm":                     func() { climate.Seedbed{}.Moist(nights(0, 9, nil)) },
	} {
		if got := panics(f); got != want {
			t.Errorf("panic %v, want %q", got, want)
		}
	}
}
