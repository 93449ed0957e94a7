package seed

import (
	"fmt"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast/turf"
)

// Document puts the answer in words.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	return &report.Document{Kind: "Seed needed", Headline: sentence(a.Need, u), Sections: []report.Section{
		{ID: "seed", Heading: "What it is made of", Lead: true, Items: Facts(a.Need, u)},
		{ID: "cautions", Heading: "Cautions", List: report.Cautions()},
	}}, nil
}

// sentence is the answer.
func sentence(n *turf.Need, u words.System) string {
	w := n.Sowing.WeightG()
	s := fmt.Sprintf("%s of %s for %s", u.Weight(w), n.Species.Name, u.Area(n.Sowing.AreaM2))
	if n.BagG > 0 {
		s += fmt.Sprintf(": %d %s of %s", n.Bags(w), words.Plural(n.Bags(w), "bag", "bags"), u.Weight(n.BagG))
	}
	if n.Price > 0 {
		s += fmt.Sprintf(", costing %.2f", n.Cost(w))
	}
	return s + "."
}

// Facts are what a need of seed is made of: the rate with its source, what the label
// adds, the stand that it makes and how far the seed at hand goes.
func Facts(n *turf.Need, u words.System) []report.Item {
	facts := []report.Item{{Label: "rate", Text: rateText(n, u)}}
	add := func(label, format string, args ...any) {
		facts = append(facts, report.Item{Label: label, Text: fmt.Sprintf(format, args...)})
	}
	s := &n.Sowing
	switch pls := turf.PureLiveSeed(s.Purity, s.Germination); {
	case s.Purity > 0:
		coating := ""
		if s.Coating > 0 {
			coating = "; the coating is in the label's purity and not taken off twice"
		}
		add("label", "%.1f %% pure live seed (%g %% × %g %%): %.3f of bulk for 1 of the rate%s",
			100*pls, 100*s.Purity, 100*s.Germination, 1/pls, coating)
	case s.Coating > 0:
		add(
			"coating",
			"%g %% of the weight: %.2f of coated seed for 1 of seed",
			100*s.Coating,
			turf.Coated(1, s.Coating),
		)
	}
	if s.Overlap > 0 || s.Loss > 0 {
		add("more for", "%g %% overlap, %g %% loss (your figures)", 100*s.Overlap, 100*s.Loss)
	}
	add("stand", "%s", standText(n, u))
	if n.LeftG != nil {
		add("seed left", "%s", leftText(n, u))
	}
	return facts
}

// rateText is the rate with its range and its source.
func rateText(n *turf.Need, u words.System) string {
	r := &n.Rate
	text := u.Rate(n.Sowing.RateGM2)
	low, high := u.Rate(r.Low), u.Rate(r.High)
	switch {
	case r.UsualEvidence == turf.Practice:
		text += fmt.Sprintf(", common practice, no source; range %s to %s", low, high)
	case r.Low < r.High && r.UsualEvidence == r.Evidence && r.Evidence == turf.Seen:
		text += fmt.Sprintf(" (%s to %s)", low, high)
	case r.Low < r.High:
		text += fmt.Sprintf(", the middle of %s to %s", low, high)
	}
	if r.Evidence == turf.OwnFigure {
		return text + ", as told"
	}
	return text + fmt.Sprintf("; %s: %s", r.Evidence.Meaning(), r.Source)
}

// standText is what the rate makes.
func standText(n *turf.Need, u words.System) string {
	s := &n.Sowing
	if n.Species.SeedsPerGram.Value == 0 {
		return "the seeds in a gram of this species are not known"
	}
	low, high := n.Plants()
	e := turf.FieldEmergence(n.Species.ID)
	text := fmt.Sprintf("%s seeds %s", u.PerArea(s.SeedsPerM2(&n.Species)), u.UnitArea())
	if s.Germination == 0 {
		text += fmt.Sprintf(
			", %.0f %% of them pure and live as in good seed (common practice, no source)",
			100*turf.UsualViable,
		)
	}
	text += fmt.Sprintf("; %.0f–%.0f %% of those come up (%s: %s): %s to %s plants",
		100*e.Low, 100*e.High, e.Evidence.Meaning(), e.Source, u.PerArea(low), u.PerArea(high))
	if n.Use != turf.PuttingTurf && n.Use != turf.FineTurf {
		text += fmt.Sprintf(
			"; %s to %s make a stand (UMass, S)",
			u.PerArea(turf.TargetStandLow),
			u.PerArea(turf.TargetStandHigh),
		)
	}
	return text
}

// leftText is how far the seed at hand goes.
func leftText(n *turf.Need, u words.System) string {
	s, left, short := &n.Sowing, *n.LeftG, n.ShortG()
	text := fmt.Sprintf("%s is enough", u.Weight(left))
	if short > 0 {
		text = fmt.Sprintf("%s covers %s of the %s at that rate; %s is short",
			u.Weight(left), u.Area(s.AreaFrom(left)), u.Area(s.AreaM2), u.Weight(short))
		if n.BagG > 0 {
			text += fmt.Sprintf(" (%d %s)", n.Bags(short), words.Plural(n.Bags(short), "bag", "bags"))
		}
		if n.Price > 0 {
			text += fmt.Sprintf(", which costs %.2f", n.Cost(short))
		}
	}
	return text + fmt.Sprintf("; spread over all of it, it gives %s", u.Rate(s.RateFrom(left)))
}
