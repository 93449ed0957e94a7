package soil

import (
	"errors"
	"math"
	"testing"
	"time"

	"swardcast/climate"
)

// readings are n readings, a day apart from first, off the estimate by miss.
func readings(t *testing.T, curve *Curve, first climate.Day, n int, miss float64) []Reading {
	t.Helper()
	var out []Reading
	for i := range n {
		d := first + climate.Day(3*i)
		out = append(out, Reading{Day: d, DepthCM: 10, SoilC: curve.Soil10C[d-curve.First] + miss,
			Hour: 8 + 24/(2*math.Pi)})
	}
	return out
}

func TestCalibrate(t *testing.T) {
	r := generated(t, 36)
	curve, err := Turf().Estimate(r, nil)
	if err != nil {
		t.Fatal(err)
	}
	first := climate.Date(2004, time.September, 5)
	before := 0.0
	for _, n := range []int{1, 3, 8} {
		c, err := Calibrate(curve, r, readings(t, curve, first, n, 2))
		if err != nil {
			t.Fatal(err)
		}
		now, november := c.Offset(first+20), c.Offset(climate.Date(2004, time.November, 25))
		otherYear := c.Offset(climate.Date(2002, time.September, 20))
		// Shrunk towards none, less with more readings; less in another
		// season, less in a month whose errors go their own way.
		if !(now > before && now < 2 && otherYear > 0 && otherYear < now && november < now) {
			t.Errorf("%d readings 2 °C off: %.2f now, %.2f in November, %.2f in another year, %.2f with fewer", n, now,
				november, otherYear, before)
		}
		before = now
		if sd := c.SiteSD(first); !(sd < residual5.SiteSD[8]) {
			t.Errorf("%d readings leave the site as open as before: %.2f", n, sd)
		}
		if n > 1 && !(c.After < c.Before) || math.Abs(c.Before-2) > 0.2 {
			t.Errorf("%d readings miss by %.2f before and %.2f after", n, c.Before, c.After)
		}
		applied := c.Apply(curve)
		if i := first - curve.First; math.Abs(applied.Soil5C[i]-curve.Soil5C[i]-c.Offset(first)) > 1e-12 {
			t.Error("the offset is not what is applied")
		}
	}
}

// One reading, by hand: the offset on its own day is miss × v / (v + noise), v
// the whole variance of the error.
func TestOneReading(t *testing.T) {
	r := generated(t, 36)
	curve, err := Turf().Estimate(r, nil)
	if err != nil {
		t.Fatal(err)
	}
	day := climate.Date(2004, time.October, 16)
	c, err := Calibrate(curve, r, readings(t, curve, day, 1, 1))
	if err != nil {
		t.Fatal(err)
	}
	v := (residual5.SeasonSD*residual5.SeasonSD+residual10.SeasonSD*residual10.SeasonSD)/2 +
		(residual5.DaySD*residual5.DaySD+residual10.DaySD*residual10.DaySD)/2
	for _, p := range sitePatterns {
		v += p[9] * p[9] // the middle of October
	}
	if got, want := c.Offset(day), v/(v+readingSD*readingSD); math.Abs(got-want) > 0.01 {
		t.Errorf("%.3f, want %.3f", got, want)
	}
}

// A reading in the heat of the afternoon stands above the daily mean; noting the
// hour takes that out, not noting it makes the reading count less.
func TestHourOfReading(t *testing.T) {
	r := generated(t, 36)
	curve, err := Turf().Estimate(r, nil)
	if err != nil {
		t.Fatal(err)
	}
	day := climate.Date(2004, time.September, 10)
	i := day - curve.First
	wave := dailyShare * (r.TMaxC[i] - r.TMinC[i]) / 2 * math.Exp(-0.5)
	warmest := warmestHour + 0.5*24/(2*math.Pi) // later at 5 cm, half a damping depth down
	reading := Reading{Day: day, DepthCM: 5, SoilC: curve.Soil5C[i] + wave, Hour: warmest}
	timed, err := Calibrate(curve, r, []Reading{reading})
	if err != nil {
		t.Fatal(err)
	}
	if got := timed.Offset(day); math.Abs(got) > 1e-9 {
		t.Errorf("the estimate at the hour of its reading is off by %.3f", got)
	}
	reading.Hour = math.NaN()
	untimed, err := Calibrate(curve, r, []Reading{reading})
	if err != nil {
		t.Fatal(err)
	}
	reading.Hour, reading.SoilC = warmest, reading.SoilC+wave
	sure, err := Calibrate(curve, r, []Reading{reading})
	if err != nil {
		t.Fatal(err)
	}
	// The same miss, once with the hour and once without.
	if !(untimed.Offset(day) > 0 && untimed.Offset(day) < sure.Offset(day)) {
		t.Errorf("without the hour %.3f, with it %.3f", untimed.Offset(day), sure.Offset(day))
	}
}

func TestCalibrateDoubtsAndRefuses(t *testing.T) {
	r := generated(t, 36)
	curve, err := Turf().Estimate(r, nil)
	if err != nil {
		t.Fatal(err)
	}
	good := readings(t, curve, climate.Date(2004, time.September, 5), 3, 0.5)
	mad := good[1]
	mad.SoilC = 70.5 // °F written as °C
	c, err := Calibrate(curve, r, []Reading{good[0], mad, good[2]})
	if err != nil || c.Used != 2 || len(c.Suspect) != 1 || c.Suspect[0].Index != 1 {
		t.Errorf("%+v, %v", c, err)
	}
	for name, list := range map[string][]Reading{"nothing to believe": {mad}, "mostly doubted": {mad, good[0], mad}} {
		if c, err := Calibrate(curve, r, list); !errors.Is(err, ErrSuspect) || len(c.Suspect) == 0 {
			t.Errorf("%s: %v", name, err)
		}
	}
	deep, early := good[0], good[0]
	deep.DepthCM = 40
	early.Day = r.First - 1
	for name, list := range map[string][]Reading{"none": nil, "too deep": {deep}, "outside": {early}} {
		if _, err := Calibrate(curve, r, list); err == nil {
			t.Errorf("%s is accepted", name)
		}
	}
}
