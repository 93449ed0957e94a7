package forecast

import (
	"cmp"
	"math"
	"slices"
	"time"

	"swardcast/climate"
)

// A WarningKind is why an answer would mislead if it were read alone.
type WarningKind string

// The kinds of warning, gravest first.
const (
	WarnHostWinter  WarningKind = "host-winter"     // the winters of the record kill the host: TempC, LimitC, Month
	WarnTooFew      WarningKind = "too-few-seasons" // Seasons, under MinSeasons: no dates, and no chance can be trusted
	WarnNoSafeDate  WarningKind = "no-safe-date"    // no date of the season is safe at Percent
	WarnOpensLate   WarningKind = "opens-late"      // in the median sowing opens (Day) after the last safe date (Limit)
	WarnNoCutoff    WarningKind = "no-cutoff"       // in the median neither freeze nor dormancy comes
	WarnAfterWinter WarningKind = "after-solstice"  // the last safe date (Day) lies after the solstice of winter (Limit)
	WarnRecordEnded WarningKind = "record-ended"    // the record ends on Day, long before today (Limit)
	WarnHindsight   WarningKind = "hindsight"       // the record holds the outcome of the sowing of Day
	// in the median the host goes dormant (Day) no more than ten days after sowing opens (Limit)
	WarnHostCold WarningKind = "host-cold"
	// in four of five seasons sowing has opened by Day, less than a week before the last safe date (Limit) or
	// after it
	WarnNarrow     WarningKind = "narrow"
	WarnFew        WarningKind = "few-seasons" // Seasons, under FewSeasons: rough
	WarnConfidence WarningKind = "confidence"  // Percent is all that Seasons can support
)

// A Warning is why an answer would mislead if it were read alone, with the figures
// that say so. Which fields are set depends on the kind; the others are zero.
type Warning struct {
	Kind          WarningKind
	Seasons       int
	Percent       float64
	TempC, LimitC float64
	Month         time.Month
	Day, Limit    climate.Day
}

const (
	// bermudagrassMonthC and zoysiagrassMonthC are the mean air temperatures of the
	// coldest month, °C, below which winters of a place kill a host more often than a
	// lawn can stand (from memory, unverified). Bermudagrass is kept in Kansas and
	// southern Indiana (about −2 °C), not in Iowa or New Hampshire (−6 °C); zoysiagrass
	// somewhat farther north.
	bermudagrassMonthC = -4
	zoysiagrassMonthC  = -7

	// coldStart is how many days after the opening dormancy means soil that has not
	// warmed up, not autumn.
	coldStart = 10

	// endedDays is after how many days without a row a record says nothing of the
	// season under way.
	endedDays = 60

	monthDays = 20 // observed days that a month needs for its mean
)

// winterLimitC is the mean of the coldest month that a host bears, °C; false for one
// without a limit.
func winterLimitC(host string) (float64, bool) {
	switch host {
	case "bermudagrass":
		return bermudagrassMonthC, true
	case "zoysiagrass":
		return zoysiagrassMonthC, true
	}
	return 0, false
}

// ColdestMonth returns the calendar month with the lowest mean air temperature over
// the record and that mean, °C. Months with fewer than 20 observed days are left
// out; it is false where none is left of some calendar month.
func (s *Station) ColdestMonth() (time.Month, float64, bool) {
	var sum [13]float64
	var years [13]int
	rec := s.Record
	for i := 0; i < rec.Len(); {
		y, m, _ := rec.Day(i).Date()
		end := min(rec.Index(climate.Date(y, m+1, 1)), rec.Len())
		total, n := 0.0, 0
		for ; i < end; i++ {
			if !s.Filled[i] {
				total += (rec.TMaxC[i] + rec.TMinC[i]) / 2
				n++
			}
		}
		if n >= monthDays {
			sum[m] += total / float64(n)
			years[m]++
		}
	}
	coldest, low := time.Month(0), math.Inf(1)
	for m := time.January; m <= time.December; m++ {
		if years[m] == 0 {
			return 0, 0, false
		}
		if mean := sum[m] / float64(years[m]); mean < low {
			coldest, low = m, mean
		}
	}
	return coldest, low, true
}

// hostWarning warns of a host that the winters of the record kill.
func (s *Station) hostWarning(host string) (Warning, bool) {
	limit, ok := winterLimitC(host)
	if !ok {
		return Warning{}, false
	}
	month, mean, ok := s.ColdestMonth()
	return Warning{Kind: WarnHostWinter, TempC: mean, LimitC: limit, Month: month}, ok && mean < limit
}

// seasonsWarning warns of few seasons.
func seasonsWarning(n int) (Warning, bool) {
	switch {
	case n < MinSeasons:
		return Warning{Kind: WarnTooFew, Seasons: n}, true
	case n < FewSeasons:
		return Warning{Kind: WarnFew, Seasons: n}, true
	}
	return Warning{}, false
}

// warnings are those of a window, gravest first.
func (s *Station) warnings(w *Window) []Warning {
	var list []Warning
	add := func(x Warning, ok bool) {
		if ok {
			list = append(list, x)
		}
	}
	add(s.hostWarning(w.Options.Host.ID))
	n := len(w.Seasons)
	add(seasonsWarning(n))
	if n < MinSeasons {
		return list
	}
	safe, isSafe := w.Safe()
	add(Warning{Kind: WarnNoSafeDate, Percent: w.Options.Confidence}, !isSafe && w.ColdEnds())
	opens, _ := w.Opens.At(0.5)
	late, _ := w.Opens.At(aimOpen)
	add(Warning{Kind: WarnNoCutoff}, !w.ColdEnds())
	if isSafe {
		solstice := s.Solstice(w.Season)
		add(Warning{Kind: WarnOpensLate, Day: opens, Limit: safe}, opens > safe)
		add(Warning{Kind: WarnAfterWinter, Day: safe, Limit: solstice}, safe > solstice)
		add(Warning{Kind: WarnNarrow, Day: late, Limit: safe}, opens <= safe && late+minAim > safe)
	}
	dormant, ok := w.Dormancy.At(0.5)
	add(Warning{Kind: WarnHostCold, Day: dormant, Limit: opens}, ok && dormant <= opens+coldStart)
	most := w.MaxConfidence()
	add(Warning{Kind: WarnConfidence, Seasons: n, Percent: most}, w.Options.Confidence > most)
	gravestFirst(list)
	return list
}

// WarningKinds returns every kind, gravest first.
func WarningKinds() []WarningKind {
	return []WarningKind{WarnHostWinter, WarnTooFew, WarnNoSafeDate, WarnOpensLate, WarnNoCutoff, WarnAfterWinter,
		WarnRecordEnded, WarnHindsight, WarnHostCold, WarnNarrow, WarnFew, WarnConfidence}
}

func gravestFirst(list []Warning) {
	kinds := WarningKinds()
	slices.SortStableFunc(list, func(a, b Warning) int {
		return cmp.Compare(slices.Index(kinds, a.Kind), slices.Index(kinds, b.Kind))
	})
}

// Has returns the warning of a kind, false where the window has none.
func (w *Window) Has(kind WarningKind) (Warning, bool) {
	i := slices.IndexFunc(w.Warnings, func(x Warning) bool { return x.Kind == kind })
	if i < 0 {
		return Warning{}, false
	}
	return w.Warnings[i], true
}

// RecordEnded warns of a record that ends more than 60 days before today: it says
// nothing of the season under way, and the next one is to be planned.
func (s *Station) RecordEnded(today climate.Day) (Warning, bool) {
	last := s.Record.Last()
	return Warning{Kind: WarnRecordEnded, Day: last, Limit: today}, today-last > endedDays
}

// Warnings returns what a reader must know before trusting an outlook of the ensemble,
// gravest first: a host that the winters kill, few seasons, no cutoff in the median, a
// last safe date after the solstice of winter, a record that ended long ago, an outcome
// that the record already holds.
func (e *Ensemble) Warnings(x *Outlook) []Warning {
	var list []Warning
	add := func(w Warning, ok bool) {
		if ok {
			list = append(list, w)
		}
	}
	add(e.station.hostWarning(x.Options.Host.ID))
	add(seasonsWarning(x.Members))
	add(e.station.RecordEnded(e.AsOf))
	add(Warning{Kind: WarnHindsight, Day: x.Sow}, x.Decided && x.Sow <= e.AsOf)
	if x.Members >= MinSeasons {
		_, cold := x.Cutoff.At(0.5)
		add(Warning{Kind: WarnNoCutoff}, !cold)
		safe, ok := x.LastSafe(x.Options.Confidence)
		solstice := e.station.Solstice(e.Season)
		add(Warning{Kind: WarnAfterWinter, Day: safe, Limit: solstice}, cold && ok && safe > solstice)
	}
	gravestFirst(list)
	return list
}
