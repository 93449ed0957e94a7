package report

import (
	"fmt"
	"strings"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// WindowFacts is what windows rest on.
func WindowFacts(in *ask.Station, windows []*forecast.Window, u words.System) []Item {
	w := windows[0]
	facts := StationFacts(in.Input, u)
	for _, w := range windows {
		which := ""
		if len(windows) > 1 {
			which = w.Options.Species.Name + " "
		}
		facts = append(facts, Item{"seasons", fmt.Sprintf("%s%d: %s; dates are told for the season of %d", which, len(w.Seasons), Seasons(w.Seasons), w.Season)})
		if len(windows) > 1 && len(DroppedByAny(windows)) == len(w.Dropped) {
			break // all alike
		}
	}
	for _, d := range DroppedByAny(windows) {
		facts = append(facts, Item{"", fmt.Sprintf("left out %d: %s", d.Season, d.Reason)})
	}
	facts = append(facts, ModelFacts(in, &w.Options, &w.Trend, u)...)
	for _, w := range windows {
		facts = append(facts, Item{"species", Evidence(&w.Options.Species)})
	}
	return facts
}

// ModelFacts are what every answer about a sowing rests on beside the record: the
// trend, the site's readings, the water, the soil, the thresholds.
func ModelFacts(in *ask.Station, o *forecast.Options, t *forecast.Trend, u words.System) []Item {
	facts := append([]Item{TrendFact(t, o.Trend, u)}, ProbeFacts(in, u)...)
	if o.Unwatered {
		facts = append(facts, Item{"water", "nobody waters: seed comes up only on days that rain keeps the top 25 mm moist. An estimate: Hargreaves evapotranspiration (FAO-56 eq. 52) and a bucket of 4 mm of which a quarter must be left (M); your soil holds more or less."})
	}
	return append(facts, Item{"soil", Accuracy}, Item{"thresholds", Thresholds(o, u)})
}

// StationFacts tell which record was read and how it was understood.
func StationFacts(in *ask.Input, u words.System) []Item {
	p := in.Checked.Place
	place := in.DisplayName()
	if p.Latitude != nil {
		place += fmt.Sprintf(", latitude %g", *p.Latitude)
	}
	if p.Longitude != nil {
		place += fmt.Sprintf(", longitude %g", *p.Longitude)
	}
	f := in.File
	read := fmt.Sprintf("%s; temperatures in %s (%s); dates %s; %d of %d days missing", f.Layout, f.Unit.Name(), f.UnitReason, f.Dates,
		in.MissingDays(), in.Checked.Len())
	if f.PrecipUnit != "" {
		read += fmt.Sprintf("; rain in %s (%s)", f.PrecipUnit, f.PrecipReason)
	}
	if f.Flagged > 0 {
		read += fmt.Sprintf("; %d values left out that are flagged in the file", f.Flagged)
	}
	if n := SuspectValues(in.Suspect); n > 0 {
		d := in.Suspect[0]
		read += fmt.Sprintf("; %d %s not believed, the first on %s: %s (swardcast record lists them)", n, words.Plural(n, "value", "values"), d.First, d.Reason)
	}
	facts := []Item{{"station", fmt.Sprintf("%s; %s to %s", place, u.LongDate(in.Checked.First), u.LongDate(in.Checked.Last()))}, {"record", read}}
	return append(facts, onlineFacts(in, u)...)
}

// Thresholds tells where the thresholds are from.
func Thresholds(o *forecast.Options, u words.System) string {
	soil := func(t turf.Threshold) string {
		return fmt.Sprintf("%s at %s (%s)", u.Temp(t.TempC), u.Depth(t.Depth), t.Source)
	}
	freeze := "US National Weather Service, S; a cautious limit for grass"
	if *o.FreezeC != turf.KillingFreezeC {
		freeze = "as told"
	}
	host := "overseeded " + o.Host.Name + " (--host none for bare soil or a cool-season lawn): "
	if o.Host.ID == "none" {
		host = "bare soil or a cool-season lawn: "
	}
	return host + fmt.Sprintf("opening %s; dormancy %s; killing freeze %s in the air (%s)", soil(o.Host.Open), soil(o.Host.Dormancy), u.Temp(*o.FreezeC), freeze)
}

// SuspectValues counts the values not believed.
func SuspectValues(doubts []check.Suspect) int {
	n := 0
	for _, d := range doubts {
		n += d.Values
	}
	return n
}

// Evidence is how far the figures of a species can be trusted.
func Evidence(sp *turf.Species) string {
	return fmt.Sprintf("%s, %s (swardcast species)", sp.Name, EvidenceCount([]turf.Species{*sp}))
}

// EvidenceCount counts the figures that forecasts of species rest on by their
// evidence.
func EvidenceCount(list []turf.Species) string {
	order := []turf.Evidence{turf.Seen, turf.Restated, turf.Derived, turf.Unverified, turf.Practice, turf.OwnFigure}
	count := map[turf.Evidence]int{}
	n := 0
	for i := range list {
		for _, p := range list[i].Parameters() {
			if p.Key != "seeds_per_gram" { // which no forecast needs
				count[p.Evidence]++
				n++
			}
		}
	}
	var parts []string
	for _, s := range order {
		if count[s] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", count[s], s.Meaning()))
		}
	}
	return fmt.Sprintf("%d figures: %s", n, strings.Join(parts, ", "))
}

// ProbeFacts tell what the readings did.
func ProbeFacts(in *ask.Station, u words.System) []Item {
	c := in.Site
	if c == nil {
		return nil
	}
	text := fmt.Sprintf("%d of %d readings of %s taken in; ", c.Used, c.Used+len(c.Suspect), in.ProbeFile)
	text += fmt.Sprintf("on the last day they move the soil by %s", u.Difference(c.Offset(in.Record.Last())))
	if c.Used > 1 {
		text += fmt.Sprintf("; each left out in turn, they miss the estimate by %s before and %s after", strings.TrimPrefix(u.Difference(c.Before), "+"), strings.TrimPrefix(u.Difference(c.After), "+"))
	}
	return []Item{{"readings", text}}
}

// EnsembleFact tells what stands for the season.
func EnsembleFact(e *forecast.Ensemble, in *ask.Station, u words.System) Item {
	return Item{"season", fmt.Sprintf("the record to %s%s, then the weather of %d past %s as what may come: %s",
		u.LongDate(min(e.AsOf, in.Record.Last())), filledText(in.Input)+aheadText(e), len(e.Years), words.Plural(len(e.Years), "season", "seasons"), Years(e.Years))}
}

// aheadText tells of forecast rows that were used.
func aheadText(e *forecast.Ensemble) string {
	if e.Ahead == 0 {
		return ""
	}
	return fmt.Sprintf(", forecast rows for %d days after it", e.Ahead)
}

// UnknownNote says where past seasons stand in for days gone by.
func UnknownNote(e *forecast.Ensemble, in *ask.Station, sow climate.Day, u words.System) string {
	// Long before sowing nothing hangs on a day.
	const lead = 20
	n := e.UnknownSince(sow - lead)
	if n == 0 {
		return ""
	}
	s := fmt.Sprintf("The record lacks %d days between %s and %s", n, u.Date(sow-lead), u.Date(e.AsOf))
	if in.Record.Last() < e.AsOf {
		s = fmt.Sprintf("The record ends on %s: %d days between %s and %s are not known", u.LongDate(in.Record.Last()), n, u.Date(sow-lead), u.Date(e.AsOf))
	}
	return s + "; past seasons stand in for them, and a freeze in them would not be seen."
}

// Years writes years as runs.
func Years(years []int) string {
	seasons := make([]forecast.Season, len(years))
	for i, y := range years {
		seasons[i].Year = y
	}
	return Seasons(seasons)
}

// Seasons writes years as runs: 1990–1995, 1997.
func Seasons(seasons []forecast.Season) string {
	var parts []string
	for i := 0; i < len(seasons); {
		j := i
		for j+1 < len(seasons) && seasons[j+1].Year == seasons[j].Year+1 {
			j++
		}
		if i == j {
			parts = append(parts, fmt.Sprint(seasons[i].Year))
		} else {
			parts = append(parts, fmt.Sprintf("%d–%d", seasons[i].Year, seasons[j].Year))
		}
		i = j + 1
	}
	return strings.Join(parts, ", ")
}

// Into names the turf that is overseeded, if there is one.
func Into(o *forecast.Options) string {
	if o.Host.ID == "none" {
		return ""
	}
	return " into " + o.Host.Name
}
