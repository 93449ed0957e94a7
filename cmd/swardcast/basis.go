package main

import (
	"fmt"
	"strings"

	"swardcast/forecast"
)

// A fact is something that an answer rests on. One without a label goes on with
// what stands above it.
type fact struct{ label, text string }

// factsText prints facts beneath their heading.
func factsText(facts []fact) string {
	var b strings.Builder
	b.WriteString("What this rests on\n")
	for _, f := range facts {
		b.WriteString(wrap("  "+pad(f.label, 10)+" ", f.text))
	}
	return b.String()
}

// cautionsText prints cautions beneath their heading.
func cautionsText(list []string) string {
	var b strings.Builder
	b.WriteString("Cautions\n")
	for _, c := range list {
		b.WriteString(wrap("  - ", c))
	}
	return b.String()
}

// windowFacts is what windows rest on.
func windowFacts(in *stationInput, windows []*forecast.Window, u unitSystem) []fact {
	w := windows[0]
	facts := stationFacts(in.input)
	for _, w := range windows {
		which := ""
		if len(windows) > 1 {
			which = w.Options.Species.Name + " "
		}
		facts = append(facts, fact{"seasons", fmt.Sprintf("%s%d: %s; dates are told for the season of %d", which, len(w.Seasons), yearsText(w.Seasons), w.Season)})
		if len(windows) > 1 && len(droppedByAny(windows)) == len(w.Dropped) {
			break // all alike
		}
	}
	for _, d := range droppedByAny(windows) {
		facts = append(facts, fact{"", fmt.Sprintf("left out %d: %s", d.Season, d.Reason)})
	}
	facts = append(facts, modelFacts(in, &w.Options, &w.Trend, u)...)
	for _, w := range windows {
		facts = append(facts, fact{"species", evidenceText(&w.Options.Species)})
	}
	return facts
}

// modelFacts are what every answer about a sowing rests on beside the record: the
// trend, the site's readings, the water, the soil, the thresholds.
func modelFacts(in *stationInput, o *forecast.Options, t *forecast.Trend, u unitSystem) []fact {
	facts := append([]fact{trendFact(t, o.Trend, u)}, in.probeFacts(u)...)
	if o.Unwatered {
		facts = append(facts, fact{"water", "nobody waters: seed comes up only on days that rain keeps the top 25 mm moist. An estimate: Hargreaves evapotranspiration (FAO-56 eq. 52) and a bucket of 4 mm of which a quarter must be left (M); your soil holds more or less."})
	}
	return append(facts, fact{"soil", accuracy}, fact{"thresholds", thresholdText(o, u)})
}

// stationFacts tell which record was read and how it was understood.
func stationFacts(in *input) []fact {
	p := in.checked.Place
	place := in.displayName()
	if p.Latitude != nil {
		place += fmt.Sprintf(", latitude %g", *p.Latitude)
	}
	if p.Longitude != nil {
		place += fmt.Sprintf(", longitude %g", *p.Longitude)
	}
	f := in.file
	read := fmt.Sprintf("%s; temperatures in %s (%s); dates %s; %d of %d days missing", f.Layout, f.Unit.Name(), f.UnitReason, f.Dates,
		in.missingDays(), in.checked.Len())
	if f.PrecipUnit != "" {
		read += fmt.Sprintf("; rain in %s (%s)", f.PrecipUnit, f.PrecipReason)
	}
	if f.Flagged > 0 {
		read += fmt.Sprintf("; %d values left out that are flagged in the file", f.Flagged)
	}
	if n := suspectValues(in.suspect); n > 0 {
		d := in.suspect[0]
		read += fmt.Sprintf("; %d %s not believed, the first on %s: %s (swardcast record lists them)", n, plural(n, "value", "values"), d.First, d.Reason)
	}
	return []fact{{"station", fmt.Sprintf("%s; %s to %s", place, longDate(in.checked.First), longDate(in.checked.Last()))}, {"record", read}}
}
