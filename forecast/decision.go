package forecast

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"swardcast/climate"
)

// An Action is something to do about a thin first sowing.
type Action string

// The actions.
const (
	SowNow    Action = "sow"   // sow again today
	BuySeed   Action = "buy"   // buy the seed that lacks, and sow again
	WaitUntil Action = "wait"  // look again on a day, and decide then
	LeaveIt   Action = "leave" // no more seed: the cover now and still to come is enough, or more seed adds too little
	Stop      Action = "stop"  // too late for seed to establish before the cutoff
)

// The figures of the decision between them. They are judgements of ours, without a
// published source, and are printed with every answer.
const (
	// FullCover is the cover from which a stand fills in by itself: more seed adds
	// nothing that matters (M).
	FullCover = 0.85
	// StopBelow is the chance of new seed below which sowing is not offered (M).
	StopBelow = 0.10
	// CostAtHand and CostToBuy are what a second sowing costs, as the share of cover
	// that its work, and the seed where it must be bought, are worth (M).
	CostAtHand, CostToBuy = 0.05, 0.10
	// RakingLoss is the share of surviving seed that is not yet up which raking in a
	// second sowing destroys (M).
	RakingLoss = 0.20
	// TooSoonUp is the share of surviving seed that should be up below which a thin
	// stand says nothing yet, unless digging found no seed (M).
	TooSoonUp = 0.50
	// minGain is by how much another look must be worth more than acting on this
	// one (M).
	minGain = 0.005
)

// A Supply is the seed there is for a second sowing. The zero value is none, and
// none to be bought.
type Supply struct {
	AtHand  float64 // seed at hand, as a share of what the bare part needs at its rate
	Buys    bool    // what lacks can be bought
	Unknown bool    // nothing is known: seed is taken to be there for all of it, at the cost of buying it
}

// A Choice is an action with what it is expected to bring. Covers are shares of the
// stand wanted at the cutoff.
type Choice struct {
	Action Action
	On     climate.Day // day of sowing, or of the next look; the zero day for leaving it
	Cover  float64     // expected cover
	Low    float64     // its interval, IntervalPercent wide
	High   float64
	Chance float64 // that seed sown on that day reaches the stage before the cutoff; NaN for leaving it
	Seed   float64 // seed that it sows, as a share of the need; NaN where the look decides
	Worth  float64 // expected share of a full stand less the cost: the choices are compared by it
}

// A Decision is what to do about a thin first sowing.
type Decision struct {
	Best    *Choice  // of Choices
	Choices []Choice // sow, buy where seed lacks, wait where a later look can show more, leave
	Report  *StandReport
	// WorthUntil is the last day of those from today to midwinter on which a second
	// sowing is still worth more than leaving the stand, by what is known today; nil
	// where today is not.
	WorthUntil *climate.Day
	// ChanceUntil is the chance of sowing on WorthUntil.
	ChanceUntil float64
	// TooSoon reports that so little of the surviving seed should be up yet that a thin
	// stand says nothing: then no second sowing is offered.
	TooSoon bool
}

// Find returns the choice of an action, nil where it is not among the choices.
func (d *Decision) Find(a Action) *Choice {
	if i := slices.IndexFunc(d.Choices, func(c Choice) bool { return c.Action == a }); i >= 0 {
		return &d.Choices[i]
	}
	return nil
}

// Decide chooses between a second sowing today, with the seed at hand or with what
// lacks bought, another look first, and leaving the stand, by the expected result of
// each:
//
//	cover(leave)  = max(surviving, cover now)
//	cover(sow)    = kept + (1 − kept) × emergence × supply, with the chance of the day
//	kept          = cover(leave) − RakingLoss × surviving × (1 − up)
//	worth(cover)  = min(cover, FullCover) / FullCover − cost
//	worth(wait d) = E over what may be seen on day d of max(worth(sow d), worth(leave))
//
// surviving has the posterior of [Ensemble.Judge]; emergence is that of a normal
// sowing of the species ([turf.Emergence.Beta]); what will be seen on day d is drawn from the
// posterior and weighed with the cover now, so that a look counts for what it adds
// and no more. With a chance below StopBelow no second sowing is offered. Where
// sowing is best, the seed at hand is sown if that alone is worth more than leaving
// the stand, and seed is bought otherwise.
//
// It returns the errors of [Ensemble.Judge] and [Ensemble.Outlooks].
//
// Reference: expected value of sample information, Raiffa & Schlaifer 1961, Applied
// Statistical Decision Theory (from memory).
func (e *Ensemble) Decide(first *Outlook, stand Stand, supply Supply) (*Decision, error) {
	if !(supply.AtHand >= 0) {
		return nil, fmt.Errorf("%w: seed at hand %g of the need", ErrOptions, supply.AtHand)
	}
	report, err := e.Judge(first, stand)
	if err != nil {
		return nil, err
	}
	p, err := e.prospect(first)
	if err != nil {
		return nil, err
	}
	return p.decide(stand, supply, report), nil
}

// A prospect is what a decision needs of the season: the chance of sowing on each day
// from today on, and the share of surviving seed up by each.
type prospect struct {
	first       *Outlook
	today, last climate.Day
	midwinter   climate.Day // end of the season's first six months
	chances     []float64   // by day from today on
	up          func(climate.Day) float64
}

func (e *Ensemble) prospect(first *Outlook) (*prospect, error) {
	p := &prospect{first: first, today: e.AsOf, last: e.station.Calendar.Last(e.Season),
		midwinter: e.station.Calendar.Half(e.Season), up: e.upBy(first)}
	var days []climate.Day
	for d := p.today; d <= p.last; d++ {
		days = append(days, d)
	}
	var err error
	p.chances, err = e.chances(first.Options, days)
	return p, err
}

func (p *prospect) chance(d climate.Day) float64 { return p.chances[d-p.today] }

func (p *prospect) decide(stand Stand, supply Supply, report *StandReport) *Decision {
	t := newThinStand(p.first, stand, supply)
	d := &Decision{Report: report, TooSoon: report.ExpectedUp < TooSoonUp && stand.Found != NoSeed}
	leave := t.leave()
	now := p.chance(p.today)
	if now >= StopBelow && !d.TooSoon {
		for _, plan := range t.plans {
			d.Choices = append(d.Choices, t.sow(plan, p.today, now, p.first.EmergedFraction))
		}
	}
	act := leave
	for _, c := range d.Choices {
		if c.Worth > act.Worth {
			act = c
		}
	}
	var wait *Choice
	for _, day := range p.looks(report) {
		if c := t.wait(day, p.chance(day), p.up(day)); wait == nil || c.Worth > wait.Worth {
			wait = &c
		}
	}
	best := act.Action
	if wait != nil {
		d.Choices = append(d.Choices, *wait)
		if wait.Worth > act.Worth+minGain {
			best = WaitUntil
		}
	}
	if c := d.Find(SowNow); best == BuySeed && c != nil && c.Worth > leave.Worth {
		best = SowNow
	}
	if best == LeaveIt && now < StopBelow && leave.Cover < FullCover {
		leave.Action, best = Stop, Stop
	}
	d.Choices = append(d.Choices, leave)
	d.Best = d.Find(best)
	for day := p.today; day <= max(p.today, p.midwinter) && p.chance(day) >= StopBelow; day++ {
		if !slices.ContainsFunc(t.plans, func(plan plan) bool {
			return t.expectedWorth(plan, p.chance(day), p.up(day)) > leave.Worth
		}) {
			break
		}
		d.WorthUntil, d.ChanceUntil = new(day), p.chance(day)
	}
	return d
}

// looks are the days on which another look could change something: until nearly all
// surviving seed should be up, and while new seed still has a chance.
func (p *prospect) looks(r *StandReport) []climate.Day {
	if r.ClearOn == nil || r.MoreThanCan {
		return nil
	}
	var days []climate.Day
	for _, n := range []climate.Day{3, 5, 7, 10, 14, 21} {
		if d := p.today + n; d < *r.ClearOn {
			days = append(days, d)
		}
	}
	if *r.ClearOn > p.today {
		days = append(days, *r.ClearOn)
	}
	return slices.DeleteFunc(days, func(d climate.Day) bool { return d > p.last || p.chance(d) < StopBelow })
}

// upBy gives the share of surviving seed that should be up by a day to come, by the
// median thermal time of the members.
func (e *Ensemble) upBy(first *Outlook) func(climate.Day) float64 {
	grown := make([]grownMember, len(e.members))
	for i, m := range e.members {
		grown[i] = grownMember{Station: m, growth: m.growth(&first.Options)}
	}
	return func(day climate.Day) float64 {
		var sums []float64
		for _, m := range grown {
			i, j := m.Record.Index(first.Sow), m.Record.Index(day)
			if i >= 0 && j < m.Record.Len() {
				sums = append(sums, m.progress(i, j))
			}
		}
		if len(sums) == 0 {
			return 0
		}
		return first.Options.Species.EmergedShare(climate.Quantile(0.5, sorted(sums)))
	}
}

// A plan is a way to sow again: how much of the need is sown, at which cost.
type plan struct {
	action Action
	supply float64
	cost   float64
	// emergence is the mean of new seed, as a share of the best stand.
	emergence float64
}

// plans are the ways to sow again that a supply leaves.
func (s Supply) plans() []plan {
	hand := math.Min(1, s.AtHand)
	if s.Unknown {
		return []plan{{action: SowNow, supply: 1, cost: CostToBuy}}
	}
	var plans []plan
	if hand > 0 {
		plans = append(plans, plan{action: SowNow, supply: hand, cost: CostAtHand})
	}
	if s.Buys && hand < 1 {
		plans = append(plans, plan{action: BuySeed, supply: 1, cost: CostAtHand + (CostToBuy-CostAtHand)*(1-hand)})
	}
	return plans
}

// A thinStand is a first sowing with the posterior of its surviving seed.
type thinStand struct {
	seen  float64
	mass  []float64 // by steps of the surviving share, normalized
	plans []plan
	// New seed emerges more or less well: the medians of the thirds of its distribution
	// stand for it.
	emergence [3]float64
	mean      float64 // of emergence
}

func newThinStand(first *Outlook, stand Stand, s Supply) *thinStand {
	t := &thinStand{seen: stand.Cover, mass: survivalMass(first, stand), plans: s.plans()}
	floats.Scale(1/floats.Sum(t.mass), t.mass)
	emergence := emergenceOf(&first.Options.Species)
	for i := range t.plans {
		t.plans[i].emergence = emergence.Mean()
	}
	t.mean = emergence.Mean()
	t.emergence = [3]float64{emergence.Quantile(1.0 / 6), emergence.Quantile(0.5), emergence.Quantile(5.0 / 6)}
	return t
}

// kept is the cover that comes of the first sowing where a share of its seed survives.
func (t *thinStand) kept(surviving float64) float64 { return math.Max(surviving, t.seen) }

// with is the cover where new seed establishes over what is kept.
func (p plan) with(kept float64) float64 { return kept + (1-kept)*p.emergence*p.supply }

// raked is what is kept after raking in new seed while a share of the surviving is up.
func (t *thinStand) raked(surviving, up float64) float64 {
	return math.Max(t.seen, t.kept(surviving)-RakingLoss*surviving*(1-up))
}

func worth(cover float64) float64 { return math.Min(cover, FullCover) / FullCover }

func (t *thinStand) leave() Choice {
	c := Choice{Action: LeaveIt, Chance: math.NaN()}
	for i, m := range t.mass {
		kept := t.kept(survivingAt(i))
		c.Cover += m * kept
		c.Worth += m * worth(kept)
	}
	c.Cover = math.Min(1, c.Cover) // the masses add up to 1 but for rounding
	c.Low, c.High = t.interval(func(surviving float64) (fails, makes float64) {
		return t.kept(surviving), t.kept(surviving)
	}, 0)
	return c
}

// sowWorth is the worth of sowing with a chance where a share of the seed survives.
func (t *thinStand) sowWorth(p plan, surviving, chance, up float64) float64 {
	kept := t.raked(surviving, up)
	return chance*worth(p.with(kept)) + (1-chance)*worth(kept) - p.cost
}

// expectedWorth is the worth of sowing with a chance over what may survive.
func (t *thinStand) expectedWorth(p plan, chance, up float64) float64 {
	w := 0.0
	for i, m := range t.mass {
		w += m * t.sowWorth(p, survivingAt(i), chance, up)
	}
	return w
}

func (t *thinStand) sow(p plan, day climate.Day, chance, up float64) Choice {
	c := Choice{Action: p.action, On: day, Chance: chance, Seed: p.supply, Worth: t.expectedWorth(p, chance, up)}
	for i, m := range t.mass {
		kept := t.raked(survivingAt(i), up)
		c.Cover += m * (chance*p.with(kept) + (1-chance)*kept)
	}
	c.Cover = math.Min(1, c.Cover)
	c.Low, c.High = t.interval(func(surviving float64) (fails, makes float64) {
		kept := t.raked(surviving, up)
		return kept, p.with(kept)
	}, chance)
	return c
}

// wait is another look on a day, with the chance of that day and the share of
// surviving seed that is up by then, and the better of sowing and leaving after it.
func (t *thinStand) wait(day climate.Day, chance, up float64) Choice {
	const looks = 41 // covers that may be seen
	c := Choice{Action: WaitUntil, On: day, Chance: chance, Seed: math.NaN()}
	// probability[i][k] is that of seeing cover k where the surviving share is i. An
	// estimate by eye may err, but seedlings that are up stay up.
	probability := make([][looks]float64, len(t.mass))
	for i := range t.mass {
		surviving, total := survivingAt(i), 0.0
		for k := range looks {
			p := coverProbability(float64(k)/(looks-1), math.Max(surviving*up, math.Min(t.seen, surviving)))
			probability[i][k] = p
			total += p
		}
		for k := range looks {
			probability[i][k] /= total
		}
	}
	plans := t.plans
	if chance < StopBelow {
		plans = nil
	}
	for k := range looks {
		worthLeft, coverLeft := 0.0, 0.0
		worths, covers := make([]float64, len(plans)), make([]float64, len(plans))
		for i, m := range t.mass {
			surviving := survivingAt(i)
			p := m * probability[i][k]
			kept, raked := t.kept(surviving), t.raked(surviving, up)
			worthLeft += p * worth(kept)
			coverLeft += p * kept
			for n, plan := range plans {
				worths[n] += p * t.sowWorth(plan, surviving, chance, up)
				covers[n] += p * (chance*plan.with(raked) + (1-chance)*raked)
			}
		}
		for n := range plans {
			if worths[n] > worthLeft {
				worthLeft, coverLeft = worths[n], covers[n]
			}
		}
		c.Worth += worthLeft
		c.Cover += coverLeft
	}
	c.Cover = math.Min(1, c.Cover)
	c.Low, c.High = t.interval(func(surviving float64) (fails, makes float64) {
		fails = t.kept(surviving)
		makes = fails
		most := worth(fails)
		for _, plan := range plans {
			if w := t.sowWorth(plan, surviving, chance, up); w > most {
				most, fails, makes = w, t.raked(surviving, up), plan.with(t.raked(surviving, up))
			}
		}
		return fails, makes
	}, chance)
	return c
}

// interval is that of a cover which, by the share of surviving seed, is one value
// where new seed fails and another where it establishes.
func (t *thinStand) interval(
	cover func(surviving float64) (fails, makes float64),
	chance float64,
) (low, high float64) {
	const tail = (100 - IntervalPercent) / 200.0
	type part struct{ cover, mass float64 }
	var parts []part
	for i, m := range t.mass {
		fails, makes := cover(survivingAt(i))
		parts = append(parts, part{fails, m * (1 - chance)})
		for _, emergence := range t.emergence {
			parts = append(parts, part{fails + (makes-fails)*emergence/t.mean, m * chance / 3})
		}
	}
	slices.SortFunc(parts, func(a, b part) int { return cmp.Compare(a.cover, b.cover) })
	low, high = parts[0].cover, parts[len(parts)-1].cover
	sum, found := 0.0, false
	for _, p := range parts {
		sum += p.mass
		if !found && sum >= tail {
			low, found = p.cover, true
		}
		if sum >= 1-tail {
			return low, math.Min(1, p.cover)
		}
	}
	return low, high
}
