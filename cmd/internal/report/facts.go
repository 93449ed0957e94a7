package report

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// WindowFacts is what windows are based on.
func WindowFacts(in *ask.Station, windows []*forecast.Window, u words.System) []Item {
	w := windows[0]
	facts := StationFacts(in.Input, u)
	// Where every species drops the same seasons, they are named once.
	alike := len(DroppedByAny(windows)) == len(w.Dropped)
	for _, w := range windows {
		which := ""
		if !alike {
			which = w.Options.Species.Name + ", "
		}
		n := len(w.Seasons)
		facts = append(
			facts,
			Item{
				"seasons",
				fmt.Sprintf("%s%d %s: %s", which, n, words.Plural(n, "autumn", "autumns"), Seasons(w.Seasons)),
			},
		)
		if alike {
			break
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

// ModelFacts are what every answer about a sowing is based on beside the record: the
// trend, the site's readings, the water, the soil, the thresholds.
func ModelFacts(in *ask.Station, o *forecast.Options, t *forecast.Trend, u words.System) []Item {
	facts := append([]Item{TrendFact(t, o.Trend, u)}, ProbeFacts(in, u)...)
	if o.Unwatered {
		facts = append(
			facts,
			Item{
				"water",
				"rain only: seed comes up only on days when rain keeps the top inch (25 mm) moist. A rough estimate (evapotranspiration after FAO-56, a store of 4 mm; unverified).",
			},
		)
	}
	return append(facts, Item{"soil", Accuracy}, Item{"thresholds", Thresholds(o, u)})
}

// StationFacts are which record was read and how it was understood.
func StationFacts(in *ask.Input, u words.System) []Item {
	f := in.File
	read := fmt.Sprintf("temperatures in %s (%s); dates %s; %s", f.Unit.Name(), f.UnitReason, f.Dates, f.Layout)
	if f.PrecipUnit != "" {
		read += fmt.Sprintf("; rain in %s (%s)", f.PrecipUnit, f.PrecipReason)
	}
	read += fmt.Sprintf("; %d of %d days missing", in.MissingDays(), in.Checked.Len())
	if f.Flagged > 0 {
		read += fmt.Sprintf(
			"; %d %s flagged in the file and left out",
			f.Flagged,
			words.Plural(f.Flagged, "value", "values"),
		)
	}
	if n := SuspectValues(in.Suspect); n > 0 {
		d := in.Suspect[0]
		read += fmt.Sprintf("; %d suspect %s rejected, the first on %s (swardcast record says why)", n,
			words.Plural(n, "value", "values"), u.LongDate(d.First))
	}
	return append([]Item{
		{
			"station",
			fmt.Sprintf(
				"%s%s; %s to %s",
				in.DisplayName(),
				where(in.Checked.Place),
				u.LongDate(in.Checked.First),
				u.LongDate(in.Checked.Last()),
			),
		},
		{"record", read},
	}, onlineFacts(in, u)...)
}

// where is a place's latitude and longitude as on a map, as far as they are known.
func where(p climate.Place) string {
	s := ""
	side := func(v *float64, positive, negative string) {
		if v == nil {
			return
		}
		if *v < 0 {
			positive = negative
		}
		s += fmt.Sprintf(", %g° %s", math.Abs(*v), positive)
	}
	side(p.Latitude, "N", "S")
	side(p.Longitude, "E", "W")
	return s
}

// Thresholds says what opens and ends a season, and where the figures are from.
func Thresholds(o *forecast.Options, u words.System) string {
	soil := func(t turf.Threshold) string {
		return fmt.Sprintf("%s at %s (%s)", u.Temp(t.TempC), u.Depth(t.Depth), Sourced(t.Source))
	}
	freeze := "US National Weather Service, published; a cautious limit for grass"
	if *o.FreezeC != turf.KillingFreezeC {
		freeze = "your figure"
	}
	opens := "soil stays below " + soil(o.Host.Open)
	switch o.Opening {
	case forecast.OpeningAir:
		opens = fmt.Sprintf("days stay under %s (University of Arizona, published)", u.Temp(turf.OpenDayC))
	case forecast.OpeningHeat:
		opens = fmt.Sprintf("the last five days in a row with nights over %s and days over %s, on average, are past "+
			"(Ohio State University and University of Florida, published; five days fitted to published windows)",
			u.Temp(turf.HeatNightC), u.Temp(turf.HeatDayC))
	}
	host := "for " + o.Host.Name + " (bare soil or a cool-season lawn: --host none): "
	if o.Host.ID == "none" {
		host = "for bare soil or a cool-season lawn: "
	}
	return host + fmt.Sprintf(
		"sowing opens when %s; dormant at %s; killing freeze %s in the air (%s)",
		opens,
		soil(o.Host.Dormancy),
		u.Temp(*o.FreezeC),
		freeze,
	)
}

// evidenceWords are the kinds of evidence as a sentence says them.
var evidenceWords = map[turf.Evidence]string{
	turf.Seen: "published", turf.Restated: "published (second-hand)", turf.Derived: "derived",
	turf.Unverified: "unverified", turf.Practice: "common practice", turf.OwnFigure: "your own",
}

// EvidenceWord returns a kind of evidence as a sentence says it.
func EvidenceWord(e turf.Evidence) string { return evidenceWords[e] }

// evidenceCode is a kind of evidence behind the name of a source.
var evidenceCode = regexp.MustCompile(`, (S2|S|D|M|CP)\b`)

// Sourced returns a source with its evidence in words: "trade press, published
// second-hand" for "trade press, S2".
func Sourced(source string) string {
	return evidenceCode.ReplaceAllStringFunc(source, func(code string) string {
		word := EvidenceWord(turf.Evidence(strings.TrimPrefix(code, ", ")))
		return ", " + strings.NewReplacer("(", "", ")", "").Replace(word) // it stands in brackets
	})
}

// SuspectValues counts the rejected values.
func SuspectValues(suspect []check.Suspect) int {
	n := 0
	for _, d := range suspect {
		n += d.Values
	}
	return n
}

// Evidence is how far the figures of a species can be trusted.
func Evidence(sp *turf.Species) string {
	return fmt.Sprintf("%s, %s (swardcast species)", sp.Name, EvidenceCount([]turf.Species{*sp}))
}

// EvidenceCount counts the figures that forecasts of species use by their evidence.
func EvidenceCount(list []turf.Species) string {
	order := []turf.Evidence{turf.Seen, turf.Restated, turf.Derived, turf.Unverified, turf.Practice, turf.OwnFigure}
	count := map[turf.Evidence]int{}
	n := 0
	for i := range list {
		for _, p := range list[i].Parameters() {
			// The seeds in a gram are needed by no forecast; 0 is a figure that is missing.
			if p.Key != "seeds_per_gram" && (p.Key != "covered" || p.Value > 0) {
				count[p.Evidence]++
				n++
			}
		}
	}
	var parts []string
	for _, s := range order {
		if count[s] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", count[s], EvidenceWord(s)))
		}
	}
	return fmt.Sprintf("%d figures: %s", n, strings.Join(parts, ", "))
}

// ProbeFacts are what the user's own readings change.
func ProbeFacts(in *ask.Station, u words.System) []Item {
	c := in.Site
	if c == nil {
		return nil
	}
	text := fmt.Sprintf("%d of %d readings in %s used; ", c.Used, c.Used+len(c.Suspect), in.ProbeFile)
	text += fmt.Sprintf("on the last day they move the soil by %s", u.Difference(c.Offset(in.Record.Last())))
	if c.Used > 1 {
		text += fmt.Sprintf(
			"; a reading left out was off by %s before, %s after",
			strings.TrimPrefix(u.Difference(c.Before), "+"),
			strings.TrimPrefix(u.Difference(c.After), "+"),
		)
	}
	return []Item{{"readings", text}}
}

// EnsembleFact is which weather the season is made of.
func EnsembleFact(e *forecast.Ensemble, in *ask.Station, u words.System) Item {
	if e.Alone {
		return Item{"season", fmt.Sprintf("none of it is on record, which ends on %s%s; the weather of %d past %s as possible outcomes: %s",
			u.LongDate(in.Record.Last()), aheadText(e), len(e.Years), words.Plural(len(e.Years), "season", "seasons"),
			Years(e.Years))}
	}
	return Item{"season", fmt.Sprintf("observed to %s%s, then the weather of %d past %s as possible outcomes: %s",
		u.LongDate(min(e.AsOf, in.Record.Last())), filledText(in.Input)+aheadText(e), len(e.Years),
		words.Plural(len(e.Years), "season", "seasons"), Years(e.Years))}
}

// aheadText names the forecast rows that were used.
func aheadText(e *forecast.Ensemble) string {
	if e.TendencyDays > 0 {
		than := map[bool]string{true: "warmer", false: "colder"}[e.TendencyC > 0]
		c := math.Abs(e.TendencyC)
		return fmt.Sprintf(", the next %d days %.1f °C (%.1f °F) %s than normal", e.TendencyDays, c, 1.8*c, than)
	}
	if e.Ahead == 0 {
		return ""
	}
	return fmt.Sprintf(", forecast for the next %d days", e.Ahead)
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
	if _, ended := in.RecordEnded(e.AsOf); ended { // the warning of it says what fills them in
		return s + ": a freeze on those days would be missed."
	}
	if in.Record.Last() < e.AsOf {
		s = fmt.Sprintf(
			"The record ends on %s: %d days between %s and %s are unknown",
			u.LongDate(in.Record.Last()),
			n,
			u.Date(sow-lead),
			u.Date(e.AsOf),
		)
	}
	return s + ". Past seasons fill them in; a freeze on those days would be missed."
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
