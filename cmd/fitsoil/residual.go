package main

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"swardcast/forecast/soil"
)

// leastDays is how many days of August to November a season needs to tell of
// its error.
const leastDays = 80

// lags at which the correlation of the days' errors is worked out.
var lags = []int{1, 2, 3, 5, 7, 10, 14, 20, 30}

// residuals describe the errors at stations left out.
type residuals struct {
	soil.Residual
	correlation []float64 // of the days, at lags
}

// residualsOf takes the errors at the left-out stations apart into site,
// season and day.
func residualsOf(stations []*station, v *verdict) [2]residuals {
	var out [2]residuals
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
				siteMonth[m] = append(siteMonth[m], stat.Mean(month[m], nil))
			}
			var means []float64
			for _, year := range sortedKeys(byYear) {
				if len(byYear[year]) < leastDays {
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
	return out
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
