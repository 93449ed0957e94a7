package forecast

import (
	"errors"
	"math"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast/soil"
)

// A Gaussian keeps a straight line, turns a step into its own distribution
// function, and keeps the sum of a spike.
func TestSmooth(t *testing.T) {
	const n = 200
	line, step, spike := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range n {
		line[i] = 3 - 0.25*float64(i)
		if i >= 100 {
			step[i] = 1
		}
	}
	spike[100] = 5
	sum := 0.0
	for i, v := range smooth(spike, nil) {
		sum += v
		if v < 0 || v > 5*smoothWeights[smoothReach]+1e-12 {
			t.Errorf("spike: %g on day %d", v, i)
		}
	}
	if math.Abs(sum-5) > 1e-12 {
		t.Errorf("the spike has a sum of %g", sum)
	}
	for i, v := range smooth(line, nil) {
		if i >= smoothReach && i < n-smoothReach && math.Abs(v-line[i]) > 1e-9 {
			t.Errorf("line: %g on day %d, was %g", v, i, line[i])
		}
	}
	for i, v := range smooth(step, nil) {
		// The weights end at three standard deviations and days are whole: a
		// hundredth.
		if want := normalCDF((float64(i) - 99.5) / smoothSD); math.Abs(v-want) > 0.01 {
			t.Errorf("step: %.3f on day %d, want %.3f", v, i, want)
		}
	}
}

// fallSoil falls by a tenth of a degree a day from 30 °C on 1 July.
func fallSoil(d climate.Day) float64 {
	return 30 - 0.1*float64(d-climate.Date(2020, time.July, 1))
}

func onlySeason(t *testing.T, s *Station) Season {
	t.Helper()
	w, err := s.Window(Options{Cutoff: CutoffDormancy})
	if err != nil {
		t.Fatal(err)
	}
	return w.Seasons[0]
}

// Curves whose crossings are known. 75 °F is 23.89 °C, 55 °F 12.78 °C.
func TestCrossings(t *testing.T) {
	day := func(m time.Month, d int) climate.Day {
		if m < time.July {
			return climate.Date(2021, m, d)
		}
		return climate.Date(2020, m, d)
	}
	snap := func(from, to climate.Day, by float64) func(climate.Day) float64 {
		return func(d climate.Day) float64 {
			if d >= from && d <= to {
				return fallSoil(d) + by
			}
			return fallSoil(d)
		}
	}
	for _, c := range []struct {
		name            string
		soil            func(climate.Day) float64
		opens, dormancy climate.Day // dormancy 0: none
	}{
		// The week's mean is that of three days before: 30 − 0.1 (k − 3) is
		// last above on day k = 64, 3 September. 30 − 0.1 k is at the limit
		// of dormancy from k = 172.2 on: day 173, 21 December.
		{"a steady fall", fallSoil, day(time.September, 4), day(time.December, 21)},
		// On the 21st the week still holds three of six days 5 °C warmer:
		// 22.1 + 15/7 = 24.2; on the 22nd two: 23.4.
		{"a warm week in September", snap(day(time.September, 12), day(time.September, 17), 5),
			day(time.September, 22), day(time.December, 21)},
		// Five days 5 °C colder take 0.28 of the smoothed soil's weight at
		// most: 1.4 °C, too little while it lies 3 °C over the limit.
		{"a cold week in November", snap(day(time.November, 15), day(time.November, 19), -5),
			day(time.September, 4), day(time.December, 21)},
		{"a warm winter", func(d climate.Day) float64 { return math.Max(13, fallSoil(d)) }, day(time.September, 4), 0},
		{"a cool summer", func(d climate.Day) float64 { return fallSoil(d) - 7 }, day(time.July, 1), day(time.October, 12)},
	} {
		se := onlySeason(t, handStation(t, 0, c.soil))
		if se.Opens != c.opens {
			t.Errorf("%s: opens %s, want %s", c.name, se.Opens, c.opens)
		}
		if (se.Dormancy == nil) != (c.dormancy == 0) || se.Dormancy != nil && *se.Dormancy != c.dormancy {
			t.Errorf("%s: dormancy %v, want %s", c.name, se.Dormancy, c.dormancy)
		}
	}
}

// On a steady fall the error of the opening is that of the soil over the fall a
// day; on a plateau it is as wide as the plateau.
func TestOpenBy(t *testing.T) {
	se := onlySeason(t, handStation(t, 0, fallSoil))
	for _, shift := range []int{-10, -3, 0, 5, 10} {
		d := se.Opens + climate.Day(shift)
		_, month, _ := d.Date()
		sd := math.Hypot(soil.ResidualAt(soil.Depth10).Site(month, false), soil.ResidualAt(soil.Depth10).MeanSD(7))
		if month != time.September {
			continue // the error changes with the month
		}
		want := normalCDF((23.889 - (fallSoil(d) + 0.3)) / sd)
		if got := se.OpenBy(d); math.Abs(got-want) > 0.001 {
			t.Errorf("open by %s: %.3f, want %.3f", d, got, want)
		}
	}
	// Half a degree under the limit all summer: it opens at once, by the
	// estimate, but the soil may well be over the limit until it falls.
	plateau := func(d climate.Day) float64 { return math.Min(23.4, fallSoil(d)+3) }
	se = onlySeason(t, handStation(t, 0, plateau))
	august, november := se.OpenBy(
		climate.Date(2020, time.August, 15),
	), se.OpenBy(
		climate.Date(2020, time.November, 15),
	)
	if se.Opens != se.First || august < 0.55 || august > 0.75 || november < 0.99 {
		t.Errorf("plateau: opens %s, open by 15 August %.2f, by 15 November %.2f", se.Opens, august, november)
	}
}

// What any season must hold: the chance to be open rises to one and passes one
// half at the opening, the chance of the latest date falls, and a site warmer
// than estimated has later dates.
func TestErrorsOfDates(t *testing.T) {
	for seed := range uint64(4) {
		for _, rule := range CutoffRules() {
			s := station(t, seed, 0, 12)
			w, err := s.Window(Options{Cutoff: rule})
			if err != nil {
				t.Fatal(err)
			}
			for _, se := range w.Seasons {
				open, made := 0.0, 1.0
				for d := se.First; d <= se.Last; d++ {
					x := s.offset(se.Year, d)
					p, q := se.OpenBy(d), se.latest.from(x)
					if p < open-1e-12 || q > made+1e-12 || p > 1 || q < 0 {
						t.Fatalf("%s, %s: open %.4f after %.4f, in time %.4f after %.4f", rule, d, p, open, q, made)
					}
					if (p >= 0.5) != (d >= se.Opens) {
						t.Fatalf("%s: open with %.3f, opens %s", d, p, se.Opens)
					}
					givenCold, givenWarm := se.latest.given(-1), se.latest.given(1)
					cold, warm := givenCold.from(x), givenWarm.from(x)
					if cold > warm+1e-12 {
						t.Fatalf("%s, %s: %.4f on a cold site, %.4f on a warm one", rule, d, cold, warm)
					}
					open, made = p, q
				}
				if se.Latest != nil {
					if q := se.latest.from(s.offset(se.Year, *se.Latest)); q < 0.3 || q > 0.75 {
						t.Errorf("%s, %d: the estimated latest date has a chance of %.2f", rule, se.Year, q)
					}
				}
			}
		}
	}
}

// A winter that stays a little too warm for dormancy by the estimate may well
// have had it: the chance of a sowing in January shows it.
func TestDormancyThatMayHaveCome(t *testing.T) {
	mild := func(low float64) Season {
		return onlySeason(t, handStation(t, 0, func(d climate.Day) float64 { return math.Max(low, fallSoil(d)+2) }))
	}
	at := func(se Season) float64 { return se.latest.from(200) } // 17 January
	near, far := mild(13), mild(17)
	if near.Cause != CauseNone || far.Cause != CauseNone {
		t.Fatalf("causes %s and %s", near.Cause, far.Cause)
	}
	if p, q := at(near), at(far); p > 0.8 || p < 0.4 || q < 0.99 {
		t.Errorf("0.2 °C over the limit the chance is %.2f, 4 °C over it %.2f", p, q)
	}
}

// The smoothed soil of a record's last days moves as days come: a season is not
// decided by it.
func TestDormancyWaitsForTheRecord(t *testing.T) {
	dormancy := climate.Date(2020, time.December, 21)
	for days, decided := range map[climate.Day]bool{smoothTail - 1: false, smoothTail: true, 60: true} {
		s := handStation(t, 0, fallSoil)
		s.Record = s.Record.Until(dormancy + days)
		n := s.Record.Len()
		s.Filled, s.Soil.Soil5C, s.Soil.Soil10C = s.Filled[:n], s.Soil.Soil5C[:n], s.Soil.Soil10C[:n]
		s.renew(s.Soil)
		w, err := s.Window(Options{Cutoff: CutoffDormancy})
		if decided && (err != nil || *w.Seasons[0].Dormancy != dormancy) {
			t.Errorf("%d days after dormancy: %v", days, err)
		}
		if !decided && !errors.Is(err, ErrNoSeasons) {
			t.Errorf("%d days after dormancy the season is decided", days)
		}
	}
}

// The parts of the normal distribution have its mean and variance between them.
func TestNormalParts(t *testing.T) {
	mean, square := 0.0, 0.0
	for k := range shiftMean {
		mean += shiftMean[k] / shifts
		square += (shiftMean[k]*shiftMean[k] + shiftSD[k]*shiftSD[k]) / shifts
	}
	// The mean of the coldest fifth: −φ(Φ⁻¹(0.2))/0.2 = −1.3998.
	if math.Abs(mean) > 1e-12 || math.Abs(square-1) > 1e-12 || math.Abs(shiftMean[0]+1.3998) > 1e-4 {
		t.Errorf("mean %g, variance %g, parts %v", mean, square, shiftMean)
	}
}
