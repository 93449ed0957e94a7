package climate

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"
)

// Check values from R 4.2.2: quantile(x, p, type = 8).
func TestQuantileIsTypeEight(t *testing.T) {
	x := []float64{3, 7, 8, 8, 13, 21, 34, 55, 89, 144, 233}
	for p, want := range map[float64]float64{
		.05: 3, .1: 4.86666666666667, .2: 7.6, .25: 8, .5: 21, .75: 83.33333333333334, .8: 111, .9: 191.46666666666664,
		.95: 233,
	} {
		if got := Quantile(p, x); math.Abs(got-want) > 1e-9 {
			t.Errorf("%g quantile: %g, R gives %g", p, got, want)
		}
	}
}

func TestQuantileOfInfinities(t *testing.T) {
	never, always := math.Inf(1), math.Inf(-1)
	for _, c := range []struct {
		p    float64
		x    []float64
		want float64
	}{
		{0.5, []float64{1, 2, never}, 2},
		{0.6, []float64{1, 2, never}, never},
		{0.2, []float64{always, always, 3, 4, 5, 6, 7, 8, 9}, always},
		{0.25, []float64{always, always, 3, 4, 5, 6, 7, 8, 9}, always},
		// 2/7 lands on the third value: the infinity below it has no say.
		{2.0 / 7, []float64{always, always, 3, 4, 5, 6, 7, 8, 9}, 3},
		{0.5, []float64{always, never}, always},
		// 5/28 lands on the second value: the infinity above it has no say.
		{5.0 / 28, []float64{1, 2, never, never, never, never, never, never, never}, 2},
	} {
		if got := Quantile(c.p, c.x); got != c.want {
			t.Errorf("%g quantile of %v: %g, want %g", c.p, c.x, got, c.want)
		}
	}
	if q := Quantile(0.5, nil); !math.IsNaN(q) {
		t.Errorf("quantile of nothing: %g", q)
	}
}

// What the definition is chosen for: the estimate lies above the true quantile
// about as often as below it, for few values of a skewed distribution too.
func TestQuantileIsMedianUnbiased(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	const n, trials = 9, 20000
	for _, p := range []float64{0.2, 0.5, 0.8} {
		truth, above := -math.Log(1-p), 0 // of the exponential distribution
		x := make([]float64, n)
		for range trials {
			for i := range x {
				x[i] = random.ExpFloat64()
			}
			slices.Sort(x)
			if Quantile(p, x) > truth {
				above++
			}
		}
		// "About": Hyndman & Fan call it approximate.
		if share := float64(above) / trials; math.Abs(share-0.5) > 0.02 {
			t.Errorf("p %g: above the true quantile in a share of %.3f", p, share)
		}
	}
}

// Dates of seasons are whole days and many tie. Their quantiles at whole percents,
// floored or ceiled, are what exact arithmetic gives, though 1-80/100 is not a fifth.
func TestDayOfQuantileIsExact(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 2))
	for range 3000 {
		n := 2 + random.IntN(40)
		x := make([]float64, n)
		for i := range x {
			x[i] = float64(random.IntN(12)) // ties
		}
		slices.Sort(x)
		percent := int64(1 + random.IntN(99))
		// h = (n + 1/3) p + 1/3 = ((3n + 1) p + 1) / 3, in hundredths
		h := big.NewRat((3*int64(n)+1)*(100-percent)+100, 300)
		lowest, highest := big.NewRat(1, 1), big.NewRat(int64(n), 1)
		if h.Cmp(lowest) < 0 {
			h = lowest
		}
		if h.Cmp(highest) > 0 {
			h = highest
		}
		k := new(big.Int).Quo(h.Num(), h.Denom()).Int64()
		f := new(big.Rat).Sub(h, big.NewRat(k, 1))
		want := new(big.Rat).SetFloat64(x[k-1])
		if int(k) < n {
			step := new(big.Rat).SetFloat64(x[k] - x[k-1])
			want.Add(want, step.Mul(step, f))
		}
		floor := new(big.Int).Div(want.Num(), want.Denom()).Int64()
		ceil := floor
		if !want.IsInt() {
			ceil++
		}
		q := Quantile(1-float64(percent)/100, x)
		if got := FloorDay(q); got != float64(floor) {
			t.Fatalf("%d %% of %v: floor %g, exactly %d", percent, x, got, floor)
		}
		if got := CeilDay(q); got != float64(ceil) {
			t.Fatalf("%d %% of %v: ceiling %g, exactly %d", percent, x, got, ceil)
		}
	}
	for _, c := range []struct{ day, floor, ceil float64 }{
		{93.99999999999999, 94, 94}, {94.00000000000001, 94, 94}, {93.5, 93, 94}, {-0.5, -1, 0},
		{math.Inf(1), math.Inf(1), math.Inf(1)},
	} {
		if FloorDay(c.day) != c.floor || CeilDay(c.day) != c.ceil {
			t.Errorf("%g: %g and %g", c.day, FloorDay(c.day), CeilDay(c.day))
		}
	}
}
