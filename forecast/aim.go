package forecast

import (
	"time"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// An Aim is the span of days to sow on: from the day by which sowing has opened in
// four of five seasons to the last safe date, after which the chance falls fast. It
// is no longer than aimDays. docs/method.md says why.
type Aim struct {
	From      climate.Day
	Until     climate.Day // last safe date at the confidence of the options, but no later than the solstice of winter
	BestUntil climate.Day // last day of the first half, which is the best: it leaves time for a wet week or late seed
	Chance    float64     // of sowing on Until
	Bound     AimBound    // what sets From
}

// An AimBound is what sets the first day of an aim.
type AimBound string

// The bounds.
const (
	AimOpens AimBound = "opens" // sowing has opened in four of five seasons
	// sowing has opened in half of the seasons; in four of five too near Until, or after it
	AimMedian AimBound = "median"
	AimLength AimBound = "length" // sowing opens earlier, but a month before Until is early enough
)

const (
	aimOpen = 0.8 // share of seasons in which sowing has opened by the first day of an aim
	aimDays = 30  // greatest length of an aim that ends with the last safe date
	// days between the opening in four of five seasons and the last safe date below which the window is narrow
	minAim = 7
)

// Solstice returns the winter solstice of a season, to a day.
func (s *Station) Solstice(season int) climate.Day {
	if s.Calendar.South {
		return climate.Date(season, time.June, 21)
	}
	return climate.Date(season, time.December, 21)
}

// aim returns the span of days to sow on, nil where there are too few seasons, no
// safe date, or where in the median sowing opens only after it; nor is there one
// where sowing opens with the season and is safe beyond the solstice.
func (s *Station) aim(w *Window) *Aim {
	until, ok := w.Safe()
	first, solstice := s.Calendar.First(w.Season), s.Solstice(w.Season)
	switch {
	case !w.ColdEnds():
		until = s.Calendar.Last(w.Season)
	case !ok:
		return nil
	}
	late := until > solstice
	until = min(until, solstice)
	median, _ := w.Opens.At(0.5)
	from, ok := w.Opens.At(aimOpen)
	if !ok || median > until || late && from == first {
		return nil
	}
	a := &Aim{From: from, Until: until, Bound: AimOpens}
	switch {
	case from+minAim > until:
		a.From, a.Bound = median, AimMedian
	case from < until-aimDays && !late:
		a.From, a.Bound = max(first, until-aimDays), AimLength
	}
	a.BestUntil = a.From + (a.Until-a.From)/2
	a.Chance = w.Chance(a.Until)
	return a
}

// Instead is what can be done where the last safe date of a window is past.
type Instead struct {
	Chance   float64  // of sowing today all the same
	NextWeek float64  // of sowing a week later
	Verdict  Verdict  // of Chance
	Quicker  *Quicker // nil for none
	// dormant seeding from then on; nil where the soil gets no so cold, or for a species that is not sown so
	Dormant *climate.Day
	Spring  *climate.Day // soil at 5 cm back at SpringSoilC; nil where it is warmer all winter
	Next    *Aim         // of the season that follows
}

// Quicker is a species with a better chance today, by at least [SurerBy].
type Quicker struct {
	Species turf.Species
	Chance  float64
}

// Instead returns what can be done on a day of the window's season, by the past
// seasons alone: [Ensemble.Advise] and [Ensemble.Outlook] know the season so far.
// The days of dormant and spring seeding are those of a normal year. Without a
// single usable season it returns [ErrNoSeasons].
func (s *Station) Instead(w *Window, today climate.Day) (*Instead, error) {
	x := &Instead{Chance: w.Chance(today), NextWeek: w.Chance(today + 7)}
	x.Verdict = VerdictOf(x.Chance)
	own := &w.Options.Species
	for _, sp := range turf.All() {
		if NoClearDifference(&sp, own, w.Options.Stage) ||
			sp.ThermalTime(w.Options.Stage) > own.ThermalTime(w.Options.Stage) {
			continue
		}
		o := w.Options
		o.Species = sp
		other, err := s.Dates(o)
		if err != nil {
			return nil, err
		}
		c := other.Chance(today)
		if c > x.Chance+SurerBy && (x.Quicker == nil || c > x.Quicker.Chance) {
			x.Quicker = &Quicker{sp, c}
		}
	}
	const year = 366
	for _, c := range s.Normal5C.Crossings(turf.DormantSoilC, today-year/2, today+year/2) {
		if !c.Rising && turf.DormantSeeding(own.ID) {
			x.Dormant = new(max(c.Day, today))
		}
	}
	for _, c := range s.Normal5C.Crossings(SpringSoilC, today+1, today+year) {
		if c.Rising && x.Spring == nil {
			x.Spring = &c.Day
		}
	}
	o := w.Options
	o.Season = w.Season + 1
	next, err := s.Dates(o)
	if err != nil {
		return nil, err
	}
	x.Next = next.Aim
	return x, nil
}
