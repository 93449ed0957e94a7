package forecast

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// Advice is what to do about a thin first sowing: the decision with its choices, the
// second sowings that are left and their chances, what else can be done, and the days
// ahead. A day is nil where it does not come, or is not known.
type Advice struct {
	First    *Outlook
	Stand    Stand
	Supply   Supply
	Report   *StandReport
	Decision *Decision
	// FitsSown is the last day of sowing with which a cover higher than the soil allows
	// would fit; nil where the cover fits, or fits no day of the two months before.
	FitsSown *climate.Day
	Changes  []DecisionChange // what would change the decision, and what would not

	Second   []LaterSowing // second sowings of the same species, the first of them today
	LastSafe *climate.Day  // of a second sowing, at the confidence of the options; it can be past
	Surer    *Outlook      // the species with the best chance today, where it is clearly better; nil for none
	Instead  Fallback

	Frost  *climate.Day // first freezing night of the season, median of the members
	Coming []Coming     // the days ahead that matter, in their order
}

const (
	// SurerBy is how much better the chance of another species must be for it to be
	// offered (our choice).
	SurerBy = 0.05
	// SpringSoilC is the soil temperature at which spring seeding begins: 50 °F
	// (common practice, no source).
	SpringSoilC = 10.0
	// frostC is the temperature of the air at which turf is taken to be frosted.
	frostC = 0.0
)

// A Fallback is when seed can go into the ground that is too late for this autumn.
type Fallback struct {
	Dormant *climate.Day // dormant seeding from then on; nil also for a species that is not sown so
	Spring  *climate.Day // when the soil at 5 cm is back at SpringSoilC in a normal year
}

// Fallback returns the days of dormant seeding and of spring seeding from a day on.
// It returns no error but those of [Ensemble.ColdSoil].
func (e *Ensemble) Fallback(o Options, from climate.Day) (Fallback, error) {
	const year = 400 // days, with some to spare
	o, err := o.withDefaults()
	if err != nil {
		return Fallback{}, err
	}
	var f Fallback
	if turf.DormantSeeding(o.Species.ID) {
		if f.Dormant, err = e.ColdSoil(from, turf.DormantSoilC); err != nil {
			return f, err
		}
	}
	for _, c := range e.station.Normal5C.Crossings(SpringSoilC, from+1, from+year) {
		if c.Rising {
			f.Spring = &c.Day
			break
		}
	}
	return f, nil
}

// A ComingKind is what a day ahead brings.
type ComingKind string

// What can come.
const (
	LookAgain         ComingKind = "look-again"  // nearly all surviving seed of the first sowing should be up
	FirstMow          ComingKind = "first-mow"   // the first sowing is ready for the first mow
	FirstTillered     ComingKind = "first-till"  // it is established
	SecondUp          ComingKind = "second-up"   // half of a second sowing of today is up
	SecondMow         ComingKind = "second-mow"  // it is ready for the first mow
	SecondTillered    ComingKind = "second-till" // it is established
	LastSafeSowing    ComingKind = "last-safe"   // last safe date of a second sowing
	LastWorthSowing   ComingKind = "last-worth"  // after it a second sowing is not worth its work
	FrostBegins       ComingKind = "frost"       // freezing nights begin
	FrostHasBegun     ComingKind = "frost-since" // they have begun, on Since
	CutoffExpected    ComingKind = "cutoff"      // cutoff, median of the members
	CutoffHasBeenSeen ComingKind = "cutoff-past" // the cutoff lies before today
)

// Coming is a day ahead that matters to a thin first sowing.
type Coming struct {
	Day      climate.Day
	Kind     ComingKind
	P10, P90 *climate.Day // range of a stage; nil where either is not known
	Since    *climate.Day // of FrostHasBegun
}

// Advise works out what to do about a first sowing, from how it looks on the as-of
// day of the ensemble and from the seed there is. A first sowing that lies after that
// day, or a cover that is no share, is an error; so is [ErrNoSeasons].
func (e *Ensemble) Advise(o Options, first climate.Day, stand Stand, supply Supply) (*Advice, error) {
	a := &Advice{Stand: stand, Supply: supply}
	var err error
	if a.First, err = e.Outlook(o, first); err != nil {
		return nil, err
	}
	if a.Decision, err = e.Decide(a.First, stand, supply); err != nil {
		return nil, err
	}
	a.Report = a.Decision.Report
	if a.Report.MoreThanCan {
		if a.FitsSown, err = e.fitsSown(a.First, stand); err != nil {
			return nil, err
		}
	}
	if a.Second, err = e.LaterSowings(a.First.Options, e.AsOf); err != nil {
		return nil, err
	}
	now := a.Second[0] // today lies in the season
	if d, ok := now.LastSafe(now.Options.Confidence); ok {
		a.LastSafe = &d
	}
	if a.Surer, err = e.surer(now.Outlook); err != nil {
		return nil, err
	}
	if a.Instead, err = e.Fallback(a.First.Options, e.AsOf); err != nil {
		return nil, err
	}
	if a.Frost, err = e.frost(a.First.Options); err != nil {
		return nil, err
	}
	if a.Changes, err = e.changes(a); err != nil {
		return nil, err
	}
	a.Coming = a.coming(e.AsOf, e.station.Calendar.Half(e.Season))
	return a, nil
}

// fitsSown is the last day before that of a first sowing with which its cover would
// fit.
func (e *Ensemble) fitsSown(first *Outlook, stand Stand) (*climate.Day, error) {
	earliest := max(first.Sow-seasonLead, e.station.Calendar.First(e.Season)-seasonLead)
	for sow := first.Sow - 1; sow >= earliest; sow-- {
		x, err := e.Outlook(first.Options, sow)
		if errors.Is(err, ErrSowDate) {
			return nil, nil
		}
		if err != nil {
			return nil, err
		}
		if stand.Cover <= x.EmergedHigh+3*CoverSD {
			return &sow, nil
		}
	}
	return nil, nil
}

// surer is the species with the best chance on the day of a sowing, where that
// chance is better by SurerBy and its thermal time is clearly another.
func (e *Ensemble) surer(now *Outlook) (*Outlook, error) {
	o := &now.Options
	all, err := e.EverySpecies(*o, now.Sow)
	if err != nil {
		return nil, err
	}
	var best *Outlook
	for _, x := range all {
		if x.Chance > now.Chance+SurerBy && !NoClearDifference(&x.Options.Species, &o.Species, o.Stage) &&
			(best == nil || x.Chance > best.Chance) {
			best = x
		}
	}
	return best, nil
}

// frost is the first freezing night of the season; nil where none is known.
func (e *Ensemble) frost(o Options) (*climate.Day, error) {
	o.FreezeC = new(frostC)
	x, err := e.Outlook(o, e.AsOf)
	if errors.Is(err, ErrNoSeasons) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	if d, ok := x.Freeze.At(0.5); ok {
		return &d, nil
	}
	return nil, nil
}

// A DecisionChange is the decision with one thing changed. Chance is that of sowing
// today.
type DecisionChange struct {
	Sensitivity
	Cover float64   // of ChangeCover: the nearest from which the action is another
	Found SeedFound // of ChangeDigging
	Best  Choice
}

// changes tries the decision with another cover, with digging, with another killing
// freeze, a colder soil and with another species.
func (e *Ensemble) changes(a *Advice) ([]DecisionChange, error) {
	var out []DecisionChange
	p, err := e.prospect(a.First)
	if err != nil {
		return nil, err
	}
	with := func(s Stand) (*Decision, error) {
		report, err := e.Judge(a.First, s)
		if err != nil {
			return nil, err
		}
		supply := a.Supply
		if bare := 1 - s.Cover; bare > 0 { // the seed at hand goes further on less ground
			supply.AtHand *= (1 - a.Stand.Cover) / bare
		}
		return p.decide(s, supply, report), nil
	}
	now := p.chance(e.AsOf)
	best := a.Decision.Best.Action
	if best != Stop && !a.Report.MoreThanCan {
		c, err := a.nearestCover(with)
		if err != nil {
			return nil, err
		}
		if c != nil {
			c.Sow, c.Chance = e.AsOf, now
			out = append(out, *c)
		}
	}
	if clear := a.Report.ClearOn; a.Stand.Found == NotDug && (clear == nil || *clear > e.AsOf) && best != Stop {
		for _, found := range []SeedFound{NoSeed, ManySeeds} {
			d, err := with(Stand{Cover: a.Stand.Cover, Found: found})
			if err != nil {
				return nil, err
			}
			if d.Best.Action != best {
				c := Sensitivity{Kind: ChangeDigging, Sow: e.AsOf, Chance: now}
				out = append(out, DecisionChange{Sensitivity: c, Found: found, Best: *d.Best})
			}
		}
	}
	o := a.First.Options
	for _, c := range changes(&o) {
		if c.Kind != ChangeFreeze && c.Kind != ChangeSoil {
			continue // waiting is one of the choices, and another species is the surer one
		}
		at, err := e.with(&c)
		if err != nil {
			return nil, err
		}
		x, err := at.Outlook(c.options(o), a.First.Sow)
		if err != nil {
			return nil, err
		}
		d, err := at.Decide(x, a.Stand, a.Supply)
		if err != nil {
			return nil, err
		}
		if d.Report.MoreThanCan && !a.Report.MoreThanCan {
			continue // the cover rules it out
		}
		chances, err := at.chances(c.options(o), []climate.Day{e.AsOf})
		if err != nil {
			return nil, err
		}
		c.Sow, c.Chance = e.AsOf, chances[0]
		out = append(out, DecisionChange{Sensitivity: c, Best: *d.Best})
	}
	if a.Surer != nil {
		quicker := *p
		days := make([]climate.Day, len(p.chances))
		for i := range days {
			days[i] = e.AsOf + climate.Day(i)
		}
		c := Sensitivity{Kind: ChangeSpecies, Species: a.Surer.Options.Species, Sow: e.AsOf, Chance: a.Surer.Chance}
		if quicker.chances, err = e.chances(c.options(o), days); err != nil {
			return nil, err
		}
		d := quicker.decide(a.Stand, a.Supply, a.Report)
		out = append(out, DecisionChange{Sensitivity: c, Best: *d.Best})
	}
	return out, nil
}

// nearestCover is the cover nearest to the one seen, in steps of 5 %, with which the
// action is another, and not only that seed is bought; nil for none.
func (a *Advice) nearestCover(with func(Stand) (*Decision, error)) (*DecisionChange, error) {
	const step = 0.05
	from := math.Round(a.Stand.Cover/step) * step
	for k := 1; k <= int(1/step); k++ {
		for _, cover := range []float64{from + float64(k)*step, from - float64(k)*step} {
			if cover < -step/2 || cover > 1+step/2 {
				continue
			}
			cover = math.Max(0, math.Min(1, cover))
			d, err := with(Stand{Cover: cover, Found: a.Stand.Found})
			if err != nil {
				return nil, err
			}
			if !d.Report.MoreThanCan && d.Best.Action != a.Decision.Best.Action && !(d.Sows() && a.Decision.Sows()) {
				return &DecisionChange{Sensitivity{Kind: ChangeCover}, cover, "", *d.Best}, nil
			}
		}
	}
	return nil, nil
}

// Sows reports whether the decision is to sow again, with seed at hand or bought.
func (d *Decision) Sows() bool { return d.Best.Action == SowNow || d.Best.Action == BuySeed }

// coming lists the days ahead, and a frost and a cutoff that have come: of a second
// sowing where the decision is for one, else of the first.
func (a *Advice) coming(today, midwinter climate.Day) []Coming {
	var out []Coming
	add := func(d *climate.Day, c Coming) {
		if d != nil && *d >= today {
			c.Day = *d
			out = append(out, c)
		}
	}
	stages := func(x *Outlook, kinds [3]ComingKind) {
		for i, s := range x.Stages {
			c := Coming{Kind: kinds[i]}
			if s.P10 != nil && s.P90 != nil {
				c.P10, c.P90 = s.P10, s.P90
			}
			if c.Kind != "" {
				add(s.P50, c)
			}
		}
	}
	if a.Decision.Best.Action == WaitUntil {
		add(&a.Decision.Best.On, Coming{Kind: LookAgain})
	} else {
		add(a.Report.ClearOn, Coming{Kind: LookAgain})
	}
	if a.Decision.Sows() {
		stages(a.Second[0].Outlook, [3]ComingKind{SecondUp, SecondMow, SecondTillered})
	} else {
		stages(a.First, [3]ComingKind{"", FirstMow, FirstTillered})
	}
	if a.Decision.Sows() || a.Decision.Best.Action == WaitUntil {
		add(a.LastSafe, Coming{Kind: LastSafeSowing})
	}
	if until := a.Decision.WorthUntil; a.Decision.Sows() && until != nil && *until < midwinter {
		add(until, Coming{Kind: LastWorthSowing})
	}
	if a.Frost != nil && *a.Frost <= today {
		add(&today, Coming{Kind: FrostHasBegun, Since: a.Frost})
	} else {
		add(a.Frost, Coming{Kind: FrostBegins})
	}
	if c, ok := a.First.Cutoff.At(0.5); ok {
		kind := CutoffExpected
		if c < today {
			kind = CutoffHasBeenSeen
		}
		out = append(out, Coming{Day: c, Kind: kind})
	}
	slices.SortStableFunc(out, func(a, b Coming) int { return cmp.Compare(a.Day, b.Day) })
	return out
}
