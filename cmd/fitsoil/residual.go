package main

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"swardcast/forecast/soil"
)

// minDays is how many days of August to November a season needs to tell of
// its error.
const minDays = 80

// lags at which the correlation of the days' errors is worked out.
var lags = []int{1, 2, 3, 5, 7, 10, 14, 20, 30}

// residuals describe the errors at stations left out.
type residuals struct {
	soil.Residual
	correlation []float64 // of the days, at lags
}

// sitePatterns is how many patterns over the months the site's errors are told
// by.
const sitePatterns = 3

// residualsOf takes the errors at the left-out stations apart into site,
// season and day.
func residualsOf(
	stations []*station,
	v *verdict,
) (out [2]residuals, patterns [sitePatterns][12]float64, shares []float64, err error) {
	sites := mat.NewDense(len(stations), 12, nil) // mean over both depths
	for d := range depths {
		r := &out[d]
		var siteMonth [12][]float64
		var seasonVar, dayVar, seasons, days float64
		sums, counts := make([]float64, len(lags)), make([]float64, len(lags))
		for si, s := range stations {
			e := errorsOf(s, v, d, si)
			var month [12][]float64
			byYear := map[int][]int{}
			for i, x := range e {
				if math.IsNaN(x) {
					continue
				}
				m := s.days[i].month
				month[m-1] = append(month[m-1], x)
				if inAutumn(m) {
					byYear[s.days[i].year] = append(byYear[s.days[i].year], i)
				}
			}
			for m := range month {
				mean := stat.Mean(month[m], nil)
				siteMonth[m] = append(siteMonth[m], mean)
				sites.Set(si, m, sites.At(si, m)+mean/2)
			}
			var means []float64
			for _, year := range sortedKeys(byYear) {
				if len(byYear[year]) < minDays {
					continue
				}
				season := make([]float64, len(e)) // errors of the season less their mean
				for i := range season {
					season[i] = math.NaN()
				}
				sum := 0.0
				for _, i := range byYear[year] {
					sum += e[i]
				}
				mean := sum / float64(len(byYear[year]))
				means = append(means, mean)
				for _, i := range byYear[year] {
					season[i] = e[i] - mean
					dayVar += season[i] * season[i]
					days++
				}
				for k, lag := range lags {
					for _, i := range byYear[year] {
						if i >= lag && !math.IsNaN(season[i-lag]) {
							sums[k] += season[i] * season[i-lag]
							counts[k]++
						}
					}
				}
			}
			if len(means) > 1 {
				seasonVar += stat.Variance(means, nil) * float64(len(means)-1)
				seasons += float64(len(means) - 1)
			}
		}
		for m := range siteMonth {
			r.SiteSD[m] = stat.StdDev(siteMonth[m], nil)
		}
		r.SeasonSD, r.DaySD = math.Sqrt(seasonVar/seasons), math.Sqrt(dayVar/days)
		for k := range lags {
			r.correlation = append(r.correlation, sums[k]/counts[k]*days/dayVar)
		}
		r.fitFading()
	}
	patterns, shares, err = principal(sites)
	return out, patterns, shares, err
}

// principal returns the leading principal components of the stations' monthly
// errors, each times its standard deviation, and the share of the variance that
// each holds.
func principal(sites *mat.Dense) (patterns [sitePatterns][12]float64, shares []float64, err error) {
	var covariance mat.SymDense
	stat.CovarianceMatrix(&covariance, sites, nil)
	var eigen mat.EigenSym
	if !eigen.Factorize(&covariance, true) {
		return patterns, nil, errors.New("no principal components of the sites' errors")
	}
	values := eigen.Values(nil) // ascending
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	total := 0.0
	for _, v := range values {
		total += v
	}
	for k := range patterns {
		column := len(values) - 1 - k
		shares = append(shares, values[column]/total)
		for m := range 12 {
			patterns[k][m] = vectors.At(m, column) * math.Sqrt(values[column])
		}
		if patterns[k][9] < 0 { // a sign that does not hang on the library
			for m := range patterns[k] {
				patterns[k][m] = -patterns[k][m]
			}
		}
	}
	return patterns, shares, nil
}

// errorsOf are the errors, observed less estimated, of a station left out.
func errorsOf(s *station, v *verdict, depth, index int) []float64 {
	e := slices.Repeat([]float64{math.NaN()}, len(s.days))
	for i, y := range s.observed[depth] {
		if !math.IsNaN(y) && s.days[i].usable {
			x := v.columns(s, i)
			e[i] = y - mat.Dot(v.leftOut[depth][index], mat.NewVecDense(len(x), x))
		}
	}
	return e
}

// fitFading fits the two time scales on which the errors of days fade to the
// correlations, over a grid.
func (r *residuals) fitFading() {
	best := math.Inf(1)
	for slow := 0.30; slow <= 0.801; slow += 0.05 {
		for slowDays := 6.0; slowDays <= 40; slowDays++ {
			for fastDays := 0.5; fastDays < 5.01; fastDays += 0.25 {
				sum := 0.0
				for k, lag := range lags {
					m := slow*math.Exp(-float64(lag)/slowDays) + (1-slow)*math.Exp(-float64(lag)/fastDays)
					sum += (m - r.correlation[k]) * (m - r.correlation[k])
				}
				if sum < best {
					best = sum
					r.Slow, r.SlowDays, r.FastDays = slow, slowDays, fastDays
				}
			}
		}
	}
}

func sortedKeys(m map[int][]int) []int {
	var keys []int
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
