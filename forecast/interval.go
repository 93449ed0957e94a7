package forecast

import "gonum.org/v1/gonum/stat/distuv"

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
	beta := distuv.Beta{Alpha: count + 0.5, Beta: n - count + 0.5}
	return beta.Quantile(0.5 - IntervalPercent/200.0), beta.Quantile(0.5 + IntervalPercent/200.0)
}
