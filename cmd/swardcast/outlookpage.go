package main

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/page"
	"swardcast/forecast"
)

// A sowing is what a page or a chart tells of every sow date of a season, from
// its ensemble, for each species.
type sowing struct {
	in       *stationInput
	ensemble *forecast.Ensemble
	first    climate.Day
	species  [][]*forecast.Outlook // by species, those asked for first, and by day
	span     span
}

// newSowing works out every sow date of the ensemble's season, and those from
// which on the charts shall show it.
func newSowing(in *stationInput, e *forecast.Ensemble, options []forecast.Options, also ...climate.Day) (*sowing, error) {
	s := &sowing{in: in, ensemble: e, first: in.Calendar.First(e.Season)}
	for _, d := range also {
		s.first = min(s.first, d) // a sowing before the season
	}
	var dates []climate.Day
	for d := s.first; d <= in.Calendar.Last(e.Season); d++ {
		dates = append(dates, d)
	}
	for _, o := range options {
		list, err := e.Outlooks(o, dates)
		if err != nil {
			return nil, seasonsError(in, err)
		}
		s.species = append(s.species, list)
	}
	s.span = spanOf([][]chance{outlookChances(s.species[0])}, also...)
	return s, nil
}

// ask are the numbers of a page of sowings.
func (s *sowing) ask(sow climate.Day, answers func(o *forecast.Outlook) string) *page.Ask {
	o := &s.species[0][0].Options
	a := &page.Ask{First: s.first.String(), From: s.first.String(), Stage: stageWords[o.Stage], Sow: sow.String()}
	for _, list := range s.species {
		a.Species = append(a.Species, askSpecies(list[0].Options.Species, answers(list[sow-s.first]), list[0].Opens, list[0].Cutoff, outlookChances(list), func(i int) [3]float64 {
			st := list[i].Stages
			return [3]float64{st[0].Days.P50, st[1].Days.P50, st[2].Days.P50}
		}))
	}
	return a
}

func (s *sowing) chance(list []*forecast.Outlook, rules []chart.Rule) *chart.Chart {
	o := &list[0].Options
	return chanceChart(outlookChances(list), s.span, o.Species.Name, o, rules)
}

func (s *sowing) days(list []*forecast.Outlook) *chart.Chart {
	return stageDaysChart(list[0].Options.Species.Name, s.span, len(list), func(i int) (climate.Day, [3]forecast.Spread) {
		st := list[i].Stages
		return list[i].Sow, [3]forecast.Spread{st[0].Days, st[1].Days, st[2].Days}
	})
}

func (s *sowing) table() page.Table {
	list := s.species[0]
	return byDateTable(list[0].Options.Species.Name, outlookChances(list), func(i int) [3]forecast.Spread {
		st := list[i].Stages
		return [3]forecast.Spread{st[0].Days, st[1].Days, st[2].Days}
	})
}

// each draws a chart of every species.
func (s *sowing) each(draw func(list []*forecast.Outlook) *chart.Chart, caption string) []page.Figure {
	return eachFigure(len(s.species), func(i int) (*chart.Chart, string) {
		return draw(s.species[i]), s.species[i][0].Options.Species.ID
	}, caption)
}

// soil is the soil of the season so far.
func (s *sowing) soil() *soilCurve {
	return seasonSoil(s.in, s.ensemble.Season, &s.species[0][0].Options)
}

// seasonRules are the dates that matter in this season so far.
func (s *sowing) rules(x *forecast.Outlook) []chart.Rule {
	var rules []chart.Rule
	add := func(d climate.Day, ok bool, label string, ink chart.Ink, dashes []float64) {
		if ok && (d != s.in.asOf || ink == chart.Text) {
			rules = append(rules, chart.Rule{Ink: ink, At: float64(d), Dashes: dashes, Label: label + ", " + shortDate(d)})
		}
	}
	opens, ok := x.Opens.At(0.5)
	add(opens, ok && opens > s.first, "opens", chart.Straw, dashed)
	safe, ok := x.Latest.At(1 - x.Options.Confidence/100)
	add(safe, ok, fmt.Sprintf("last safe %g %%", x.Options.Confidence), chart.Sky, nil)
	if x.Sow != s.in.asOf {
		rules = append(rules, chart.Rule{Ink: chart.Leaf, At: float64(x.Sow), Dashes: dashed, Label: "sown, " + shortDate(x.Sow)})
	}
	add(s.in.asOf, true, "today", chart.Text, dotted)
	cutoff, ok := x.Cutoff.At(0.5)
	add(cutoff, ok, "cutoff", chart.Brick, dashed)
	return rules
}

// outlookCaption stands beneath the chances of an outlook.
var outlookCaption = fmt.Sprintf("Given the season so far, and past seasons as what may come. The band is the chance's %d %% interval.", forecast.IntervalPercent)

// sentence is the answer.
func (v *outlookView) sentence(x *forecast.Outlook) string {
	o := &x.Options
	subject := fmt.Sprintf("%s sown%s on %s at %s", capital(o.Species.Name), into(o), longDate(x.Sow), v.in.displayName())
	chance := fmt.Sprintf("chance %s (%.0f–%.0f)", percent(x.Chance), 100*x.Low, 100*x.High)
	cutoff, known := x.Cutoff.At(0.5)
	if x.Decided && known {
		return fmt.Sprintf("%s %s %s before the cutoff of %s: %s.", subject, pastWords[x.Verdict], stageParticiples[o.Stage], longDate(cutoff), chance)
	}
	s := fmt.Sprintf("%s %s %s before the cutoff: %s", subject, verdictWords[x.Verdict], stageVerbs[o.Stage], chance)
	if opens, ok := x.Opens.At(0.5); ok && x.Sow+3 < opens {
		s += fmt.Sprintf(", if the host and the heat let it: sowing opens only about %s", shortDate(opens))
	}
	return s + "."
}

func (v *outlookView) sowing() (*sowing, error) {
	return newSowing(v.in, v.ensemble, asked([]forecast.Options{v.base.Options}), v.base.Sow, v.on)
}

// chart draws a chart by its name.
func (v *outlookView) chart(name string, u unitSystem) (*chart.Chart, error) {
	switch name {
	case "stages":
		return stagesChart(v.base, v.in.asOf), nil
	case "species":
		return v.speciesChart(), nil
	}
	s, err := newSowing(v.in, v.ensemble, []forecast.Options{v.base.Options}, v.base.Sow)
	if err != nil {
		return nil, err
	}
	switch name {
	case "days":
		return s.days(s.species[0]), nil
	case "soil":
		return s.soil().chart(u), nil
	}
	return s.chance(s.species[0], s.rules(v.base)), nil
}

func (v *outlookView) speciesChart() *chart.Chart {
	return shareRanges(fmt.Sprintf("Chance of the species to be %s before the cutoff, sown on %s", shortStage(v.base.Options.Stage), longDate(v.on)),
		"chance; the bar is its interval", speciesShares(v.species))
}

func (v *outlookView) page(u unitSystem) (*page.Page, error) {
	s, err := v.sowing()
	if err != nil {
		return nil, err
	}
	x := v.base
	p := newPage(v.in.input, "Outlook", v.sentence(x), u)
	p.Notes = duals(v.notes())
	p.Ask = s.ask(x.Sow, v.sentence)
	p.Sections = append(p.Sections,
		page.Section{ID: "stages", Heading: "When it is up, cut and established", Figures: []page.Figure{{US: stagesChart(x, v.in.asOf), Fixed: true}},
			Tables: []page.Table{v.stagesTable()}, Items: v.water.items()},
		page.Section{ID: "chance", Heading: "Chance by sow date", Figures: s.each(func(list []*forecast.Outlook) *chart.Chart { return s.chance(list, s.rules(list[x.Sow-s.first])) }, outlookCaption),
			Tables: []page.Table{ifSownTable("If sown", v.later), s.table()}},
		page.Section{ID: "soil", Heading: "The soil so far", Figures: []page.Figure{s.soil().figure()}},
		page.Section{ID: "days", Heading: "Days to come up and to the first cut", Figures: s.each(s.days, "Lines are the middle of what may come; bands hold 8 in 10.")},
		page.Section{ID: "species", Heading: "Species compared", Intro: duals([]string{fmt.Sprintf("What could be sown on %s, whatever lies in the ground already.", longDate(v.on))}), Figures: []page.Figure{{US: v.speciesChart()}}, Tables: []page.Table{v.speciesTable()}},
	)
	p.Sections = append(p.Sections, basis(v.in.input, v.facts, v.cautions())...)
	return p, nil
}

func (v *outlookView) stagesTable() page.Table {
	t := page.Table{Caption: fmt.Sprintf("Stages of %s sown on %s", v.base.Options.Species.Name, longDate(v.base.Sow)), Head: header("stage", "reached now", "date", "8 in 10 between", "days from sowing"), Fixed: true}
	for i, s := range v.base.Stages {
		now, between := "–", "–"
		if v.in.asOf >= v.base.Sow && !v.nothingKnown() {
			now = fmt.Sprintf("%s (%.0f–%.0f)", percent(s.ReachedNow), 100*s.Low, 100*s.High)
		}
		if s.P10 != nil && s.P90 != nil {
			between = fmt.Sprintf("%s and %s", shortDate(*s.P10), shortDate(*s.P90))
		}
		t.Rows = append(t.Rows, duals([]string{stageLines[i].key, now, dateOr(s.P50), between, spreadWords(s.Days)}))
	}
	c := v.base.Cutoff
	between := "–"
	if a, ok := c.At(0.1); ok {
		if z, ok := c.At(0.9); ok {
			between = fmt.Sprintf("%s and %s", shortDate(a), shortDate(z))
		}
	}
	t.Rows = append(t.Rows, duals([]string{"cutoff", "–", dateOr(dayOrNull(c.At(0.5))), between, "–"}))
	return t
}

// ifSownTable is the same with other sow dates.
func ifSownTable(caption string, list []laterSowing) page.Table {
	t := page.Table{Caption: caption, Head: header("sown on", "chance", "interval", "verdict"), Fixed: true}
	for _, l := range list {
		t.Rows = append(t.Rows, duals([]string{longDate(l.Sow), percent(l.Chance), intervalWords(l.Low, l.High), string(l.Verdict)}))
	}
	return t
}

func (v *outlookView) speciesTable() page.Table {
	t := page.Table{Caption: fmt.Sprintf("Species sown on %s", longDate(v.on)), Head: header("species", "chance", "interval", "half up", "first cut", "established", "verdict")}
	for _, x := range v.species {
		t.Rows = append(t.Rows, duals([]string{x.Options.Species.Name, percent(x.Chance), intervalWords(x.Low, x.High), dateOr(x.Stages[0].P50), dateOr(x.Stages[1].P50), dateOr(x.Stages[2].P50), string(x.Verdict)}))
	}
	return t
}

// items are the water as a page tells it.
func (n *waterNeed) items() []page.Item {
	var out []page.Item
	si := n.lines(metric)
	for i, l := range n.lines(us) {
		label := ""
		if i == 0 {
			label = "water"
		}
		out = append(out, page.Item{Label: label, Text: page.Dual{US: l, SI: si[i]}})
	}
	return out
}
