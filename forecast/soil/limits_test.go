package soil

import (
	"math"
	"slices"
	"testing"
	"time"

	"swardcast/climate"
)

// site returns a generated record with its estimate.
func site(t *testing.T) (*climate.Record, *Curve) {
	t.Helper()
	r := generated(t, 36)
	curve, err := Turf().Estimate(r, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r, curve
}

// calm is the hour at which the daily wave is at its mean at a depth, cm: a quarter of a day
// before the warmest hour at the surface, and later by a radian for each damping depth of 10 cm.
func calm(depthCM float64) float64 { return warmestHour - 6 + depthCM/10*24/(2*math.Pi) }

func calibrated(t *testing.T, r *climate.Record, curve *Curve, readings ...Reading) *Calibration {
	t.Helper()
	c, err := Calibrate(curve, r, readings)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// variance is that of the error of the estimate in the middle of October, by hand: that of
// the season and that of the day, each the mean of the depths, and that of the site's patterns.
func variance() (whole, patterns float64) {
	for _, p := range sitePatterns {
		patterns += p[9] * p[9]
	}
	return patterns + (0.53*0.53+0.51*0.51)/2 + (0.92*0.92+0.83*0.83)/2, patterns
}

var october = climate.Date(2004, time.October, 16)

// By hand: without the hour the error of the reading is √(0.5² + (A e^(−z/10 cm))²/2), A half
// of half the range of the air, and the offset of the day miss × v / (v + error²).
func TestReadingWithoutItsHour(t *testing.T) {
	r, curve := site(t)
	i := october - curve.First
	v, _ := variance()
	for depth, estimate := range map[float64]float64{5: curve.Soil5C[i], 10: curve.Soil10C[i]} {
		c := calibrated(t, r, curve, Reading{Day: october, DepthCM: depth, SoilC: estimate + 1, Hour: math.NaN()})
		a := (r.TMaxC[i] - r.TMinC[i]) / 4 * math.Exp(-depth/10)
		if want := v / (v + 0.25 + a*a/2); math.Abs(c.Offset(october)-want) > 0.005 {
			t.Errorf("%g cm: offset %.4f, want %.4f", depth, c.Offset(october), want)
		}
	}
}

// A reading is suspect from four standard deviations of its error on. One is among two that
// can be used, of which it is not more.
func TestSuspectFromFourStandardDeviations(t *testing.T) {
	r, curve := site(t)
	v, _ := variance()
	sd := math.Sqrt(v + 0.25)
	at := func(miss float64) Reading {
		return Reading{Day: october, DepthCM: 10, SoilC: curve.Soil10C[october-curve.First] + miss, Hour: calm(10)}
	}
	for sds, want := range map[float64]int{3.95: 0, -3.95: 0, 4.05: 1, -4.05: 1} {
		c := calibrated(t, r, curve, at(0.5), at(sds*sd))
		if len(c.Suspect) != want || c.Used != 2-want {
			t.Errorf("%g standard deviations off: %d suspect, %d used", sds, len(c.Suspect), c.Used)
		}
	}
}

// By hand, of two readings that miss by 1 and 0.5 °C: each is foretold by the other as its miss
// × covariance / (v + error²).
func TestTwoReadingsLeftOut(t *testing.T) {
	r, curve := site(t)
	other := october + 10
	c := calibrated(t, r, curve,
		Reading{Day: october, DepthCM: 10, SoilC: curve.Soil10C[october-curve.First] + 1, Hour: calm(10)},
		Reading{Day: other, DepthCM: 10, SoilC: curve.Soil10C[other-curve.First] + 0.5, Hour: calm(10)})
	share := func(a, b climate.Day) float64 { return c.covariance(a, b) / (c.covariance(b, b) + 0.25) }
	first, second := 1-0.5*share(october, other), 0.5-1*share(other, october)
	if want := math.Sqrt((first*first + second*second) / 2); math.Abs(c.After-want) > 1e-9 {
		t.Errorf("after %.6f, want %.6f", c.After, want)
	}
	if want := math.Sqrt((1 + 0.25) / 2); math.Abs(c.Before-want) > 1e-9 {
		t.Errorf("before %.6f, want %.6f", c.Before, want)
	}
	alone := calibrated(t, r, curve,
		Reading{Day: october, DepthCM: 10, SoilC: curve.Soil10C[october-curve.First] + 1, Hour: calm(10)})
	if !math.IsNaN(alone.After) || math.Abs(alone.Before-1) > 1e-9 {
		t.Errorf("one reading: before %g, after %g", alone.Before, alone.After)
	}
}

// By hand: one reading takes P²/(v + error²) of the variance P of the site's patterns.
func TestSiteSDAfterOneReading(t *testing.T) {
	r, curve := site(t)
	v, p := variance()
	c := calibrated(t, r, curve,
		Reading{Day: october, DepthCM: 10, SoilC: curve.Soil10C[october-curve.First], Hour: calm(10)})
	if want := math.Sqrt(p - p*p/(v+0.25)); math.Abs(c.SiteSD(october)-want) > 0.005 {
		t.Errorf("%.4f, want %.4f", c.SiteSD(october), want)
	}
}

// Between 5 and 10 cm the estimate is interpolated, outside it is that of the nearer depth.
func TestReadingsBetweenTheDepths(t *testing.T) {
	r, curve := site(t)
	i := october - curve.First
	a, b := curve.Soil5C[i], curve.Soil10C[i]
	for depth, estimate := range map[float64]float64{3: a, 5: a, 6: a + (b-a)/5, 7.5: (a + b) / 2, 10: b, 15: b} {
		c := calibrated(t, r, curve, Reading{Day: october, DepthCM: depth, SoilC: estimate, Hour: calm(depth)})
		if got := c.Offset(october); math.Abs(got) > 1e-9 {
			t.Errorf("%g cm: offset %g of a reading that is the estimate", depth, got)
		}
	}
}

// What just can be used is: the first and last day, hour 0, as many readings as are taken in.
func TestReadingsAtTheirLimits(t *testing.T) {
	r, curve := site(t)
	for name, change := range map[string]func(*Reading){
		"first day": func(r *Reading) { r.Day = curve.First },
		"last day":  func(r *Reading) { r.Day = curve.First + climate.Day(len(curve.Soil5C)) - 1 },
		"hour 0":    func(r *Reading) { r.Hour = 0 },
		"hour 24":   func(r *Reading) { r.Hour = 24 },
	} {
		reading := Reading{Day: october, DepthCM: 10, Hour: calm(10)}
		change(&reading)
		reading.SoilC = curve.Soil10C[reading.Day-curve.First]
		if _, err := Calibrate(curve, r, []Reading{reading}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	many := slices.Repeat(
		[]Reading{{Day: october, DepthCM: 10, SoilC: curve.Soil10C[october-curve.First], Hour: 8}},
		MaxReadings,
	)
	if testing.Short() {
		many = many[:10]
	}
	if c, err := Calibrate(curve, r, many); err != nil || c.Used != len(many) {
		t.Errorf("%d readings: %v", len(many), err)
	}
}

// A pattern has the table's value in the middle of a month, and a straight line between two of
// them, over the turn of the year too: on 1 November 16 of the 30.5 days from the middle of
// October are over, less half a day of each month's own length. The south is half a year off.
func TestPatternByHand(t *testing.T) {
	north, south := &Calibration{}, &Calibration{calendar: climate.Calendar{South: true}}
	between := func(k, a, b int, part float64) float64 {
		return sitePatterns[k][a] + part*(sitePatterns[k][b]-sitePatterns[k][a])
	}
	for k := range sitePatterns {
		for _, c := range []struct {
			day  climate.Day
			want float64
		}{
			{climate.Date(2004, 10, 16), sitePatterns[k][9]}, {climate.Date(2004, 7, 16), sitePatterns[k][6]},
			{climate.Date(2004, 11, 1), between(k, 9, 10, 0.5+0.5/30)},
			{climate.Date(2004, 11, 30), between(k, 10, 11, 29.5/30-0.5)},
			{climate.Date(2004, 12, 31), between(k, 11, 0, 30.5/31-0.5)},
			{climate.Date(2005, 1, 1), between(k, 11, 0, 0.5+0.5/31)},
		} {
			if got := north.pattern(k, c.day); math.Abs(got-c.want) > 1e-9 {
				t.Errorf("pattern %d on %v: %.4f, want %.4f", k, c.day, got, c.want)
			}
			if got := south.pattern(k, c.day-182); math.Abs(got-c.want) > 1e-9 {
				t.Errorf("pattern %d in the south, 182 days before %v: %.4f, want %.4f", k, c.day, got, c.want)
			}
		}
	}
}

// Principal components are orthogonal: to the rounding of the table no two patterns have
// anything in common, of which a wrong sign would give them more.
func TestPatternsAreOrthogonal(t *testing.T) {
	for a := range sitePatterns {
		for b := range a {
			sum := 0.0
			for m := range 12 {
				sum += sitePatterns[a][m] * sitePatterns[b][m]
			}
			if math.Abs(sum) > 0.005 {
				t.Errorf("patterns %d and %d have %.4f in common", a, b, sum)
			}
		}
	}
}

// The offset is added at both depths.
func TestApplyAtBothDepths(t *testing.T) {
	r, curve := site(t)
	i := october - curve.First
	c := calibrated(t, r, curve, Reading{Day: october, DepthCM: 10, SoilC: curve.Soil10C[i] + 2, Hour: calm(10)})
	got := c.Apply(curve)
	for name, off := range map[string]float64{
		"5 cm": got.Soil5C[i] - curve.Soil5C[i], "10 cm": got.Soil10C[i] - curve.Soil10C[i],
	} {
		if math.Abs(off-c.Offset(october)) > 1e-12 || off < 0.5 {
			t.Errorf("%s: %.4f added, offset %.4f", name, off, c.Offset(october))
		}
	}
	if got.First != curve.First || &got.Soil5C[0] == &curve.Soil5C[0] {
		t.Error("the curve given was changed, or moved")
	}
}

// Each depth has its own curve and its own error.
func TestDepthsAreApart(t *testing.T) {
	c := &Curve{Soil5C: []float64{5}, Soil10C: []float64{10}}
	if c.At(Depth5)[0] != 5 || c.At(Depth10)[0] != 10 {
		t.Errorf("%v, %v", c.At(Depth5), c.At(Depth10))
	}
	if ResidualAt(Depth5).DaySD != 0.92 || ResidualAt(Depth10).DaySD != 0.83 {
		t.Errorf("%+v, %+v", ResidualAt(Depth5), ResidualAt(Depth10))
	}
}

// By hand: half of half of 20 °C is 5 °C, at a damping depth of 10 cm 5/e.
func TestDailySwingByHand(t *testing.T) {
	for depth, want := range map[float64]float64{0: 5, 0.05: 5 * math.Exp(-0.5), 0.10: 5 / math.E} {
		if got := DailySwing(20, depth); math.Abs(got-want) > 1e-12 {
			t.Errorf("%g m: %g, want %g", depth, got, want)
		}
	}
}

// A warm day comes down later at 10 cm than at 5, so that the soil there has less of it on the
// day itself: in summer and in frost. Over the year the soil is a little warmer than the air
// (common knowledge of soil physics), and in a hard frost turf keeps it warmer.
func TestEstimateFollowsTheAir(t *testing.T) {
	r, before := site(t)
	for _, day := range []climate.Day{climate.Date(2004, 7, 10), climate.Date(2004, 11, 10)} {
		i := r.Index(day)
		r.TMaxC[i] += 10
		r.TMinC[i] += 10
		after, err := Turf().Estimate(r, nil)
		if err != nil {
			t.Fatal(err)
		}
		at5, at10 := after.Soil5C[i]-before.Soil5C[i], after.Soil10C[i]-before.Soil10C[i]
		if !(0 < at10 && at10 < at5 && at5 < 6) {
			t.Errorf("%v: a day 10 °C warmer is %.2f °C at 5 cm, %.2f at 10", day, at5, at10)
		}
		r.TMaxC[i] -= 10
		r.TMinC[i] -= 10
	}
	mean := func(y []float64) (m float64) {
		for _, v := range y[:5*365] {
			m += v / (5 * 365)
		}
		return m
	}
	air := (mean(r.TMaxC) + mean(r.TMinC)) / 2
	for name, y := range map[string][]float64{"5 cm": before.Soil5C, "10 cm": before.Soil10C} {
		if off := mean(y) - air; off < -0.5 || off > 4 {
			t.Errorf("%s: %.2f °C warmer than the air over the years", name, off)
		}
	}
	i := r.Index(climate.Date(2004, 1, 20))
	for k := range 30 {
		r.TMaxC[i+k], r.TMinC[i+k] = -12, -18
	}
	frozen, err := Turf().Estimate(r, nil)
	if err != nil {
		t.Fatal(err)
	}
	if at5, at10 := frozen.Soil5C[i+29], frozen.Soil10C[i+29]; !(at5 > -10 && at10 > -10 && at10 > at5-1) {
		t.Errorf("after a month of −15 °C %.1f °C at 5 cm, %.1f at 10", at5, at10)
	}
}
