package main

import (
	"fmt"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/page"
	"swardcast/forecast"
)

func (v *hindcastView) chart(name string, _ unitSystem) (*chart.Chart, error) {
	if name == "held" {
		return heldChart(v.h), nil
	}
	return reliabilityChart(v.h), nil
}

func (v *hindcastView) page(u unitSystem) (*page.Page, error) {
	p := newPage(v.in.input, "Past forecasts judged", v.sentence(), u)
	p.Unitless = true
	held := page.Table{Caption: "Last safe dates, and how often they held", Head: header("date", "held in", fmt.Sprintf("%d %% interval", forecast.IntervalPercent), "seasons")}
	for _, l := range v.h.Levels {
		share, low, high := l.Share()
		held.Rows = append(held.Rows, duals([]string{fmt.Sprintf("%g %%", l.Confidence), fmt.Sprintf("%.0f %%", 100*share), intervalWords(low, high), fmt.Sprintf("%d of %d", l.Count, l.N)}))
	}
	leads := page.Table{Caption: "By the time the forecast is made", Head: header("forecast made", "Brier", "of climatology", "median latest date misses by")}
	for _, lead := range forecast.Leads() {
		f, c := v.h.Brier(lead)
		leads.Rows = append(leads.Rows, duals([]string{leadWords[lead], fmt.Sprintf("%.3f", f.Score), fmt.Sprintf("%.3f", c.Score), missText(forecast.MeanAbsolute(v.h.LatestError[lead]))}))
	}
	groups := page.Table{Caption: "Chance told on the eve of sowing, and how often it came", Head: header("chance told", "mean", "came in", "forecasts")}
	for _, g := range v.h.Reliability(forecast.LeadSow) {
		groups.Rows = append(groups.Rows, duals([]string{intervalWords(g.Low, g.High), fmt.Sprintf("%.0f %%", 100*g.Mean), fmt.Sprintf("%.0f %%", 100*g.Observed), fmt.Sprint(g.N)}))
	}
	p.Sections = append(p.Sections,
		page.Section{ID: "held", Heading: "Did the safe dates hold?", Figures: []page.Figure{{US: heldChart(v.h)}}, Tables: []page.Table{held}},
		page.Section{ID: "reliability", Heading: "Did the chances come true?", Figures: []page.Figure{{US: reliabilityChart(v.h)}}, Tables: []page.Table{groups}},
		page.Section{ID: "leads", Heading: "How early does it know?", Tables: []page.Table{leads}, Intro: duals([]string{"The Brier score is the mean square of chance less outcome, 0 at best; climatology is the plain share of the earlier seasons."})})
	p.Sections = append(p.Sections, basis(v.in.input, func(unitSystem) []fact { return v.facts() }, append(v.cautions(), cautions()[0]))...)
	return p, nil
}
