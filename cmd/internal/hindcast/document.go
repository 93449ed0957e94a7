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
	"the mean error of the latest date is the mean absolute error of its median, forecast on that sowing day"

// leadWords say when a forecast is made.
var leadWords = map[forecast.Lead]string{
	forecast.LeadSeason: "before the season", forecast.LeadSow: "on sowing day",
	forecast.LeadWeek: "a week after sowing", forecast.LeadTwo: "two weeks after",
}

// Document puts the answer in words.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	h := a.Hindcast
	d := report.New(a.In.Input, "Past forecasts checked", a.headline(), u)
	d.Notes = a.skill()
	d.Sections = []report.Section{
		heldSection(h),
		{
			ID:      "reliability",
			Heading: "Did the chances come true?",
			Figures: []report.Figure{{Chart: reliabilityChart(h)}},
			Intro: []string{
				"The chance forecast on sowing day, and how often the sowing made it.",
			},
			Tables: []report.Table{groupsTable(h)},
		},
		{ID: "leads", Heading: "How early is it right?", Tables: []report.Table{leadsTable(h)},
			Intro: []string{
				"The Brier score is the mean square of chance less outcome, 0 at best; " +
					"climatology is the plain share of the earlier autumns.",
			}},
	}
	facts := append(report.StationFacts(a.In.Input, u),
		report.Item{Label: "judged", Text: fmt.Sprintf("%d seasons (%s), each from the %s before it",
			len(h.Seasons), report.Years(h.Seasons), a.earlier())},
		report.Item{Label: "method", Text: method})
	d.Sections = append(d.Sections, report.Basis(a.In.Input, facts, append(a.cautions(), report.Cautions()[0]), u)...)
	return d, nil
}

// usual is the confidence that the headline is about, percent.
const usual = 80

// held is how often the last safe date of a confidence held.
func (a *Answer) held(confidence float64) forecast.Held {
	for _, l := range a.Hindcast.Levels {
		if l.Confidence == confidence {
			return l
		}
	}
	return forecast.Held{Confidence: confidence}
}

// earlier says how many seasons a forecast was made from.
func (a *Answer) earlier() string {
	if len(a.Hindcast.Past) == 0 {
		return "no"
	}
	low, high := slices.Min(a.Hindcast.Past), slices.Max(a.Hindcast.Past)
	if low == high {
		return fmt.Sprint(low)
	}
	return fmt.Sprintf("%d to %d", low, high)
}

// Trust says how far a last safe date can be trusted.
type Trust string

// The kinds of trust.
const (
	Trusted  Trust = "trust"    // it held about as often as it says
	TooBold  Trust = "too-bold" // it held less often
	Cautious Trust = "cautious" // it held more often
	NoDate   Trust = "no-date"  // no season had one
)

// trust compares how often a date held, within its interval, with what it says.
func trust(h forecast.Held) Trust {
	_, low, high := h.Share()
	switch said := h.Confidence / 100; {
	case h.N == 0:
		return NoDate
	case high < said:
		return TooBold
	case low > said:
		return Cautious
	}
	return Trusted
}

// headline says how far the usual date can be trusted.
func (a *Answer) headline() string {
	h := a.held(usual)
	share, low, high := h.Share()
	of := fmt.Sprintf(
		"%d of %d past autumns (%.0f %%, interval %.0f–%.0f)",
		h.Count,
		h.N,
		100*share,
		100*low,
		100*high,
	)
	switch trust(h) {
	case NoDate:
		return fmt.Sprintf("Use no %d %% date here: no autumn had a date that was safe by the others.", usual)
	case TooBold:
		return fmt.Sprintf("Sow earlier than the %d %% date here: it would have held in only %s.", usual, of)
	case Cautious:
		return fmt.Sprintf("Take the %d %% date here as cautious: it would have held in %s.", usual, of)
	}
	return fmt.Sprintf("Trust the %d %% date here: it would have held in %s.", usual, of)
}

// skill says whether the chances were a better guide than past seasons alone.
func (a *Answer) skill() []string {
	f, climatology := a.Hindcast.Brier(forecast.LeadSow)
	if f.N == 0 {
		return nil
	}
	gain := 100 * (1 - f.Score/climatology.Score)
	if !(gain >= 0.5) { // also where past seasons left nothing to miss
		return []string{"The chances forecast on sowing day erred no less than the plain share of past autumns."}
	}
	return []string{
		fmt.Sprintf("The chances forecast on sowing day erred %.0f %% less than the plain share of past autumns.",
			gain),
	}
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

// groupsTable has the chances forecast on sowing day, in groups.
func groupsTable(h *forecast.Hindcast) report.Table {
	t := report.Table{
		Caption: "Chance forecast on sowing day, and how often the sowing made it",
		Head:    []string{"chance forecast", "mean", "made it in", "forecasts"},
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
		Head:    []string{"forecast made", "Brier", "of climatology", "mean error of the latest date"},
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

// missText is a mean error, – where no season had a date.
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
			"%d autumns are few to judge by; the intervals show how few. "+
				"The sow dates of one autumn share its weather.",
			len(a.Hindcast.Seasons),
		),
		"The outcome is what the model makes of the autumn's own air, not what grew. " +
			"Soil and seed of your site differ. " +
			"docs/validation.md compares with soil sensors.",
	}
}
