package report

import (
	"fmt"
	"math"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// ChanceOf is the chance of an outlook with its interval, "72 % (60–80)".
func ChanceOf(x *forecast.Outlook) string {
	return fmt.Sprintf("%s (%.0f–%.0f)", words.Percent(x.Chance), 100*x.Low, 100*x.High)
}

// SowingNotes say what the answer for a sowing depends on: days that are not known,
// and whether growth is ahead or behind.
func SowingNotes(e *forecast.Ensemble, in *ask.Station, x *forecast.Outlook, u words.System) []string {
	var out []string
	if n := UnknownNote(e, in, x.Sow, u); n != "" {
		out = append(out, n)
	}
	const soil = "Since sowing the soil has been %s than in a typical year: growth is %s %s."
	switch d := x.BehindDays; {
	case math.IsNaN(d), x.Decided:
	case d >= 0.75:
		out = append(out, fmt.Sprintf(soil, "colder", words.Days(d), "behind"))
	case d <= -0.75:
		out = append(out, fmt.Sprintf(soil, "warmer", words.Days(-d), "ahead"))
	default:
		out = append(out, "Growth since sowing is as in a typical year, within a day.")
	}
	return out
}

// shareBars are bars of outlooks, each with its chance, interval and verdict.
func shareBars(title string, list []*forecast.Outlook, label func(i int) string) *Bars {
	b := &Bars{Title: title, Width: 20}
	for i, x := range list {
		b.Rows = append(b.Rows, Bar{Label: label(i), Low: math.NaN(), Mid: x.Chance, High: math.NaN(),
			Cells: []string{words.Percent(x.Chance), fmt.Sprintf("(%.0f–%.0f)", 100*x.Low, 100*x.High), verdictOf(x)}})
	}
	return b
}

// LaterBars are the chances of later sowings, beneath a title; when names each in a
// word or two.
func LaterBars(u words.System, title string, list []forecast.LaterSowing, when func(inDays int) string) *Bars {
	var outlooks []*forecast.Outlook
	wide := 0
	for _, l := range list {
		outlooks = append(outlooks, l.Outlook)
		wide = max(wide, words.Width(when(l.InDays)))
	}
	return shareBars(title, outlooks, func(i int) string {
		return words.Pad(when(list[i].InDays), wide) + "  " + words.PadLeft(u.Date(list[i].Sow), 6)
	})
}

// LaterTable is the same as a table of a page.
func LaterTable(u words.System, caption string, list []forecast.LaterSowing) Table {
	t := Table{On: Page, Caption: caption, Head: []string{"sown on", "chance", "interval", "verdict"}, Fixed: true}
	for _, l := range list {
		interval := words.Interval(l.Low, l.High)
		t.Rows = append(t.Rows, []string{u.LongDate(l.Sow), words.Percent(l.Chance), interval, verdictOf(l.Outlook)})
	}
	return t
}

// SpeciesBars are the chances of species sown on one day.
func SpeciesBars(list []*forecast.Outlook) *Bars {
	b := shareBars("", list, func(i int) string {
		mark := "  "
		if list[i].Chance >= 0.5 {
			mark = "* "
		}
		return mark + list[i].Options.Species.Name
	})
	b.Legend = "* in time in at least half of the possible outcomes"
	return b
}

// SpeciesTable is the same as a table of a page, with the dates of the stages.
func SpeciesTable(u words.System, list []*forecast.Outlook, sow climate.Day) Table {
	t := Table{On: Page, Caption: fmt.Sprintf("Species sown on %s", u.LongDate(sow)),
		Head: []string{"species", "chance", "interval", "half up", "first mow", "established", "verdict"}}
	for _, x := range list {
		row := []string{x.Options.Species.Name, words.Percent(x.Chance), words.Interval(x.Low, x.High)}
		for _, s := range x.Stages {
			row = append(row, u.DateOr(s.P50))
		}
		t.Rows = append(t.Rows, append(row, verdictOf(x)))
	}
	return t
}

// IfSownJSON is a sowing on another date.
type IfSownJSON struct {
	InDays     int          `json:"in_days"`
	Sow        climate.Day  `json:"sow"`
	Chance     words.Number `json:"chance"`
	ChanceLow  words.Number `json:"chance_low"`
	ChanceHigh words.Number `json:"chance_high"`
	Verdict    string       `json:"verdict"`
}

// IfSown are later sowings, their days counted from the as-of day.
func IfSown(list []forecast.LaterSowing, asOf climate.Day) []IfSownJSON {
	out := []IfSownJSON{}
	for _, l := range list {
		out = append(out, IfSownJSON{InDays: int(l.Sow - asOf), Sow: l.Sow, Chance: words.Number(l.Chance),
			ChanceLow: words.Number(l.Low), ChanceHigh: words.Number(l.High), Verdict: verdictOf(l.Outlook)})
	}
	return out
}

// IfSpeciesJSON is a sowing of another species.
type IfSpeciesJSON struct {
	Species    string       `json:"species_id"`
	Sow        climate.Day  `json:"sow"`
	Chance     words.Number `json:"chance"`
	ChanceLow  words.Number `json:"chance_low"`
	ChanceHigh words.Number `json:"chance_high"`
	Verdict    string       `json:"verdict"`
}

// IfSpecies is the sowing of an outlook's species.
func IfSpecies(x *forecast.Outlook) IfSpeciesJSON {
	return IfSpeciesJSON{Species: x.Options.Species.ID, Sow: x.Sow, Chance: words.Number(x.Chance),
		ChanceLow: words.Number(x.Low), ChanceHigh: words.Number(x.High), Verdict: string(x.Verdict)}
}
