package species

import (
	"fmt"
	"math"
	"strings"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast/turf"
)

// Document puts the answer in words: a table of figures a species.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	d := &report.Document{Kind: "Species", Headline: a.headline(u), Notes: []string{a.evidence()}}
	if len(a.Species) > 1 {
		d.Sections = append(
			d.Sections,
			report.Section{ID: "days", Lead: true, Heading: "Days in the soil", Intro: []string{fmt.Sprintf(
				"Days from sowing: three columns in soil at %s, three at %s.", u.Temp(soilsC[0]), u.Temp(soilsC[1]))},
				Tables: []report.Table{a.daysTable()}},
		)
	}
	for i := range a.Species {
		sp := &a.Species[i]
		t := report.Table{
			Caption: "Figures of " + sp.Name,
			Head:    []string{"figure", "value", "meaning, evidence and source"},
			Plain:   true,
		}
		for _, p := range sp.Parameters() {
			t.Rows = append(t.Rows, []string{p.Key, value(p, u), p.Meaning + " [" + source(p.Figure) + "]"})
		}
		d.Sections = append(
			d.Sections,
			report.Section{ID: sp.ID, Heading: fmt.Sprintf("%s (%s)", sp.Name, sp.ID), Tables: []report.Table{t}},
		)
	}
	return d, nil
}

// soilsC are the soil temperatures that days are given for: 65 and 50 °F, the soil of
// early and of late autumn.
var soilsC = [2]float64{words.Celsius(65), words.Celsius(50)}

// days are the days from sowing to a stage, "6".
func days(sp *turf.Species, stage turf.Stage, soilC float64) string {
	d := sp.DaysAt(stage, soilC)
	if math.IsInf(d, 1) || d > 999 {
		return "–"
	}
	return fmt.Sprintf("%.0f", d)
}

// headline says how long the species take.
func (a *Answer) headline(u words.System) string {
	if len(a.Species) > 1 {
		quick, slow := &a.Species[0], &a.Species[0]
		for i := range a.Species {
			if sp := &a.Species[i]; sp.ThermalTime(turf.Tillered) < quick.ThermalTime(turf.Tillered) {
				quick = sp
			} else if sp.ThermalTime(turf.Tillered) > slow.ThermalTime(turf.Tillered) {
				slow = sp
			}
		}
		return fmt.Sprintf(
			"Allow %s days from sowing to established for %s and %s for %s, in soil at %s.",
			days(
				quick,
				turf.Tillered,
				soilsC[1],
			),
			quick.Name,
			days(slow, turf.Tillered, soilsC[1]),
			slow.Name,
			u.Temp(soilsC[1]),
		)
	}
	sp := &a.Species[0]
	at := func(soilC float64) string {
		return fmt.Sprintf(
			"%s, %s and %s",
			days(sp, turf.Emerged, soilC),
			days(sp, turf.Mow, soilC),
			days(sp, turf.Tillered, soilC),
		)
	}
	return fmt.Sprintf(
		"Allow %s %s days from sowing to up, first mow and established, in soil at %s; %s at %s.",
		sp.Name,
		at(soilsC[0]),
		u.Temp(soilsC[0]),
		at(soilsC[1]),
		u.Temp(soilsC[1]),
	)
}

// daysTable has the days of every species.
func (a *Answer) daysTable() report.Table {
	t := report.Table{Caption: "Days from sowing, in soil that stays at one temperature",
		Head: []string{"species", "up", "mow", "established", "up", "mow", "established"}}
	for i := range a.Species {
		sp := &a.Species[i]
		row := []string{sp.Name}
		for _, soilC := range soilsC {
			for _, stage := range turf.Stages() {
				row = append(row, days(sp, stage, soilC))
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// evidence counts the figures by how far they can be trusted.
func (a *Answer) evidence() string {
	return fmt.Sprintf("Based on %s; each stands below with its source.", report.EvidenceCount(a.Species))
}

// value prints a figure with its unit.
func value(p turf.Parameter, u words.System) string {
	switch {
	case p.Key == "covered" && p.Value == 0:
		return "–"
	case p.Unit == turf.PureNumber:
		return fmt.Sprintf("%g", p.Value)
	case u == words.US && (p.Key == "plateau" || p.Key == "hardened_range"): // a difference of temperatures
		return strings.TrimPrefix(u.Difference(p.Value), "+")
	case u == words.US && p.Unit == turf.Celsius:
		return fmt.Sprintf("%.1f °F", words.Fahrenheit(p.Value))
	case u == words.US && p.Unit == turf.DegreeDays:
		return fmt.Sprintf("%.0f °F d", p.Value*1.8)
	}
	return fmt.Sprintf("%g %s", p.Value, p.Unit)
}

// source is how far a figure can be trusted and where it is from.
func source(f *turf.Figure) string {
	if f.Source == "" {
		return f.Evidence.Meaning()
	}
	return f.Evidence.Meaning() + ": " + f.Source
}
