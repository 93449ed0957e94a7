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

// A Stand is the first sowing as it looks.
type Stand struct {
	Cover float64 // share of the stand wanted that is up, 0 to 1
	Found SeedFound
}

// The assumptions of the model of a thin stand. They are printed with every
// answer.
const (
	// StandNormalWeight is the prior probability that the sowing was normal: between
	// a half and two in three, since its owner is worried about it (M).
	StandNormalWeight = 0.6
	// CoverSD is the standard deviation of an estimate of cover by eye, share (M).
	CoverSD = 0.10
	// FindSeeds is how many seeds a search finds where all of them lie (M).
	FindSeeds = 10
	// Mistaken is the share of searches whose result is wrong altogether, so that no
	// single one rules anything out; a tenth of it is that of looks at the cover (M).
	Mistaken = 0.02
)

// A StandReport is the state of a thin first sowing: a posterior over the share of
// its seed that survives, in the ground or up.
//
//	surviving ~ 0.6 Beta(α, β) + 0.4 Uniform(0, 1)
//	cover ~ Normal(surviving × up, 0.10), up from the soil and the seed lot so far
//	seeds found ~ Poisson(10 × surviving × (1 − up)): none, 1–3 few, more yes
//
// α and β are those of the species' emergence in the field ([turf.Emergence.Beta]): 68
// to 94 % of perennial ryegrass, 18 to 69 % of tall fescue. The shares up are those of
// [Species.EmergedShare] under the error of soil and seed lot. The model is ours; its
// assumptions are stated beside each figure.
type StandReport struct {
	ExpectedUp              float64 // share of surviving seed expected up by today
	ExpectedLow, ExpectedHi float64 // its interval, IntervalPercent wide
	SurvivingP10            float64 // of the share of the seed that survives
	SurvivingP50            float64
	SurvivingP90            float64
	LostProbability         float64 // that more than half of the seed is lost
	FinalP10, FinalP50      float64 // cover once all surviving seed is up
	FinalP90                float64
	// MoreThanCan reports a cover higher than the soil so far allows: the day of
	// sowing, the cover or the species is wrong.
	MoreThanCan bool
	// ClearOn is the day by which nine in ten surviving seeds are up in nine of ten
	// possible outcomes: seed that is not up then is lost. nil where that is not
	// before the season ends.
	ClearOn *climate.Day
}

// ErrStand is the error of an invalid stand: its cover is not a share, what was
// found is none of the constants, it was sown after the day of the look or in
// another season, or its outlook is not one of the ensemble.
var ErrStand = errors.New("invalid stand")

// Judge works out the state of a first sowing, from its outlook by this ensemble as
// of the day the stand was looked at. It returns [ErrStand].
func (e *Ensemble) Judge(first *Outlook, stand Stand) (*StandReport, error) {
	switch {
	case !(stand.Cover >= 0 && stand.Cover <= 1):
		return nil, &kindError{ErrStand, fmt.Sprintf("a cover of %g %% is not between 0 and 100 %%", 100*stand.Cover)}
	case !slices.Contains([]SeedFound{NotDug, NoSeed, FewSeeds, ManySeeds}, stand.Found):
		return nil, &kindError{ErrStand, fmt.Sprintf("%q is not an answer to what digging showed", stand.Found)}
	case first == nil || first.ensemble == nil:
		return nil, &kindError{ErrStand, "there is no outlook of the first sowing"}
	case first.Options.Season != e.Season:
		return nil, &kindError{ErrStand,
			fmt.Sprintf("the first sowing is of the season of %d, the look of %d", first.Options.Season, e.Season)}
	case first.ensemble != e:
		return nil, &kindError{ErrStand, "the outlook of the first sowing is of another ensemble"}
	case first.Sow > e.AsOf:
		return nil, &kindError{ErrStand,
			fmt.Sprintf("the first sowing, on %s, lies after the day of the look, %s", first.Sow, e.AsOf)}
	}
	r := &StandReport{ExpectedUp: first.EmergedFraction, ExpectedLow: first.EmergedLow, ExpectedHi: first.EmergedHigh}
	r.MoreThanCan = stand.Cover > r.ExpectedHi+3*CoverSD
	r.posterior(first, stand)
	r.ClearOn = e.clearOn(first)
	return r, nil
}

// survivalSteps is the number of steps in which the share of surviving seed is
// followed.
const survivalSteps = 200

// survivingAt is the share of surviving seed in the middle of a step.
func survivingAt(i int) float64 { return (float64(i) + 0.5) / survivalSteps }

// survivalMass is the posterior of the share of surviving seed, by steps, not
// normalized: the prior times the likelihood of what was seen, over the error of the
// thermal time.
func survivalMass(first *Outlook, stand Stand) []float64 {
	const steps = 21 // of the thermal time
	sp := &first.Options.Species
	prior := emergenceOf(sp)
	mass := make([]float64, survivalSteps)
	for i := range mass {
		surviving := survivingAt(i)
		for k := range steps {
			z := -3 + 6*float64(k)/(steps-1)
			up := sp.EmergedShare(first.ThermalTime + z*first.thermalTimeSD)
			like := coverProbability(stand.Cover, surviving*up) * foundProbability(stand.Found, surviving*(1-up))
			mass[i] += math.Exp(-z*z/2) * like
		}
		mass[i] *= StandNormalWeight*prior.Prob(surviving) + (1 - StandNormalWeight)
	}
	return mass
}

// posterior sets the quantiles of the share of surviving seed.
func (r *StandReport) posterior(first *Outlook, stand Stand) {
	mass := survivalMass(first, stand)
	total := floats.Sum(mass)
	sum := 0.0
	quantile := map[*float64]float64{&r.SurvivingP10: 0.1, &r.SurvivingP50: 0.5, &r.SurvivingP90: 0.9}
	for i, m := range mass {
		surviving := survivingAt(i)
		sum += m / total
		if surviving < 0.5 {
			r.LostProbability = sum
		}
		for to, p := range quantile {
			if sum >= p {
				*to = surviving
				delete(quantile, to)
			}
		}
	}
	// Seedlings that are up stay up: the final cover is no less than the cover now.
	r.FinalP10 = math.Max(r.SurvivingP10, stand.Cover)
	r.FinalP50 = math.Max(r.SurvivingP50, stand.Cover)
	r.FinalP90 = math.Max(r.SurvivingP90, stand.Cover)
}

// coverProbability is the density of a cover that is seen where another is up.
func coverProbability(seen, up float64) float64 {
	return (1-Mistaken/10)*distuv.Normal{Mu: up, Sigma: CoverSD}.Prob(seen) + Mistaken/10
}

// foundProbability is the probability of what digging showed where a share of
// the seed survives in the ground, not up.
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

// clearOn is the day by which nine in ten surviving seeds are up in all but a tenth
// of the possible outcomes, with the seed lot at its slowest tenth.
func (e *Ensemble) clearOn(first *Outlook) *climate.Day {
	sp := first.Options.Species
	need := sp.Emerged.Value * math.Exp(zTenth*math.Hypot(sp.Spread.Value, turf.LotLogSD))
	var days []float64
	for _, m := range e.members {
		x := grownMember{Station: m, growth: m.growth(&first.Options)}
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

// emergenceOf is the share of viable seed of a species that comes up in a normal sowing.
func emergenceOf(sp *turf.Species) distuv.Beta {
	alpha, beta := turf.FieldEmergence(sp.ID).Beta()
	return distuv.Beta{Alpha: alpha, Beta: beta}
}
