package hindcast

import (
	"fmt"
	"math"
	"slices"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

const method = "each season forecast from the seasons before it, at least ten; " +
	"cases are sow dates 14 and 7 days before, on, and 7 and 14 days after their median latest date; " +
	"the truth is the season as modelled from its own air; " +
	"the miss of the latest date is the mean absolute error of its median, forecast on the day before that sow date"

// leadWords say when a forecast is made.
var leadWords = map[forecast.Lead]string{
	forecast.LeadSeason: "eve of the season", forecast.LeadSow: "eve of sowing",
	forecast.LeadWeek: "a week after sowing", forecast.LeadTwo: "two weeks after",
}

// Document puts the answer in words.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	h := a.Hindcast
	d := report.New(a.In.Input, "Past forecasts judged", a.sentence(), u)
	d.Sections = []report.Section{
		heldSection(h),
		{
			ID:      "reliability",
			Heading: "Did the chances come true?",
			Figures: []report.Figure{{Chart: reliabilityChart(h)}},
			Intro: []string{
				"Chance told on the eve of sowing, and how often it came.",
			},
			Tables: []report.Table{groupsTable(h)},
		},
		{ID: "leads", Heading: "How early does it know?", Tables: []report.Table{leadsTable(h)},
			Intro: []string{
				"The Brier score is the mean square of chance less outcome, 0 at best; " +
					"climatology is the plain share of the earlier seasons.",
			}},
	}
	facts := append(report.StationFacts(a.In.Input, u),
		report.Item{Label: "judged", Text: fmt.Sprintf("%d seasons (%s), each from the %s before it",
			len(h.Seasons), report.Years(h.Seasons), a.earlier())},
		report.Item{Label: "method", Text: method})
	d.Sections = append(d.Sections, report.Basis(a.In.Input, facts, append(a.cautions(), report.Cautions()[0]), u)...)
	return d, nil
}

// sentence is the answer.
func (a *Answer) sentence() string {
	h := a.Hindcast
	var held forecast.Held
	for _, l := range h.Levels {
		if l.Confidence == 80 {
			held = l
		}
	}
	s := fmt.Sprintf("At %s %s, each forecast from the seasons before it.", a.In.DisplayName(), heldWords(held))
	eve, climatology := h.Brier(forecast.LeadSow)
	if eve.N == 0 {
		return s
	}
	gain := 100 * (1 - eve.Score/climatology.Score)
	skill := fmt.Sprintf("beat the plain share of past seasons by %.0f %%", gain)
	if !(gain >= 0.5) { // also where past seasons left nothing to miss
		skill = "did not beat the plain share of past seasons"
	}
	return s + fmt.Sprintf(
		" The chances told on the eve of sowing %s (Brier %.3f against %.3f).",
		skill,
		eve.Score,
		climatology.Score,
	)
}

// earlier says how many seasons a forecast was made from.
func (a *Answer) earlier() string {
	low, high := slices.Min(a.Hindcast.Past), slices.Max(a.Hindcast.Past)
	if low == high {
		return fmt.Sprint(low)
	}
	return fmt.Sprintf("%d to %d", low, high)
}

// heldWords say how often a last safe date held, where there was one.
func heldWords(h forecast.Held) string {
	if h.N == 0 {
		return fmt.Sprintf("no season had a date that was safe at %.0f %%", h.Confidence)
	}
	share, low, high := h.Share()
	return fmt.Sprintf("the %.0f %% date would have held in %d of %d seasons (%.0f %%, %.0f–%.0f)",
		h.Confidence, h.Count, h.N, 100*share, 100*low, 100*high)
}

// heldSection is how often the last safe dates held.
func heldSection(h *forecast.Hindcast) report.Section {
	t := report.Table{On: report.Page, Caption: "Last safe dates, and how often they held",
		Head: []string{"date", "held in", fmt.Sprintf("%d %% interval", forecast.IntervalPercent), "seasons"}}
	bars := &report.Bars{Title: "Last safe dates, and how often they held", Width: 30}
	s := report.Section{ID: "held", Heading: "Did the safe dates hold?", Lead: true}
	for _, l := range h.Levels {
		date := fmt.Sprintf("%g %%", l.Confidence)
		if l.N == 0 {
			t.Rows = append(t.Rows, []string{date, "–", "–", "0 of 0"})
			s.Notes = append(s.Notes, fmt.Sprintf("No date was safe at %s in any season.", date))
			continue
		}
		share, low, high := l.Share()
		in, seasons := fmt.Sprintf("%.0f %%", 100*share), fmt.Sprintf("%d of %d", l.Count, l.N)
		t.Rows = append(t.Rows, []string{date, in, words.Interval(low, high), seasons})
		bars.Rows = append(bars.Rows, report.Bar{Label: date, Low: math.NaN(), Mid: share, High: math.NaN(),
			Cells: []string{in, fmt.Sprintf("(%.0f–%.0f)", 100*low, 100*high), seasons}})
	}
	s.Figures, s.Tables = []report.Figure{{Chart: heldChart(h), Bars: bars}}, []report.Table{t}
	return s
}

// groupsTable has the chances forecast on the eve of sowing, in groups.
func groupsTable(h *forecast.Hindcast) report.Table {
	t := report.Table{
		Caption: "Chance told on the eve of sowing, and how often it came",
		Head:    []string{"chance told", "mean", "came in", "forecasts"},
	}
	for _, g := range h.Reliability(forecast.LeadSow) {
		t.Rows = append(t.Rows, []string{words.Interval(g.Low, g.High), fmt.Sprintf("%.0f %%", 100*g.Mean),
			fmt.Sprintf("%.0f %%", 100*g.Observed), fmt.Sprint(g.N)})
	}
	return t
}

// leadsTable has the scores by when the forecast is made.
func leadsTable(h *forecast.Hindcast) report.Table {
	t := report.Table{
		Caption: "By the time the forecast is made",
		Head:    []string{"forecast made", "Brier", "of climatology", "median latest date misses by"},
	}
	for _, lead := range forecast.Leads() {
		f, c := h.Brier(lead)
		row := []string{leadWords[lead], "–", "–", "–"}
		if f.N > 0 {
			row = []string{
				leadWords[lead],
				fmt.Sprintf("%.3f", f.Score),
				fmt.Sprintf("%.3f", c.Score),
				missText(forecast.MeanAbsolute(h.LatestError[lead])),
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// missText is a mean miss, – where no season had a date to miss.
func missText(days float64) string {
	if math.IsNaN(days) {
		return "–"
	}
	return fmt.Sprintf("%.1f days", days)
}

// cautions are those of judging by past seasons.
func (a *Answer) cautions() []string {
	return []string{
		fmt.Sprintf(
			"%d seasons are few to judge by: the intervals show how few. The sow dates of one season share its weather.",
			len(a.Hindcast.Seasons),
		),
		"The truth is the season as modelled from its own air, not what grew: soil and seed of your own site differ. " +
			"docs/validation.md judges against soil sensors.",
	}
}
