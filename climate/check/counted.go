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

// median returns the 0.5 quantile ([climate.Quantile]) of values in ascending order.
func median(x []counted) float64 {
	n := 0.0
	for _, c := range x {
		n += c.n
	}
	k := math.Floor(n / 2)
	seen := 0.0 // up to the value at hand
	for i, c := range x {
		switch seen += c.n; {
		case seen > k:
			return c.value
		case seen == k && 2*k == n:
			return climate.Quantile(0.5, []float64{c.value, x[i+1].value})
		}
	}
	return math.NaN()
}

// levelSteps is how many steps a degree has in the table of the levels: more than
// there are tenths of °F in it.
const levelSteps = 20

// levels are the different values of a series, which are counted sooner than ordered.
type levels struct {
	value []float64 // in ascending order
	at    []uint16  // the level in each step
	count []int     // of each level, of the values at hand
}

// newLevels returns the levels of a series: nil where two of them lie in one step, as
// they do in hundredths, and where a value was never measured on Earth.
func newLevels(series []float64) *levels {
	const steps = int((HighestEver-LowestEver)*levelSteps) + 1
	inStep := slices.Repeat([]float64{math.NaN()}, steps)
	for _, v := range series {
		if math.IsNaN(v) {
			continue
		}
		if v < LowestEver || v > HighestEver {
			return nil
		}
		switch k := step(v); {
		case math.IsNaN(inStep[k]):
			inStep[k] = v
		case inStep[k] != v:
			return nil
		}
	}
	l := &levels{at: make([]uint16, steps)}
	for k, v := range inStep {
		if !math.IsNaN(v) {
			l.at[k] = uint16(len(l.value))
			l.value = append(l.value, v)
		}
	}
	l.count = make([]int, len(l.value))
	return l
}

// step is the step in which a value lies, which rises with the value.
func step(v float64) int { return int((v - LowestEver) * levelSteps) }

// counted appends values of the series to a list, as [ordered] does.
func (l *levels) counted(x []float64, to []counted) []counted {
	low, high := len(l.value), -1
	for _, v := range x {
		k := int(l.at[step(v)])
		l.count[k]++
		low, high = min(low, k), max(high, k)
	}
	for k := low; k <= high; k++ {
		if n := l.count[k]; n > 0 {
			to = append(to, counted{l.value[k], float64(n)})
			l.count[k] = 0
		}
	}
	return to
}
