package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"swardcast/climate"
	"swardcast/forecast/soil"
)

// probeReport shows what readings of the site's own bring: at each station the
// estimate of a fit that has not seen it is calibrated by readings of one
// season, its sensor's values, and judged from August to November of the other
// years.
func probeReport(w io.Writer, stations []*station, v *verdict) error {
	fmt.Fprintln(
		w,
		"\nReadings of the site's own, taken in one season, August to November of the other years: mean over stations of the root mean square error, °C, mean of six draws of season and days.",
	)
	fmt.Fprintln(w, "\n| readings | 5 cm | 10 cm |")
	fmt.Fprintln(w, "| --- | --- | --- |")
	for _, c := range []struct {
		name     string
		n        int
		from, to time.Month // of the readings
	}{
		{"none", 0, time.August, time.November},
		{"1, August to November", 1, time.August, time.November},
		{"3, August to November", 3, time.August, time.November},
		{"5, August to November", 5, time.August, time.November},
		{"5, September", 5, time.September, time.September},
		{"40, July to December", 40, time.July, time.December},
	} {
		fmt.Fprintf(w, "| %s |", c.name)
		for d := range depths {
			rmse, err := calibrated(stations, v, d, c.n, c.from, c.to, false)
			if err != nil {
				return err
			}
			fmt.Fprintf(w, " %.3f |", rmse)
		}
		fmt.Fprintln(w)
	}
	fmt.Fprintln(w, "\nThe same, judged in the season of the readings itself, after the last of them:")
	fmt.Fprintln(w, "\n| readings | 5 cm | 10 cm |")
	fmt.Fprintln(w, "| --- | --- | --- |")
	for _, n := range []int{0, 1, 3, 5} {
		fmt.Fprintf(w, "| %d, August to mid September |", n)
		for d := range depths {
			rmse, err := calibrated(stations, v, d, n, time.August, time.September, true)
			if err != nil {
				return err
			}
			fmt.Fprintf(w, " %.3f |", rmse)
		}
		fmt.Fprintln(w)
	}
	return nil
}

const probeDraws = 6

// calibrated is the mean error at left-out stations after n readings.
func calibrated(stations []*station, v *verdict, depth, n int, from, to time.Month, sameSeason bool) (float64, error) {
	random := rand.New(rand.NewPCG(7, uint64(n)))
	sum, count := 0.0, 0
	for si, s := range stations {
		e := errorsOf(s, v, depth, si)
		byYear := map[int][]int{}
		for i, x := range e {
			m := s.days[i].month
			if math.IsNaN(x) || m < from || m > to ||
				sameSeason && m == time.September && i > 0 && s.air.Day(i).YearDay() > 258 {
				continue
			}
			byYear[s.days[i].year] = append(byYear[s.days[i].year], i)
		}
		years := slices.DeleteFunc(sortedKeys(byYear), func(y int) bool { return len(byYear[y]) < max(n, 1) })
		if len(years) < 2 {
			continue
		}
		for range probeDraws {
			year := years[random.IntN(len(years))]
			days := slices.Clone(byYear[year])
			random.Shuffle(len(days), func(i, j int) { days[i], days[j] = days[j], days[i] })
			days = days[:n]
			offset := func(climate.Day) float64 { return 0 }
			last := 0
			if n > 0 {
				// The estimate is that of the fit without the station: the
				// sensor's value less its error.
				curve := &soil.Curve{
					First:   s.air.First,
					Soil5C:  make([]float64, len(e)),
					Soil10C: make([]float64, len(e)),
				}
				var readings []soil.Reading
				for _, i := range days {
					last = max(last, i)
					curve.Soil5C[i] = s.observed[depth][i] - e[i]
					curve.Soil10C[i] = curve.Soil5C[i]
					readings = append(
						readings,
						soil.Reading{
							Day:     s.air.Day(i),
							DepthCM: float64(depths[depth]),
							SoilC:   s.observed[depth][i],
							Hour:    dailyMeanHour(depths[depth]),
						},
					)
				}
				c, err := soil.Calibrate(curve, s.air, readings)
				switch {
				case errors.Is(err, soil.ErrSuspect): // refused: the estimate stays
				case err != nil:
					return 0, fmt.Errorf("%s: %w", s.name, err)
				default:
					offset = c.Offset
				}
			}
			square, judged := 0.0, 0
			for i, x := range e {
				in := inAutumn(s.days[i].month) && !math.IsNaN(x)
				if sameSeason {
					in = in && s.days[i].year == year && s.air.Day(i).YearDay() > 258 && i > last
				} else {
					in = in && s.days[i].year != year
				}
				if in {
					left := x - offset(s.air.Day(i))
					square += left * left
					judged++
				}
			}
			if judged > 0 {
				sum += math.Sqrt(square / float64(judged))
				count++
			}
		}
	}
	return sum / float64(count), nil
}

// dailyMeanHour is the hour at which the daily wave passes its mean at a depth,
// so that a daily mean counts as one.
func dailyMeanHour(depthCM int) float64 {
	return 8 + float64(depthCM)/100/0.10*24/(2*math.Pi)
}
