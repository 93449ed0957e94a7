package species

import (
	"fmt"
	"strings"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast/turf"
)

// Document puts the answer in words: a table of figures a species.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	d := &report.Document{Kind: "Species", Headline: a.sentence()}
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

// sentence counts the figures by evidence.
func (a *Answer) sentence() string {
	who := fmt.Sprintf("%d species", len(a.Species))
	if len(a.Species) == 1 {
		who = words.Capital(a.Species[0].Name)
	}
	return fmt.Sprintf("%s, %s.", who, report.EvidenceCount(a.Species))
}

// value prints a figure with its unit.
func value(p turf.Parameter, u words.System) string {
	switch {
	case p.Unit == turf.PureNumber:
		return fmt.Sprintf("%g", p.Value)
	case u == words.US && p.Key == "plateau": // a difference of temperatures
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
