package freeze

import (
	"fmt"
	"math"

	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// Document puts the answer in words.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	d := report.New(a.In, "Freeze dates", a.headline(u), u)
	d.Notes = a.springNote(u)
	d.Sections = []report.Section{
		a.section(
			u,
			"first",
			"First freeze of autumn",
			"autumns",
			"By each date it has come in that share of autumns.",
			func(t *Threshold) *climate.FreezeTable { return t.First },
		),
		a.section(
			u,
			"last",
			"Last freeze of spring",
			"springs",
			"By each date the last one is over in that share of springs.",
			func(t *Threshold) *climate.FreezeTable { return t.Last },
		),
	}
	d.Sections = append(d.Sections, report.Basis(a.In, a.facts(u), append(a.cautions(), report.Cautions()[0]), u)...)
	return d, nil
}

// named is a threshold as a grower says it.
func named(u words.System, tempC float64) string {
	for _, x := range []struct {
		fahrenheit float64
		name       string
	}{{28, "killing freeze"}, {32, "freeze"}, {36, "frost"}} {
		if math.Abs(words.Fahrenheit(tempC)-x.fahrenheit) < 0.01 {
			return fmt.Sprintf("%s (%s)", x.name, u.Temp(tempC))
		}
	}
	return fmt.Sprintf("day at %s or colder", u.Temp(tempC))
}

// headline says when to expect the coldest threshold first.
func (a *Answer) headline(u words.System) string {
	c := a.coldest()
	t := c.First
	mid, ok := t.At(0.5, a.Season)
	switch {
	case t.Seasons() < climate.MinSeasons:
		return fmt.Sprintf(
			"Take no freeze dates from this record: it has %d usable %s, and %d are needed.",
			t.Seasons(),
			words.Plural(t.Seasons(), "autumn", "autumns"),
			climate.MinSeasons,
		)
	case !ok:
		return fmt.Sprintf("Expect no %s in most years: it came in %d of %d.", named(u, c.TempC), t.Came, t.Seasons())
	}
	s := fmt.Sprintf("Expect the first %s about %s", named(u, c.TempC), u.Date(mid))
	early, ok := t.At(0.1, a.Season)
	if ok {
		s += fmt.Sprintf(": in 1 year of 10 it comes by %s", u.Date(early))
	}
	if late, ok := t.At(0.9, a.Season); ok {
		s += fmt.Sprintf(", in 9 of 10 by %s", u.Date(late))
	}
	return s + "."
}

// springNote says when the coldest threshold is over in spring.
func (a *Answer) springNote(u words.System) []string {
	c := a.coldest()
	mid, ok := c.Last.At(0.5, a.Season)
	late, known := c.Last.At(0.9, a.Season)
	if !ok || !known {
		return nil
	}
	return []string{
		fmt.Sprintf("The last one of spring is over by %s in a typical year, and by %s in 9 of 10.", u.Date(mid),
			u.Date(late)),
	}
}

// shares are those of the seasons that a table shows, percent.
var shares = []int{10, 20, 30, 50, 70, 80, 90}

// section has the dates of each threshold and their trends; seasons is what they are
// counted in, intro what a date means.
func (a *Answer) section(
	u words.System,
	id, heading, seasons, intro string,
	of func(*Threshold) *climate.FreezeTable,
) report.Section {
	t := report.Table{Caption: heading, Head: []string{"threshold"}}
	s := report.Section{
		ID:      id,
		Heading: heading,
		Intro:   []string{intro},
	}
	for _, p := range shares {
		t.Head = append(t.Head, fmt.Sprintf("%d %%", p))
	}
	t.Head = append(t.Head, "in "+seasons)
	for i := range a.Thresholds {
		f := of(&a.Thresholds[i])
		limit := u.Temp(f.ThresholdC)
		row := []string{limit}
		for _, p := range shares {
			row = append(row, u.DateOr(words.DayOrNil(f.At(float64(p)/100, a.Season))))
		}
		t.Rows = append(t.Rows, append(row, fmt.Sprintf("%d of %d", f.Came, f.Seasons())))
		if tr := f.Trend; !math.IsNaN(tr.Slope) && f.Came >= forecast.FewSeasons {
			s.Notes = append(s.Notes, fmt.Sprintf(
				"Trend of %s: %s (%.0f %% interval %+.1f to %+.1f).",
				limit,
				trendWords(tr),
				100*climate.TrendLevel,
				words.RoundTo(tr.Low, 1),
				words.RoundTo(tr.High, 1),
			))
		}
	}
	s.Tables = []report.Table{t}
	return s
}

// trendWords say how the dates shift, and whether that could be chance.
func trendWords(t climate.Trend) string {
	way, days := "later", words.RoundTo(math.Abs(t.Slope), 1)
	if t.Slope < 0 {
		way = "earlier"
	}
	s := fmt.Sprintf("%.1f days %s each decade", days, way)
	if t.Low <= 0 && t.High >= 0 {
		s += ", which may be chance"
	}
	return s
}

// facts are what the dates are based on.
func (a *Answer) facts(u words.System) []report.Item {
	facts := report.StationFacts(a.In, u)
	t := a.coldest().First
	if n := t.Seasons(); n > 0 {
		facts = append(facts, report.Item{Label: "seasons",
			Text: fmt.Sprintf("%d, from %d to %d", n, t.Dates[0].Season, t.Dates[n-1].Season)})
	}
	for _, d := range t.Dropped {
		facts = append(facts, report.Item{Text: fmt.Sprintf("left out %d: %s", d.Season, d.Reason)})
	}
	return append(
		facts,
		report.Item{Label: "method", Text: a.method()},
		report.Item{
			Label: "thresholds",
			Text: fmt.Sprintf(
				"frost %s, freeze %s, hard or killing freeze %s (US National Weather Service, published)",
				u.Temp(words.Celsius(36)),
				u.Temp(0),
				u.Temp(words.Celsius(28)),
			),
		},
	)
}

func (a *Answer) method() string {
	return fmt.Sprintf("quantiles over the seasons, (n+1/3)p + 1/3, type 8 of Hyndman & Fan 1996; "+
		"a season without the event counts as later than every date in autumn, as earlier in spring; "+
		"missing days by the rule %q; Theil-Sen trend with its %.0f %% interval, over the seasons with the event",
		a.Options.Completeness.Name, 100*climate.TrendLevel)
}

func (a *Answer) cautions() []string {
	out := []string{
		"A station in a town, on a slope or by water freezes later than low ground nearby. " +
			"Check where the thermometer stands.",
	}
	if n := a.Thresholds[0].First.Seasons(); n < forecast.FewSeasons {
		out = append(
			out,
			fmt.Sprintf("Short record: %d usable %s. Dates from so few are rough; under %d there are none.",
				n, words.Plural(n, "autumn", "autumns"), climate.MinSeasons),
		)
	}
	return out
}
