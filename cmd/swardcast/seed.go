package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/forecast/turf"
)

var seedCommand = &command{
	name:    "seed",
	summary: "How much seed for this area: rate, label, coating, loss, cost",
	usage:   "",
	help: `Works out the seed for an area: at the published rate for the use, or at a rate
of your own; more where the label's purity and germination are given (the rate
is then of pure live seed), where the seed is coated, passes overlap or some
will be lost. Purity on a label counts the coating as inert: it is not taken off
twice.

Examples:
  swardcast seed --area 5000ft2 --use home-lawn
  swardcast seed --rectangle 60ftx40ft --circle 18ft --use sports-field \
      --purity 98 --germination 90 --bag 50lb --price 95/bag
  swardcast seed --area 0.4ha --species tall-fescue --rate 35g/m2 --coating 50
  swardcast seed --area 5000ft2 --use home-lawn --seed-left 12lb
`,
	setup: func(f *pflag.FlagSet) func(*program, []string) error {
		var sf seedFlags
		var out outputFlags
		species := f.String("species", "perennial-ryegrass", "species sown, by the names of swardcast species")
		sf.declare(f)
		out.declare(f, "text", "json")
		return func(p *program, args []string) error {
			if len(args) > 0 {
				return &usageError{"seed takes no FILE", "swardcast help seed"}
			}
			return p.seed(*species, &sf, &out)
		}
	},
}

// seedFlags say how much ground there is and what seed.
type seedFlags struct {
	area                         quantity
	rectangles, circles          []string
	use                          *choice
	rate                         quantity
	purity, germination, coating float64
	overlap, loss                float64
	bag, left                    quantity
	price                        string
	flags                        *pflag.FlagSet
}

func (s *seedFlags) declare(f *pflag.FlagSet) {
	s.flags = f
	s.area = quantity{kind: "AREA", units: areaUnits}
	f.Var(&s.area, "area", "area, such as 5000ft2, 450m2, 0.5ac or 0.2ha")
	f.StringArrayVar(&s.rectangles, "rectangle", nil, "a rectangle to add, such as 60ftx40ft; may be repeated")
	f.StringArrayVar(&s.circles, "circle", nil, "a circle to add, by its diameter, such as 18ft; may be repeated")
	s.use = newChoice(string(turf.HomeLawn), words(turf.Uses())...)
	f.Var(s.use, "use", "what the stand is for, which sets the rate; all but new-lawn are overseeding of a dormant warm-season host")
	s.rate = quantity{kind: "RATE", units: rateUnits}
	f.Var(&s.rate, "rate", "seeding rate of your own, in lb/1000ft2, lb/ac, g/m2 or kg/ha")
	f.Float64Var(&s.purity, "purity", 0, "purity on the label, percent")
	f.Float64Var(&s.germination, "germination", 0, "germination on the label, percent")
	f.Float64Var(&s.coating, "coating", 0, "coating, percent of the weight, where purity is not given")
	f.Float64Var(&s.overlap, "overlap", 0, "percent of the area sown twice")
	f.Float64Var(&s.loss, "loss", 0, "percent of the seed that you expect to lose to birds or water")
	s.bag = quantity{kind: "WEIGHT", units: weightUnits}
	f.Var(&s.bag, "bag", "size of a bag, such as 50lb")
	s.left = quantity{kind: "WEIGHT", units: weightUnits, zero: true}
	f.Var(&s.left, "seed-left", "seed at hand, such as 12lb")
	f.StringVar(&s.price, "price", "", "price by weight or bag, such as 2.10/lb or 95/bag")
}

// given tells whether any of the flags is.
func (s *seedFlags) given() bool {
	for _, name := range []string{"area", "rectangle", "circle", "use", "rate", "purity", "germination", "coating", "overlap", "loss", "bag", "seed-left", "price"} {
		if s.flags.Changed(name) {
			return true
		}
	}
	return false
}

// A seedNeed is the seed for an area.
type seedNeed struct {
	species   turf.Species
	sowing    turf.Sowing
	rate      turf.Rate
	own       bool // the rate is the user's
	use       turf.Use
	bag, left float64
	hasLeft   bool
	price     float64 // of a gram, or of a bag
	perBag    bool
}

// need reads the flags. share is the part of the area that is sown.
func (s *seedFlags) need(sp turf.Species, share float64) (*seedNeed, error) {
	n := &seedNeed{species: sp, bag: s.bag.value, left: s.left.value, hasLeft: s.left.set, use: turf.Use(s.use.value)}
	area := s.area.value
	for _, r := range s.rectangles {
		m2, err := parseRectangle(r)
		if err != nil {
			return nil, &usageError{fmt.Sprintf("--rectangle %q: %v", r, err), ""}
		}
		area += m2
	}
	for _, c := range s.circles {
		m2, err := parseCircle(c)
		if err != nil {
			return nil, &usageError{fmt.Sprintf("--circle %q: %v", c, err), ""}
		}
		area += m2
	}
	if area == 0 {
		return nil, &usageError{"no area given", "--area 5000ft2"}
	}
	var ok bool
	if n.rate, ok = turf.RateFor(sp.ID, turf.Use(s.use.value)); s.rate.set {
		n.own = true
		n.rate = turf.Rate{Usual: s.rate.value, Low: s.rate.value, High: s.rate.value, Evidence: turf.OwnFigure}
	} else if !ok {
		return nil, &usageError{fmt.Sprintf("no published rate of %s for %s", sp.Name, s.use.value), "give one, as in --rate 5lb/1000ft2"}
	}
	for _, x := range []struct {
		name  string
		value float64
		most  float64
	}{{"purity", s.purity, 100}, {"germination", s.germination, 100}, {"coating", s.coating, 99}, {"overlap", s.overlap, 200}, {"loss", s.loss, 99}} {
		if s.flags.Changed(x.name) && !(x.value >= 0 && x.value <= x.most) {
			return nil, &usageError{fmt.Sprintf("--%s %g: it is a percentage from 0 to %g", x.name, x.value, x.most), ""}
		}
	}
	if s.flags.Changed("purity") != s.flags.Changed("germination") {
		return nil, &usageError{"--purity and --germination go together: pure live seed is their product", ""}
	}
	if s.flags.Changed("purity") && s.purity*s.germination == 0 {
		return nil, &usageError{"with a purity or germination of 0 nothing would grow", ""}
	}
	n.sowing = turf.Sowing{AreaM2: area * share, RateGM2: n.rate.Usual, Purity: s.purity / 100, Germination: s.germination / 100,
		Coating: s.coating / 100, Overlap: s.overlap / 100, Loss: s.loss / 100}
	if err := n.sowing.Check(); err != nil {
		return nil, &usageError{err.Error(), ""}
	}
	if s.flags.Changed("price") {
		amount, per, _ := strings.Cut(s.price, "/")
		v, err := strconv.ParseFloat(strings.TrimSpace(amount), 64)
		unit, ok := weightUnits[per]
		switch {
		case err != nil || !(v >= minQuantity && v <= maxResult) || !ok && per != "bag":
			return nil, &usageError{fmt.Sprintf("--price %q: write an amount by lb, kg or bag, such as 2.10/lb", s.price), ""}
		case per == "bag" && !s.bag.set:
			return nil, &usageError{"a price by the bag needs the size of the bag", "--bag 50lb"}
		case per == "bag":
			n.price, n.perBag = v, true
		default:
			n.price = v / unit
		}
	}
	switch w := n.sowing.WeightG(); {
	case !(w <= maxResult):
		return nil, &usageError{fmt.Sprintf("that would take %.3g kg of seed", w/1000), "look at the area, the rate, the purity and the germination"}
	case n.bag > 0 && w/n.bag > maxBags:
		return nil, &usageError{fmt.Sprintf("that would take %.3g bags", w/n.bag), "look at the area and the size of the bag"}
	case n.price > 0 && n.cost(w) > maxResult:
		return nil, &usageError{fmt.Sprintf("that would cost %.3g", n.cost(w)), "look at the area and the price"}
	}
	return n, nil
}

// Beyond these grams, amounts of money and bags a slip of the unit is told.
const maxResult, maxBags = 1e15, 1e9

// bags is the number of whole bags that a weight takes.
func (n *seedNeed) bags(g float64) int { return int(math.Ceil(g/n.bag - 1e-9)) }

// cost is what a weight costs, in the money of the price.
func (n *seedNeed) cost(g float64) float64 {
	if n.perBag {
		return n.price * float64(n.bags(g))
	}
	return n.price * g
}

// plants are those to be expected on a square metre: lowest and highest.
func (n *seedNeed) plants() (low, high float64) {
	e := turf.FieldEmergence(n.species.ID)
	seeds := n.sowing.SeedsPerM2(&n.species)
	if n.sowing.Germination == 0 {
		seeds *= usualViable // the rate is of seed as bought
	}
	return seeds * e.Low, seeds * e.High
}

// usualViable is the pure live part of good seed as bought, where the label is
// not given: 98 % pure, 90 % germinating (CP).
const usualViable = 0.98 * 0.90

func (p *program) seed(species string, sf *seedFlags, out *outputFlags) error {
	list, err := findSpecies(species)
	if err != nil {
		return err
	}
	n, err := sf.need(list[0], 1)
	if err != nil {
		return err
	}
	return p.give(out, answer{
		text: func(u unitSystem) []byte { return []byte(n.text(u)) },
		json: func() any {
			return struct {
				Schema string `json:"schema"`
				seedOut
				Cautions []string `json:"cautions"`
			}{"swardcast.seed/1", n.json(), cautions()}
		},
	})
}

type seedOut struct {
	Species     string  `json:"species"`
	AreaM2      number  `json:"area_m2"`
	RateGM2     number  `json:"rate_g_m2"`
	RateLow     number  `json:"rate_low_g_m2"`
	RateHigh    number  `json:"rate_high_g_m2"`
	Evidence    string  `json:"rate_standing"`
	Source      string  `json:"rate_source"`
	WeightG     number  `json:"weight_g"`
	SeedsPerM2  number  `json:"seeds_m2"`
	PlantsLow   number  `json:"plants_low_m2"`
	PlantsHigh  number  `json:"plants_high_m2"`
	TargetLow   number  `json:"target_low_m2"`
	TargetHigh  number  `json:"target_high_m2"`
	Bags        *int    `json:"bags"`
	Cost        *number `json:"cost"`
	SeedLeftG   *number `json:"seed_left_g"`
	ShortG      *number `json:"short_g"`
	LeftRateGM2 *number `json:"rate_from_seed_left_g_m2"`
	LeftAreaM2  *number `json:"area_from_seed_left_m2"`
}

func (n *seedNeed) json() seedOut {
	known := func(v float64) number {
		if n.species.SeedsPerGram.Value == 0 {
			return unknownNumber
		}
		return number(v)
	}
	s := &n.sowing
	low, high := n.plants()
	out := seedOut{
		Species: n.species.ID, AreaM2: number(s.AreaM2), RateGM2: number(s.RateGM2), RateLow: number(n.rate.Low), RateHigh: number(n.rate.High),
		Evidence: string(n.rate.Evidence), Source: n.rate.Source, WeightG: number(s.WeightG()), SeedsPerM2: known(s.SeedsPerM2(&n.species)),
		PlantsLow: known(low), PlantsHigh: known(high), TargetLow: number(turf.TargetStandLow), TargetHigh: number(turf.TargetStandHigh),
	}
	w := s.WeightG()
	if n.bag > 0 {
		out.Bags = new(n.bags(w))
	}
	if n.price > 0 {
		out.Cost = new(number(n.cost(w)))
	}
	if n.hasLeft {
		out.SeedLeftG, out.ShortG = new(number(n.left)), new(number(math.Max(0, w-n.left)))
		out.LeftRateGM2, out.LeftAreaM2 = new(number(s.RateFrom(n.left))), new(number(s.AreaFrom(n.left)))
	}
	return out
}

// perArea prints a count on a square inch, or on a square metre.
func perArea(u unitSystem, perM2 float64) string {
	if u == metric {
		return figures(perM2)
	}
	return figures(perM2 * 0.0254 * 0.0254)
}

func areaWord(u unitSystem) string {
	if u == metric {
		return "a square metre"
	}
	return "a square inch"
}

func (n *seedNeed) text(u unitSystem) string {
	var b strings.Builder
	s := &n.sowing
	w := s.WeightG()
	line := fmt.Sprintf("%s of %s for %s", u.weight(w), n.species.Name, u.area(s.AreaM2))
	if n.bag > 0 {
		line += fmt.Sprintf(": %d %s of %s", n.bags(w), plural(n.bags(w), "bag", "bags"), u.weight(n.bag))
	}
	if n.price > 0 {
		line += fmt.Sprintf(", costing %.2f", n.cost(w))
	}
	b.WriteString(wrap("", line+".") + "\n")
	b.WriteString(n.details(u))
	b.WriteString("Cautions\n")
	for _, c := range cautions() {
		b.WriteString(wrap("  - ", c))
	}
	return b.String()
}

// standText tells what the rate makes.
func (n *seedNeed) standText(u unitSystem) string {
	s := &n.sowing
	if n.species.SeedsPerGram.Value == 0 {
		return "the seeds in a gram of this species are not known"
	}
	low, high := n.plants()
	e := turf.FieldEmergence(n.species.ID)
	text := fmt.Sprintf("%s seeds %s", perArea(u, s.SeedsPerM2(&n.species)), areaWord(u))
	if s.Germination == 0 {
		text += fmt.Sprintf(", %.0f %% of them pure and live as in good seed (common practice, no source)", 100*usualViable)
	}
	text += fmt.Sprintf("; %.0f–%.0f %% of those come up (%s: %s): %s to %s plants", 100*e.Low, 100*e.High, e.Evidence.Meaning(), e.Source, perArea(u, low), perArea(u, high))
	if n.use != turf.PuttingTurf && n.use != turf.FineTurf {
		text += fmt.Sprintf("; %s to %s make a stand (UMass, S)", perArea(u, turf.TargetStandLow), perArea(u, turf.TargetStandHigh))
	}
	return text
}

// details are the lines beneath the weight.
func (n *seedNeed) details(u unitSystem) string {
	text := ""
	for _, f := range n.facts(u) {
		text += wrap("  "+pad(f.label, 10)+" ", f.text)
	}
	return text
}

// facts are what a need of seed is made of.
func (n *seedNeed) facts(u unitSystem) []fact {
	var facts []fact
	s := &n.sowing
	rate := u.rate(s.RateGM2)
	switch {
	case n.rate.UsualEvidence == turf.Practice:
		rate += fmt.Sprintf(", common practice, no source; range %s to %s", u.rate(n.rate.Low), u.rate(n.rate.High))
	case n.rate.Low < n.rate.High && n.rate.UsualEvidence == n.rate.Evidence && n.rate.Evidence == turf.Seen:
		rate += fmt.Sprintf(" (%s to %s)", u.rate(n.rate.Low), u.rate(n.rate.High))
	case n.rate.Low < n.rate.High:
		rate += fmt.Sprintf(", the middle of %s to %s", u.rate(n.rate.Low), u.rate(n.rate.High))
	}
	if n.own {
		rate += ", as told"
	} else {
		rate += fmt.Sprintf("; %s: %s", n.rate.Evidence.Meaning(), n.rate.Source)
	}
	facts = append(facts, fact{"rate", rate})
	if s.Purity > 0 {
		pls := turf.PureLiveSeed(s.Purity, s.Germination)
		line := fmt.Sprintf("%.1f %% pure live seed (%g %% × %g %%): %.3f of bulk for 1 of the rate", 100*pls, 100*s.Purity, 100*s.Germination, 1/pls)
		if s.Coating > 0 {
			line += "; the coating is in the label's purity and not taken off twice"
		}
		facts = append(facts, fact{"label", line})
	} else if s.Coating > 0 {
		facts = append(facts, fact{"coating", fmt.Sprintf("%g %% of the weight: %.2f of coated seed for 1 of seed", 100*s.Coating, turf.Coated(1, s.Coating))})
	}
	if s.Overlap > 0 || s.Loss > 0 {
		facts = append(facts, fact{"more for", fmt.Sprintf("%g %% overlap, %g %% loss (your figures)", 100*s.Overlap, 100*s.Loss)})
	}
	facts = append(facts, fact{"stand", n.standText(u)})
	if n.hasLeft {
		w := s.WeightG()
		line := fmt.Sprintf("%s is enough", u.weight(n.left))
		if n.left < w {
			line = fmt.Sprintf("%s covers %s of the %s at that rate; %s is short", u.weight(n.left), u.area(s.AreaFrom(n.left)), u.area(s.AreaM2), u.weight(w-n.left))
			if n.bag > 0 {
				k := n.bags(w - n.left)
				line += fmt.Sprintf(" (%d %s)", k, plural(k, "bag", "bags"))
			}
			if n.price > 0 {
				line += fmt.Sprintf(", which costs %.2f", n.cost(w-n.left))
			}
		}
		line += fmt.Sprintf("; spread over all of it, it gives %s", u.rate(s.RateFrom(n.left)))
		facts = append(facts, fact{"seed left", line})
	}
	return facts
}
