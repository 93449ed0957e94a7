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
	d := report.New(a.In, "Freeze dates", a.sentence(u), u)
	d.Sections = []report.Section{
		a.section(
			u,
			"first",
			"First freeze of autumn",
			"seasons",
			func(t *Threshold) *climate.FreezeTable { return t.First },
		),
		a.section(
			u,
			"last",
			"Last freeze of spring",
			"years",
			func(t *Threshold) *climate.FreezeTable { return t.Last },
		),
	}
	d.Sections = append(d.Sections, report.Basis(a.In, a.facts(u), append(a.cautions(), report.Cautions()[0]), u)...)
	return d, nil
}

// sentence is the answer for the coldest threshold.
func (a *Answer) sentence(u words.System) string {
	c := a.coldest()
	t, name, limit := c.First, a.In.DisplayName(), u.Temp(c.TempC)
	mid, ok := t.At(0.5, a.Season)
	switch {
	case t.Seasons() < climate.MinSeasons:
		return fmt.Sprintf(
			"Too few seasons at %s for freeze dates: %d can be used, %d are needed.",
			name,
			t.Seasons(),
			climate.MinSeasons,
		)
	case !ok:
		return fmt.Sprintf(
			"At %s the air does not reach %s in most seasons: it did in %d of %d.",
			name,
			limit,
			t.Came,
			t.Seasons(),
		)
	}
	early, _ := t.At(0.1, a.Season)
	s := fmt.Sprintf(
		"The first %s at %s comes about %s in the middle season, and by %s in 1 season of 10",
		limit,
		name,
		u.Date(mid),
		u.Date(early),
	)
	if late, ok := t.At(0.9, a.Season); ok {
		s += fmt.Sprintf("; in 9 of 10 it has come by %s", u.Date(late))
	}
	return s + "."
}

// shares are those of the seasons that a table shows, percent.
var shares = []int{10, 20, 30, 50, 70, 80, 90}

// section has the dates of each threshold and their trends; seasons is what they are
// counted in.
func (a *Answer) section(
	u words.System,
	id, heading, seasons string,
	of func(*Threshold) *climate.FreezeTable,
) report.Section {
	t := report.Table{Caption: heading, Head: []string{"threshold"}}
	s := report.Section{
		ID:      id,
		Heading: heading,
		Intro:   []string{fmt.Sprintf("Share of %s in which it has come by the date.", seasons)},
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
				"trend of %s: %+.1f days a decade (%.0f %% interval %+.1f to %+.1f)",
				limit,
				words.RoundTo(tr.Slope, 1),
				100*climate.TrendLevel,
				words.RoundTo(tr.Low, 1),
				words.RoundTo(tr.High, 1),
			))
		}
	}
	s.Tables = []report.Table{t}
	return s
}

// facts are what the dates are based on.
func (a *Answer) facts(u words.System) []report.Item {
	facts := report.StationFacts(a.In, u)
	t := a.coldest().First
	if n := t.Seasons(); n > 0 {
		facts = append(facts, report.Item{Label: "seasons",
			Text: fmt.Sprintf("%d, of the years %d to %d", n, t.Dates[0].Season, t.Dates[n-1].Season)})
	}
	for _, d := range t.Dropped {
		facts = append(facts, report.Item{Text: fmt.Sprintf("left out %d: %s", d.Season, d.Reason)})
	}
	return append(
		facts,
		report.Item{Label: "method", Text: a.method()},
		report.Item{
			Label: "thresholds",
			Text: fmt.Sprintf("frost %s, freeze %s, hard or killing freeze %s: US National Weather Service, S",
				u.Temp(words.Celsius(36)), u.Temp(0), u.Temp(words.Celsius(28))),
		},
	)
}

func (a *Answer) method() string {
	return fmt.Sprintf("empirical quantiles, (n+1/3)p + 1/3, type 8 of Hyndman & Fan 1996, over the seasons; "+
		"seasons without the event count as later than every date in autumn, as earlier in spring; "+
		"missing days by the rule %q; trend by Theil and Sen with its %.0f %% interval over the seasons with the event",
		a.Options.Completeness.Name, 100*climate.TrendLevel)
}

func (a *Answer) cautions() []string {
	out := []string{
		"A station in a town, on a slope or by water freezes later than the low ground near by: " +
			"look where your thermometer stands.",
	}
	if n := a.Thresholds[0].First.Seasons(); n < forecast.FewSeasons {
		out = append(
			out,
			fmt.Sprintf("Short record: %d usable %s; freeze dates of so few are rough, and under %d none is given.",
				n, words.Plural(n, "season", "seasons"), climate.MinSeasons),
		)
	}
	return out
}
