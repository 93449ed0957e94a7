package forecast

import (
	"fmt"
	"math"
	"slices"

	"swardcast/climate"
)

// A Tendency is the expectation that the days ahead will be warmer or colder than
// normal, as an outlook for weeks or a month gives it. It moves the weather that
// stands in for them and leaves its spread as it is.
//
// By how much is not a free number. The mean air temperature of those days departs
// from that of all past seasons by a_y in the season y; the days are moved by the mean
// departure of the warmest third of the seasons, or of the coldest:
//
//	a_y = T_y − mean T,  shift = mean of the round(n/3) highest a_y
//
// Terciles are the classes of seasonal outlooks (WMO usage, from memory).
type Tendency struct {
	Days   int  // from the day after AsOf on, up to [MaxTendencyDays]
	Colder bool // than normal; false: warmer
}

// MaxTendencyDays is how many days a [Tendency] can be of: three months.
const MaxTendencyDays = 92

// minTendencySeasons is how many past seasons have a warmest third.
const minTendencySeasons = 3

func (t *Tendency) check() error {
	if t.Days < 1 || t.Days > MaxTendencyDays {
		return fmt.Errorf("%w: a tendency of %d days; it can be of 1 to %d", ErrOptions, t.Days, MaxTendencyDays)
	}
	return nil
}

// setTendency works out the shift of the days ahead up to the season's last. Days of
// forecast rows are not shifted and do not count.
func (e *Ensemble) setTendency(t *Tendency, past []int, last climate.Day) error {
	var days []climate.Day
	for d := e.AsOf + 1; d <= min(e.AsOf+climate.Day(t.Days), last); d++ {
		if e.rows.index(d) < 0 {
			days = append(days, d)
		}
	}
	if len(days) == 0 {
		return fmt.Errorf("%w, %s", ErrNoDaysAhead, e.AsOf)
	}
	air := e.station.Record
	var means []float64
	for _, year := range past {
		sum, n := 0.0, 0
		for _, d := range days {
			if i := air.Index(sameDate(d, year-e.Season)); i >= 0 && i < air.Len() {
				sum += (air.TMaxC[i] + air.TMinC[i]) / 2
				n++
			}
		}
		if n == len(days) {
			means = append(means, sum/float64(n)+e.Trend.warmingC(year))
		}
	}
	if len(means) < minTendencySeasons {
		return fmt.Errorf("%w: %d past seasons have the days ahead; a tendency needs %d", ErrNoSeasons, len(means),
			minTendencySeasons)
	}
	slices.Sort(means)
	third := int(math.Round(float64(len(means)) / 3))
	extreme := means[len(means)-third:]
	if t.Colder {
		extreme = means[:third]
	}
	e.TendencyDays, e.TendencyC = len(days), average(extreme)-average(means)
	e.tendencyEnd = days[len(days)-1]
	return nil
}

// tendencyOn is by how much the tendency moves a day, °C.
func (e *Ensemble) tendencyOn(d climate.Day) float64 {
	if d > e.AsOf && d <= e.tendencyEnd {
		return e.TendencyC
	}
	return 0
}

func average(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
