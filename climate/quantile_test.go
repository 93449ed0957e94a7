package climate

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Check values from R 4.2.2: quantile(x, p, type = 6).
func TestQuantileIsTypeSix(t *testing.T) {
	x := []float64{3, 7, 8, 8, 13, 21, 34, 55, 89, 144, 233}
	for p, want := range map[float64]float64{
		.05: 3, .1: 3.8, .2: 7.4, .25: 8, .5: 21, .75: 89, .8: 122, .9: 215.2, .95: 233,
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
		{0.3, []float64{always, always, 3, 4, 5, 6, 7, 8, 9}, 3},
		{0.5, []float64{always, never}, always},
		// 0.1 × 10 lands on a whole number: the infinity above it has no say.
		{0.1, []float64{1, never, never, never, never, never, never, never, never}, 1},
	} {
		if got := Quantile(c.p, c.x); got != c.want {
			t.Errorf("%g quantile of %v: %g, want %g", c.p, c.x, got, c.want)
		}
	}
	if q := Quantile(0.5, nil); !math.IsNaN(q) {
		t.Errorf("quantile of nothing: %g", q)
	}
}

// What the definition is chosen for: a new value lies below the p quantile of n
// others with probability p where (n+1)p is whole.
func TestQuantileHolds(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	const n, p, trials = 9, 0.2, 40000
	below := 0
	x := make([]float64, n)
	for range trials {
		for i := range x {
			x[i] = random.ExpFloat64()
		}
		slices.Sort(x)
		if random.ExpFloat64() < Quantile(p, x) {
			below++
		}
	}
	share, sd := float64(below)/trials, math.Sqrt(p*(1-p)/trials)
	if math.Abs(share-p) > 4*sd {
		t.Errorf("a new value is below the %g quantile in a share of %.4f (sd %.4f)", p, share, sd)
	}
}
