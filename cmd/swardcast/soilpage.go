package main

import (
	"fmt"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/page"
	"swardcast/forecast"
)

// curve is the past year of soil with the thresholds asked for.
func (v *soilView) curve() *soilCurve {
	s := &soilCurve{in: v.in, depth: v.year.Depth, span: span{v.year.From, v.year.To}}
	for _, t := range v.limits {
		s.rules = append(s.rules, soilRule{t, ""})
	}
	return s
}

func (v *soilView) chart(_ string, u unitSystem) (*chart.Chart, error) {
	return v.curve().chart(u), nil
}

func (v *soilView) page(u unitSystem) (*page.Page, error) {
	p := newPage(v.in.input, "Soil temperature", "", u)
	p.Answer = dual(func(u unitSystem) string { return v.sentences(u)[0] })
	p.Notes = []page.Dual{dual(func(u unitSystem) string { return v.sentences(u)[1] })}
	crossings := page.Table{Caption: "When the soil crosses a temperature", Head: header("the soil", "in a normal year", "in the past year")}
	for _, c := range v.year.Crossings {
		crossings.Rows = append(crossings.Rows, []page.Dual{dual(func(u unitSystem) string { return crossingWords(&c, u) }), page.Both(dateOr(c.Normal)), page.Both(dateOr(c.PastYear))})
	}
	p.Sections = append(p.Sections,
		page.Section{ID: "soil", Heading: "The past year", Figures: []page.Figure{v.curve().figure()}, Tables: []page.Table{v.daysTable()}},
		page.Section{ID: "crossings", Heading: "Crossings", Tables: []page.Table{crossings}})
	p.Sections = append(p.Sections, basis(v.in.input, v.facts, cautions()[:1])...)
	return p, nil
}

// daysTable is the table behind the chart.
func (v *soilView) daysTable() page.Table {
	t := page.Table{Caption: "Every day of the past year: soil and its normal", Folded: true,
		Head: []page.Dual{page.Both("day"), dual(func(u unitSystem) string { return u.depth(5) }), page.Both("normal"), dual(func(u unitSystem) string { return u.depth(10) }), page.Both("normal"), page.Both("air")}}
	for i := range v.days {
		t.Rows = append(t.Rows, dayRow(&v.days[i]))
	}
	return t
}

func dayRow(d *forecast.SoilDay) []page.Dual {
	row := []page.Dual{page.Both(longDate(d.Day))}
	for _, c := range []float64{d.Soil5C, d.Normal5C, d.Soil10C, d.Normal10C} {
		row = append(row, dual(func(u unitSystem) string { return u.temp(c) }))
	}
	air := dual(func(u unitSystem) string { return fmt.Sprintf("%s to %s", u.temp(d.TMinC), u.temp(d.TMaxC)) })
	if d.Filled {
		air = page.Both("filled")
	}
	return append(row, air)
}
