package turf

import "errors"

// A Use is what a stand is sown for. It sets the seeding rate.
type Use string

// The uses. NewLawn is bare soil, Thicken a thin stand of the same grass; the others are
// overseeding of dormant bermudagrass, or of another warm-season host.
const (
	NewLawn     Use = "new-lawn"
	Thicken     Use = "thicken" // seed into a thin cool-season stand
	HomeLawn    Use = "home-lawn"
	SportsField Use = "sports-field"
	Fairway     Use = "fairway"
	FineTurf    Use = "fine-turf"
	PuttingTurf Use = "putting-green"
)

// Uses returns every use.
func Uses() []Use {
	return []Use{NewLawn, Thicken, HomeLawn, SportsField, Fairway, FineTurf, PuttingTurf}
}

// poundsPer1000 is one pound in a thousand square feet, g/m². The avoirdupois
// pound is 453.59237 g, the foot 0.3048 m (both exact).
const poundsPer1000 = 453.59237 / (1000 * 0.3048 * 0.3048)

// A Rate is how much seed is sown, g/m²: a range with its source, and the usual
// rate taken from it.
type Rate struct {
	Usual, Low, High float64
	Evidence         Evidence // of the range
	Source           string
	UsualEvidence    Evidence // of the usual rate: derived where it is the midpoint of the range
}

// pounds returns the rate of a range, its midpoint the usual one, from lb/1000 ft².
func pounds(low, high float64, st Evidence, source string) Rate {
	usual := Derived
	if st == Unverified {
		usual = Unverified
	}
	return Rate{(low + high) / 2 * poundsPer1000, low * poundsPer1000, high * poundsPer1000, st, source, usual}
}

// usually returns a rate with another usual one, from lb/1000 ft².
func usually(usual float64, evidence Evidence, r Rate) Rate {
	r.Usual, r.UsualEvidence = usual*poundsPer1000, evidence
	return r
}

// newLawn are rates for bare soil by species, lb/1000 ft².
var newLawn = map[string]Rate{
	"kentucky-bluegrass": pounds(1, 3, Seen, "Cornell, 1-3 lb/1000 ft²"),
	"perennial-ryegrass": pounds(4, 6, Seen, "Cornell, 4-6 lb/1000 ft²"),
	"tall-fescue":        pounds(6, 8, Seen, "Cornell, 6-8 lb/1000 ft²"),
	"red-fescue":         fineFescueRate, "chewings-fescue": fineFescueRate, "hard-fescue": fineFescueRate,
	"creeping-bentgrass": pounds(0.5, 1, Unverified, "0.5-1 lb/1000 ft²"),
	"rough-bluegrass":    pounds(1, 3, Unverified, "1-3 lb/1000 ft²"),
}

// thickening is half to all of the rate for bare soil, the usual rate its half: what is
// there takes part of the ground (common practice, no source).
func thickening(species string) (Rate, bool) {
	r, ok := newLawn[species]
	if !ok {
		return Rate{}, false
	}
	return Rate{Usual: r.Usual / 2, Low: r.Low / 2, High: r.High, Evidence: Practice, UsualEvidence: Practice,
		Source: "half to all of the rate for bare soil (" + r.Source + ")"}, true
}

var fineFescueRate = pounds(3, 5, Unverified, "3-5 lb/1000 ft²")

// overseeding are rates of ryegrass into dormant bermudagrass, lb/1000 ft².
var overseeding = map[Use]Rate{
	HomeLawn:    pounds(5, 10, Seen, "LSU and University of Georgia, 5-10 lb/1000 ft²"),
	SportsField: pounds(8, 12, Seen, "University of Georgia, 8-12 lb/1000 ft²"),
	Fairway:     usually(14.3, Seen, pounds(4.6, 20.7, Seen, "mean and range of 44 Phoenix courses, 2011")),
	FineTurf:    usually(25, Seen, pounds(25, 25, Seen, "Arizona trial 1992, 25 lb/1000 ft²")),
	PuttingTurf: usually(30, Practice, pounds(29, 40, Restated, "29-40 lb/1000 ft²")),
}

var ryegrasses = map[string]bool{"perennial-ryegrass": true, "annual-ryegrass": true, "intermediate-ryegrass": true}

// RateFor returns the published seeding rate of a species for a use, false where
// none is known.
func RateFor(species string, use Use) (Rate, bool) {
	switch {
	case use == NewLawn:
		r, ok := newLawn[species]
		return r, ok
	case use == Thicken:
		return thickening(species)
	case use == PuttingTurf && species == "rough-bluegrass":
		return pounds(10, 12, Seen, "University of Florida, 10-12 lb/1000 ft² on greens"), true
	case ryegrasses[species]:
		r, ok := overseeding[use]
		return r, ok
	}
	return Rate{}, false
}

// PureLiveSeed returns the share of bulk seed that is pure and germinates, from
// two shares between 0 and 1.
//
//	PLS = purity × germination
//
// Reference: the seed trade's definition; Penn State, LSU, TxDOT.
func PureLiveSeed(purity, germination float64) float64 { return purity * germination }

// Coated returns the weight of coated seed that holds the given weight of seed;
// coating is its share of the weight.
//
//	coated = uncoated / (1 − coating)
//
// Reference: 7 CFR 201.46(d)(2).
func Coated(uncoated, coating float64) float64 { return uncoated / (1 - coating) }

// A Sowing is how much seed an area is to get. Shares are between 0 and 1; the
// zero value of each means none.
type Sowing struct {
	AreaM2  float64
	RateGM2 float64 // of seed as bought, or, with Purity and Germination, of pure live seed

	Purity, Germination float64 // 0 for not known
	Coating             float64 // share of the weight; not used where Purity is known, which counts it as inert
	Overlap             float64 // sown twice where passes overlap
	Loss                float64 // expected to be washed off or eaten
}

// The largest area and rate that are accepted: a larger one is a slip.
const (
	maxAreaM2  = 1e9 // a thousand square kilometres
	maxRateGM2 = 1e5
)

// ErrSowing is the error of a sowing that [Sowing.Check] refuses.
var ErrSowing = errors.New("invalid sowing")

// Check returns an error, [ErrSowing] to [errors.Is], where a figure is out of range.
func (s *Sowing) Check() error {
	share := func(name string, v, most float64) error {
		if !(v >= 0 && v < most) && !(v == most && most == 1 && (name == "purity" || name == "germination")) {
			return kindErrorf(ErrSowing, "%s of %.4g %% cannot be", name, 100*v)
		}
		return nil
	}
	switch {
	case !(s.AreaM2 > 0 && s.AreaM2 <= maxAreaM2):
		return kindErrorf(ErrSowing, "an area of %g m² cannot be sown", s.AreaM2)
	case !(s.RateGM2 > 0 && s.RateGM2 <= maxRateGM2):
		return kindErrorf(ErrSowing, "a rate of %g g/m² cannot be sown", s.RateGM2)
	}
	for _, x := range []struct {
		name string
		v    float64
	}{{"purity", s.Purity}, {"germination", s.Germination}, {"coating", s.Coating}, {"loss", s.Loss}} {
		if err := share(x.name, x.v, 1); err != nil {
			return err
		}
	}
	if s.Purity > 0 && s.Purity+s.Coating > 1 {
		return kindErrorf(ErrSowing, "a purity of %.4g %% and a coating of %.4g %% are more than the whole",
			100*s.Purity, 100*s.Coating)
	}
	return share("overlap", s.Overlap, 10)
}

// factor is the weight of bulk seed for a unit weight at the rate.
func (s *Sowing) factor() float64 {
	f := (1 + s.Overlap) / (1 - s.Loss)
	if s.Purity > 0 && s.Germination > 0 {
		return f / PureLiveSeed(s.Purity, s.Germination)
	}
	return Coated(f, s.Coating)
}

// WeightG returns the bulk seed needed, g.
func (s *Sowing) WeightG() float64 { return s.AreaM2 * s.RateGM2 * s.factor() }

// RateFrom returns the rate, g/m², that a weight of bulk seed gives on the area.
func (s *Sowing) RateFrom(weightG float64) float64 { return weightG / s.factor() / s.AreaM2 }

// AreaFrom returns the area, m², that a weight of bulk seed covers at the rate.
func (s *Sowing) AreaFrom(weightG float64) float64 { return weightG / s.factor() / s.RateGM2 }

// SeedsPerM2 returns the seeds that the rate puts on a square metre.
func (s *Sowing) SeedsPerM2(sp *Species) float64 { return s.RateGM2 * sp.SeedsPerGram.Value }

// The plants that make a stand, 1/m²: 7 to 14 in a square inch (UMass, S).
const (
	TargetStandLow  = 7 / (0.0254 * 0.0254)
	TargetStandHigh = 14 / (0.0254 * 0.0254)
)

// An Emergence is the share of viable seed that comes up in the field, from the
// lowest to the highest seen.
type Emergence struct {
	Low, High float64
	Evidence  Evidence
	Source    string
}

// FieldEmergence returns the share of viable seed of a species that comes up
// when sown well on the surface or drilled.
func FieldEmergence(species string) Emergence {
	const source = "Bellotti & Blair 1989, Aust. J. Agric. Res. 40:313-321"
	switch {
	case species == "perennial-ryegrass":
		return Emergence{0.68, 0.94, Seen, source}
	case species == "tall-fescue":
		return Emergence{0.18, 0.69, Seen, source}
	case species == "meadow-fescue":
		return Emergence{0.18, 0.69, Unverified, "taken as for tall fescue"}
	case ryegrasses[species]:
		return Emergence{0.68, 0.94, Unverified, "taken as for perennial ryegrass"}
	}
	return Emergence{0.3, 0.8, Unverified, "no figure; between tall fescue and ryegrass"}
}

// Beta returns the parameters of the beta distribution whose mean is the middle of the
// range and whose standard deviation makes the range its 80 % interval if it were normal:
//
//	m = (low + high)/2,  s = (high − low)/2.56,  α + β = m(1 − m)/s² − 1,  α = m(α + β)
func (e Emergence) Beta() (alpha, beta float64) {
	m, sd := (e.Low+e.High)/2, (e.High-e.Low)/(2*eighty)
	n := m*(1-m)/(sd*sd) - 1
	return m * n, (1 - m) * n
}

// More seed for a dormant seeding, as a share of the usual rate: 10 to 25 % (trade column
// 2013, S).
const (
	DormantExtraLow  = 0.10
	DormantExtraHigh = 0.25
)

// DormantSeeding reports whether a species can be sown into cold soil in early
// winter, to come up in spring. Ryegrass cannot (University of Minnesota, S, of
// perennial ryegrass).
func DormantSeeding(species string) bool { return !ryegrasses[species] }

// DormantSoilC is the soil temperature under which dormant seeding is done: 40 °F
// (University of Minnesota, S; others say 50 °F, S).
const DormantSoilC = (40 - 32) / 1.8
