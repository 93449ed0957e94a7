package forecast

import (
	"math"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// certain are seasons whose latest dates are known to a fraction of a day.
func certain(at ...float64) []Season {
	seasons := make([]Season, len(at))
	for i, x := range at {
		u := &seasons[i].latest
		u.at, u.lot = x, 0.1
		for k := range u.soil {
			u.soil[k], u.sd[k] = x, u.lot
		}
		u.bound()
	}
	return seasons
}

// Seasons seen on days 100 to 120 leave open what others would be: a day or two
// beyond them nothing is certain, weeks beyond it is, and in the middle the
// chance stays the share of seasons.
func TestSeasonsLeftOpen(t *testing.T) {
	var days []float64
	for d := 100.0; d <= 120; d++ {
		days = append(days, d)
	}
	l := new(Station).latestDatesOf(2020, certain(days...))
	for _, c := range []struct{ x, low, high float64 }{
		{99, 0.97, 0.995}, {122, 0.005, 0.03}, {111, 0.47, 0.51}, {60, 0.9999, 1}, {160, 0, 0.0001},
	} {
		if p := l.chance(c.x); p < c.low || p > c.high {
			t.Errorf("day %g: %.4f, want %g to %g", c.x, p, c.low, c.high)
		}
	}
	// By hand: 21 seasons and two of a normal distribution with mean 110 and
	// 1.5 times the standard deviation √(440/12 + 0.01) = 6.06.
	want := (0 + 2*normalCDF((110.5-125)/(1.5*6.056))) / 23
	if p := l.chance(125); math.Abs(p-want) > 1e-4 {
		t.Errorf("day 125: %.5f, want %.5f", p, want)
	}
	few := new(Station).latestDatesOf(2020, certain(100, 105, 110, 115, 120))
	if p, q := few.chance(125), l.chance(125); p <= q {
		t.Errorf("five seasons leave no more open than 21: %.4f and %.4f", p, q)
	}
	if p := new(Station).latestDatesOf(2020, certain(math.Inf(-1), math.Inf(-1))).chance(100); p != 0 {
		t.Errorf("no season has a latest date: %g", p)
	}
}

// Lots drawn as the table of species has them lie in the interval of what is up
// as often as it says, at any time after sowing: more often, since here nothing
// but the lot differs.
func TestUpNowHoldsForLots(t *testing.T) {
	s := station(t, 3, 0, 20)
	sow := climate.Date(2000, time.September, 20)
	sp := ryegrass()
	for _, days := range []climate.Day{7, 11, 14, 18} {
		e := ensemble(t, s, 2000, sow+days-1)
		x, err := e.Outlook(Options{}, sow)
		if err != nil {
			t.Fatal(err)
		}
		if x.EmergedFraction < 0.02 || x.EmergedFraction > 0.999 {
			t.Fatalf("after %d days %.4f are up: nothing to judge", days, x.EmergedFraction)
		}
		const lots = 1000
		in := 0.0
		for k := range lots {
			z := distuv.UnitNormal.Quantile((float64(k) + 0.5) / lots)
			if up := sp.EmergedShare(x.ThermalTime / math.Exp(turf.LotLogSD*z)); up >= x.EmergedLow &&
				up <= x.EmergedHigh {
				in++
			}
		}
		if in /= lots; in < 0.78 || in > 0.93 {
			t.Errorf("after %d days, %.2f up (%.2f–%.2f): it holds %.2f of the lots",
				days, x.EmergedFraction, x.EmergedLow, x.EmergedHigh, in)
		}
	}
}

// Where the record has no day since sowing, what is up is that of past seasons
// alone, and is marked so.
func TestUnseen(t *testing.T) {
	s := station(t, 13, 0, 20)
	part, err := NewStation(s.Record.Until(climate.Date(2005, time.October, 1)))
	if err != nil {
		t.Fatal(err)
	}
	e := ensemble(t, part, 2005, climate.Date(2005, time.October, 20))
	for sow, want := range map[climate.Day]bool{
		climate.Date(2005, time.October, 1): false, climate.Date(2005, time.October, 2): true,
		climate.Date(2005, time.October, 20): true, climate.Date(2005, time.October, 21): false,
	} {
		x, err := e.Outlook(Options{}, sow)
		if err != nil {
			t.Fatal(err)
		}
		if x.Unseen != want {
			t.Errorf("sown %s: unseen %v", sow, x.Unseen)
		}
	}
}

// The interval of the opening holds its median and widens with the error of the
// soil: near a plateau it is wider than the seasons alone.
func TestOpensBetween(t *testing.T) {
	for seed := range uint64(4) {
		w, err := station(t, seed, 0, 25).Window(Options{})
		if err != nil {
			t.Fatal(err)
		}
		low, high, ok := w.OpensBetween()
		p10, _ := w.Opens.At(0.1)
		p50, _ := w.Opens.At(0.5)
		p90, _ := w.Opens.At(0.9)
		if !ok || low > p50 || high < p50 || high-low < p90-p10 {
			t.Errorf("opens %s (%s to %s), seasons alone %s to %s", p50, low, high, p10, p90)
		}
		before := 0.0
		for _, d := range w.ByDate {
			if d.Open < before-1e-12 || d.Open > 1 {
				t.Fatalf("%s: open %.4f after %.4f", d.Sow, d.Open, before)
			}
			if (d.Open >= 0.1) != (d.Sow >= low) || (d.Open >= 0.9) != (d.Sow >= high) {
				t.Fatalf("%s: open %.3f, interval %s to %s", d.Sow, d.Open, low, high)
			}
			before = d.Open
		}
	}
}
