package forecast

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// IntervalPercent is the level of every interval of a chance.
const IntervalPercent = 80

// intervalZ is how many standard deviations an interval of a normal distribution
// reaches to either side.
var intervalZ = distuv.UnitNormal.Quantile(0.5 + IntervalPercent/200.0)

// jeffreys returns the interval of a share of which count in n were seen, which
// need not be whole, IntervalPercent wide.
//
// Reference: the Jeffreys interval; Brown, Cai & DasGupta 2001, Stat. Sci.
// 16:101–133.
func jeffreys(count, n float64) (low, high float64) {
	return betaQuantile(0.5-IntervalPercent/200.0, count+0.5, n-count+0.5),
		betaQuantile(0.5+IntervalPercent/200.0, count+0.5, n-count+0.5)
}

// betaQuantile is the p quantile of a beta distribution, looked for by Halley's method.
// With the distribution function I, its density d and f = I(x) − p the next x is
//
//	x − (f/d) / (1 − (f/d) (d'/d)/2),  d'/d = (a−1)/x − (b−1)/(1−x),
//
// without the term in d' where that is not small, or halfway between the nearest x known
// to lie below and above where it lies beyond them. Close to the quantile each step leaves
// the cube of the error.
func betaQuantile(p, a, b float64) float64 {
	low, high, x := 0.0, 1.0, betaNear(p, a, b)
	logBeta := mathext.Lbeta(a, b)
	for range 100 {
		f := mathext.RegIncBeta(a, b, x) - p
		if f > 0 {
			high = x
		} else {
			low = x
		}
		step := f / math.Exp((a-1)*math.Log(x)+(b-1)*math.Log1p(-x)-logBeta)
		if bend := step * ((a-1)/x - (b-1)/(1-x)) / 2; math.Abs(bend) < 0.5 {
			step /= 1 - bend
		}
		next := x - step
		if !(next >= low && next <= high && next > 0 && next < 1) {
			next = (low + high) / 2
		}
		near := math.Abs(next-x) <= 1e-5*math.Min(next, 1-next)
		if x = next; near {
			return x
		}
	}
	return distuv.Beta{Alpha: a, Beta: b}.Quantile(p)
}

// betaNear is about the p quantile of a beta distribution.
//
// Reference: Abramowitz & Stegun 1964, eq. 26.5.22 (from memory); nearer to 0 or 1 than
// that serves, what the first term of the series in x, or in 1 − x, gives.
func betaNear(p, a, b float64) float64 {
	x := 0.0
	switch {
	case a > 1 && b > 1:
		z := -distuv.UnitNormal.Quantile(p)
		u, v := 1/(2*a-1), 1/(2*b-1)
		h, lambda := 2/(u+v), (z*z-3)/6
		w := z*math.Sqrt(h+lambda)/h - (v-u)*(lambda+5.0/6-2/(3*h))
		x = a / (a + b*math.Exp(2*w))
	case a <= 1:
		x = math.Exp((math.Log(p*a) + mathext.Lbeta(a, b)) / a)
	default:
		x = 1 - math.Exp((math.Log((1-p)*b)+mathext.Lbeta(a, b))/b)
	}
	if !(x > 1e-9 && x < 1-1e-9) {
		return a / (a + b)
	}
	return x
}
