package check

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"swardcast/climate"
)

// The median found without sorting is that of the sorted values.
func TestMedian(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	for n := 1; n < 60; n++ {
		for range 20 {
			x := make([]float64, n)
			for i := range x {
				x[i] = math.Round(10*random.NormFloat64()) / 10 // with repeats
			}
			sorted := slices.Sorted(slices.Values(x))
			if got, want := median(x), climate.Quantile(0.5, sorted); got != want {
				t.Errorf("%d values: %g, want %g", n, got, want)
			}
		}
	}
}
