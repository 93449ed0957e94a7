package soil

import (
	"fmt"
	"math"
	"time"
)

// A Residual describes the error of the estimate at one depth: what the sensor
// of a station the model was not fitted on shows beyond it. The error is the
// sum of one that stays with the site and follows the season, one that stays
// with a season, and one from day to day that fades on two time scales:
//
//	r(k) = Slow exp(−k/SlowDays) + (1 − Slow) exp(−k/FastDays)
//
// Sensors ten metres apart differ by up to 5 °C (Illston, S): the error of the
// site is not one of the model alone.
type Residual struct {
	SiteSD   [12]float64 // °C, by month of the northern year, January first
	SeasonSD float64     // °C, August to November
	DaySD    float64     // °C, within a season, August to November
	Slow     float64     // share of the variance of days that fades slowly
	SlowDays float64
	FastDays float64
}

// Site returns the standard deviation of the site's error in a month, °C. The
// southern year is the northern one shifted by six months. It panics for a month that is
// none.
func (r Residual) Site(month time.Month, south bool) float64 {
	if month < time.January || month > time.December {
		panic(fmt.Sprintf("soil: month %d", int(month)))
	}
	i := int(month) - 1
	if south {
		i += 6
	}
	return r.SiteSD[i%12]
}

// MeanSD returns the standard deviation of the error of a mean over n days, the
// site's part left out, °C. It panics for fewer days than one.
func (r Residual) MeanSD(n int) float64 {
	if n < 1 {
		panic(fmt.Sprintf("soil: a mean over %d days", n))
	}
	day := r.Slow*meanVariance(n, r.SlowDays) + (1-r.Slow)*meanVariance(n, r.FastDays)
	return math.Sqrt(r.SeasonSD*r.SeasonSD + r.DaySD*r.DaySD*day)
}

// meanVariance is the variance of the mean of n successive values of unit
// variance whose correlation fades as exp(−k/tau):
//
//	[n + 2 Σk (n−k) ρ^k] / n²,  Σk (n−k) ρ^k = ρ [n (1−ρ) − (1−ρ^n)] / (1−ρ)²
func meanVariance(n int, tau float64) float64 {
	rho, m := math.Exp(-1/tau), float64(n)
	cross := rho * (m*(1-rho) - (1 - math.Pow(rho, m))) / ((1 - rho) * (1 - rho))
	return (m + 2*cross) / (m * m)
}

// ResidualAt returns the error of the estimate at a depth, as seen at the stations
// each left out of the fit in turn. It panics for a depth that fails
// [Depth.Check].
func ResidualAt(d Depth) Residual {
	d.must()
	if d == Depth5 {
		return residual5
	}
	return residual10
}

// WeightedMeanSD returns the standard deviation of the error of a mean of
// successive days with the given weights, which sum to 1, the site's part left
// out, °C:
//
//	√(SeasonSD² + DaySD² Σij w(i) w(j) r(|i−j|))
func (r Residual) WeightedMeanSD(weights []float64) float64 {
	day := 0.0
	for i, a := range weights {
		for j, b := range weights {
			day += a * b * r.fading(math.Abs(float64(i-j)))
		}
	}
	return math.Sqrt(r.SeasonSD*r.SeasonSD + r.DaySD*r.DaySD*day)
}
