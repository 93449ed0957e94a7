package seed

import (
	"fmt"
	"strings"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast/turf"
)

// Document puts the answer in words.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	s := scale{u, a.Wide}
	return &report.Document{Kind: "Seed needed", Headline: headline(a.Need, s), Notes: standInNotes(a.Need, s),
		Sections: []report.Section{
			{ID: "seed", Heading: "How it is worked out", Lead: true, Items: facts(a.Need, s)},
			{ID: "cautions", Heading: "Cautions", List: report.Cautions()},
		}}, nil
}

// A scale prints areas and rates, by the acre or the hectare too where the area was
// given so.
type scale struct {
	words.System
	wide bool
}

// area prints an area.
func (s scale) area(m2 float64) string {
	switch {
	case s.wide && s.System == words.Metric:
		return words.Figures(m2/words.Hectare) + " ha"
	case s.wide && m2 <= words.Acre:
		return words.Figures(m2/words.Acre) + " acre"
	case s.wide:
		return words.Figures(m2/words.Acre) + " acres"
	}
	return s.Area(m2)
}

// wideRate is a rate by the acre or the hectare.
func (s scale) wideRate(gm2 float64) string {
	if s.System == words.Metric {
		return words.Figures(gm2*words.Hectare/1000) + " kg/ha"
	}
	return words.Figures(gm2*words.Acre/words.GramsPerPound) + " lb/acre"
}

// rate is a rate in the unit that the area asks for.
func (s scale) rate(gm2 float64) string {
	if s.wide {
		return s.wideRate(gm2)
	}
	return s.Rate(gm2)
}

// rates is a rate in every unit that the area asks for.
func (s scale) rates(gm2 float64) string {
	if s.wide {
		return s.wideRate(gm2) + " (" + s.Rate(gm2) + ")"
	}
	return s.Rate(gm2)
}

// between is a range of rates, "5 to 10 lb/1000 ft²".
func (s scale) between(low, high float64) string {
	number, _, _ := strings.Cut(s.rate(low), " ")
	return number + " to " + s.rate(high)
}

// useWords are the uses as a grower says them.
var useWords = map[turf.Use]string{
	turf.NewLawn: "new lawn", turf.Thicken: "to thicken a stand", turf.HomeLawn: "home lawn", turf.SportsField: "sports field", turf.Fairway: "fairway",
	turf.FineTurf: "fine turf", turf.PuttingTurf: "putting green",
}

// rateWords say what the rate is.
func rateWords(n *turf.Need) string {
	switch n.Basis {
	case turf.RateOwn:
		return "your rate"
	case turf.RateNewLawn:
		return "its new-lawn rate"
	case turf.RateRelative:
		return "as many seeds as of a related species"
	case turf.RateStand:
		return "the seeds that make a stand"
	}
	return useWords[n.Use]
}

// headline says what to buy.
func headline(n *turf.Need, s scale) string {
	w := n.Sowing.WeightG()
	at := fmt.Sprintf("%s at %s (%s)", s.area(n.Sowing.AreaM2), s.rate(n.Sowing.RateGM2), rateWords(n))
	if n.Sowing.Purity > 0 {
		at += fmt.Sprintf(", %.0f %% pure live seed", 100*turf.PureLiveSeed(n.Sowing.Purity, n.Sowing.Germination))
	}
	switch Decide(n) {
	case UseHand:
		if n.ShortG() > 0 {
			return fmt.Sprintf("Use the seed you have: %s of %s over %s gives %s, within the usual %s (%s).",
				s.Weight(*n.LeftG), n.Species.Name, s.area(n.Sowing.AreaM2), s.rate(n.Sowing.RateFrom(*n.LeftG)),
				s.between(n.Rate.Low, n.Rate.High), rateWords(n))
		}
		return fmt.Sprintf(
			"Use the seed you have: of your %s, %s of %s is enough for %s.",
			s.Weight(*n.LeftG),
			s.Weight(w),
			n.Species.Name,
			at,
		)
	case BuyMore:
		short := n.ShortG()
		have := fmt.Sprintf("you have %s of %s, enough for %s of the %s", s.Weight(*n.LeftG), n.Species.Name,
			s.area(n.Sowing.AreaFrom(*n.LeftG)), at)
		parts := purchase(n, short, s)
		switch {
		case n.BagG > 0:
			return fmt.Sprintf("Buy %s: %s, and need %s more.", withCost(parts), have, s.Weight(short))
		case len(parts) > 0:
			return fmt.Sprintf("Buy %s more (%s): %s.", s.Weight(short), parts[0], have)
		}
		return fmt.Sprintf("Buy %s more: %s.", s.Weight(short), have)
	}
	parts := purchase(n, w, s)
	if n.BagG > 0 {
		return fmt.Sprintf("Buy %s: %s of %s for %s.", withCost(parts), s.Weight(w), n.Species.Name, at)
	}
	if len(parts) > 0 {
		return fmt.Sprintf("Buy %s of %s (%s) for %s.", s.Weight(w), n.Species.Name, parts[0], at)
	}
	return fmt.Sprintf("Buy %s of %s for %s.", s.Weight(w), n.Species.Name, at)
}

// withCost puts the cost of a purchase in brackets.
func withCost(parts []string) string {
	if len(parts) > 1 {
		return parts[0] + " (" + parts[1] + ")"
	}
	return parts[0]
}

// purchase is a weight of seed in bags, where their size is known, and its cost, where
// the price is.
func purchase(n *turf.Need, weightG float64, s scale) []string {
	var parts []string
	if n.BagG > 0 {
		bags := n.Bags(weightG)
		parts = append(parts, fmt.Sprintf("%d %s of %s", bags, words.Plural(bags, "bag", "bags"), s.Weight(n.BagG)))
	}
	if n.Price > 0 {
		parts = append(parts, fmt.Sprintf("cost %.2f", n.Cost(weightG)))
	}
	return parts
}

// standInNotes say what is missing where no rate is published for the use.
func standInNotes(n *turf.Need, s scale) []string {
	var notes []string
	switch n.Basis {
	case turf.RateNewLawn, turf.RateRelative, turf.RateStand:
		of := "overseeding a " + useWords[n.Use]
		switch n.Use {
		case turf.NewLawn:
			of = "a new lawn"
		case turf.FineTurf:
			of = "overseeding fine turf"
		case turf.Thicken:
			of = "thickening a stand"
		}
		notes = append(notes, fmt.Sprintf("We know no published rate of %s for %s; this is %s.", n.Species.Name, of,
			rateWords(n)))
	default:
		return nil
	}
	if f := turf.UseFactor(n.Use); f > 1 {
		notes = append(
			notes,
			fmt.Sprintf("Take it as the least: perennial ryegrass is sown at %.2g times its new-lawn rate "+
				"for this use, which would be %s here.", f, s.Weight(f*n.Sowing.WeightG())),
		)
	}
	return append(notes, "If you have a local rate, give it with --rate.")
}

// Facts are what a need of seed is made of: the rate with its source, what the label
// adds, the stand that it makes and how far the seed at hand goes.
func Facts(n *turf.Need, u words.System) []report.Item { return facts(n, scale{System: u}) }

func facts(n *turf.Need, u scale) []report.Item {
	facts := []report.Item{{Label: "rate", Text: rateText(n, u)}}
	add := func(label, format string, args ...any) {
		facts = append(facts, report.Item{Label: label, Text: fmt.Sprintf(format, args...)})
	}
	s := &n.Sowing
	switch pls := turf.PureLiveSeed(s.Purity, s.Germination); {
	case s.Purity > 0:
		coating := ""
		if s.Coating > 0 {
			coating = "; the label's purity already counts the coating"
		}
		add("label", "%.1f %% pure live seed (%g %% × %g %%): %.3f lb as bought for each pound of the rate%s",
			100*pls, 100*s.Purity, 100*s.Germination, 1/pls, coating)
		if u.System == words.Metric {
			facts[len(facts)-1].Text = strings.NewReplacer(" lb as", " kg as", "each pound", "each kilogram").
				Replace(facts[len(facts)-1].Text)
		}
	case s.Coating > 0:
		add(
			"coating",
			"%g %% of the weight: %.2f times the weight of bare seed",
			100*s.Coating,
			turf.Coated(1, s.Coating),
		)
	}
	if s.Overlap > 0 || s.Loss > 0 {
		add("more for", "%g %% overlap, %g %% loss (your figures)", 100*s.Overlap, 100*s.Loss)
	}
	add("stand", "%s", standText(n, u))
	if turf.DormantSeeding(n.Species.ID) && (n.Use == turf.NewLawn || n.Use == turf.Thicken) {
		w := s.WeightG()
		add("dormant", "sown into cold soil to come up in spring, %.0f to %.0f %% more: %s to %s (trade column, published)",
			100*turf.DormantExtraLow, 100*turf.DormantExtraHigh, u.Weight(w*(1+turf.DormantExtraLow)),
			u.Weight(w*(1+turf.DormantExtraHigh)))
	}
	if n.LeftG != nil {
		add("seed left", "%s", leftText(n, u))
	}
	return facts
}

// rateText is the rate with its range and its source.
func rateText(n *turf.Need, u scale) string {
	r := &n.Rate
	text := u.rates(n.Sowing.RateGM2)
	between := u.between(r.Low, r.High)
	switch {
	case r.Evidence == turf.OwnFigure:
		return text + ", your figure"
	case r.UsualEvidence == turf.Practice:
		text += fmt.Sprintf(" (common practice), of a range of %s", between)
	case r.Low < r.High && r.UsualEvidence == r.Evidence && r.Evidence == turf.Seen:
		text += fmt.Sprintf(" (range %s)", between)
	case r.Low < r.High:
		text += fmt.Sprintf(", the middle of %s", between)
	}
	return text + fmt.Sprintf("; %s: %s", r.Evidence.Meaning(), r.Source)
}

// standText is what the rate makes.
func standText(n *turf.Need, u scale) string {
	s := &n.Sowing
	if n.Species.SeedsPerGram.Value == 0 {
		return "unknown, since the seeds in a gram of this species are not known"
	}
	e := turf.FieldEmergence(n.Species.ID)
	text := fmt.Sprintf("%s seeds %s", u.PerArea(s.SeedsPerM2(&n.Species)), u.UnitArea())
	if s.Germination == 0 {
		text += fmt.Sprintf(", %.0f %% of them pure and live as in good seed (common practice)", 100*turf.UsualViable)
	}
	return text + fmt.Sprintf(". In pastures %.0f–%.0f %% of live seeds came up (%s: %s); how many do on a well-kept "+
		"seedbed isn't known, so no count of plants is given", 100*e.Low, 100*e.High, e.Evidence.Meaning(), e.Source)
}

// leftText is how far the seed at hand goes.
func leftText(n *turf.Need, u scale) string {
	s, left, short := &n.Sowing, *n.LeftG, n.ShortG()
	if left == 0 {
		return "none"
	}
	text := fmt.Sprintf("%s is enough for %s", u.Weight(left), u.area(s.AreaM2))
	if short > 0 {
		text = fmt.Sprintf("%s covers %s of the %s at that rate; you need %s more", u.Weight(left),
			u.area(s.AreaFrom(left)), u.area(s.AreaM2), u.Weight(short))
		if parts := purchase(n, short, u); len(parts) > 0 {
			text += " (" + strings.Join(parts, ", ") + ")"
		}
	}
	return text + fmt.Sprintf("; spread over all of it, it gives %s", u.rates(s.RateFrom(left)))
}
