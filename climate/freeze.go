package climate

import (
	"fmt"
	"math"
)

// FreezeSlackC is added to a freeze threshold, °C: a record in tenths of a degree
// Celsius has −2.2 for 28 °F (−2.22 °C).
const FreezeSlackC = 0.05

// Freezes reports whether a day's lowest temperature is at or below a
// threshold, °C. A missing one is not.
func Freezes(tminC, thresholdC float64) bool { return tminC <= thresholdC+FreezeSlackC }

// A FreezeDate is the first or last freeze of a season; Day is nil where none
// came.
type FreezeDate struct {
	Season int
	Day    *Day
}

// A DroppedSeason is a season that is not used, and why.
type DroppedSeason struct {
	Season int
	Reason string
}

// quietDays are the days at the summer end of a season whose missing values
// count against no freeze date: July and the June before it.
const quietDays = 31

// firstFreezes finds the first freeze of each season that the record decides, and
// the seasons that it does not.
func firstFreezes(r *Record, c Calendar, thresholdC float64, rule Completeness) ([]FreezeDate, []DroppedSeason) {
	var dates []FreezeDate
	var dropped []DroppedSeason
	for season := c.SeasonFor(r.First) - 1; c.First(season) <= r.Last(); season++ {
		if c.Half(season) < r.First {
			continue
		}
		first, last := c.First(season), c.Last(season)
		if r.Last() < c.Half(season) {
			// Using those that froze early alone would bias the dates.
			dropped = append(dropped, DroppedSeason{season,
				fmt.Sprintf("it is still running: the record ends on %s", r.Last())})
			continue
		}
		found := scan(r, first, min(last, r.Last()), 1, thresholdC)
		end := last
		if found != nil {
			end = *found
		}
		if reason := freezeGap(r, first+quietDays, end, rule); reason != "" {
			dropped = append(dropped, DroppedSeason{season, reason})
			continue
		}
		dates = append(dates, FreezeDate{season, found})
	}
	return dates, dropped
}

// lastFreezes finds the last freeze of each spring that the record decides, and
// the years that it does not.
func lastFreezes(r *Record, c Calendar, thresholdC float64, rule Completeness) ([]FreezeDate, []DroppedSeason) {
	var dates []FreezeDate
	var dropped []DroppedSeason
	for year := r.First.Year() - 1; year <= r.Last().Year(); year++ {
		last := c.First(year) - 1
		if c.South {
			last = c.First(year+1) - 1
		}
		y, m, _ := (last + 1).Date()
		first := Date(y, m-6, 1)
		if first < r.First || last-quietDays > r.Last() {
			continue // no whole half year
		}
		found := scan(r, min(last, r.Last()), first, -1, thresholdC)
		begin := first
		if found != nil {
			begin = *found
		}
		if reason := freezeGap(r, begin, last-quietDays, rule); reason != "" {
			dropped = append(dropped, DroppedSeason{year, reason})
			continue
		}
		dates = append(dates, FreezeDate{year, found})
	}
	return dates, dropped
}

// scan returns the first day on the way from one day to another that freezes.
func scan(r *Record, from, to Day, step Day, thresholdC float64) *Day {
	for d := from; (to-d)*step >= 0; d += step {
		if i := r.Index(d); i >= 0 && i < r.Len() && Freezes(r.TMinC[i], thresholdC) {
			return new(d)
		}
	}
	return nil
}

func freezeGap(r *Record, first, last Day, rule Completeness) string {
	g, ok := rule.Gap(first, last, func(d Day) bool {
		i := r.Index(d)
		return i < 0 || i >= r.Len() || math.IsNaN(r.TMinC[i])
	})
	switch {
	case ok:
		return ""
	case r.Last() < last:
		return fmt.Sprintf("the record ends on %s, before the freeze or the season's end", r.Last())
	}
	return fmt.Sprintf("%d days without a lowest temperature between %s and %s, up to %d in a row", g.Total, first,
		last, g.Run)
}
