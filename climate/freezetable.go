package climate

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// The number of seasons that a table of dates needs and uses.
const (
	MaxSeasons = 30 // the latest ones are used where no years are given
	MinSeasons = 5  // under it there is no date
)

// TrendLevel is the level of the interval of a trend of freeze dates.
const TrendLevel = 0.9

// ErrThreshold is the error of a temperature threshold that is not a finite
// number.
var ErrThreshold = errors.New("the threshold is not a temperature")

// ErrSeasons is the error of a first season to use that comes after the last.
var ErrSeasons = errors.New("the first season to use comes after the last")

// FreezeOptions say which seasons a table of freeze dates uses.
type FreezeOptions struct {
	FirstSeason, LastSeason int          // seasons to use, by their year; 0: no bound, both 0: the latest MaxSeasons
	Completeness            Completeness // how many deciding days may be missing; zero: WMO
}

// wants reports whether a season is among those asked for.
func (o *FreezeOptions) wants(year int) bool {
	return (o.FirstSeason == 0 || year >= o.FirstSeason) && (o.LastSeason == 0 || year <= o.LastSeason)
}

// A FreezeTable holds the dates of the first freeze of autumn, or of the last
// freeze of spring, over the seasons of a record.
type FreezeTable struct {
	ThresholdC float64
	Spring     bool            // last freezes of spring, by their calendar year
	Dates      []FreezeDate    // one a season used, oldest first
	Dropped    []DroppedSeason // of those asked for
	Came       int             // seasons in which it came
	Trend      Trend           // of the dates in the seasons in which it came, days a decade, TrendLevel wide

	calendar Calendar
	offsets  []float64 // days from the first of the season, ascending, infinite where none came
}

// FirstFreezes returns the table of the first freeze of autumn: in each season
// that the record decides, the first day from the season's first on with a lowest
// temperature at or below the threshold, °C. A season is dropped where the rule
// objects to the days missing between its second month and the freeze, or its
// last day where none came. It returns [ErrThreshold] for a threshold that is
// not finite, and [ErrSeasons].
//
// Reference: the date of the first freeze as the US National Weather Service
// has it; a season without the event counts as later than any date (NOAA, S).
func FirstFreezes(r *Record, c Calendar, thresholdC float64, o FreezeOptions) (*FreezeTable, error) {
	return newFreezeTable(r, &FreezeTable{ThresholdC: thresholdC, calendar: c}, c, o)
}

// LastFreezes returns the table of the last freeze of spring: in each half year
// that ends where a season begins, January to June in the north, the last day at
// or below the threshold, °C. It is named by the year it lies in. A year is
// dropped where the rule objects to the days missing between the freeze, or the
// first day where none came, and the last month. A year without a freeze counts
// as earlier than any date. It returns [ErrThreshold] for a threshold that is
// not finite, and [ErrSeasons].
func LastFreezes(r *Record, c Calendar, thresholdC float64, o FreezeOptions) (*FreezeTable, error) {
	// Spring dates are counted within the calendar year: the season's calendar
	// of the other hemisphere.
	t := &FreezeTable{ThresholdC: thresholdC, Spring: true, calendar: Calendar{South: !c.South}}
	return newFreezeTable(r, t, c, o)
}

func newFreezeTable(r *Record, t *FreezeTable, c Calendar, o FreezeOptions) (*FreezeTable, error) {
	if err := r.Validate(); err != nil {
		return nil, err
	}
	if math.IsNaN(t.ThresholdC) || math.IsInf(t.ThresholdC, 0) {
		return nil, fmt.Errorf("%w: %g °C", ErrThreshold, t.ThresholdC)
	}
	if o.LastSeason != 0 && o.FirstSeason > o.LastSeason {
		return nil, ErrSeasons
	}
	rule := o.Completeness
	if rule == (Completeness{}) {
		rule = WMO()
	}
	find, never := firstFreezes, math.Inf(1)
	if t.Spring {
		find, never = lastFreezes, math.Inf(-1)
	}
	dates, dropped := find(r, c, t.ThresholdC, rule)
	t.Dates = slices.DeleteFunc(dates, func(d FreezeDate) bool { return !o.wants(d.Season) })
	t.Dropped = slices.DeleteFunc(dropped, func(d DroppedSeason) bool { return !o.wants(d.Season) })
	if o.FirstSeason == 0 && o.LastSeason == 0 && len(t.Dates) > MaxSeasons {
		t.Dates = t.Dates[len(t.Dates)-MaxSeasons:]
		t.Dropped = slices.DeleteFunc(t.Dropped, func(d DroppedSeason) bool { return d.Season < t.Dates[0].Season })
	}
	var x, y []float64
	for _, d := range t.Dates {
		at := never
		if d.Day != nil {
			at = float64(t.calendar.Offset(d.Season, *d.Day))
			t.Came++
			x, y = append(x, float64(d.Season)), append(y, at)
		}
		t.offsets = append(t.offsets, at)
	}
	slices.Sort(t.offsets)
	trend := TheilSen(x, y, TrendLevel)
	t.Trend = Trend{trend.Slope * 10, trend.Low * 10, trend.High * 10}
	return t, nil
}

// Seasons returns the number of seasons used.
func (t *FreezeTable) Seasons() int { return len(t.Dates) }

// Share returns the share of the seasons in which it came; NaN for no seasons.
func (t *FreezeTable) Share() float64 { return float64(t.Came) / float64(len(t.Dates)) }

// At returns the date, in the given season, by which it had come in a share p of
// the seasons ([Quantile]), rounded to the cautious side: a first freeze to the
// earlier, a last one to the later day. It is false where there are under
// [MinSeasons] seasons or the quantile is no date.
func (t *FreezeTable) At(p float64, season int) (Day, bool) {
	if len(t.offsets) < MinSeasons {
		return 0, false
	}
	q := Quantile(p, t.offsets)
	switch {
	case math.IsInf(q, 0) || math.IsNaN(q):
		return 0, false
	case t.Spring:
		return t.calendar.Day(season, int(CeilDay(q))), true
	}
	return t.calendar.Day(season, int(FloorDay(q))), true
}

// ErrHemisphere is the error of a record whose summer is that of the other
// hemisphere: the sign of its latitude is wrong.
var ErrHemisphere = errors.New("the latitude does not fit the record")

// Calendar returns the calendar of the record's hemisphere, found from its warm
// season. It returns [ErrHemisphere] where the latitude is known and is in the
// other hemisphere, and [ErrTooShort] where the record does not cover the year.
func (r *Record) Calendar() (Calendar, error) {
	if err := r.Validate(); err != nil {
		return Calendar{}, err
	}
	normal, err := FitNormal(r.First, r.TMaxC, 1)
	if err != nil {
		return Calendar{}, err
	}
	c := Calendar{South: !normal.WarmInNorthernSummer()}
	if lat := r.Place.Latitude; lat != nil && CalendarAt(*lat) != c {
		return c, fmt.Errorf("%w: it is warmest about %s", ErrHemisphere, normal.Peak(2001).Format("2 January"))
	}
	return c, nil
}
