package climate_test

import (
	"errors"
	"math"
	"strings"
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

// No record is an error of whatever takes one, and what has no answer panics with the name of
// the package.
func TestNothingGiven(t *testing.T) {
	_, _, filled := climate.Fill(nil)
	_, first := climate.FirstFreezes(nil, climate.Calendar{}, 0, climate.FreezeOptions{})
	_, last := climate.LastFreezes(nil, climate.Calendar{}, 0, climate.FreezeOptions{})
	_, _, moist := climate.Topsoil().Moist(nil)
	_, calendar := (*climate.Record)(nil).Calendar()
	_, _, clean := check.Clean(nil)
	for of, err := range map[string]error{"Fill": filled, "FirstFreezes": first, "LastFreezes": last, "Moist": moist,
		"Calendar": calendar, "Clean": clean} {
		if !errors.Is(err, climate.ErrRecord) {
			t.Errorf("%s: %v", of, err)
		}
	}
	short := climate.NewRecord(climate.Place{}, 0, 40)
	short.TMinC = short.TMinC[:9]
	for want, f := range map[string]func(){
		"climate: a record of -1 days":           func() { climate.NewRecord(climate.Place{}, 0, -1) },
		"climate: index 3 of 3 values":           func() { climate.Nth([]float64{1, 2, 3}, 3) },
		"climate: index -1 of 3 values":          func() { climate.Nth([]float64{1, 2, 3}, -1) },
		"climate: index 0 of 0 values":           func() { climate.Nth(nil, 0) },
		"climate: a trend of 3 and 2 values":     func() { climate.TheilSen(make([]float64, 3), make([]float64, 2), 0.9) },
		"climate: an interval at the level 1":    func() { climate.TheilSen(nil, nil, 1) },
		"climate: an interval at the level 0":    func() { climate.TheilSen(nil, nil, 0) },
		"climate: an interval at the level NaN":  func() { climate.TheilSen(nil, nil, math.NaN()) },
		"climate: a course of -2 days":           func() { climate.Normal{}.Series(0, -2) },
		"climate: there is no record":            func() { climate.WMO().Months(nil) },
		"climate: the series of the record dif…": func() { climate.WMO().Months(short) },
	} {
		got, _ := panics(f).(string)
		if start, cut := strings.CutSuffix(want, "…"); got != want && !(cut && strings.HasPrefix(got, start)) {
			t.Errorf("panic %q, want %q", got, want)
		}
	}
}

// Days and seasons given in reverse hold nothing, or are an error.
func TestReversed(t *testing.T) {
	r := nights(climate.Date(2001, 1, 1), climate.Date(2008, 12, 31), nil)
	_, err := climate.FirstFreezes(
		r,
		climate.Calendar{},
		0,
		climate.FreezeOptions{FirstSeason: 2005, LastSeason: 2004},
	)
	if !errors.Is(err, climate.ErrSeasons) {
		t.Errorf("seasons from 2005 to 2004: %v", err)
	}
	one := climate.FreezeOptions{FirstSeason: 2005, LastSeason: 2005}
	if _, err := climate.LastFreezes(r, climate.Calendar{}, 0, one); err != nil {
		t.Errorf("one season: %v", err)
	}
	course := climate.Normal{Cos: []float64{5}, Sin: []float64{0}}
	for _, days := range []climate.Day{1, 2, 400} {
		if got := course.Crossings(0, 1000, 1000-days); got != nil {
			t.Errorf("crossings %d days back: %v", days, got)
		}
	}
	if g, ok := climate.Strict().Gap(10, 9, func(climate.Day) bool { return true }); !ok || g != (climate.Gap{}) {
		t.Errorf("days that run back lack %+v", g)
	}
	if part := r.Until(r.First - 400); part.Len() != 0 || part.Validate() != nil {
		t.Errorf("until a day before the first: %d days", part.Len())
	}
}

// The rules are everybody's: whoever changes one changes it for nobody else.
func TestRulesAreCopies(t *testing.T) {
	rule := climate.WMO()
	rule.MaxRun = 99
	climate.Completenesses()[0].MaxTotal = 99
	if climate.WMO() != (climate.Completeness{Name: "wmo", MaxRun: 4, MaxTotal: 10}) {
		t.Errorf("%+v", climate.WMO())
	}
}
