package check

import (
	"fmt"
	"math"

	"swardcast/climate"
)

const (
	apartDays   = 365  // pairs that are needed
	apartHalf   = 15   // days to either side whose mean is taken off
	apartNext   = 0.02 // by which the correlation with the next day is the higher
	apartSecond = 0.2  // by which that with the second day before is
)

// DayApart finds two columns that stand a day apart: one is dated as it was read, the
// other by the day it is of. It returns what is so, and false for nothing to be seen.
//
// A night's lowest temperature goes with the highest of its day and with that of the
// day before, never so well with that of the next, nor with that of the second day
// before; both correlations are of the departures from a mean of 31 days. Of 94 records
// none looks so as it is. Moved by a day, those whose nights go better with the day
// that follows show it; the others look like records that they are not. The test is our
// own.
func DayApart(r *climate.Record) (string, bool) {
	hi, lo := departures(r.TMaxC), departures(r.TMinC)
	same, okSame := correlation(hi, lo, 0)
	next, okNext := correlation(hi, lo, 1)
	second, okSecond := correlation(hi, lo, -2)
	switch {
	case !okSame || !okNext || !okSecond:
		return "", false
	case next > same+apartNext:
		return fmt.Sprintf("the lowest temperature goes better with the highest of the next row (correlation %.2f, "+
			"of its own %.2f): the two columns seem to be a day apart, the highest late", next, same), true
	case second > same+apartSecond:
		return fmt.Sprintf(
			"the lowest temperature goes better with the highest of the second row before (correlation "+
				"%.2f, of its own %.2f): the two columns seem to be a day apart, the lowest late",
			second,
			same,
		), true
	}
	return "", false
}

// departures are the values less the mean of the days around them.
func departures(y []float64) []float64 {
	sum, n := make([]float64, len(y)+1), make([]float64, len(y)+1)
	for i, v := range y {
		sum[i+1], n[i+1] = sum[i], n[i]
		if !math.IsNaN(v) {
			sum[i+1] += v
			n[i+1]++
		}
	}
	out := make([]float64, len(y))
	for i, v := range y {
		from, to := max(0, i-apartHalf), min(len(y), i+apartHalf+1)
		out[i] = v - (sum[to]-sum[from])/(n[to]-n[from])
	}
	return out
}

// correlation is that of a[i+lag] and b[i], false for too few pairs.
func correlation(a, b []float64, lag int) (float64, bool) {
	var n, sa, sb, saa, sbb, sab float64
	for i := range b {
		k := i + lag
		if k < 0 || k >= len(a) || math.IsNaN(a[k]) || math.IsNaN(b[i]) {
			continue
		}
		n++
		sa += a[k]
		sb += b[i]
		saa += a[k] * a[k]
		sbb += b[i] * b[i]
		sab += a[k] * b[i]
	}
	v := (saa - sa*sa/n) * (sbb - sb*sb/n)
	if n < apartDays || !(v > 0) {
		return 0, false
	}
	return (sab - sa*sb/n) / math.Sqrt(v), true
}
