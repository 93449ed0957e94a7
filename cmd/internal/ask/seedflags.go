package ask

import (
	"strings"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
	"swardcast/forecast/turf"
)

// SeedFlags say how much ground there is and what seed.
type SeedFlags struct {
	area                         Quantity
	rectangles, circles          []string
	use                          *Choice
	rate                         Quantity
	purity, germination, coating float64 // percent
	overlap, loss                float64 // percent
	bag, left                    Quantity
	price                        string
	flags                        *pflag.FlagSet // these alone
}

// Declare declares the flags.
func (s *SeedFlags) Declare(all *pflag.FlagSet) {
	f := pflag.NewFlagSet("seed", pflag.ContinueOnError) // its own, to know which flags they are
	f.SortFlags = false
	s.flags = f
	s.area = Quantity{kind: "AREA", units: areaUnits}
	f.Var(&s.area, "area", "area to sow, such as 5000ft2, '3,200 sq ft', 0.5ac or 450m2")
	f.StringArrayVar(&s.rectangles, "rectangle", nil,
		"`length x width` of a rectangle to add, such as 60ftx40ft; may be repeated")
	f.StringArrayVar(&s.circles, "circle", nil, "`diameter` of a circle to add, such as 18ft; may be repeated")
	s.use = NewChoice(string(turf.HomeLawn), Names(turf.Uses())...)
	f.Var(s.use, "use",
		"what the grass is for, which sets the rate; new-lawn is bare soil, thicken a thin stand of the same grass; the others are "+
			"overseeding of a dormant warm-season turf")
	s.rate = Quantity{kind: "RATE", units: rateUnits}
	f.Var(&s.rate, "rate", "seeding rate of your own, such as 5lb/1000ft2, 220lb/ac, 25g/m2 or 250kg/ha")
	DeclarePercent(f, &s.purity, "purity", 0, 100, "share of the bag that is this seed",
		"`percent` purity on the label")
	DeclarePercent(f, &s.germination, "germination", 0, 100, "share of the seed that comes up in the test",
		"`percent` germination on the label")
	DeclarePercent(f, &s.coating, "coating", 0, 99, "share of the weight that is coating",
		"`percent` of the weight that is coating, where purity is not given")
	DeclarePercent(f, &s.overlap, "overlap", 0, 200, "share of the area sown twice",
		"`percent` of the area sown twice")
	DeclarePercent(f, &s.loss, "loss", 0, 99, "share of the seed lost",
		"`percent` of the seed that you expect to lose, such as to a cloudburst")
	s.bag = Quantity{kind: "WEIGHT", units: weightUnits}
	f.Var(&s.bag, "bag", "weight of a bag, such as 50lb")
	s.left = Quantity{kind: "WEIGHT", units: weightUnits, zero: true}
	f.Var(&s.left, "seed-left", "seed you have, such as 12lb")
	f.StringVar(&s.price, "price", "", "`price` by weight or bag, such as 2.10/lb or 95/bag")
	all.AddFlagSet(f)
}

// Given reports whether any of the flags is.
func (s *SeedFlags) Given() bool {
	given := false
	s.flags.VisitAll(func(f *pflag.Flag) { given = given || f.Changed })
	return given
}

// Wide reports whether the area is given in acres or hectares, so that rates are wanted
// by them.
func (s *SeedFlags) Wide() bool {
	text := strings.ToLower(s.area.text)
	return strings.Contains(text, "ac") || strings.HasSuffix(text, "ha")
}

// changed reports whether a flag is given.
func (s *SeedFlags) changed(name string) bool { return s.flags.Lookup(name).Changed }

// Need turns the flags into the seed that is needed. share is the part of the area
// that is sown.
func (s *SeedFlags) Need(sp turf.Species, share float64) (*turf.Need, error) {
	n := &turf.Need{Species: sp, Use: turf.Use(s.use.Value), BagG: s.bag.Value}
	if s.left.Given {
		n.LeftG = &s.left.Value
	}
	area, err := s.areaM2()
	if err != nil {
		return nil, err
	}
	if err := s.checkRate(); err != nil {
		return nil, err
	}
	var ok bool
	if n.Rate, n.Basis, ok = turf.RateOrStandIn(&sp, n.Use); s.rate.Given {
		n.Rate = turf.Rate{Usual: s.rate.Value, Low: s.rate.Value, High: s.rate.Value, Evidence: turf.OwnFigure}
		n.Basis = turf.RateOwn
	} else if !ok {
		return nil, cli.Usagef("--rate 5lb/1000ft2, with the rate on the bag",
			"%s has no published rate, and the seeds in a gram, which would give one, are not known", sp.Name)
	}
	if err := s.checkLabel(); err != nil {
		return nil, err
	}
	n.Sowing = turf.Sowing{AreaM2: area * share, RateGM2: n.Rate.Usual, Purity: s.purity / 100,
		Germination: s.germination / 100, Coating: s.coating / 100, Overlap: s.overlap / 100, Loss: s.loss / 100}
	if err := n.Sowing.Check(); err != nil {
		return nil, cli.Usagef("", "%v", err)
	}
	if n.Price, n.PerBag, err = s.priceOf(); err != nil {
		return nil, err
	}
	return n, checkSize(n)
}

// Rates of one's own lie between these, lb/1000 ft²: a fifth of the least published
// (creeping bentgrass, new lawn, 0.5) and half more than the most (ryegrass on putting
// greens, 40); see package turf for both.
const minOwnRate, maxOwnRate = 0.1, 60

// checkRate refuses a rate at which no grass is sown.
func (s *SeedFlags) checkRate() error {
	rate := s.rate.Value / words.PoundPer1000SquareFeet
	if !s.rate.Given || rate >= minOwnRate && rate <= maxOwnRate {
		return nil
	}
	return cli.FlagError("rate", s.rate.text, cli.Valuef(nil,
		"that is %.3g lb/1000 ft² (%.3g g/m²); grass is sown at %g to %d lb/1000 ft²", rate, s.rate.Value,
		minOwnRate, maxOwnRate))
}

// areaM2 is the sum of the areas given, m².
func (s *SeedFlags) areaM2() (float64, error) {
	area := s.area.Value
	for _, shape := range []struct {
		flag  string
		list  []string
		parse func(string) (float64, error)
	}{{"rectangle", s.rectangles, parseRectangle}, {"circle", s.circles, parseCircle}} {
		for _, text := range shape.list {
			m2, err := shape.parse(text)
			if err != nil {
				return 0, cli.FlagError(shape.flag, text, err)
			}
			area += m2
		}
	}
	if area == 0 {
		return 0, cli.Usagef("--area 5000ft2", "no area given")
	}
	return area, nil
}

// checkLabel refuses a label that no seed has.
func (s *SeedFlags) checkLabel() error {
	switch purity := s.changed("purity"); {
	case purity != s.changed("germination"):
		lacks := "purity 98%"
		if purity {
			lacks = "germination 85%"
		}
		return cli.Usagef("add the label's other figure, as in --"+lacks,
			"--purity and --germination go together: pure live seed is their product")
	case purity && s.purity*s.germination == 0:
		return cli.Usagef("", "with a purity or germination of 0 nothing would grow")
	}
	return nil
}

// Weights in g and amounts of money above maxResult, and bags above maxBags, come of
// a slip of the unit.
const maxResult, maxBags = 1e15, 1e9

// priceOf reads the price of a gram, or of a bag; 0 where none is given.
func (s *SeedFlags) priceOf() (price float64, perBag bool, err error) {
	if !s.changed("price") {
		return 0, false, nil
	}
	amount, per, _ := strings.Cut(s.price, "/")
	price, number := plainNumber(strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(amount), "$")))
	per = shortUnit(per)
	unit, ok := weightUnits.factors[per]
	switch {
	case !number || !(price >= minQuantity && price <= maxResult) || !ok && per != "bag":
		return 0, false, cli.FlagError("price", s.price,
			cli.Valuef([]string{"2.10/lb", "95/bag"}, "write an amount by lb, kg or bag"))
	case per == "bag" && !s.bag.Given:
		return 0, false, cli.Usagef("--bag 50lb", "a price by the bag needs the size of the bag")
	case per == "bag":
		return price, true, nil
	}
	return price / unit, false, nil
}

// checkSize refuses what no one buys.
func checkSize(n *turf.Need) error {
	switch w := n.Sowing.WeightG(); {
	case !(w <= maxResult):
		return cli.Usagef(
			"look at the area, the rate, the purity and the germination",
			"that would take %.3g kg of seed",
			w/1000,
		)
	case n.BagG > 0 && w/n.BagG > maxBags:
		return cli.Usagef("look at the area and the size of the bag", "that would take %.3g bags", w/n.BagG)
	case n.Price > 0 && n.Cost(w) > maxResult:
		return cli.Usagef("look at the area and the price", "that would cost %.3g", n.Cost(w))
	}
	return nil
}
