package climate

import (
	"math"
	"testing"
)

// The published values of a day's degree days by the single sine method with a
// horizontal cutoff (S); the last is exact: 5/π.
func TestSineDegreeDays(t *testing.T) {
	const tolerance = 0.0006 // the table gives three decimals
	for _, c := range []struct{ tmin, tmax, lower, upper, want float64 }{
		{7, 14, 12, 33, 0.468},
		{7, 20, 12, 33, 2.874},
		{13, 14, 12, 33, 1.5},
		{13, 40, 12, 33, 12.944},
		{7, 40, 12, 33, 10.940},
		{35, 40, 12, 33, 21},
		{5, 15, 10, math.Inf(1), 5 / math.Pi},
		{2, 8, 10, 30, 0},
		{15, 15, 10, 30, 5},
	} {
		if got := SineDegreeDays(c.tmin, c.tmax, c.lower, c.upper); !(math.Abs(got-c.want) <= tolerance) {
			t.Errorf("%g to %g °C between %g and %g: %.4f °C d, want %.3f",
				c.tmin, c.tmax, c.lower, c.upper, got, c.want)
		}
	}
	if got := SineDegreeDays(15, 5, 10, 30); !math.IsNaN(got) {
		t.Errorf("a highest below the lowest temperature gives %g", got)
	}
}
