package climate

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Trend is a robust slope with its interval: NaN where there are fewer than
// three points.
type Trend struct{ Slope, Low, High float64 }

// TheilSen returns the median of the slopes between all pairs of finite points, and
// its interval at a level such as 0.9 by Sen's method, from the variance of
// Kendall's statistic with the correction for ties:
//
//	N − z σ ≤ 2 rank ≤ N + z σ,  σ² = [n(n−1)(2n+5) − Σ t(t−1)(2t+5)] / 18
//
// It panics where the lists differ in length, and for a level that is not between 0 and 1.
//
// Reference: Sen 1968, J. Am. Stat. Assoc. 63:1379–1389; Theil 1950.
func TheilSen(x, y []float64, level float64) Trend { return TheilSens(x, y, level)[0] }

// TheilSens returns [TheilSen] at several levels.
func TheilSens(x, y []float64, levels ...float64) []Trend {
	if len(x) != len(y) {
		panic(fmt.Sprintf("climate: a trend of %d and %d values", len(x), len(y)))
	}
	for _, level := range levels {
		if !(level > 0 && level < 1) {
			panic(fmt.Sprintf("climate: an interval at the level %g", level))
		}
	}
	slopes := make([]float64, 0, len(x)*max(0, len(x)-1)/2)
	for i := range x {
		for j := i + 1; j < len(x); j++ {
			if x[i] != x[j] {
				slopes = append(slopes, (y[j]-y[i])/(x[j]-x[i]))
			}
		}
	}
	if len(x) < 3 || len(slopes) < 3 {
		return slices.Repeat([]Trend{{math.NaN(), math.NaN(), math.NaN()}}, len(levels))
	}
	count := len(slopes)
	median := Nth(slopes, count/2)
	if count%2 == 0 {
		median = (slices.Max(slopes[:count/2]) + median) / 2
	}
	n := float64(len(x))
	variance := (n*(n-1)*(2*n+5) - ties(x) - ties(y)) / 18
	trends := make([]Trend, len(levels))
	for i, level := range levels {
		reach := distuv.UnitNormal.Quantile(0.5+level/2) * math.Sqrt(math.Max(0, variance))
		low := max(int(math.RoundToEven((float64(count)-reach)/2))-1, 0)
		high := min(int(math.RoundToEven((float64(count)+reach)/2)), count-1)
		trends[i] = Trend{median, Nth(slopes, low), Nth(slopes, high)}
	}
	return trends
}

// ties is Σ t(t−1)(2t+5) over the groups of equal values.
func ties(v []float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	sum := 0.0
	for i := 0; i < len(s); {
		j := i
		for j < len(s) && s[j] == s[i] {
			j++
		}
		t := float64(j - i)
		sum += t * (t - 1) * (2*t + 5)
		i = j
	}
	return sum
}
