package climate

import "math"

// Quantile returns the p quantile of values in ascending order, by the
// definition x[(n+1)p] with linear interpolation between neighbours and the
// smallest or largest value beyond the ends (Weibull's plotting position;
// type 6 of Hyndman & Fan 1996, Am. Stat. 50:361–365, eq. for m = p). It is
// the definition under which a new value of the same kind lies below the p
// quantile with probability p, whatever the distribution, wherever (n+1)p is a
// whole number. The values may hold infinities: ±Inf for what never or always
// happens; interpolation towards an infinity gives it. NaN for no values.
func Quantile(p float64, sorted []float64) float64 {
	n := len(sorted)
	if n == 0 || !(p >= 0 && p <= 1) {
		return math.NaN()
	}
	h := float64(n+1) * p
	// A product such as 11 × 0.1 misses its whole number by rounding; without
	// the snap an infinite neighbour would win with a weight of 1e-16.
	if r := math.Round(h); math.Abs(h-r) < 1e-9 {
		h = r
	}
	k := math.Floor(h)
	switch {
	case h <= 1:
		return sorted[0]
	case h >= float64(n):
		return sorted[n-1]
	}
	a, f := sorted[int(k)-1], h-k
	if f == 0 {
		return a
	}
	b := sorted[int(k)]
	if a == b || math.IsInf(a, 0) {
		return a
	}
	return a + f*(b-a)
}
