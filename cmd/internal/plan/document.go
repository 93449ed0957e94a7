package plan

import (
	"fmt"
	"math"
	"strings"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// Document puts the plan in words: the steps by date, the seed, what it is based on.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	x := a.Plan.Outlook
	d := report.New(a.In.Input, "Plan", a.headline(u), u)
	d.When = "as of " + u.LongDate(a.In.AsOf)
	d.Notes = a.notes(u)
	d.Sections = append(d.Sections, report.Section{ID: "steps", Heading: "Step by step", Lead: true, Tables: []report.Table{a.table(u)}})
	if len(a.Areas) > 0 {
		d.Sections = append(d.Sections, report.Section{ID: "seed", Heading: "Seed", Lead: true,
			Tables: []report.Table{a.seedTable(u)}})
	}
	facts := append(report.StationFacts(a.In.Input, u), report.EnsembleFact(a.Ensemble, a.In, u))
	facts = append(facts, report.ModelFacts(a.In, &x.Options, &a.Ensemble.Trend, u)...)
	facts = append(facts, report.Item{Label: "steps", Text: "dates of growth, cold and water from this forecast, with their 8 in 10 range; " +
		"rules of care from the sources named, or common practice"})
	grave, other := report.OutlookWarnings(u, a.Ensemble, x)
	d.Notes = append(grave, d.Notes...)
	cautions := append(other, "Rules of care are general: your site, the label and local advice decide.")
	d.Sections = append(d.Sections, report.Basis(a.In.Input, facts, append(cautions, report.Cautions()...), u)...)
	return d, nil
}

// headline says what to do next.
func (a *Answer) headline(u words.System) string {
	x := a.Plan.Outlook
	s := report.OutlookHeadline(u, a.In.Input, x)
	if len(a.Areas) == 0 || x.Sow < a.In.AsOf {
		return s
	}
	weight, bags, cost := a.total()
	if weight == 0 {
		return s
	}
	what := u.Weight(weight)
	if bags > 0 {
		what = fmt.Sprintf("%d %s of %s", bags, words.Plural(bags, "bag", "bags"), u.Weight(a.Areas[0].Need.BagG))
	}
	order := fmt.Sprintf(" Order %s of %s", what, x.Options.Species.Name)
	if cost > 0 {
		order += fmt.Sprintf(" (cost %.2f)", cost)
	}
	if day := a.day(forecast.PlanOrder); day != nil && day.Day > a.In.AsOf {
		order += " by " + u.Date(day.Day)
	} else {
		order += " now"
	}
	return s + order + "."
}

func (a *Answer) day(kind forecast.PlanKind) *forecast.PlanStep {
	for i := range a.Plan.Steps {
		if a.Plan.Steps[i].Kind == kind {
			return &a.Plan.Steps[i]
		}
	}
	return nil
}

// notes carry the headline.
func (a *Answer) notes(u words.System) []string {
	x := a.Plan.Outlook
	var out []string
	for _, s := range a.Plan.Steps {
		if s.Day >= a.In.AsOf {
			step := name(&s, &x.Options)
			out = append(out, fmt.Sprintf("Next: %s, %s.", strings.ToLower(step[:1])+step[1:], span(u, &s)))
			break
		}
	}
	risky := x.Winter.Risk != forecast.WinterLow || x.Options.Host.ID == "none"
	if text := report.WinterText(u, x.Winter); text != "" && risky {
		out = append(out, text)
	}
	return out
}

// span is the day of a step, or its days.
func span(u words.System, s *forecast.PlanStep) string {
	if s.Until != nil && *s.Until > s.Day {
		return report.DateSpan(u, s.Day, *s.Until)
	}
	return u.Date(s.Day)
}

// name is a step in a few words.
func name(s *forecast.PlanStep, o *forecast.Options) string {
	host := o.Host.Name
	switch s.Kind {
	case forecast.PlanStopFeeding:
		return "Stop feeding the " + host
	case forecast.PlanLastHerbicide:
		return "Last broadleaf herbicide"
	case forecast.PlanOrder:
		return "Order seed"
	case forecast.PlanMowLow:
		if o.Host.ID == "none" {
			return "Prepare the ground"
		}
		return "Mow the " + host + " low"
	case forecast.PlanSow:
		return "Sow " + o.Species.Name
	case forecast.PlanProtect:
		return "Rake in, roll, keep birds off"
	case forecast.PlanWater:
		return "Water"
	case forecast.PlanUp:
		return "Up"
	case forecast.PlanLook:
		return "Look again"
	case forecast.PlanMow:
		return "First mow"
	case forecast.PlanSecondLast:
		return "Last date to sow thin places again"
	case forecast.PlanPlay:
		return "Ready for light play"
	case forecast.PlanFeed:
		return "First feeding"
	case forecast.PlanHerbicide:
		return "Broadleaf herbicide, at the earliest"
	case forecast.PlanEstablished:
		return "Established"
	case forecast.PlanFrost:
		return "Freezing nights begin"
	case forecast.PlanCold:
		return "Cold ends growth of seedlings"
	case forecast.PlanPlayLawn:
		return "Ready for play"
	case forecast.PlanDormant:
		return "Dormant seeding of thin places"
	case forecast.PlanSpring:
		return "Sow thin places again"
	case forecast.PlanHostWakes:
		return words.Capital(host) + " wakes"
	case forecast.PlanLetGo:
		return "Let the " + o.Species.Name + " go"
	}
	return string(s.Kind)
}

// advice is how to do a step, in a sentence.
func (a *Answer) advice(u words.System, s *forecast.PlanStep) string {
	x := a.Plan.Outlook
	o := &x.Options
	switch s.Kind {
	case forecast.PlanStopFeeding:
		return "No nitrogen from now on; a hungry host competes less."
	case forecast.PlanLastHerbicide:
		return "None in the three to four weeks before sowing; pre-emergence products may bar seeding for months. Obey the label."
	case forecast.PlanOrder:
		if weight, _, _ := a.total(); weight > 0 {
			return u.Weight(weight) + " in all; read the label for purity and germination."
		}
		return "Read the label for purity and germination."
	case forecast.PlanMowLow:
		if o.Host.ID == "none" {
			return "Mow low, rake out thatch and loosen the top half inch (1 cm)."
		}
		return "Mow low and open the turf so that seed meets soil."
	case forecast.PlanSow:
		return fmt.Sprintf("Half the seed lengthwise, half across. %s likely to be %s before the cold.", words.Percent(x.Chance),
			words.ShortStage(o.Stage))
	case forecast.PlanProtect:
		return "Seed that lies on top dries out or is eaten."
	case forecast.PlanWater:
		text := "Lightly and often until it is up, then deeper and less often. Local water rules come first."
		if !math.IsNaN(s.WaterMM) {
			amount := fmt.Sprintf("About %s this week beyond the rain.", u.Water(s.WaterMM))
			if s.Day > x.Sow {
				return amount
			}
			text = amount + " " + text
		}
		return text
	case forecast.PlanUp:
		return "Half of the seed that will come up is up."
	case forecast.PlanLook:
		return "By now nine in ten seeds are up in nine of ten cases; judge thin places (swardcast second-pass)."
	case forecast.PlanMow:
		return "At the third leaf and dry: sharp blades, no more than a third of the height."
	case forecast.PlanSecondLast:
		return fmt.Sprintf("Later ones fail in more than %s.", report.Years10(100-o.Confidence))
	case forecast.PlanPlay:
		return "Two to three weeks after sowing and once mowed; little and spread about at first."
	case forecast.PlanFeed:
		return fmt.Sprintf("Give %s of nitrogen, three to four weeks after it is up. Local rules may ban it late in the year.", halfPound(u))
	case forecast.PlanHerbicide:
		return "Only after two mowings and if the label allows it on seedlings."
	case forecast.PlanEstablished:
		return "First tiller: it stands the cold and light wear."
	case forecast.PlanFrost:
		return "Keep off frosted turf until it has thawed; drain hoses."
	case forecast.PlanCold:
		return fmt.Sprintf("A night at %s or dormancy; what isn't established by then is at risk.", u.Temp(*o.FreezeC))
	case forecast.PlanPlayLawn:
		return "Sown by mid September, by the end of May; each day later than Labor Day adds two to four."
	case forecast.PlanDormant:
		return fmt.Sprintf("%.0f to %.0f %% more seed; it comes up in spring.", 100*turf.DormantExtraLow, 100*turf.DormantExtraHigh)
	case forecast.PlanSpring:
		return fmt.Sprintf("When the soil is back at %s; for the odds see swardcast spring.", u.Temp(forecast.SpringSoilC))
	case forecast.PlanHostWakes:
		return fmt.Sprintf("Soil is back at %s. Mow the cool-season grass low and stop feeding it.", u.Temp(turf.WakeSoilC))
	case forecast.PlanLetGo:
		return fmt.Sprintf("The %s needs about %d days of its own before it is overseeded again, or goes dormant.", o.Host.Name, turf.FreeDays)
	}
	return ""
}

func halfPound(u words.System) string {
	if u == words.Metric {
		return "2.4 g/m²"
	}
	return "half a pound/1000 ft²"
}

// basis is where a step is from.
func basis(s *forecast.PlanStep) string {
	if s.Source == "" {
		return report.EvidenceWord(s.Evidence)
	}
	if strings.HasPrefix(s.Source, "this forecast") {
		return s.Source
	}
	return s.Source + " (" + report.EvidenceWord(s.Evidence) + ")"
}

// table has a step a row.
func (a *Answer) table(u words.System) report.Table {
	o := &a.Plan.Outlook.Options
	t := report.Table{Caption: fmt.Sprintf("Plan for %s sown on %s", o.Species.Name, u.LongDate(a.Plan.Outlook.Sow)),
		Head: []string{"date", "what and on whose word"}, Plain: true, Fixed: true}
	for i := range a.Plan.Steps {
		s := &a.Plan.Steps[i]
		how := a.advice(u, s)
		if s.Low != nil && s.High != nil && *s.Low < *s.High {
			how += fmt.Sprintf(" 8 in 10: %s.", report.DateSpan(u, *s.Low, *s.High))
		}
		t.Rows = append(t.Rows, []string{span(u, s), fmt.Sprintf("%s: %s [%s]", name(s, o), words.Lower(how), basis(s))})
	}
	return t
}

// seedTable has an area a row, and the whole.
func (a *Answer) seedTable(u words.System) report.Table {
	t := report.Table{Caption: "Seed to order", Head: []string{"area", "size", "use and rate", "seed"}, Fixed: true}
	sum := 0.0
	for _, x := range a.Areas {
		n := x.Need
		label := x.Name
		if label == "" {
			label = "the area"
		}
		use := fmt.Sprintf("%s, %s (%s)", strings.ReplaceAll(string(n.Use), "-", " "), u.Rate(n.Sowing.RateGM2), rateBasis(n))
		t.Rows = append(t.Rows, []string{label, u.Area(n.Sowing.AreaM2), use, u.Weight(n.Sowing.WeightG())})
		sum += n.Sowing.AreaM2
	}
	weight, bags, cost := a.total()
	whole := u.Weight(weight)
	if bags > 0 {
		whole += fmt.Sprintf(", %d %s", bags, words.Plural(bags, "bag", "bags"))
	}
	if cost > 0 {
		whole += fmt.Sprintf(", cost %.2f", cost)
	}
	t.Rows = append(t.Rows, []string{"to order", u.Area(sum), "–", whole})
	return t
}

// rateBasis is what a rate rests on.
func rateBasis(n *turf.Need) string {
	switch n.Basis {
	case turf.RateOwn:
		return "your rate"
	case turf.RatePublished:
		return report.EvidenceWord(n.Rate.Evidence)
	}
	return "stands in for a published rate"
}
