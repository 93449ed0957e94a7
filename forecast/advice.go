package forecast

import (
	"cmp"
	"errors"
	"slices"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// Advice is what can be done about a thin first pass: whether to wait, which second
// passes are left and with what chance, what to fall back on, and what comes. A day
// is nil where it does not come, or is not known.
type Advice struct {
	First     *Outlook
	Stand     Stand
	Report    *StandReport
	NothingUp bool // nothing can be up yet, and nothing is seen: there is nothing to judge by

	Second   []LaterSowing // second passes of the same species, the first of them today
	Worth    bool          // a second pass today has a fair chance, at least FairChance
	LastSafe *climate.Day  // of a second pass, at the confidence of the options; it can be past
	OnClear  *Outlook      // a second pass on Report.ClearOn; nil where that is not still to come in the season
	Surer    *Outlook      // the species with the best chance today, where it is surer; nil for none

	// The fallbacks of a second pass that is not worth it.
	Dormant *climate.Day // dormant seeding from then on; nil also for a species that is not sown so
	Spring  *climate.Day // when the soil at 5 cm is back at SpringSoilC in a normal year

	Frost  *climate.Day // first freezing night of the season, in the middle of the members
	Coming []Coming     // the days ahead that matter, in their order
}

const (
	// FairChance is the chance from which a second pass is worth it (our choice).
	FairChance = 1.0 / 3
	// SurerBy is how much better the chance of another species must be to make it
	// the surer one (our choice).
	SurerBy = 0.05
	// SpringSoilC is the soil temperature at which spring seeding begins: 50 °F
	// (common practice, no source).
	SpringSoilC = 10.0
	// frostC is the temperature of the air at which turf is taken to be frosted.
	frostC = 0.0
	// hardlyAny is the share of living seed up by now under which nothing can be
	// said of a bare patch.
	hardlyAny = 0.02
)

// A ComingKind is what a day ahead brings.
type ComingKind string

// What can come.
const (
	LookAgain         ComingKind = "look-again"  // nearly all of the first pass that lives should be up
	SecondUp          ComingKind = "second-up"   // half of a second pass sown today is up
	SecondMow         ComingKind = "second-mow"  // it is ready for the first cut
	SecondTillered    ComingKind = "second-till" // it is established
	LastSafeSowing    ComingKind = "last-safe"   // last safe date of a second pass
	FrostBegins       ComingKind = "frost"       // freezing nights begin
	FrostHasBegun     ComingKind = "frost-since" // they have begun, on Since
	CutoffExpected    ComingKind = "cutoff"      // cutoff of the middle member
	CutoffHasBeenSeen ComingKind = "cutoff-past" // the cutoff lies before today
)

// Coming is a day ahead that matters to a thin first pass.
type Coming struct {
	Day      climate.Day
	Kind     ComingKind
	P10, P90 *climate.Day // range of the stages of a second pass; nil where either is not known
	Since    *climate.Day // of FrostHasBegun
}

// Advise works out what can be done about a first pass, from how it looks on the
// as-of day of the ensemble. A first pass that lies after that day, or a cover that
// is no share, is an error; so is [ErrNoSeasons].
func (e *Ensemble) Advise(o Options, first climate.Day, stand Stand) (*Advice, error) {
	a := &Advice{Stand: stand}
	var err error
	if a.First, err = e.Outlook(o, first); err != nil {
		return nil, err
	}
	if a.Report, err = e.Judge(a.First, stand); err != nil {
		return nil, err
	}
	a.NothingUp = a.Report.ExpectedUp < hardlyAny && stand.Cover == 0
	if err := e.secondPasses(a); err != nil {
		return nil, err
	}
	if a.Surer, err = e.surer(a.Second[0].Outlook); err != nil {
		return nil, err
	}
	if err := e.fallbacks(a); err != nil {
		return nil, err
	}
	a.Coming = a.coming(e.AsOf)
	return a, nil
}

// secondPasses looks at sowing today, later, and once the first pass is clear.
func (e *Ensemble) secondPasses(a *Advice) error {
	today, o := e.AsOf, a.First.Options
	var err error
	if a.Second, err = e.LaterSowings(o, today); err != nil {
		return err
	}
	now := a.Second[0] // today lies in the season
	a.Worth = now.Chance >= FairChance
	if d, ok := now.LastSafe(o.Confidence); ok {
		a.LastSafe = &d
	}
	if c := a.Report.ClearOn; c != nil && *c > today && *c <= e.station.Calendar.Last(e.Season) {
		a.OnClear, err = e.Outlook(o, *c)
	}
	return err
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

// fallbacks finds the days of dormant and spring seeding, and of the first frost.
func (e *Ensemble) fallbacks(a *Advice) error {
	const year = 400 // days, with some to spare
	today, o := e.AsOf, a.First.Options
	dormant, err := e.ColdSoil(today, turf.DormantSoilC)
	if err != nil {
		return err
	}
	if turf.DormantSeeding(o.Species.ID) {
		a.Dormant = dormant
	}
	for _, c := range e.station.Normal5C.Crossings(SpringSoilC, today+1, today+year) {
		if c.Rising {
			a.Spring = &c.Day
			break
		}
	}
	o.FreezeC = new(frostC)
	x, err := e.Outlook(o, today)
	if errors.Is(err, ErrNoSeasons) {
		return nil
	}
	if err != nil {
		return err
	}
	if d, ok := x.Freeze.At(0.5); ok {
		a.Frost = &d
	}
	return nil
}

// coming lists the days ahead, and a frost and a cutoff that have come. A second
// pass that is not worth it has no days.
func (a *Advice) coming(today climate.Day) []Coming {
	var out []Coming
	add := func(d *climate.Day, c Coming) {
		if d != nil && *d >= today {
			c.Day = *d
			out = append(out, c)
		}
	}
	add(a.Report.ClearOn, Coming{Kind: LookAgain})
	if a.Worth {
		for i, s := range a.Second[0].Stages {
			c := Coming{Kind: []ComingKind{SecondUp, SecondMow, SecondTillered}[i]}
			if s.P10 != nil && s.P90 != nil {
				c.P10, c.P90 = s.P10, s.P90
			}
			add(s.P50, c)
		}
	}
	add(a.LastSafe, Coming{Kind: LastSafeSowing})
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
