package forecast

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// A PlanKind is what a step of a plan is.
type PlanKind string

// The steps of a plan, in the order of a usual one.
const (
	PlanStopFeeding   PlanKind = "stop-feeding"   // nitrogen on the host ends
	PlanLastHerbicide PlanKind = "last-herbicide" // no broadleaf herbicide after it
	PlanMowLow        PlanKind = "mow-low"        // the turf is mown low and opened
	PlanOrder         PlanKind = "order-seed"     // seed is ordered
	PlanSow           PlanKind = "sow"            // seed is sown
	PlanProtect       PlanKind = "protect"        // it is rolled or brushed in
	PlanWater         PlanKind = "water"          // a week of water: WaterMM
	PlanUp            PlanKind = "up"             // half is up
	PlanLook          PlanKind = "look"           // what is not up by then is lost
	PlanMow           PlanKind = "mow"            // first mow
	PlanSecondLast    PlanKind = "second-last"    // last safe date of a second sowing
	PlanPlay          PlanKind = "play"           // ready for light use
	PlanFeed          PlanKind = "feed"           // first feeding, Day to Until
	PlanHerbicide     PlanKind = "herbicide"      // earliest broadleaf herbicide
	PlanEstablished   PlanKind = "established"    // tillered
	PlanFrost         PlanKind = "frost"          // freezing nights begin
	PlanCold          PlanKind = "cold"           // the cutoff
	PlanPlayLawn      PlanKind = "play-lawn"      // a lawn is ready for play
	PlanDormant       PlanKind = "dormant"        // thin places are seeded dormant
	PlanSpring        PlanKind = "spring"         // thin places are sown again
	PlanHostWakes     PlanKind = "host-wakes"     // the host greens up
	PlanLetGo         PlanKind = "let-go"         // the cool-season grass is gone
)

// A PlanStep is one dated line of a plan.
type PlanStep struct {
	Kind      PlanKind
	Day       climate.Day
	Until     *climate.Day // of a span; nil for a single day
	Low, High *climate.Day // 80 % range of a forecast day; nil where it is not one, or not known
	WaterMM   float64      // irrigation that the week needs, median of the members; NaN where it is not known
	Evidence  turf.Evidence
	Source    string
}

// A Plan has everything that a sowing needs, dated from before it to the end of spring.
type Plan struct {
	Outlook *Outlook
	Spring  *Spring // nil where too few springs are on record
	Steps   []PlanStep
}

// The days of care that are fixed by practice or by a publication.
const (
	stopFeedingDays   = 30 // nitrogen on the host off before overseeding (CP)
	lastHerbicideDays = 28 // no broadleaf herbicide three to four weeks before seeding (Purdue, S)
	mowLowDays        = 2  // the turf is mown low before seeding (CP)
	orderDays         = 21 // seed is ordered (CP)
	feedFromDays      = 21 // first feeding three weeks after it is up (Cornell, S)
	feedUntilDays     = 28 // to four weeks
	secondMowDays     = 7  // from the first mow to the second (CP)
	playFromDays      = 14 // two to three weeks without play (Powell 2009, S)
	playUntilDays     = 21
	waterWeeks        = 4 // weeks that water is given for at most
)

// Plan works out the plan of a sowing on a day of the ensemble's season. The errors are those of
// [Ensemble.Outlook].
func (e *Ensemble) Plan(o Options, sow climate.Day) (*Plan, error) {
	x, err := e.Outlook(o, sow)
	if err != nil {
		return nil, err
	}
	p := &Plan{Outlook: x}
	host := x.Options.Host.ID != "none"
	add := func(kind PlanKind, day climate.Day, evidence turf.Evidence, source string) *PlanStep {
		p.Steps = append(p.Steps, PlanStep{Kind: kind, Day: day, WaterMM: math.NaN(), Evidence: evidence,
			Source: source})
		return &p.Steps[len(p.Steps)-1]
	}
	const practice, derived, seen = turf.Practice, turf.Derived, turf.Seen
	const own = "this forecast"
	if host {
		add(PlanStopFeeding, sow-stopFeedingDays, practice, "")
	}
	add(PlanLastHerbicide, sow-lastHerbicideDays, seen, "Purdue")
	add(PlanOrder, sow-orderDays, practice, "")
	add(PlanMowLow, sow-mowLowDays, practice, "")
	add(PlanSow, sow, derived, own)
	add(PlanProtect, sow, practice, "")
	dated := func(kind PlanKind, s StageOutlook) {
		if s.P50 != nil {
			step := add(kind, *s.P50, derived, own)
			step.Low, step.High = s.P10, s.P90
		}
	}
	dated(PlanUp, x.Stages[0])
	dated(PlanMow, x.Stages[1])
	dated(PlanEstablished, x.Stages[2])
	if err := e.water(p, add); err != nil {
		return nil, err
	}
	if clear := e.clearOn(x); clear != nil {
		add(PlanLook, *clear, derived, own)
	}
	if d, ok := x.LastSafe(x.Options.Confidence); ok && d > sow && e.coldEnds(x) {
		add(PlanSecondLast, d, derived, own)
	}
	if up := x.Stages[0].P50; up != nil {
		step := add(PlanFeed, *up+feedFromDays, seen, "Cornell")
		step.Until = new(*up + feedUntilDays)
	}
	if mow := x.Stages[1].P50; mow != nil {
		add(PlanHerbicide, *mow+secondMowDays, seen, "Purdue")
	}
	if host {
		from, until := sow+playFromDays, sow+playUntilDays
		if mow := x.Stages[1].P50; mow != nil {
			from, until = max(from, *mow), max(until, *mow)
		}
		add(PlanPlay, from, seen, "Powell 2009, Kentucky").Until = &until
	} else if !e.station.Calendar.South && sow <= climate.Date(e.Season, 9, 15) {
		add(PlanPlayLawn, climate.Date(e.Season+1, 5, 31), seen, "Purdue")
	}
	if err := e.cold(p, add); err != nil {
		return nil, err
	}
	if err := e.afterwards(p, add); err != nil {
		return nil, err
	}
	slices.SortStableFunc(p.Steps, func(a, b PlanStep) int { return cmp.Compare(a.Day, b.Day) })
	return p, nil
}

type addStep = func(PlanKind, climate.Day, turf.Evidence, string) *PlanStep

// coldEnds reports whether a cutoff comes in at least half of the members.
func (e *Ensemble) coldEnds(x *Outlook) bool {
	_, ok := x.Cutoff.At(0.5)
	return ok
}

// water adds the weeks of water from the sowing until the first mow, four at most. Weeks gone by
// are left out.
func (e *Ensemble) water(p *Plan, add addStep) error {
	x := p.Outlook
	end := x.Sow + 7*waterWeeks
	if mow := x.Stages[1].P50; mow != nil {
		end = min(end, *mow)
	}
	for day := x.Sow; day < end; day += 7 {
		if day+7 <= e.AsOf || x.Options.Unwatered {
			continue
		}
		days := min(7, int(end-day))
		_, total, err := e.Water(day, days)
		if err != nil && !errors.Is(err, ErrNoRain) {
			return err
		}
		step := add(PlanWater, day, turf.Unverified, "FAO-56, a seedbed of 4 mm")
		step.Until = new(day + climate.Day(days) - 1)
		if err == nil {
			step.WaterMM = total
		} else {
			step.Evidence, step.Source = turf.Practice, ""
		}
	}
	return nil
}

// cold adds the first freezing night and the cutoff.
func (e *Ensemble) cold(p *Plan, add addStep) error {
	o := p.Outlook.Options
	o.FreezeC = new(frostC)
	x, err := e.Outlook(o, p.Outlook.Sow)
	switch {
	case errors.Is(err, ErrNoSeasons):
	case err != nil:
		return err
	default:
		if d, ok := x.Freeze.At(0.5); ok {
			forecastDay(add(PlanFrost, d, turf.Derived, "this forecast"), x.Freeze)
		}
	}
	if d, ok := p.Outlook.Cutoff.At(0.5); ok {
		forecastDay(add(PlanCold, d, turf.Derived, "this forecast"), p.Outlook.Cutoff)
	}
	return nil
}

// forecastDay gives a step the range of its dates.
func forecastDay(step *PlanStep, d Dates) {
	low, okLow := d.At(0.1)
	high, okHigh := d.At(0.9)
	if okLow && okHigh {
		step.Low, step.High = &low, &high
	}
}

// afterwards adds what winter and spring bring.
func (e *Ensemble) afterwards(p *Plan, add addStep) error {
	o := p.Outlook.Options
	o.Season = e.Season
	s, err := e.station.Spring(o)
	if errors.Is(err, ErrNoSeasons) {
		return nil
	}
	if err != nil {
		return err
	}
	p.Spring = s
	if o.Host.ID == "none" {
		if d, ok := s.Dormant.At(0.5); ok && s.CanBeDormant && d > p.Outlook.Sow {
			forecastDay(add(PlanDormant, d, turf.Seen, "University of Minnesota"), s.Dormant)
		}
		if d, ok := s.Wakes.At(0.5); ok {
			step := add(PlanSpring, d, turf.Practice, "")
			if last, ok := s.Last.At(1 - o.Confidence/100); ok && last >= d {
				step.Until = &last
			}
		}
		return nil
	}
	if d, ok := s.HostUp.At(0.5); ok {
		forecastDay(add(PlanHostWakes, d, turf.Seen, "Miller 2022"), s.HostUp)
	}
	if d := s.LetGo.BeforeSowing; d != nil {
		add(PlanLetGo, *d, turf.Seen, "trade press")
	} else if d := s.LetGo.BeforeDormancy; d != nil {
		add(PlanLetGo, *d, turf.Seen, "trade press")
	}
	return nil
}
