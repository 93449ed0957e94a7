package soil_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"swardcast/climate"
	"swardcast/climate/weather"
	"swardcast/forecast/soil"
)

func TestMisuseOfReadings(t *testing.T) {
	air := weather.Generate(weather.Piedmont(), 1, climate.Date(2001, 1, 1), climate.Date(2003, 12, 31))
	curve, err := soil.Turf().Estimate(air, nil)
	if err != nil {
		t.Fatal(err)
	}
	good := soil.Reading{Day: air.First + 400, DepthCM: 10, SoilC: curve.Soil10C[400], Hour: math.NaN()}
	with := func(change func(*soil.Reading)) []soil.Reading {
		r := good
		change(&r)
		return []soil.Reading{good, r}
	}
	if _, err := soil.Calibrate(curve, air, with(func(r *soil.Reading) { r.Hour = 24 })); err != nil {
		t.Fatal(err)
	}
	for name, list := range map[string][]soil.Reading{
		"none":              nil,
		"too many":          slices.Repeat([]soil.Reading{good}, soil.MaxReadings+1),
		"before the record": with(func(r *soil.Reading) { r.Day = air.First - 1 }),
		"after the record":  with(func(r *soil.Reading) { r.Day = air.Last() + 1 }),
		"too shallow":       with(func(r *soil.Reading) { r.DepthCM = 2.9 }),
		"depth NaN":         with(func(r *soil.Reading) { r.DepthCM = math.NaN() }),
		"soil NaN":          with(func(r *soil.Reading) { r.SoilC = math.NaN() }),
		"soil infinite":     with(func(r *soil.Reading) { r.SoilC = math.Inf(1) }),
		"hour 25":           with(func(r *soil.Reading) { r.Hour = 25 }),
		"hour before 0":     with(func(r *soil.Reading) { r.Hour = -1 }),
	} {
		if c, err := soil.Calibrate(curve, air, list); !errors.Is(err, soil.ErrReading) {
			t.Errorf("%s: %v, %v", name, c, err)
		}
	}
	_, err = soil.Calibrate(curve, air.Until(air.Last()-1), []soil.Reading{good})
	if !errors.Is(err, climate.ErrRecord) {
		t.Errorf("air of fewer days: %v", err)
	}
	nowhere := *air
	nowhere.Place = climate.Place{}
	if _, err := soil.Calibrate(curve, &nowhere, []soil.Reading{good}); !errors.Is(err, climate.ErrNoLatitude) {
		t.Errorf("readings of nowhere: %v", err)
	}
}

// The estimate needs the latitude and a record that holds together.
func TestMisuseOfTheEstimate(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*climate.Record)
		want  error
	}{
		"no latitude":   {func(r *climate.Record) { r.Place = climate.Place{} }, climate.ErrNoLatitude},
		"short lowest":  {func(r *climate.Record) { r.TMinC = r.TMinC[:9] }, climate.ErrRecord},
		"infinite":      {func(r *climate.Record) { r.TMaxC[9] = math.Inf(1) }, climate.ErrRecord},
		"forty days":    {func(r *climate.Record) { *r = *r.Until(r.First + 39) }, climate.ErrTooShort},
		"a missing day": {func(r *climate.Record) { r.TMaxC[9] = math.NaN() }, climate.ErrRecord},
	} {
		r := weather.Generate(weather.Piedmont(), 1, climate.Date(2001, 1, 1), climate.Date(2003, 12, 31))
		c.spoil(r)
		if _, err := soil.Turf().Estimate(r, nil); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestDepths(t *testing.T) {
	for _, d := range soil.Depths() {
		if err := d.Check(); err != nil {
			t.Errorf("%d cm: %v", d, err)
		}
	}
	for _, d := range []soil.Depth{0, -5, 7, 20} {
		if err := d.Check(); !errors.Is(err, soil.ErrDepth) {
			t.Errorf("%d cm: %v", d, err)
		}
		for name, f := range map[string]func(){"Curve.At": func() { (&soil.Curve{}).At(d) },
			"ResidualAt": func() { soil.ResidualAt(d) }} {
			func() {
				defer func() {
					if recover() == nil {
						t.Errorf("%s, %d cm: answered", name, d)
					}
				}()
				f()
			}()
		}
	}
}

// Coefficients and patterns are the caller's to change: no other's change with
// them.
func TestExportsAreCopies(t *testing.T) {
	soil.SitePatterns()[0][0] += 50
	terms := soil.Terms()
	terms[0] = "changed"
	if soil.SitePatterns()[0][0] > 40 || soil.Terms()[0] != "1" {
		t.Error("an export was changed")
	}
}

// What is not there is an error; what has no answer panics with the name of the package.
func TestNothingGiven(t *testing.T) {
	air := weather.Generate(weather.Piedmont(), 1, climate.Date(2001, 1, 1), climate.Date(2003, 12, 31))
	reading := []soil.Reading{{Day: air.First, DepthCM: 5, SoilC: 5, Hour: math.NaN()}}
	_, curve := soil.Calibrate(nil, air, reading)
	_, record := soil.Calibrate(&soil.Curve{}, nil, reading)
	_, estimate := soil.Turf().Estimate(nil, nil)
	_, start := soil.Turf().Start(nil, nil)
	_, design := soil.Design(nil, nil)
	_, _, variability := soil.Variability(nil, nil)
	for name, err := range map[string]error{"Calibrate, no curve": curve, "Calibrate, no air": record, "Estimate": estimate,
		"Start": start, "Design": design, "Variability": variability} {
		if !errors.Is(err, climate.ErrRecord) {
			t.Errorf("%s: %v", name, err)
		}
	}
	r := soil.ResidualAt(soil.Depth5)
	for want, f := range map[string]func(){
		"soil: a mean over 0 days": func() { r.MeanSD(0) },
		"soil: month 0":            func() { r.Site(0, false) },
		"soil: month 13":           func() { r.Site(13, true) },
		"soil: an average with a time constant of 0 days":   func() { soil.EMA([]float64{1}, 0, 0) },
		"soil: an average with a time constant of NaN days": func() { soil.EMA(nil, math.NaN(), 0) },
		"soil: an average with a time constant of -3 days":  func() { soil.EMA([]float64{1}, -3, 0) },
	} {
		func() {
			defer func() {
				if got := recover(); got != want {
					t.Errorf("panic %v, want %q", got, want)
				}
			}()
			f()
		}()
	}
}
