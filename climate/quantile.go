package climate

import (
	"fmt"
	"math"
)

// Quantile returns the p quantile of values in ascending order, by the
// definition x[(n+1/3)p + 1/3] with linear interpolation between neighbours and
// the smallest or largest value beyond the ends (type 8 of Hyndman & Fan 1996,
// Am. Stat. 50:361–365, which they recommend: it is about median-unbiased
// whatever the distribution). The values may hold infinities: ±Inf for what
// never or always happens; interpolation towards an infinity gives it. NaN for
// no values.
func Quantile(p float64, sorted []float64) float64 {
	n := len(sorted)
	if n == 0 || !(p >= 0 && p <= 1) {
		return math.NaN()
	}
	h := (float64(n)+1.0/3)*p + 1.0/3
	// Where h should be whole it misses by rounding; without the snap an
	// infinite neighbour would win with a weight of 1e-16.
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

// wholeDay is how near a computed day must be to a whole one to be taken for it. What
// should be whole misses by some 1e-14 on its way through floating point, by how much
// depends on the processor; no estimate of a day is known to a second.
const wholeDay = 1e-6

// FloorDay is a computed day, such as a quantile of dates, as the whole day that it
// lies on. One that misses a whole day by rounding alone is that day.
func FloorDay(day float64) float64 {
	if r := math.Round(day); math.Abs(day-r) < wholeDay {
		return r
	}
	return math.Floor(day)
}

// CeilDay is a computed day as the whole day that it does not lie after; see
// [FloorDay].
func CeilDay(day float64) float64 { return -FloorDay(-day) }

// Nth returns the value that would stand at index k if the values were in
// ascending order, and puts no larger ones before it, no smaller ones behind.
// The values must not hold NaN. It panics for an index that the list does not have.
//
// Reference: Hoare 1961, Algorithm 65: Find, Commun. ACM 4:321–322.
func Nth(x []float64, k int) float64 {
	if k < 0 || k >= len(x) {
		panic(fmt.Sprintf("climate: index %d of %d values", k, len(x)))
	}
	for lo, hi := 0, len(x)-1; lo < hi; {
		pivot, i, j := x[(lo+hi)/2], lo, hi
		for i <= j {
			for x[i] < pivot {
				i++
			}
			for pivot < x[j] {
				j--
			}
			if i <= j {
				x[i], x[j] = x[j], x[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return x[k]
		}
	}
	return x[k]
}
