package turf

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// A Species is a turf grass with the constants of its germination and growth.
// Germination is counted above Base, every stage above 0 °C, both from sowing,
// in thermal time of the soil at 5 cm.
type Species struct {
	ID   string // as typed, kebab-case
	Name string // as read, lower case

	Base         Figure // below it a seed does not germinate, °C
	Optimum      Figure // the rate of development rises up to it, °C
	Plateau      Figure // width above Optimum over which the rate stays flat, °C
	Ceiling      Figure // at and above it development stops, °C
	Germination  Figure // half of the viable seed has germinated, °C d above Base
	Spread       Figure // standard deviation of the log of a seed's thermal time to germination, within a seed lot
	Emerged      Figure // half of the seed that will come up is up, °C d above 0
	Mow          Figure // third leaf, first mow, °C d above 0
	Tillered     Figure // first tiller, established, °C d above 0
	SeedsPerGram Figure // pure seed, 1/g

	// Figures that a species may lack; then their value is 0.
	Covered       Figure // closed stand, °C d of the air above 0 from sowing
	Unhardened    Figure // kills half of the seedlings that have just come up, °C
	Hardened      Figure // kills half of the grown plants that are fully hardened, °C
	HardenedRange Figure // either side of Hardened, about an 80 % interval, °C
	Mature        Figure // of the air above 0 from sowing, by winter, for a stand that comes through whole, °C d
	YoungSurvival Figure // share of a stand that has just come up which a winter with frozen ground leaves
}

// A Parameter is one named figure of a species.
type Parameter struct {
	Key     string // as written in a species file
	Meaning string
	*Figure
}

// Parameters lists every figure of the species in a fixed order. The figures
// are those of s, not copies.
func (s *Species) Parameters() []Parameter {
	return []Parameter{
		{"base", "no germination below", &s.Base},
		{"optimum", "development is fastest from", &s.Optimum},
		{"plateau", "width of the flat top above the optimum", &s.Plateau},
		{"ceiling", "no development from", &s.Ceiling},
		{"germination", "half of the viable seed germinated, above the base", &s.Germination},
		{"spread", "log standard deviation among the seeds of a seed lot", &s.Spread},
		{"emerged", "half of the seed that will come up is up, above freezing", &s.Emerged},
		{"mow", "third leaf, first mow, above freezing", &s.Mow},
		{"tillered", "first tiller, established, above freezing", &s.Tillered},
		{"seeds_per_gram", "pure seeds in a gram", &s.SeedsPerGram},
		{"covered", "closed stand, of the air above freezing; 0: no figure", &s.Covered},
		{"unhardened", "kills half of the seedlings that have just come up; 0: no figure", &s.Unhardened},
		{"hardened", "kills half of the grown and hardened plants; 0: no figure", &s.Hardened},
		{"hardened_range", "either side of it, 80 % interval", &s.HardenedRange},
		{"mature", "comes through winter whole, of the air above freezing; 0: no figure", &s.Mature},
		{"young_survival", "share of a stand just up that a winter with frozen ground leaves", &s.YoungSurvival},
	}
}

// The units of the figures.
const (
	Celsius    = "°C"
	DegreeDays = "°C d"
	PureNumber = "1"
	PerGram    = "1/g"
)

// The sources that several figures share.
const (
	larsen = "Larsen & Bibby 2005, Crop Sci. 45:2030-2037"
	black  = "Black, Moot & Lucas 2006, Grass Forage Sci., abstract"
	sharif = "Sharifiamina, Moot & Bloomberg 2016, J. NZ Grasslands 78:163-168"
	count  = "7 CFR 201.46 Table 1"
	likePR = "taken as for perennial ryegrass"
	likeTF = "taken as for tall fescue"

	shootRule = "germination at 18.3 °C plus 30-45 °C d of shoot growth, as for perennial ryegrass"
)

// The rules behind derived stages, in leaf intervals from emergence: the ratio of
// perennial ryegrass, 110 + 2 × 101 and (373 − 110) / 101 = 2.6.
const (
	leavesToMow    = 2
	leavesToTiller = 2.6
)

// constants are the figures in which species differ. leaf is the thermal time from one
// leaf to the next, °C d above 0, from which stages are derived.
type constants struct {
	id, name                             string
	base, optimum, ceiling, germ, spread Figure
	emerged, leaf                        Figure
	tillered                             Figure // zero: derived
	seedsPerGram                         float64

	covered Figure // zero: no figure
	cold    cold
}

func of(v float64, st Evidence, source string) Figure {
	return Figure{Value: v, Evidence: st, Source: source}
}

// species assembles a Species, giving every figure its unit.
func species(c constants) Species {
	unit := func(f Figure, u string) Figure { f.Unit = u; return f }
	if c.tillered == (Figure{}) {
		c.tillered = afterLeaves(c, leavesToTiller)
	}
	if c.covered == (Figure{}) {
		c.covered = of(0, Unverified, "no figure")
	}
	return Species{
		ID: c.id, Name: c.name,
		Base:    unit(c.base, Celsius),
		Optimum: unit(c.optimum, Celsius),
		// The sources say that the rate is flat a little above the optimum,
		// not over which width.
		Plateau:      Figure{2, Celsius, Unverified, "assumed width; the sources give none"},
		Ceiling:      unit(c.ceiling, Celsius),
		Germination:  unit(c.germ, DegreeDays),
		Spread:       unit(c.spread, PureNumber),
		Emerged:      unit(c.emerged, DegreeDays),
		Mow:          unit(afterLeaves(c, leavesToMow), DegreeDays),
		Tillered:     unit(c.tillered, DegreeDays),
		SeedsPerGram: Figure{c.seedsPerGram, PerGram, Seen, count},

		Covered:       unit(c.covered, DegreeDays),
		Unhardened:    unit(c.cold.unhardened, Celsius),
		Hardened:      unit(c.cold.hardened, Celsius),
		HardenedRange: unit(c.cold.around, Celsius),
		Mature:        unit(matureOf(c.leaf), DegreeDays),
		YoungSurvival: unit(c.cold.young, PureNumber),
	}
}

// afterLeaves is the thermal time to a stage so many leaf intervals after emergence, to
// the whole °C d.
func afterLeaves(c constants, leaves float64) Figure {
	from := c.leaf.Evidence.Meaning()
	if c.leaf.Source != "" {
		from += ": " + c.leaf.Source
	}
	return of(math.Round(c.emerged.Value+leaves*c.leaf.Value), Derived,
		fmt.Sprintf("emerged + %g leaf intervals of %g °C d (%s)", leaves, c.leaf.Value, from))
}

// fineFescue holds what the fine fescues share.
func fineFescue(id, name string, perGram float64) Species {
	const tests = "seed tests at 25/15 °C: half in 8-10 d " +
		"(Larsen & Bibby's 43.8 is not used: tests are two to three times slower)"
	return species(constants{
		id: id, name: name,
		base:         of(2.6, Seen, larsen+" (red fescue)"),
		optimum:      of(22, Unverified, ""),
		ceiling:      of(33, Unverified, ""),
		germ:         of(140, Derived, tests),
		spread:       of(0.30, Unverified, ""),
		emerged:      of(200, Derived, shootRule),
		leaf:         of(110, Unverified, ""),
		seedsPerGram: perGram,
		cold:         fineFescueCold,
	})
}

var all = []Species{
	species(constants{
		id: "perennial-ryegrass", name: "perennial ryegrass",
		base:    of(3.6, Seen, larsen),
		optimum: of(27, Seen, black),
		ceiling: of(38, Unverified, "seen only as below 40 °C: "+black),
		germ:    of(63.9, Seen, larsen),
		spread: of(0.45, Derived,
			"half of eight cultivars in 4-7 d, first seed in 3-5 d at 25/15 °C: Kim & Jung 2009"),
		emerged:      of(110, Seen, black),
		leaf:         of(101, Seen, black),
		tillered:     of(373, Seen, black+"; whether from sowing or emergence it does not say, taken from sowing"),
		seedsPerGram: 530,
		cold:         perennialRyegrassCold,
	}),
	species(constants{
		id: "annual-ryegrass", name: "annual ryegrass",
		base:    of(3.6, Unverified, likePR),
		optimum: of(27, Unverified, likePR),
		ceiling: of(38, Unverified, likePR),
		germ: of(62, Derived,
			"half of Italian ryegrass in 4.2 d at a mean of 18.33 °C: untreated control of a priming study"),
		spread: of(0.45, Unverified, likePR),
		emerged: of(97, Derived,
			"13.6 d against 15.5 d of perennial ryegrass to half emerged, "+
				"five autumn sowings: Lincoln University dissertation 1996"),
		leaf:         of(100, Unverified, ""),
		seedsPerGram: 420,
		cold:         annualRyegrassCold,
	}),
	species(constants{
		id: "intermediate-ryegrass", name: "intermediate ryegrass",
		base:         of(3.6, Unverified, likePR),
		optimum:      of(27, Unverified, likePR),
		ceiling:      of(38, Unverified, likePR),
		germ:         of(62, Unverified, "between annual and perennial ryegrass"),
		spread:       of(0.45, Unverified, likePR),
		emerged:      of(104, Unverified, "between annual and perennial ryegrass"),
		leaf:         of(100, Unverified, ""),
		seedsPerGram: 338,
		cold:         intermediateRyegrassCold,
	}),
	species(constants{
		id: "tall-fescue", name: "tall fescue",
		base:    of(3.5, Seen, sharif),
		optimum: of(27.5, Seen, sharif),
		ceiling: of(37, Unverified, ""),
		germ:    of(87, Derived, "half in 5.9 d at a mean of 18.33 °C: untreated control of a priming study"),
		spread:  of(0.35, Unverified, ""),
		emerged: of(138, Derived,
			"19.4 d against 15.5 d of perennial ryegrass to half emerged, "+
				"five autumn sowings: Lincoln University dissertation 1996"),
		leaf:         of(119, Derived, "10.8 d a leaf at 10 °C, 5.2 d at 25 °C: Robson"),
		seedsPerGram: 455,
		covered:      of(1000, Derived, zhang+"; of the air, base not stated, 0 °C inferred"),
		cold:         tallFescueCold,
	}),
	species(constants{
		id: "meadow-fescue", name: "meadow fescue",
		base:         of(3.5, Unverified, likeTF),
		optimum:      of(27, Unverified, likeTF),
		ceiling:      of(37, Unverified, likeTF),
		germ:         of(87, Unverified, likeTF),
		spread:       of(0.35, Unverified, likeTF),
		emerged:      of(138, Unverified, likeTF),
		leaf:         of(119, Unverified, likeTF),
		seedsPerGram: 495,
		cold:         meadowFescueCold,
	}),
	fineFescue("red-fescue", "red fescue", 900),
	fineFescue("chewings-fescue", "chewings fescue", 900),
	fineFescue("hard-fescue", "hard fescue", 1305),
	species(constants{
		id: "kentucky-bluegrass", name: "Kentucky bluegrass",
		base:    of(2.6, Seen, larsen),
		optimum: of(24, Unverified, ""),
		ceiling: of(35, Unverified, ""),
		germ: of(200, Derived,
			"seed tests at 25/15 °C: first 6-9 d, 75 % in 15-29 d "+
				"(Larsen & Bibby's 115.6 is not used: tests are two to three times slower)"),
		spread:       of(0.45, Unverified, ""),
		emerged:      of(280, Derived, shootRule),
		leaf:         of(120, Unverified, ""),
		seedsPerGram: 3060,
		cold:         kentuckyBluegrassCold,
	}),
	species(constants{
		id: "rough-bluegrass", name: "rough bluegrass",
		base:         of(3.0, Unverified, ""),
		optimum:      of(24, Unverified, ""),
		ceiling:      of(35, Unverified, ""),
		germ:         of(130, Unverified, ""),
		spread:       of(0.40, Unverified, ""),
		emerged:      of(195, Derived, shootRule),
		leaf:         of(110, Unverified, ""),
		seedsPerGram: 4610,
		cold:         roughBluegrassCold,
	}),
	species(constants{
		id: "creeping-bentgrass", name: "creeping bentgrass",
		base:         of(5.0, Unverified, ""),
		optimum:      of(27, Unverified, ""),
		ceiling:      of(38, Unverified, ""),
		germ:         of(95, Derived, "seed tests at 25/15 °C: 85 % in 8.9-22 d, Kim et al."),
		spread:       of(0.27, Derived, "from the same tests"),
		emerged:      of(160, Derived, shootRule),
		leaf:         of(90, Unverified, ""),
		seedsPerGram: 13515,
		cold:         creepingBentgrassCold,
	}),
}

// All returns the built-in species in a fixed order. Changing the result
// changes no other caller's.
func All() []Species { return slices.Clone(all) }

// Find returns the built-in species of an ID.
func Find(id string) (Species, bool) {
	for _, s := range all {
		if s.ID == id {
			return s, true
		}
	}
	return Species{}, false
}

// The ranges of a grass's figures that are accepted, far wider than those of any
// grass: they catch a wrong unit or decimal point, and nothing overflows.
const (
	minDegreeDays, maxDegreeDays = 1, 20000 // °C d; a year of 27 °C has under 10000
	minSpread, maxSpread         = 0.01, 2  // at 2 one seed in ten needs thirteen times the median
	maxSeeds                     = 1e6      // 1/g, 0 for not known
	minHardiness                 = -60.0    // °C, colder than any turf grass bears
)

// ErrSpecies is the error of a species that [Species.Check] refuses.
var ErrSpecies = errors.New("invalid species")

// A kindError has a text of its own and counts as its kind for [errors.Is].
type kindError struct {
	kind error
	text string
}

func (e *kindError) Error() string { return e.text }
func (e *kindError) Unwrap() error { return e.kind }

func kindErrorf(kind error, format string, args ...any) error {
	return &kindError{kind, fmt.Sprintf(format, args...)}
}

// Check returns an error, [ErrSpecies] to [errors.Is], where the figures of a
// species cannot belong together. Those of the zero value cannot.
func (s *Species) Check() error {
	b, o, p, c := s.Base.Value, s.Optimum.Value, s.Plateau.Value, s.Ceiling.Value
	switch {
	case !(b > -20 && b < o && p >= 0 && o+p < c && c < 60):
		return kindErrorf(ErrSpecies,
			"base %g, optimum %g with plateau %g and ceiling %g °C are not in ascending order "+
				"between -20 and 60", b, o, p, c)
	case !(s.Optimum.Value > 0):
		return kindErrorf(ErrSpecies, "optimum %g °C is not above 0", o)
	case !(s.Germination.Value > 0 && s.Spread.Value > 0):
		return kindErrorf(ErrSpecies, "germination and spread must be above 0")
	case !(0 < s.Emerged.Value && s.Emerged.Value < s.Mow.Value && s.Mow.Value < s.Tillered.Value):
		return kindErrorf(ErrSpecies, "emerged %g, mow %g and tillered %g °C d must be above 0 and ascend",
			s.Emerged.Value,
			s.Mow.Value, s.Tillered.Value)
	}
	for _, x := range []struct {
		key         string
		value       float64
		least, most float64
	}{
		{"germination", s.Germination.Value, minDegreeDays, maxDegreeDays},
		{"emerged", s.Emerged.Value, minDegreeDays, maxDegreeDays},
		{"tillered", s.Tillered.Value, minDegreeDays, maxDegreeDays},
		{"spread", s.Spread.Value, minSpread, maxSpread}, {"seeds_per_gram", s.SeedsPerGram.Value, 0, maxSeeds},
		{"covered", s.Covered.Value, 0, maxDegreeDays}, {"mature", s.Mature.Value, 0, maxDegreeDays},
		{"unhardened", s.Unhardened.Value, minHardiness, 0}, {"hardened", s.Hardened.Value, minHardiness, s.Unhardened.Value},
		{"hardened_range", s.HardenedRange.Value, 0, -minHardiness}, {"young_survival", s.YoungSurvival.Value, 0, 1},
	} {
		if !(x.value >= x.least && x.value <= x.most) {
			return kindErrorf(ErrSpecies, "%s %g is no figure of a grass: %g to %g can be", x.key, x.value, x.least,
				x.most)
		}
	}
	return nil
}
