package forecast

import (
	"math"
	"testing"
	"time"

	"gonum.org/v1/gonum/mathext"

	"swardcast/climate"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// defaults are options with what they leave out.
func defaults(t *testing.T, o Options) *Options {
	t.Helper()
	o, err := o.withDefaults()
	if err != nil {
		t.Fatal(err)
	}
	return &o
}

func TestWinterRiskAtItsLimits(t *testing.T) {
	for _, c := range []struct {
		alive, low, high float64
		want             WinterRisk
	}{
		{0.95, 0.9, 1, WinterLow}, {0.89, 0.8, 0.95, WinterModerate}, {0.68, 0.5, 0.89, WinterModerate},
		{0.66, 0.5, 0.89, WinterHigh}, {0.2, 0, 0.5, WinterHigh}, {0.8, 0.6, 0.95, WinterUnknown},
		{0.95, 0.6, 0.99, WinterUnknown}, {0.8, 0.7, 0.95, WinterModerate}, {0.8, 0.6, 0.85, WinterModerate},
	} {
		if got := winterRiskOf(c.alive, c.low, c.high); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
}

// By hand: 5 °C at 5 cm and 6 at 10 cm are 5 − 1 × 3/5 = 4.4 at 2 cm, less half of half of the
// air's 20 °C × e^(−0.2) = 4.09; where it is colder below, the 5 cm stand. Germination of tall
// fescue counts above 3.5 °C. At 5 °C the soil hardens wholly.
func TestWinterCourseByHand(t *testing.T) {
	s := handStation(t, 0, func(climate.Day) float64 { return 5 })
	swing := 20.0 / 4 * math.Exp(-0.2)
	for i := range s.Soil.Soil10C {
		s.Record.TMaxC[i], s.Record.TMinC[i] = 12, -8
		s.Soil.Soil10C[i] = map[bool]float64{true: 6, false: 4}[i%2 == 0]
	}
	fescue, _ := turf.Find("tall-fescue")
	o := defaults(t, Options{Species: fescue})
	c := s.winterCourse(nil, o, s.growth(o))
	for i, want := range map[int]float64{100: 4.4 - swing, 101: 5 - swing} {
		if math.Abs(c.cold[i]-want) > 1e-9 {
			t.Errorf("day %d: lowest %.4f °C, want %.4f", i, c.cold[i], want)
		}
	}
	if got := c.germ[100] - c.germ[0]; math.Abs(got-150) > 1e-9 || c.harden[7] != 1 {
		t.Errorf("100 days at 5 °C: %.4f °C d of germination, hardening %g", got, c.harden[7])
	}
}

// Snow is taken to lie where the three months of winter average below −3 °C, a climate is dry
// under 600 mm of rain a year, and of the rain nothing is known where it is on record on under
// 80 % of the days.
func TestClimateOfWinterByHand(t *testing.T) {
	for name, c := range map[string]struct {
		winterC, otherC, mmADay, known float64
		south                          bool
		snow, dry, noRain              bool
	}{
		"mild, wet":           {winterC: -2.8, otherC: 15, mmADay: 1.7, known: 1},
		"cold, wet":           {winterC: -3.2, otherC: 15, mmADay: 1.7, known: 1, snow: true},
		"cold but in winter":  {winterC: 5, otherC: -20, mmADay: 1.7, known: 1},
		"dry":                 {winterC: 5, otherC: 15, mmADay: 1.6, known: 1, dry: true},
		"wet on its days":     {winterC: 5, otherC: 15, mmADay: 1.7, known: 0.85},
		"dry on its days":     {winterC: 5, otherC: 15, mmADay: 1.6, known: 0.85, dry: true},
		"rain of three weeks": {winterC: 5, otherC: 15, mmADay: 0.1, known: 0.75, noRain: true},
		"no rain":             {winterC: 5, otherC: 15, known: 0, noRain: true},
		"south":               {winterC: -4, otherC: 15, mmADay: 3, known: 1, south: true, snow: true},
	} {
		s := handStation(t, 0, func(climate.Day) float64 { return 5 })
		s.Calendar.South = c.south
		winter := map[time.Month]bool{time.December: true, time.January: true, time.February: true}
		if c.south {
			winter = map[time.Month]bool{time.June: true, time.July: true, time.August: true}
		}
		rec := s.Record
		rec.PrecipMM = make([]float64, rec.Len())
		for i := range rec.TMaxC {
			_, m, _ := rec.Day(i).Date()
			mean := c.otherC
			if winter[m] {
				mean = c.winterC
			}
			rec.TMaxC[i], rec.TMinC[i] = mean+3, mean-3
			if rec.PrecipMM[i] = c.mmADay; float64(i%100) >= 100*c.known {
				rec.PrecipMM[i] = math.NaN()
			}
		}
		if snow, dry, noRain := s.findClimateOfWinter(); snow != c.snow || dry != c.dry || noRain != c.noRain {
			t.Errorf("%s: snow %v, dry %v, no rain %v", name, snow, dry, noRain)
		}
	}
}

// wintered is a course of so many days of soil at 4 °C, with one day at another temperature,
// and the winter of a sowing on its first day. The air is as warm as the soil, so that nothing
// swings.
func wintered(t *testing.T, sp turf.Species, days, cold int, coldC float64, set func(*winterCourse)) winterOf {
	t.Helper()
	s := handStation(t, 0, func(climate.Day) float64 { return 4 })
	s.Soil.Soil5C[cold], s.Soil.Soil10C[cold] = coldC, coldC
	for i, v := range s.Soil.Soil5C {
		s.Record.TMaxC[i], s.Record.TMinC[i] = v, v
	}
	s.renew(s.Soil)
	o := defaults(t, Options{Species: sp})
	c := s.winterCourse(nil, o, s.growth(o))
	if set != nil {
		set(c)
	}
	return c.winter(&sp, 0, days-1)
}

func alike(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

// A stand worked by hand, grown and hardened long before a day at −12 °C. Tall fescue is up
// after 138 °C d, 35 days at 4 °C, and mature after 1000, 250 days. Of 400 days at 4 °C, which
// harden wholly, plants have 1 − e^(−(days since up)/10) → 1. Killed at −16.7 °C, known to
// 5/1.2816 = 3.901 °C; the soil, 0.5 °C colder than estimated, to 2.1 °C below −1 °C:
//
//	alive = Φ((4.7 − 0.5)/√(3.901² + 2.1²)) = Φ(4.2/4.4306)
//
// low and high with half of that variance shared by every season, 1.2816 of its standard
// deviations either way, and, where nothing is known of the rain, the soil 3 °C colder.
func TestGrownStandByHand(t *testing.T) {
	fescue, _ := turf.Find("tall-fescue")
	x := wintered(t, fescue, 420, 400, -12, nil)
	all, half := math.Hypot(5/1.2816, 2.1), math.Sqrt(0.5)
	if want := normalCDF(4.2 / all); !alike(x.alive, want) || !alike(x.coldest, -12.5) || !alike(x.kills, -16.7) ||
		x.growth != 1 || !alike(x.up, 1) || x.waiting > 1e-6 || x.seedDoubted || !x.hasFigures {
		t.Errorf("%+v, want %.6f alive", x, want)
	}
	low, high := normalCDF((4.2-intervalZ*all*half)/(all*half)), normalCDF((4.2+intervalZ*all*half)/(all*half))
	if !alike(x.low, low) || !alike(x.high, high) {
		t.Errorf("%.6f to %.6f, want %.6f to %.6f", x.low, x.high, low, high)
	}
	x = wintered(t, fescue, 420, 400, -12, func(c *winterCourse) { c.noRain = true })
	if low := normalCDF((4.7 - 3 - intervalZ*all*half) / (all * half)); !alike(x.low, low) || !alike(x.high, high) {
		t.Errorf("without rain %.6f to %.6f, want %.6f to %.6f", x.low, x.high, low, high)
	}
	x = wintered(t, fescue, 420, 400, -12, func(c *winterCourse) { c.snow = true })
	if !alike(x.low, low) || x.high != 1 {
		t.Errorf("under snow %.6f to %.6f", x.low, x.high)
	}
	x = wintered(t, fescue, 420, 400, -12, func(c *winterCourse) { c.dry = true })
	if want := normalCDF(1.7 / math.Hypot(5/1.2816, 2.5)); !alike(x.alive, want) || !alike(x.coldest, -15) {
		t.Errorf("in a dry climate %.6f alive, coldest %g, want %.6f", x.alive, x.coldest, want)
	}
}

// A stand just up, by hand: nothing is grown, so that half are killed at −6 °C, known to 1.5 °C,
// whatever the hardening. Of soil that freezes at −2 °C a share Φ(2.5/2.1) is spoilt by frost,
// in which a quarter lives. Half of the seed that germinated is up on the 35th day.
func TestYoungStandByHand(t *testing.T) {
	fescue, _ := turf.Find("tall-fescue")
	fescue.Germination.Value, fescue.Base.Value = 1, 3 // germinated at once
	fescue.Spread.Value = 0.01
	x := wintered(t, fescue, 60, 34, -2, nil)
	grown := 0.0 // by the 35th day: 34 × 4 − 2 of the air above 0 are 136 °C d, not yet up
	spoilt := normalCDF(2.5/2.1) * 0.75
	lives := normalCDF((-2 + 6 - 0.5) / math.Hypot(1.5, 2.1))
	up := fescue.EmergedShare(34 * 4)
	if want := up*(1-spoilt*(1-grown))*lives + (1-up)*(1-spoilt)*lives; !alike(x.alive, want) || !alike(x.up, up) ||
		x.growth != 0 || !alike(x.coldest, -2.5) {
		t.Errorf("%+v, want %.6f alive, %.6f up", x, want, up)
	}
	// At its worst the half of that quarter lives, at its best as much more as is lost.
	all, half := math.Hypot(1.5, 2.1), math.Sqrt(0.5)
	at := func(z, young float64) float64 {
		return (1 - normalCDF(2.5/2.1)*(1-young)) * normalCDF((3.5+z*all*half)/(all*half))
	}
	if low, high := at(-intervalZ, 0.125), at(intervalZ, 0.625); !alike(x.low, low) || !alike(x.high, high) {
		t.Errorf("%.6f to %.6f, want %.6f to %.6f", x.low, x.high, low, high)
	}
}

// Seed that has not germinated lies until spring; of a ryegrass half is taken to live, from none
// to all.
func TestWaitingSeedByHand(t *testing.T) {
	for id, want := range map[string][3]float64{"kentucky-bluegrass": {1, 1, 1}, "perennial-ryegrass": {0.5, 0, 1}} {
		sp, _ := turf.Find(id)
		sp.Germination.Value, sp.Emerged.Value, sp.Mow.Value, sp.Tillered.Value = 20000, 18000, 19000, 20000
		x := wintered(t, sp, 30, 20, 0, nil)
		if x.waiting < 0.9999 || math.Abs(x.alive-want[0]) > 1e-3 || math.Abs(x.low-want[1]) > 1e-3 ||
			math.Abs(x.high-want[2]) > 1e-3 || x.seedDoubted != (id == "perennial-ryegrass") {
			t.Errorf("%s: %+v", id, x)
		}
	}
	// A sowing after the last day has no winter; one on it has.
	sp, _ := turf.Find("tall-fescue")
	s := handStation(t, 0, func(climate.Day) float64 { return 4 })
	o := defaults(t, Options{Species: sp})
	c := s.winterCourse(nil, o, s.growth(o))
	if x := c.winter(&sp, 10, 9); x.alive != 1 || !math.IsNaN(x.coldest) || x.waiting != 0 {
		t.Errorf("after the last day: %+v", x)
	}
	if x := c.winter(&sp, 9, 9); math.IsNaN(x.coldest) || x.waiting < 0.99 {
		t.Errorf("on the last day: %+v", x)
	}
}

// Sums by hand of two seasons that established with a chance of 0.9 and 0.3.
func TestWinterFromByHand(t *testing.T) {
	all := []winterOf{
		{alive: 0.9, low: 0.8, high: 1, coldest: -2, kills: -9, up: 1, growth: 0.5, hasFigures: true},
		{alive: 0.5, low: 0.2, high: 0.7, coldest: -6, kills: -8, up: 0.6, growth: 0.1, hasFigures: true},
	}
	w := winterFrom(all, []float64{0.9, 0.3}, &winterCourse{})
	if !alike(w.Alive, 0.7) || !alike(w.Low, 0.5) || !alike(w.High, 0.85) ||
		!alike(w.Up, 0.8) || !alike(w.Growth, 0.3) ||
		!alike(w.established, (0.81+0.15)/1.2) ||
		!alike(w.notEstablished, (0.09+0.35)/0.8) ||
		w.Open != "" {
		t.Errorf("%+v", w)
	}
	for _, made := range []float64{0, 1} { // of what never, or always, established there is no other share
		w := winterFrom(all[:1], []float64{made}, &winterCourse{})
		if w.established != 0.9 || w.notEstablished != 0.9 {
			t.Errorf("established with the chance %g: %+v", made, w)
		}
	}
	of := func(x winterOf, c winterCourse) *Winter {
		list, made := make([]winterOf, MinSeasons), make([]float64, MinSeasons)
		for i := range list {
			list[i] = x
		}
		return winterFrom(list, made, &c)
	}
	for name, c := range map[string]struct {
		x    winterOf
		c    winterCourse
		open WinterCause
		risk WinterRisk
	}{
		"nothing": {winterOf{alive: 0.95, low: 0.9, high: 1, hasFigures: true}, winterCourse{}, "", WinterLow},
		"no figures, frozen": {winterOf{alive: 0.95, low: 0.9, high: 1, coldest: -1}, winterCourse{},
			WinterNoFigure, WinterUnknown},
		"no figures, not frozen": {winterOf{alive: 0.95, low: 0.9, high: 1, coldest: 1}, winterCourse{},
			WinterNoFigure, WinterLow},
		"no figures, lost": {winterOf{alive: 0.5, low: 0.4, high: 0.6, coldest: -1}, winterCourse{}, "", WinterHigh},
		"waiting seed of a ryegrass": {winterOf{alive: 0.95, low: 0.9, high: 1, waiting: 0.2, seedDoubted: true,
			hasFigures: true}, winterCourse{snow: true}, WinterSeed, WinterLow},
		"little of it": {winterOf{alive: 0.95, low: 0.9, high: 1, waiting: 0.05, seedDoubted: true, hasFigures: true},
			winterCourse{}, "", WinterLow},
		"of another": {winterOf{alive: 0.95, low: 0.9, high: 1, waiting: 0.5, hasFigures: true}, winterCourse{}, "", WinterLow},
		"snow before dry": {winterOf{alive: 0.95, low: 0.9, high: 1, hasFigures: true}, winterCourse{snow: true, dry: true},
			WinterSnow, WinterLow},
		"dry": {winterOf{alive: 0.95, low: 0.9, high: 1, hasFigures: true}, winterCourse{dry: true}, WinterDry, WinterLow},
		"no rain, unknown": {winterOf{alive: 0.8, low: 0.5, high: 1, hasFigures: true}, winterCourse{noRain: true},
			WinterNoRain, WinterUnknown},
		"no rain, known": {winterOf{alive: 0.95, low: 0.9, high: 1, hasFigures: true}, winterCourse{noRain: true},
			"", WinterLow},
		"unknown": {winterOf{alive: 0.8, low: 0.5, high: 1, hasFigures: true}, winterCourse{}, WinterFigures, WinterUnknown},
	} {
		if w := of(c.x, c.c); w.Open != c.open || w.Risk != c.risk {
			t.Errorf("%s: open %q, risk %s", name, w.Open, w.Risk)
		}
	}
	if w := winterFrom(nil, nil, nil); !math.IsNaN(w.Alive) || w.Risk != WinterUnknown {
		t.Errorf("no seasons: %+v", w)
	}
	few, enough := quantiles(make([]float64, MinSeasons-1)), quantiles(make([]float64, MinSeasons))
	if !math.IsNaN(few.P50) || enough.P50 != 0 {
		t.Errorf("quantiles of few %v, of enough %v", few, enough)
	}
}

// The quantile gives back its p, and its mirror image. The search for it starts near it: to
// 0.005 of the distribution where both parameters are above 5 (Abramowitz & Stegun 1964, eq.
// 26.5.22; measured: down to 1 it is off by up to 0.06, which costs steps and no accuracy), to
// 0.01 near an end that the density runs up to.
func TestBetaQuantileByItsDistribution(t *testing.T) {
	for _, p := range []float64{0.1, 0.3, 0.5, 0.8, 0.9} {
		for _, a := range []float64{0.5, 1.2, 1.5, 2, 5.5, 20.5, 60} {
			for _, b := range []float64{0.5, 1.2, 1.5, 2, 5.5, 20.5, 60} {
				x := betaQuantile(p, a, b)
				if got := mathext.RegIncBeta(a, b, x); math.Abs(got-p) > 1e-8 {
					t.Errorf("p %g, a %g, b %g: %.12g", p, a, b, got)
				}
				if y := betaQuantile(1-p, b, a); math.Abs(1-y-x) > 1e-8 {
					t.Errorf("p %g, a %g, b %g: %.12g, mirrored %.12g", p, a, b, x, 1-y)
				}
				if near := mathext.RegIncBeta(a, b, betaNear(p, a, b)); a > 5 && b > 5 && math.Abs(near-p) > 0.005 {
					t.Errorf("near p %g, a %g, b %g: %.4f", p, a, b, near)
				}
			}
		}
	}
	for _, c := range [][2]float64{{0.5, 10.5}, {0.5, 30.5}, {1, 12}} { // few of many seen
		if got := mathext.RegIncBeta(c[0], c[1], betaNear(0.1, c[0], c[1])); math.Abs(got-0.1) > 0.01 {
			t.Errorf("near p 0.1, a %g, b %g: %.4f", c[0], c[1], got)
		}
		if got := mathext.RegIncBeta(c[1], c[0], betaNear(0.9, c[1], c[0])); math.Abs(got-0.9) > 0.01 {
			t.Errorf("near p 0.9, a %g, b %g: %.4f", c[1], c[0], got)
		}
	}
}

// The depth at which the daily wave is taken off is the crown's upper end.
func TestCrownDepth(t *testing.T) {
	if got, want := soil.DailySwing(20, crownShallowM), 20.0/4*math.Exp(-0.2); math.Abs(got-want) > 1e-12 {
		t.Errorf("%g, want %g", got, want)
	}
}
