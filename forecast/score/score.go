// Package score judges forecasts of chances and quantities against outcomes.
//
// Its functions panic where chances and outcomes differ in number, a chance is
// not between 0 and 1, or there is no range to sort them into: mistakes of the
// program that calls them.
package score

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Brier is the Brier score of chances and its parts, each 0 at best but for
// Resolution, which is better the higher:
//
//	Score = mean (f − o)² = Reliability − Resolution + Uncertainty
//
// but for the differences of chances within a group ([Groups]).
//
// Reference: Murphy 1973, J. Appl. Meteor. 12:595–600.
type Brier struct {
	Score, Reliability, Resolution, Uncertainty float64
	N                                           int
}

// A Group is the cases whose chance lies in a range.
type Group struct {
	Low, High float64 // the range, the upper end left out but for 1
	Mean      float64 // of the chances
	Observed  float64 // share in which the event came
	N         int
}

// Groups sorts cases into n ranges of chance of equal width; ranges without a
// case are left out.
func Groups(chance []float64, came []bool, n int) []Group {
	check(chance, came, n)
	groups := make([]Group, n)
	for i := range groups {
		groups[i].Low, groups[i].High = float64(i)/float64(n), float64(i+1)/float64(n)
	}
	for i, f := range chance {
		g := &groups[min(n-1, int(f*float64(n)))]
		g.N++
		g.Mean += f
		if came[i] {
			g.Observed++
		}
	}
	groups = slices.DeleteFunc(groups, func(g Group) bool { return g.N == 0 })
	for i := range groups {
		groups[i].Mean /= float64(groups[i].N)
		groups[i].Observed /= float64(groups[i].N)
	}
	return groups
}

// NewBrier scores chances against whether the event came, its parts over n
// ranges of chance. NaN for no cases.
func NewBrier(chance []float64, came []bool, n int) Brier {
	check(chance, came, n)
	b := Brier{N: len(chance)}
	if b.N == 0 {
		nan := math.NaN()
		return Brier{nan, nan, nan, nan, 0}
	}
	total, mean := float64(b.N), 0.0
	for i, f := range chance {
		o := 0.0
		if came[i] {
			o = 1
		}
		mean += o / total
		b.Score += (f - o) * (f - o) / total
	}
	for _, g := range Groups(chance, came, n) {
		w := float64(g.N) / total
		b.Reliability += w * (g.Mean - g.Observed) * (g.Mean - g.Observed)
		b.Resolution += w * (g.Observed - mean) * (g.Observed - mean)
	}
	b.Uncertainty = mean * (1 - mean)
	return b
}

// CRPS is the continuous ranked probability score of an ensemble, in the unit of
// its members: 0 at best, the absolute error for one member, NaN for none.
//
//	CRPS = mean |x − y| − ½ mean |x − x'|
//
// Reference: Gneiting & Raftery 2007, J. Am. Stat. Assoc. 102:359–378, eq. 21.
func CRPS(members []float64, y float64) float64 {
	n := float64(len(members))
	toY, among := 0.0, 0.0
	for _, a := range members {
		toY += math.Abs(a - y)
		for _, b := range members {
			among += math.Abs(a - b)
		}
	}
	return toY/n - among/(2*n*n)
}

// CRPSNormal is that of a normal distribution.
//
//	CRPS = σ [z (2Φ(z) − 1) + 2φ(z) − 1/√π],  z = (y − μ)/σ
//
// Reference: Gneiting & Raftery 2007, after eq. 20.
func CRPSNormal(mu, sigma, y float64) float64 {
	z := (y - mu) / sigma
	phi := distuv.UnitNormal
	return sigma * (z*(2*phi.CDF(z)-1) + 2*phi.Prob(z) - 1/math.Sqrt(math.Pi))
}

func check(chance []float64, came []bool, n int) {
	if len(chance) != len(came) {
		panic(fmt.Sprintf("score: %d chances for %d outcomes", len(chance), len(came)))
	}
	if n < 1 {
		panic(fmt.Sprintf("score: %d ranges of chance", n))
	}
	for _, f := range chance {
		if !(f >= 0 && f <= 1) {
			panic(fmt.Sprintf("score: a chance of %g", f))
		}
	}
}
