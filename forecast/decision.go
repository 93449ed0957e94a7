package forecast

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"

	"swardcast/climate"
)

// An Action is something to do about a thin first sowing.
type Action string

// The actions.
const (
	SowNow    Action = "sow"   // a second pass today
	WaitUntil Action = "wait"  // look again on a day, and decide then
	LeaveIt   Action = "leave" // what is up and still to come is enough, or as good as it gets
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
	// CostAtHand and CostToBuy are what a second pass costs, as the share of cover
	// that its work, and the seed where it must be bought, are worth (M).
	CostAtHand, CostToBuy = 0.05, 0.10
	// RakingLoss is the share of living seed that is not yet up which raking in a
	// second pass destroys (M).
	RakingLoss = 0.20
	// TooSoonUp is the share of living seed that should be up below which a thin stand
	// says nothing yet, unless digging found no seed (M).
	TooSoonUp = 0.25
	// minGain is by how much another look must be worth more than acting on this
	// one (M).
	minGain = 0.005
)

// A Supply is the seed there is for a second pass.
type Supply struct {
	AtHand float64 // seed at hand, as a share of what the bare part needs at its rate
	Buys   bool    // what is missing is bought
}

// A Choice is an action with what it is expected to bring. Covers are shares of the
// stand wanted at the cutoff.
type Choice struct {
	Action Action
	On     climate.Day // day of sowing, or of the next look
	Cover  float64     // expected cover
	Low    float64     // its interval, IntervalPercent wide
	High   float64
	Chance float64 // that seed sown on that day reaches the stage before the cutoff; NaN for leaving it
	Worth  float64 // expected share of a full stand less the cost: the choices are compared by it
}

// A Decision is what to do about a thin first sowing.
type Decision struct {
	Best    *Choice  // of Choices
	Choices []Choice // sow, wait where a later look can tell more, leave
	Report  *StandReport
	// WorthUntil is the last day of those from today on which a second pass is still
	// worth more than leaving the stand, by what is known today; nil where today is
	// not.
	WorthUntil *climate.Day
	// TooSoon reports that so little of living seed should be up yet that a thin stand
	// says nothing: then no second pass is offered.
	TooSoon bool
}

// Decide chooses between a second pass today, another look first, and leaving the
// stand, by the expected result of each:
//
//	cover(leave)  = max(alive, seen)
//	cover(sow)    = kept + (1 − kept) × emergence × supply, with the chance of the day
//	kept          = cover(leave) − RakingLoss × alive × (1 − up)
//	worth(cover)  = min(cover, FullCover) / FullCover − cost
//	worth(wait d) = E over what may be seen on day d of max(worth(sow d), worth(leave))
//
// alive has the posterior of [Ensemble.Judge]; emergence is that of a sowing that
// goes as sowings do (emergenceOf); what will be seen on day d is drawn
// from the posterior and weighed with what is seen today, so that a look counts for
// what it adds and no more. With a chance below StopBelow no second pass is offered.
//
// It returns the errors of [Ensemble.Judge] and [Ensemble.Outlooks].
//
// Reference: expected value of sample information, Raiffa & Schlaifer 1961, Applied
// Statistical Decision Theory (from memory).
func (e *Ensemble) Decide(first *Outlook, stand Stand, supply Supply) (*Decision, error) {
	report, err := e.Judge(first, stand)
	if err != nil {
		return nil, err
	}
	if !(supply.AtHand >= 0) {
		return nil, fmt.Errorf("%w: seed at hand %g of the need", ErrOptions, supply.AtHand)
	}
	today, last := e.AsOf, e.station.Calendar.Last(e.Season)
	var days []climate.Day
	for d := today; d <= last; d++ {
		days = append(days, d)
	}
	sown, err := e.chances(first.Options, days)
	if err != nil {
		return nil, err
	}
	chance := func(d climate.Day) float64 { return sown[d-today] }

	t := newThinStand(first, stand, supply)
	dec := &Decision{Report: report, TooSoon: report.ExpectedUp < TooSoonUp && stand.Found != NoSeed}
	leave := t.leave()
	best := leave
	if sow := t.sow(today, chance(today), first.EmergedFraction); chance(today) >= StopBelow && !dec.TooSoon {
		dec.Choices = append(dec.Choices, sow)
		if sow.Worth > best.Worth {
			best = sow
		}
	}
	up := e.upBy(first)
	var wait *Choice
	for _, d := range e.looks(first, report, last) {
		if c := t.wait(d, chance(d), up(d)); wait == nil || c.Worth > wait.Worth {
			wait = &c
		}
	}
	if wait != nil {
		dec.Choices = append(dec.Choices, *wait)
		if wait.Worth > best.Worth+minGain {
			best = *wait
		}
	}
	if best.Action == LeaveIt && chance(today) < StopBelow && leave.Cover < FullCover {
		leave.Action = Stop
		best = leave
	}
	dec.Choices = append(dec.Choices, leave)
	dec.Best = &dec.Choices[slices.IndexFunc(dec.Choices, func(c Choice) bool { return c.Action == best.Action })]
	for d := today; d <= last && chance(d) >= StopBelow; d++ {
		if t.sow(d, chance(d), up(d)).Worth <= leave.Worth {
			break
		}
		dec.WorthUntil = new(d)
	}
	return dec, nil
}

// looks are the days on which another look could tell more: until nearly all living
// seed should be up.
func (e *Ensemble) looks(first *Outlook, r *StandReport, last climate.Day) []climate.Day {
	if r.ClearOn == nil || r.MoreThanCan {
		return nil
	}
	var days []climate.Day
	for _, n := range []climate.Day{3, 5, 7, 10, 14, 21} {
		if d := e.AsOf + n; d < *r.ClearOn && d <= last {
			days = append(days, d)
		}
	}
	if *r.ClearOn > e.AsOf && *r.ClearOn <= last {
		days = append(days, *r.ClearOn)
	}
	return days
}

// upBy gives the share of living seed that should be up by a day to come, by the
// median thermal time of the members.
func (e *Ensemble) upBy(first *Outlook) func(climate.Day) float64 {
	grown := make([]grownMember, len(e.members))
	for i, m := range e.members {
		grown[i] = grownMember{m, m.growth(&first.Options)}
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

// A thinStand is a first sowing with the posterior of its living seed.
type thinStand struct {
	seen   float64
	mass   []float64 // by steps of the living share, normalized
	up     float64   // share of living seed up today
	supply float64   // share of the bare part that is sown at its rate
	cost   float64

	emergence distuv.Beta // of new seed, as a share of the best stand
}

func newThinStand(first *Outlook, stand Stand, s Supply) *thinStand {
	t := &thinStand{seen: stand.Cover, mass: aliveMass(first, stand), up: first.EmergedFraction,
		supply: math.Min(1, s.AtHand), cost: CostAtHand, emergence: emergenceOf(&first.Options.Species)}
	if s.Buys && s.AtHand < 1 {
		t.cost += (CostToBuy - CostAtHand) * (1 - t.supply)
		t.supply = 1
	}
	floats.Scale(1/floats.Sum(t.mass), t.mass)
	return t
}

// kept is the cover that comes of the first sowing where a share of its seed lives.
func (t *thinStand) kept(alive float64) float64 { return math.Max(alive, t.seen) }

// with is the cover where new seed of a chance makes it over what is kept.
func (t *thinStand) with(kept float64) float64 { return kept + (1-kept)*t.emergence.Mean()*t.supply }

// raked is what is kept after raking in new seed while a share of the living is up.
func (t *thinStand) raked(alive, up float64) float64 {
	return math.Max(t.seen, t.kept(alive)-RakingLoss*alive*(1-up))
}

func worth(cover float64) float64 { return math.Min(cover, FullCover) / FullCover }

func (t *thinStand) leave() Choice {
	c := Choice{Action: LeaveIt, Chance: math.NaN()}
	for i, m := range t.mass {
		kept := t.kept(aliveAt(i))
		c.Cover += m * kept
		c.Worth += m * worth(kept)
	}
	c.Cover = math.Min(1, c.Cover) // the masses add up to 1 but for rounding
	c.Low, c.High = t.interval(func(alive float64) (float64, float64) { return t.kept(alive), t.kept(alive) }, 0)
	return c
}

// sowWorth is the worth of sowing with a chance where a share of the seed lives.
func (t *thinStand) sowWorth(alive, chance, up float64) float64 {
	kept := t.raked(alive, up)
	return chance*worth(t.with(kept)) + (1-chance)*worth(kept) - t.cost
}

func (t *thinStand) sow(day climate.Day, chance, up float64) Choice {
	c := Choice{Action: SowNow, On: day, Chance: chance}
	for i, m := range t.mass {
		kept := t.raked(aliveAt(i), up)
		c.Cover += m * (chance*t.with(kept) + (1-chance)*kept)
		c.Worth += m * t.sowWorth(aliveAt(i), chance, up)
	}
	c.Cover = math.Min(1, c.Cover)
	c.Low, c.High = t.interval(func(alive float64) (float64, float64) {
		kept := t.raked(alive, up)
		return kept, t.with(kept)
	}, chance)
	return c
}

// wait is another look on a day, with the chance of that day and the share of living
// seed that is up by then, and the better of sowing and leaving after it.
func (t *thinStand) wait(day climate.Day, chance, up float64) Choice {
	const looks = 41 // covers that may be seen
	c := Choice{Action: WaitUntil, On: day, Chance: chance}
	// probability[i][k] is that of seeing cover k where the living share is i. What is
	// up stays up: an eye may err, but no stand thins by waiting.
	probability := make([][looks]float64, len(t.mass))
	for i := range t.mass {
		alive, total := aliveAt(i), 0.0
		for k := range looks {
			p := coverProbability(float64(k)/(looks-1), math.Max(alive*up, math.Min(t.seen, alive)))
			probability[i][k] = p
			total += p
		}
		for k := range looks {
			probability[i][k] /= total
		}
	}
	for k := range looks {
		sow, leave, coverSow, coverLeave := 0.0, 0.0, 0.0, 0.0
		for i, m := range t.mass {
			alive := aliveAt(i)
			p := m * probability[i][k]
			kept, raked := t.kept(alive), t.raked(alive, up)
			leave += p * worth(kept)
			coverLeave += p * kept
			if chance >= StopBelow {
				sow += p * t.sowWorth(alive, chance, up)
				coverSow += p * (chance*t.with(raked) + (1-chance)*raked)
			}
		}
		if sow > leave {
			c.Worth += sow
			c.Cover += coverSow
		} else {
			c.Worth += leave
			c.Cover += coverLeave
		}
	}
	c.Cover = math.Min(1, c.Cover)
	c.Low, c.High = t.interval(func(alive float64) (float64, float64) {
		kept := t.kept(alive)
		if chance >= StopBelow && t.sowWorth(alive, chance, up) > worth(kept) {
			return t.raked(alive, up), t.with(t.raked(alive, up))
		}
		return kept, kept
	}, chance)
	return c
}

// interval is that of a cover which, by the share of living seed, is one value where
// new seed fails and another where it makes it.
func (t *thinStand) interval(cover func(alive float64) (fails, makes float64), chance float64) (low, high float64) {
	const tail = (100 - IntervalPercent) / 200.0
	// New seed emerges more or less well: three values stand for its distribution.
	type part struct{ cover, mass float64 }
	var parts []part
	for i, m := range t.mass {
		fails, makes := cover(aliveAt(i))
		parts = append(parts, part{fails, m * (1 - chance)})
		for _, p := range []float64{1.0 / 6, 0.5, 5.0 / 6} {
			parts = append(parts, part{fails + (makes-fails)*t.emergence.Quantile(p)/t.emergence.Mean(), m * chance / 3})
		}
	}
	slices.SortFunc(parts, func(a, b part) int {
		switch {
		case a.cover < b.cover:
			return -1
		case a.cover > b.cover:
			return 1
		}
		return 0
	})
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
