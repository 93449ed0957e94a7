package main

import (
	"fmt"
	"math"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/page"
	"swardcast/forecast"
)

// standChart draws what should be up against what is seen, and what may come.
func (v *secondPassView) standChart() *chart.Chart {
	r := v.report
	return shareRanges(fmt.Sprintf("The first pass as of %s", longDate(v.in.asOf)), "of the living seed, or of the stand wanted; the bar holds 8 in 10", []share{
		{"should be up", r.ExpectedLow, r.ExpectedUp, r.ExpectedHi},
		{"is seen", math.NaN(), v.stand.Cover, math.NaN()},
		{"alive, up or not", r.AliveP10, r.AliveP50, r.AliveP90},
		{"will come to", r.FinalP10, r.FinalP50, r.FinalP90},
	})
}

func (v *secondPassView) chart(name string, u unitSystem) (*chart.Chart, error) {
	switch name {
	case "stand":
		return v.standChart(), nil
	case "stages":
		return stagesChart(v.second[0].Outlook, v.in.asOf), nil
	}
	s, err := newSowing(v.in, v.ensemble, []forecast.Options{v.first.Options}, v.first.Sow)
	if err != nil {
		return nil, err
	}
	if name == "soil" {
		return s.soil().chart(u), nil
	}
	return s.chance(s.species[0], s.rules(v.second[0].Outlook)), nil
}

// answerFor is the answer of a page where another species is chosen for the
// second pass.
func (v *secondPassView) answerFor(x *forecast.Outlook) string {
	return fmt.Sprintf("A second pass of %s, sown today, %s %s before the cutoff: chance %s (%.0f–%.0f).", x.Options.Species.Name,
		verdictWords[x.Verdict], stageVerbs[x.Options.Stage], percent(x.Chance), 100*x.Low, 100*x.High)
}

func (v *secondPassView) page(u unitSystem) (*page.Page, error) {
	s, err := newSowing(v.in, v.ensemble, asked([]forecast.Options{v.first.Options}), v.in.asOf, v.first.Sow)
	if err != nil {
		return nil, err
	}
	p := newPage(v.in.input, "Second pass", v.judgement(), u)
	p.Notes = duals((&outlookView{in: v.in, ensemble: v.ensemble, base: v.first}).notes())
	p.Ask = s.ask(v.in.asOf, v.answerFor)
	p.Ask.From, p.Ask.What, p.Ask.Keep = v.in.asOf.String(), "a second pass of", true
	first := v.first.Options.Species.Name
	next := page.Table{Caption: "What comes next, if sown today", Head: header("date", "what"), Fixed: true}
	for _, c := range v.calendar() {
		next.Rows = append(next.Rows, duals([]string{longDate(c.day), c.what}))
	}
	choices := page.Section{ID: "chance", Heading: "A second pass", Figures: s.each(func(list []*forecast.Outlook) *chart.Chart { return s.chance(list, s.rules(list[v.in.asOf-s.first])) }, outlookCaption),
		Tables: []page.Table{ifSownTable("A second pass, sown", v.second), s.table()}}
	si := append(v.choices(metric), thinSupport)
	for i, c := range append(v.choices(us), thinSupport) {
		choices.List = append(choices.List, page.Dual{US: c, SI: si[i]})
	}
	p.Sections = append(p.Sections,
		page.Section{ID: "stand", Heading: fmt.Sprintf("The first pass, %s on %s", first, longDate(v.first.Sow)), Figures: []page.Figure{{US: v.standChart()}}, Tables: []page.Table{v.standTable()}},
		choices)
	if v.need != nil {
		items := []page.Item{{Label: "needed", Text: dual(v.seedWords)}}
		p.Sections = append(p.Sections, page.Section{ID: "seed", Heading: "Seed for it", Items: append(items, factItems(v.need.facts)...)})
	}
	p.Sections = append(p.Sections,
		page.Section{ID: "next", Heading: "What comes next", Figures: []page.Figure{{US: stagesChart(v.second[0].Outlook, v.in.asOf), Fixed: true}}, Tables: []page.Table{next}, Items: v.water.items()},
		page.Section{ID: "soil", Heading: "The soil so far", Figures: []page.Figure{s.soil().figure()}})
	p.Sections = append(p.Sections, basis(v.in.input, v.facts, v.cautions())...)
	return p, nil
}

func (v *secondPassView) standTable() page.Table {
	r := v.report
	row := func(name string, mid, low, high float64) []page.Dual {
		return duals([]string{name, fmt.Sprintf("%.0f %%", 100*mid), intervalWords(low, high)})
	}
	t := page.Table{Caption: "The first pass, as part of its living seed or of the stand wanted", Head: header("figure", "share", "8 in 10 between")}
	t.Rows = [][]page.Dual{
		row("should be up of the living seed", r.ExpectedUp, r.ExpectedLow, r.ExpectedHi),
		duals([]string{"is seen", fmt.Sprintf("%.0f %%", 100*v.stand.Cover), "your figure"}),
		row("alive of its seed, up or not", r.AliveP50, r.AliveP10, r.AliveP90),
		row("will come to, without more seed", r.FinalP50, r.FinalP10, r.FinalP90),
		duals([]string{"chance that more than half is lost", percent(r.LostProbability), "–"}),
	}
	return t
}
