package forecast

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// A SeedFound is how much seed digging in a thin patch found.
type SeedFound string

// The findings.
const (
	NotDug    SeedFound = ""
	NoSeed    SeedFound = "no"
	FewSeeds  SeedFound = "few"
	ManySeeds SeedFound = "yes"
)

// A Judgement is the state of a thin first pass.
type Judgement string

// The judgements.
const (
	KeepWaiting Judgement = "wait" // most of the seed is still there or up
	SeedGone    Judgement = "gone" // more than half of it is lost
	TooEarly    Judgement = "too-early"
)

// A Stand is the first pass as it looks.
type Stand struct {
	Cover float64 // share of the stand wanted that is up, 0 to 1
	Found SeedFound
}

// The assumptions of the model of a thin stand. They are printed with every
// answer.
const (
	// StandNormalWeight is the prior weight of a sowing that went as sowings do:
	// half to two in three, for a stand that somebody worries about (M).
	StandNormalWeight = 0.6
	// CoverSD is the error of an eye that judges cover, share (M).
	CoverSD = 0.10
	// FindSeeds is how many seeds a search finds where all of them lie (M).
	FindSeeds = 10
	// Mistaken is the part of searches that go wrong altogether, so that none by
	// itself rules anything out; an eye goes wrong altogether in a tenth of as
	// many looks (M).
	Mistaken = 0.02
	// JudgeAt is the probability from which a judgement is made.
	JudgeAt = 0.8
)

// A StandReport is what is to be thought of a thin first pass: a posterior over
// the share of its seed that is alive, up or not.
//
//	alive ~ 0.6 Beta(α, β) + 0.4 Uniform(0, 1)
//	cover ~ Normal(alive × up, 0.10), up from the soil and the lot so far
//	seeds found ~ Poisson(10 × alive × (1 − up)): none, 1–3 few, more yes
//
// α and β are those of the species' emergence in the field ([turf.Emergence.Beta]): 68 to
// 94 % of perennial ryegrass, 18 to 69 % of tall fescue. The shares up are those of
// [Species.EmergedShare] under the error of soil and lot. The model is ours; its assumptions are stated beside each figure.
type StandReport struct {
	ExpectedUp              float64 // share of living seed that should be up by now
	ExpectedLow, ExpectedHi float64 // its interval, IntervalPercent wide
	AliveP10, AliveP50      float64 // of the share of the seed that is alive
	AliveP90                float64
	MoreThanCan             bool    // more is seen than the soil so far allows: the dates or the cover cannot be right
	LostProbability         float64 // that more than half of the seed is lost
	Judgement               Judgement
	FinalP10, FinalP50      float64 // cover once all that is alive is up
	FinalP90                float64
	// ClearOn is the day by which nine in ten living seeds are up in nine of ten
	// possible outcomes: what is not up then is lost. nil where that is not before
	// the season ends.
	ClearOn *climate.Day
}

// ErrStand is the error of a stand that cannot be judged: its cover is not a
// share, what was found is none of the constants, or it was sown after the day of
// the look or in another season.
var ErrStand = errors.New("the stand cannot be judged")

// Judge works out the state of a first pass, from its outlook by this ensemble as
// of the day the stand was looked at. It returns [ErrStand].
func (e *Ensemble) Judge(first *Outlook, stand Stand) (*StandReport, error) {
	switch {
	case !(stand.Cover >= 0 && stand.Cover <= 1):
		return nil, &kindError{ErrStand, fmt.Sprintf("a cover of %g %% cannot be", 100*stand.Cover)}
	case !slices.Contains([]SeedFound{NotDug, NoSeed, FewSeeds, ManySeeds}, stand.Found):
		return nil, &kindError{ErrStand, fmt.Sprintf("%q is nothing that digging can show", stand.Found)}
	case first.Options.Season != e.Season:
		return nil, &kindError{ErrStand,
			fmt.Sprintf("the first pass is of the season of %d, the look of %d", first.Options.Season, e.Season)}
	case first.Sow > e.AsOf:
		return nil, &kindError{ErrStand,
			fmt.Sprintf("the first pass, on %s, lies after the day of the look, %s", first.Sow, e.AsOf)}
	}
	r := &StandReport{ExpectedUp: first.EmergedFraction, ExpectedLow: first.EmergedLow, ExpectedHi: first.EmergedHigh}
	r.MoreThanCan = stand.Cover > r.ExpectedHi+3*CoverSD
	r.posterior(first, stand)
	r.ClearOn = e.clearOn(first)
	switch {
	case r.LostProbability >= JudgeAt:
		r.Judgement = SeedGone
	case r.LostProbability <= 1-JudgeAt:
		r.Judgement = KeepWaiting
	default:
		r.Judgement = TooEarly
	}
	return r, nil
}

// aliveSteps is the number of steps in which the share of living seed is followed.
const aliveSteps = 200

// aliveAt is the share of living seed in the middle of a step.
func aliveAt(i int) float64 { return (float64(i) + 0.5) / aliveSteps }

// aliveMass is the posterior of the share of living seed, by steps, not normalized:
// the prior times the likelihood of what was seen, over the error of the thermal
// time.
func aliveMass(first *Outlook, stand Stand) []float64 {
	const steps = 21 // of the thermal time
	sp := &first.Options.Species
	prior := emergenceOf(sp)
	mass := make([]float64, aliveSteps)
	for i := range mass {
		alive := aliveAt(i)
		for k := range steps {
			z := -3 + 6*float64(k)/(steps-1)
			up := sp.EmergedShare(first.ThermalTime + z*first.thermalTimeSD)
			like := coverProbability(stand.Cover, alive*up) * foundProbability(stand.Found, alive*(1-up))
			mass[i] += math.Exp(-z*z/2) * like
		}
		mass[i] *= StandNormalWeight*prior.Prob(alive) + (1 - StandNormalWeight)
	}
	return mass
}

// emergenceOf is the share of viable seed of a species that comes up where a sowing goes as
// sowings do.
func emergenceOf(sp *turf.Species) distuv.Beta {
	alpha, beta := turf.FieldEmergence(sp.ID).Beta()
	return distuv.Beta{Alpha: alpha, Beta: beta}
}

// posterior sums up the share of living seed.
func (r *StandReport) posterior(first *Outlook, stand Stand) {
	mass := aliveMass(first, stand)
	total := floats.Sum(mass)
	sum := 0.0
	quantile := map[*float64]float64{&r.AliveP10: 0.1, &r.AliveP50: 0.5, &r.AliveP90: 0.9}
	for i, m := range mass {
		alive := aliveAt(i)
		sum += m / total
		if alive < 0.5 {
			r.LostProbability = sum
		}
		for to, p := range quantile {
			if sum >= p {
				*to = alive
				delete(quantile, to)
			}
		}
	}
	// What is up is up: the cover to come is no less than what is seen, but for
	// the eye.
	r.FinalP10 = math.Max(r.AliveP10, stand.Cover)
	r.FinalP50 = math.Max(r.AliveP50, stand.Cover)
	r.FinalP90 = math.Max(r.AliveP90, stand.Cover)
}

// coverProbability is the density of a cover that is seen where another is up.
func coverProbability(seen, up float64) float64 {
	return (1-Mistaken/10)*distuv.Normal{Mu: up, Sigma: CoverSD}.Prob(seen) + Mistaken/10
}

// foundProbability is the probability of what digging showed where a share of
// the seed lies in the ground, alive and not up.
func foundProbability(found SeedFound, lies float64) float64 {
	n := FindSeeds * lies
	none := math.Exp(-n)
	few := none * (n + n*n/2 + n*n*n/6)
	p := 1.0
	switch found {
	case NotDug:
		return 1
	case NoSeed:
		p = none
	case FewSeeds:
		p = few
	default:
		p = 1 - none - few
	}
	return (1-Mistaken)*math.Max(0, p) + Mistaken/3
}

// clearOn is the day by which nine in ten living seeds are up in all but a tenth
// of what may come, with the lot at its slowest tenth.
func (e *Ensemble) clearOn(first *Outlook) *climate.Day {
	sp := first.Options.Species
	need := sp.Emerged.Value * math.Exp(zTenth*math.Hypot(sp.Spread.Value, turf.LotLogSD))
	var days []float64
	for _, m := range e.members {
		x := grownMember{m, m.growth(&first.Options)}
		x.emerged = need
		if d := x.daysUntil(first.Sow, need); !math.IsNaN(d) {
			days = append(days, d)
		}
	}
	if len(days) == 0 {
		return nil
	}
	q := climate.Quantile(0.9, sorted(days))
	if math.IsInf(q, 0) {
		return nil
	}
	return new(first.Sow + climate.Day(climate.CeilDay(q)))
}
