package turf

import "fmt"

// A RateBasis says what a seeding rate is.
type RateBasis string

// The bases.
const (
	RatePublished RateBasis = "published"  // published for the species and the use
	RateOwn       RateBasis = "own"        // given by the user
	RateNewLawn   RateBasis = "new-lawn"   // the species' rate for a new lawn, for a use without a published one
	RateRelative  RateBasis = "same-seeds" // as many seeds on an area as the new-lawn rate of a related species
	RateStand     RateBasis = "stand"      // the seeds that make a stand
)

// relatives are the species with a published new-lawn rate that those without one are
// most like; the same pairs share figures of growth.
var relatives = map[string]string{
	"annual-ryegrass": "perennial-ryegrass", "intermediate-ryegrass": "perennial-ryegrass",
	"meadow-fescue": "tall-fescue",
}

// RateOrStandIn returns the published seeding rate of a species for a use; where there is
// none its new-lawn rate; where there is none of that either, as many seeds on an area as
// the new-lawn rate of a related species puts down; and last the rate of seeds that makes
// a stand:
//
//	usual = TargetStandLow / (seeds per gram × UsualViable × middle of the emergence)
//	low, high: TargetStandLow at the highest emergence, TargetStandHigh at the lowest
//
// It returns false where the seeds in a gram would be needed and are not known. What
// stands in is derived (D), and for overseeding it is a lower bound: see [UseFactor].
func RateOrStandIn(sp *Species, use Use) (Rate, RateBasis, bool) {
	if r, ok := RateFor(sp.ID, use); ok {
		return r, RatePublished, true
	}
	if r, ok := newLawn[sp.ID]; ok {
		return r, RateNewLawn, true
	}
	own := sp.SeedsPerGram.Value
	if own <= 0 {
		return Rate{}, "", false
	}
	if relative, ok := Find(relatives[sp.ID]); ok {
		r := newLawn[relative.ID]
		scale := relative.SeedsPerGram.Value / own
		return Rate{r.Usual * scale, r.Low * scale, r.High * scale, Derived,
			fmt.Sprintf(
				"as many seeds as the new-lawn rate of %s (%s)",
				relative.Name,
				r.Source,
			), Derived}, RateRelative, true
	}
	e := FieldEmergence(sp.ID)
	perSeed := own * UsualViable // viable seeds in a gram
	return Rate{TargetStandLow / (perSeed * (e.Low + e.High) / 2), TargetStandLow / (perSeed * e.High),
		TargetStandHigh / (perSeed * e.Low), Derived, "seeds for 7 to 14 plants a square inch (UMass)",
		Derived}, RateStand, true
}

// UseFactor returns how many times its new-lawn rate perennial ryegrass is sown at for a
// use, by the published usual rates: 1 for a new lawn, 1.5 for a home lawn, 6 for a
// putting green.
func UseFactor(use Use) float64 {
	const id = "perennial-ryegrass"
	r, _ := RateFor(id, use)
	return r.Usual / newLawn[id].Usual
}
