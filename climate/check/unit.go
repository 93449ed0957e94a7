package check

import (
	"fmt"
	"math"
	"slices"
	"time"

	"swardcast/climate"
)

// A misreading is a pair of units that a record may mix up. low returns the lower
// level that the higher one stands for.
type misreading struct {
	what string
	low  func(high float64) float64
}

var misreadings = []misreading{
	{"°F and °C", func(high float64) float64 { return (high - 32) / 1.8 }},
	{"tenths of °C and °C", func(high float64) float64 { return high / 10 }},
}

const (
	levelsApart  = 12.0 // °C between the two levels of a month, more than years differ
	levelsFit    = 4.0  // °C by which the explained level may miss
	monthsNeeded = 6    // calendar months that show two levels
	monthDays    = 15   // days a month needs for its mean
)

// UnitChange finds a unit that changes within the record: over the years, the
// means of at least six calendar months are at two levels that a wrong unit
// explains. It returns the months at the rarer level, and false for none.
func UnitChange(r *climate.Record) (Suspect, bool) {
	type monthMean struct {
		first, last climate.Day
		mean        float64
	}
	var byMonth [13][]monthMean
	for i := 0; i < r.Len(); {
		y, m, _ := r.Day(i).Date()
		end := min(r.Index(climate.Date(y, m+1, 1)), r.Len())
		sum, n := 0.0, 0
		for k := i; k < end; k++ {
			if !r.Missing(k) {
				sum += (r.TMaxC[k] + r.TMinC[k]) / 2
				n++
			}
		}
		if n >= monthDays {
			byMonth[m] = append(byMonth[m], monthMean{r.Day(i), r.Day(end - 1), sum / float64(n)})
		}
		i = end
	}
	for _, mis := range misreadings {
		var low, high []monthMean
		months := 0
		for m := time.January; m <= time.December; m++ {
			list := slices.Clone(byMonth[m])
			slices.SortFunc(list, func(a, b monthMean) int {
				if a.mean < b.mean {
					return -1
				}
				return 1
			})
			cut, gap := 0, 0.0
			for i := 1; i < len(list); i++ {
				if d := list[i].mean - list[i-1].mean; d > gap {
					cut, gap = i, d
				}
			}
			if gap < levelsApart {
				continue
			}
			mean := func(l []monthMean) float64 {
				sum := 0.0
				for _, x := range l {
					sum += x.mean / float64(len(l))
				}
				return sum
			}
			if math.Abs(mis.low(mean(list[cut:]))-mean(list[:cut])) <= levelsFit {
				months++
				low, high = append(low, list[:cut]...), append(high, list[cut:]...)
			}
		}
		if months < monthsNeeded {
			continue
		}
		rarer := low
		if len(high) < len(low) {
			rarer = high
		}
		first, last := rarer[0].first, rarer[0].last
		for _, m := range rarer {
			first, last = min(first, m.first), max(last, m.last)
		}
		return Suspect{Test: "unit", Series: Both, First: first, Last: last,
			Reason: fmt.Sprintf("between %s; the %d months from %s to %s stand apart from the rest", mis.what,
				len(rarer), first.Format("January 2006"), last.Format("January 2006"))}, true
	}
	return Suspect{}, false
}
