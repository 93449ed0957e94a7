package turf

import "math"

// A Need is the seed that an area takes, in the bags that it is sold in and for
// what it costs.
type Need struct {
	Species Species
	Use     Use
	Sowing  Sowing
	Rate    Rate      // whose usual rate is sown
	Basis   RateBasis // what Rate is
	BagG    float64   // of a bag, g; 0 where it is not known
	Price   float64   // of a gram, or of a bag; 0 where it is not known
	PerBag  bool      // the price is that of a bag
	LeftG   *float64  // seed at hand, g; nil where it is not known
}

// Bags returns the whole bags that a weight of seed in g takes. It needs BagG.
func (n *Need) Bags(weightG float64) int {
	const rounding = 1e-9 // of a bag, so that ten times a tenth is one
	return int(math.Ceil(weightG/n.BagG - rounding))
}

// Cost returns what a weight of seed in g costs, in the money of the price. Seed
// sold by the bag is bought in whole bags.
func (n *Need) Cost(weightG float64) float64 {
	if n.PerBag {
		return n.Price * float64(n.Bags(weightG))
	}
	return n.Price * weightG
}

// ShortG returns the seed that must be bought beside that at hand, g.
func (n *Need) ShortG() float64 {
	if n.LeftG == nil {
		return n.Sowing.WeightG()
	}
	return math.Max(0, n.Sowing.WeightG()-*n.LeftG)
}

// UsualViable is the pure live share of good seed as it is bought, for seed whose
// label is not known: 98 % pure, 90 % germinating (common practice, no source).
const UsualViable = 0.98 * 0.90

// Plants returns the fewest and the most plants to be expected, 1/m²: the seeds
// that the rate puts down, those of them that are pure and live where the rate is
// of seed as bought, and the [FieldEmergence] of the species. Both are 0 for a
// species whose seeds in a gram are not known.
//
//	plants = seeds × pure live share × emergence
func (n *Need) Plants() (low, high float64) {
	e := FieldEmergence(n.Species.ID)
	seeds := n.Sowing.SeedsPerM2(&n.Species)
	if n.Sowing.Germination == 0 {
		seeds *= UsualViable
	}
	return seeds * e.Low, seeds * e.High
}
