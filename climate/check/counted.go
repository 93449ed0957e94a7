package check

import (
	"math"
	"slices"

	"swardcast/climate"
)

// A counted value stands for n that are the same. Thermometers are read in tenths, so
// that 450 values of a window are some 150 different ones.
type counted struct{ value, n float64 }

// ordered appends values to a list, in ascending order. It changes the order of x.
func ordered(x []float64, to []counted) []counted {
	slices.Sort(x)
	for i, v := range x {
		if i > 0 && v == x[i-1] {
			to[len(to)-1].n++
		} else {
			to = append(to, counted{v, 1})
		}
	}
	return to
}

// total is how many values are counted.
func total(x []counted) float64 {
	n := 0.0
	for _, c := range x {
		n += c.n
	}
	return n
}

// median returns the 0.5 quantile ([climate.Quantile]) of n values, and the index of the
// first of them in the list that is not below it.
func median(x []counted, n float64) (m float64, at int) {
	k := math.Floor(n / 2)
	seen := 0.0 // up to the value at hand
	for i, c := range x {
		switch seen += c.n; {
		case seen > k:
			return c.value, i
		case seen == k && 2*k == n:
			m = climate.Quantile(0.5, []float64{c.value, x[i+1].value})
			if c.value >= m { // where the two are neighbours in floating point
				return m, i
			}
			return m, i + 1
		}
	}
	return math.NaN(), len(x)
}

// medianOff returns the 0.5 quantile of the absolute deviations from m of n values, the
// first of which that is not below m stands at an index. It takes them outwards from there,
// the nearer of both sides first.
func medianOff(x []counted, n, m float64, at int) float64 {
	k := math.Floor(n / 2)
	seen, half := 0.0, math.NaN()
	for below, above := at-1, at; below >= 0 || above < len(x); {
		var c counted
		if above == len(x) || below >= 0 && m-x[below].value < x[above].value-m {
			c = counted{m - x[below].value, x[below].n}
			below--
		} else {
			c = counted{x[above].value - m, x[above].n}
			above++
		}
		if !math.IsNaN(half) {
			return climate.Quantile(0.5, []float64{half, c.value})
		}
		switch seen += c.n; {
		case seen > k:
			return c.value
		case seen == k && 2*k == n:
			half = c.value
		}
	}
	return half
}

// levelSteps is how many steps a degree has in the table of the levels: more than
// there are tenths of °F in it.
const levelSteps = 20

// levels are the different values of a series, which are counted sooner than ordered.
type levels struct {
	value []float64 // in ascending order
	count []int32   // of each level, of the values at hand
}

// noLevel is the level of a missing value.
const noLevel = math.MaxUint16

// newLevels returns the levels of a series and the level of each of its values, noLevel for
// a missing one: nil where two of them lie in one step, as they do in hundredths, and
// where a value was never measured on Earth.
func newLevels(series []float64) (*levels, []uint16) {
	const steps = int((HighestEver-LowestEver)*levelSteps) + 1
	var inStep [steps]float64
	var held [steps]bool
	of := make([]uint16, len(series)) // the step of each value, at first
	for i, v := range series {
		if math.IsNaN(v) {
			of[i] = noLevel
			continue
		}
		if NeverMeasured(v) {
			return nil, nil
		}
		k := step(v)
		of[i] = uint16(k)
		if !held[k] {
			inStep[k], held[k] = v, true
		} else if inStep[k] != v {
			return nil, nil
		}
	}
	l := &levels{}
	var at [steps]uint16
	for k, is := range held {
		if is {
			at[k] = uint16(len(l.value))
			l.value = append(l.value, inStep[k])
		}
	}
	for i, k := range of {
		if k != noLevel {
			of[i] = at[k]
		}
	}
	l.count = make([]int32, len(l.value))
	return l, of
}

// step is the step in which a value lies, which rises with the value.
func step(v float64) int { return int((v - LowestEver) * levelSteps) }

// counted appends values of the series, given by their levels in lists, to a list, as
// [ordered] does.
func (l *levels) counted(to []counted, lists ...[]uint16) []counted {
	low, high := len(l.value), -1
	for _, list := range lists {
		for _, k := range list {
			l.count[k]++
			low, high = min(low, int(k)), max(high, int(k))
		}
	}
	for k := low; k <= high; k++ {
		if n := l.count[k]; n > 0 {
			to = append(to, counted{l.value[k], float64(n)})
			l.count[k] = 0
		}
	}
	return to
}
