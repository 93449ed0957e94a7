package main

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/page"
)

// curve is the past year of soil with the thresholds asked for.
func (v *soilView) curve() *soilCurve {
	s := &soilCurve{in: v.in, depthCM: v.depthCM, span: span{v.from, v.in.Record.Last()}}
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
	for _, c := range v.crossings() {
		crossings.Rows = append(crossings.Rows, []page.Dual{dual(c.words), page.Both(dateOr(c.Normal)), page.Both(dateOr(c.LastYear))})
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
	for d := v.from; d <= v.in.Record.Last(); d++ {
		t.Rows = append(t.Rows, v.dayRow(d))
	}
	return t
}

func (v *soilView) dayRow(d climate.Day) []page.Dual {
	i := v.in.Record.Index(d)
	row := []page.Dual{page.Both(longDate(d))}
	for _, c := range []float64{v.in.Soil.Soil5C[i], v.normal5[i], v.in.Soil.Soil10C[i], v.normal10[i]} {
		row = append(row, dual(func(u unitSystem) string { return u.temp(c) }))
	}
	air := dual(func(u unitSystem) string {
		return fmt.Sprintf("%s to %s", u.temp(v.in.Record.TMinC[i]), u.temp(v.in.Record.TMaxC[i]))
	})
	if v.in.Filled[i] {
		air = page.Both("filled")
	}
	return append(row, air)
}
