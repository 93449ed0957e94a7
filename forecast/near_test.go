package forecast

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"

	"swardcast/climate"
)

// drawnSeasons are seasons whose openings and latest dates, with their errors, are drawn by
// chance.
func drawnSeasons(random *rand.Rand) []Season {
	seasons := make([]Season, 1+random.IntN(30))
	middle, width := 300*random.Float64()-20, 40*random.Float64()
	for i := range seasons {
		se := &seasons[i]
		se.opens = make(crossing, 184)
		chance := 0.0
		for k := len(se.opens) - 1; k >= 0; k-- {
			if random.IntN(4) == 0 {
				chance += (1 - chance) * random.Float64() / 4
			}
			se.opens[k] = chance
		}
		se.latest = uncertainDate{at: math.Inf(-1), lot: random.Float64() * 4}
		at := middle + width*random.NormFloat64()
		for k := range se.latest.soil {
			if at += 6 * random.Float64(); random.IntN(12) == 0 {
				se.latest.soil[k] = math.Inf(-1)
			} else {
				se.latest.soil[k] = at
			}
		}
		se.latest.slopes()
	}
	return seasons
}

// The days beyond which a date is certain are those on which every part of it is.
func FuzzCertain(f *testing.F) {
	for seed := range uint64(20) {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, seed uint64) {
		for _, se := range drawnSeasons(rand.New(rand.NewPCG(seed, 3))) {
			for _, u := range []uncertainDate{se.latest, se.latest.given(-intervalZ), se.latest.given(intervalZ)} {
				for day := -40; day < 400; day++ {
					unbound := u
					unbound.surely, unbound.hardly = math.Inf(-1), math.Inf(1)
					x := float64(day) / 1.25
					if got, want := u.from(x), unbound.from(x); got != want {
						t.Fatalf("from day %g: %g, part by part %g: %+v", x, got, want, u)
					}
				}
			}
		}
	})
}

// Days left out by the bound are none of the best.
func FuzzInsideNear(f *testing.F) {
	for seed := range uint64(20) {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, seed uint64) {
		random := rand.New(rand.NewPCG(seed, 1))
		seasons := drawnSeasons(random)
		days := make([]float64, 100+random.IntN(210))
		plain := make([]float64, len(days))
		for k := range days {
			days[k] = float64(k)
			if k > 200 && seed%2 == 0 {
				days[k]-- // a leap day
			}
			plain[k] = insideOf(seasons, days[k])
		}
		const margin = 1e-6
		got := insideNear(seasons, days, margin)
		top := slices.Max(plain)
		for k := range days {
			if got[k] != plain[k] && (got[k] != 0 || plain[k] >= top-margin) {
				t.Errorf("day %d: %g, plain %g, at most %g", k, got[k], plain[k], top)
			}
		}
	})
}

// The latest sow date found by bisection is that found day by day.
func FuzzLatest(f *testing.F) {
	for seed := range uint64(20) {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, seed uint64) {
		random := rand.New(rand.NewPCG(seed, 2))
		n := 2 + random.IntN(300)
		g := growth{degreeDays: make([]float64, n), sum: make([]float64, n+1), emerged: 150 * random.Float64()}
		if seed%2 == 0 {
			g.moist = make([]float64, n+1)
		}
		for i := range n {
			if random.IntN(5) > 0 {
				g.degreeDays[i] = math.Round(250*random.Float64()) / 10
			}
			g.sum[i+1] = g.sum[i] + g.degreeDays[i]
			if g.moist != nil {
				if g.moist[i+1] = g.moist[i]; random.IntN(3) > 0 {
					g.moist[i+1] += g.degreeDays[i]
				}
			}
		}
		for range 20 {
			first, stop, need := random.IntN(n), random.IntN(n), math.Round(4000*random.Float64())/10
			want := stop
			for want >= first && g.reach(want, need) > stop {
				want--
			}
			if got := g.latest(first, stop, need); got != want && (got >= first || want >= first) {
				t.Fatalf("%g °C d from day %d to %d: day %d, day by day %d", need, first, stop, got, want)
			}
		}
	})
}

// Days smoothed four at a time are as if alone.
func FuzzSmooth(f *testing.F) {
	f.Add(uint64(1), uint16(11000))
	f.Add(uint64(2), uint16(1))
	f.Add(uint64(3), uint16(45))
	f.Fuzz(func(t *testing.T, seed uint64, n uint16) {
		random := rand.New(rand.NewPCG(seed, 3))
		y := make([]float64, n)
		for i := range y {
			y[i] = 20 * random.NormFloat64()
		}
		whole := smooth(y, nil)
		asked := smoothing{y: y, smooth: make([]float64, n), known: make([]bool, len(y)/smoothBlock+1)}
		for _, i := range random.Perm(len(y))[:min(len(y), 50)] {
			if got := asked.at(i); got != whole[i] {
				t.Fatalf("day %d of %d asked for: %g, of the whole %g", i, n, got, whole[i])
			}
		}
		for i, got := range whole {
			sum, weight := 0.0, 0.0
			for k, w := range smoothWeights {
				if j := i + k - smoothReach; j >= 0 && j < len(y) {
					sum += w * y[j]
					weight += w
				}
			}
			if want := sum / weight; math.Abs(got-want) > 1e-11 {
				t.Fatalf("day %d of %d: %g, alone %g", i, n, got, want)
			}
		}
	})
}

// The other date of successive days is that of each.
func TestSameDates(t *testing.T) {
	for _, years := range []int{-31, -4, -1, 0, 1, 3, 28} {
		same := sameDates{years: years}
		for d := climate.Date(1969, 1, 1); d < climate.Date(1973, 6, 1); d++ {
			if got, want := same.of(d), sameDate(d, years); got != want {
				t.Fatalf("%d years from %s: %s, want %s", years, d, got, want)
			}
		}
	}
}

// A quantile is that of the distribution.
func FuzzBetaQuantile(f *testing.F) {
	for _, c := range [][3]float64{{0.1, 0.5, 30.5}, {0.9, 30.5, 0.5}, {0.1, 15.5, 15.5}, {0.9, 0.5, 0.5},
		{0.9, 0.5 + 1e-12, 30.5}, {0.1, 0.6, 200.4}, {0.2, 1.1, 9}} {
		f.Add(c[0], c[1], c[2])
	}
	f.Fuzz(func(t *testing.T, p, a, b float64) {
		if !(p >= 0.01 && p <= 0.99 && a >= 0.5 && a <= 500 && b >= 0.5 && b <= 500) {
			return
		}
		x := betaQuantile(p, a, b)
		if got := mathext.RegIncBeta(a, b, x); math.Abs(got-p) > 1e-10 {
			t.Errorf("beta(%g, %g): %g lies below %g, not %g of it", a, b, got, x, p)
		}
		if want := (distuv.Beta{Alpha: a, Beta: b}).Quantile(p); math.Abs(x-want) > 1e-7 {
			t.Errorf("beta(%g, %g): the %g quantile is %g, not %g", a, b, p, want, x)
		}
	})
}
