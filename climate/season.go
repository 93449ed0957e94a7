package climate

import "time"

// A Calendar places the seasons of a hemisphere in the year. A season is one
// autumn with the winter behind it: 1 July to 30 April in the north, named by
// the year it starts in, 1 January to 31 October in the south.
type Calendar struct{ South bool }

// CalendarAt returns the calendar of a latitude in degrees: that of the north at
// the equator.
func CalendarAt(latitude float64) Calendar { return Calendar{latitude < 0} }

// First returns the first day of a season.
func (c Calendar) First(season int) Day {
	if c.South {
		return Date(season, time.January, 1)
	}
	return Date(season, time.July, 1)
}

// Last returns the last day of a season.
func (c Calendar) Last(season int) Day {
	if c.South {
		return Date(season, time.October, 31)
	}
	return Date(season+1, time.April, 30)
}

// Half returns the last day of a season's first six months.
func (c Calendar) Half(season int) Day {
	y, m, _ := c.First(season).Date()
	return Date(y, m+6, 1) - 1
}

// Offset counts a day from the first of a season on a calendar without leap
// days, so that dates of different seasons can be compared: 29 February counts
// as the 28th.
func (c Calendar) Offset(season int, d Day) int {
	first := c.First(season)
	n := int(d - first)
	if leap, ok := c.leapDay(season); ok && d >= leap {
		n--
	}
	return n
}

// Day returns the day that lies an offset after the first of a season; it is
// never 29 February.
func (c Calendar) Day(season, offset int) Day {
	first := c.First(season)
	d := first + Day(offset)
	if leap, ok := c.leapDay(season); ok && d >= leap {
		d++
	}
	return d
}

// Days returns the days that lie 0 to n−1 after the first of a season ([Calendar.Day]).
func (c Calendar) Days(season, n int) []Day {
	first := c.First(season)
	leap, ok := c.leapDay(season)
	days := make([]Day, n)
	for offset := range days {
		d := first + Day(offset)
		if ok && d >= leap {
			d++
		}
		days[offset] = d
	}
	return days
}

// leapDay returns the 29 February after the first day of a season, if there is one.
func (c Calendar) leapDay(season int) (Day, bool) {
	if !c.South {
		season++
	}
	if DaysIn(season, time.February) != 29 {
		return 0, false
	}
	return Date(season, time.February, 29), true
}

// SeasonFor returns the season whose first six months contain, or next follow,
// the day.
func (c Calendar) SeasonFor(d Day) int {
	year := d.Year()
	if c.South && d > c.Half(year) {
		return year + 1
	}
	return year
}

// A Completeness is a rule for how many deciding days of a season may be missing.
type Completeness struct {
	Name     string
	MaxRun   int // in a row
	MaxTotal int // in all
}

// WMO returns the rule of WMO-No. 1203 for a month (S2), which is missing where 5 days in
// a row or 11 in all are.
func WMO() Completeness { return Completeness{"wmo", 4, 10} }

// Strict returns the rule that no day may be missing.
func Strict() Completeness { return Completeness{"strict", 0, 0} }

// Loose returns the rule that 15 days in a row and 30 in all may be missing.
func Loose() Completeness { return Completeness{"loose", 15, 30} }

// Completenesses returns every rule.
func Completenesses() []Completeness { return []Completeness{WMO(), Strict(), Loose()} }

// A Gap is the longest run of missing days with its last day, and their number.
type Gap struct {
	Run, Total int
	RunEnd     Day
}

// Gap counts the missing days from first to last, and reports whether the rule
// allows them.
func (c Completeness) Gap(first, last Day, missing func(Day) bool) (Gap, bool) {
	var g Gap
	run := 0
	for d := first; d <= last; d++ {
		if !missing(d) {
			run = 0
			continue
		}
		run++
		g.Total++
		if run > g.Run {
			g.Run, g.RunEnd = run, d
		}
	}
	return g, g.Run <= c.MaxRun && g.Total <= c.MaxTotal
}

// SeasonHolding returns the season that has the day, or else the next one.
func (c Calendar) SeasonHolding(d Day) int {
	season := c.SeasonFor(d)
	if d >= c.First(season-1) && d <= c.Last(season-1) {
		return season - 1
	}
	return season
}
