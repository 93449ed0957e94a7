package window

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// charts are the names of the charts, the one drawn by default first.
var charts = []string{"chance", "seasons", "days", "species", "soil"}

// Chart draws a chart by its name, of the first species.
func (a *Answer) Chart(name string, u words.System) (*chart.Chart, error) {
	if err := a.others(report.Page); err != nil {
		return nil, err
	}
	w := a.Windows[0]
	switch name {
	case "chance":
		return a.chanceChart(u, w), nil
	case "seasons":
		return seasonsChart(u, a.In.Calendar, w, a.span), nil
	case "days":
		return daysChart(u, w, a.span), nil
	case "species":
		return a.speciesChart(u), nil
	}
	return report.SeasonSoil(a.In, w.Season, &w.Options).Chart(u), nil
}

func (a *Answer) chanceChart(u words.System, w *forecast.Window) *chart.Chart {
	c := report.ChanceChart(
		u,
		report.WindowChances(w),
		a.span,
		w.Options.Species.Name,
		&w.Options,
		report.WindowRules(u, w, a.Today),
	)
	if few(w) {
		c.Lines, c.Bands, c.Empty, c.Alt = nil, nil, report.TooFew, report.TooFew
	}
	return c
}

func (a *Answer) speciesChart(u words.System) *chart.Chart {
	lists := make([][]report.Chance, len(a.all))
	for i, w := range a.all {
		lists[i] = report.WindowChances(w)
	}
	return report.SafeRanges(u, a.all, report.SpanOf(lists), a.Today)
}

// each draws a chart for every species.
func (a *Answer) each(draw func(w *forecast.Window) *chart.Chart, caption string) []report.Figure {
	return report.EachFigure(
		len(a.all),
		func(i int) (*chart.Chart, string) { return draw(a.all[i]), a.all[i].Options.Species.ID },
		caption,
	)
}

// shapes mark the causes of a cutoff without colour.
var shapes = []struct {
	cause forecast.Cause
	shape chart.Shape
	ink   chart.Ink
	key   string
}{
	{forecast.CauseFreeze, chart.Triangle, chart.Freeze, "ended by freeze"},
	{forecast.CauseDormancy, chart.Disc, chart.Dormancy, "by dormancy"},
	{forecast.CauseNone, chart.Square, chart.Quiet, "by neither"},
}

// seasonsChart draws each past season's latest date.
func seasonsChart(u words.System, calendar climate.Calendar, w *forecast.Window, s report.Span) *chart.Chart {
	at := func(se *forecast.Season) climate.Day {
		return calendar.Day(w.Season, calendar.Offset(se.Year, *se.Latest))
	}
	for i := range w.Seasons {
		if se := &w.Seasons[i]; se.Latest != nil {
			s.First, s.Last = min(s.First, at(se)-1), max(s.Last, at(se)+1)
		}
	}
	first, last := w.Seasons[0].Year, w.Seasons[len(w.Seasons)-1].Year
	c := &chart.Chart{
		Title: fmt.Sprintf("Last sow date in time of each past season, %s", w.Options.Species.Name),
		X:     s.Sown("last sow date in time"), Y: chart.Axis{Min: float64(first) - 1, Max: float64(last) + 1},
	}
	step := max(1, (last-first+5)/6)
	for y := first; y <= last; y += step {
		c.Y.Ticks = append(c.Y.Ticks, chart.Tick{At: float64(y), Label: fmt.Sprint(y)})
	}
	median := ""
	if d, ok := w.Latest.At(0.5); ok {
		median = fmt.Sprintf(" The median is %s.", u.Date(d))
		c.Rules = []chart.Rule{
			{Ink: chart.Quiet, At: float64(d), Dashes: report.Dashed, Label: "median, " + u.Date(d)},
		}
	}
	none := 0
	for _, kind := range shapes {
		p := chart.Points{Ink: kind.ink, Shape: kind.shape, Key: kind.key}
		for i := range w.Seasons {
			se := &w.Seasons[i]
			if se.Cause != kind.cause {
				continue
			}
			if se.Latest == nil {
				none++
				continue
			}
			cutoff := "no cold"
			if se.Cutoff != nil {
				cutoff = fmt.Sprintf("ended %s by %s", u.Date(*se.Cutoff), se.Cause)
			}
			p.X = append(p.X, float64(at(se)))
			p.Y = append(p.Y, float64(se.Year))
			p.Notes = append(p.Notes, fmt.Sprintf("%d: last date in time %s, %s", se.Year, u.Date(*se.Latest), cutoff))
		}
		if p.X != nil {
			c.Points = append(c.Points, p)
		}
	}
	c.Alt = fmt.Sprintf("%d seasons, %d to %d.%s", len(w.Seasons), first, last, median)
	if none > 0 {
		c.Alt += fmt.Sprintf(" In %d no date was in time.", none)
	}
	return c
}

// daysChart draws the days from sowing to each stage.
func daysChart(u words.System, w *forecast.Window, s report.Span) *chart.Chart {
	return report.StageDaysChart(
		u,
		w.Options.Species.Name,
		s,
		len(w.ByDate),
		func(i int) (climate.Day, [3]forecast.Spread) { return w.ByDate[i].Sow, w.ByDate[i].Days },
	)
}
