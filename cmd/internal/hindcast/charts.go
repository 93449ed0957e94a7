package hindcast

import (
	"fmt"
	"math"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// charts are the names of the charts, the one drawn by default first.
var charts = []string{"reliability", "held"}

// Chart draws a chart by its name; none has units.
func (a *Answer) Chart(name string, _ words.System) (*chart.Chart, error) {
	if name == "held" {
		return heldChart(a.Hindcast), nil
	}
	return reliabilityChart(a.Hindcast), nil
}

// reliabilityChart draws chances forecast against how often they came true.
func reliabilityChart(h *forecast.Hindcast) *chart.Chart {
	c := &chart.Chart{
		Title: "Chances forecast on sowing day, and how often they came true",
		Alt:   "Chance forecast and share in which it came true: ",
		X:     report.ShareAxis("chance forecast (mean of the group)"), Y: chart.Percents("it came true in"),
		Lines: []chart.Line{
			{
				Ink:    chart.Quiet,
				X:      []float64{0, 1},
				Y:      []float64{0, 1},
				Width:  1,
				Dashes: report.Dashed,
				Key:    "as forecast",
			},
		},
	}
	p := chart.Points{
		Ink: chart.Chance,
		Key: fmt.Sprintf("a group of forecasts, with its %d %% interval", forecast.IntervalPercent),
	}
	for _, g := range h.Reliability(forecast.LeadSow) {
		note := fmt.Sprintf("forecast %.0f %%, came true in %.0f %% of %d", 100*g.Mean, 100*g.Observed, g.N)
		_, low, high := forecast.Held{N: g.N, Count: int(math.Round(g.Observed * float64(g.N)))}.Share()
		c.Lines = append(
			c.Lines,
			chart.Line{Ink: chart.Chance, X: []float64{g.Mean, g.Mean}, Y: []float64{low, high}, Width: 1},
		)
		p.X, p.Y, p.Notes = append(p.X, g.Mean), append(p.Y, g.Observed), append(p.Notes, note)
		c.Alt += note + "; "
	}
	c.Points = []chart.Points{p}
	return c
}

// heldChart draws how often the last safe dates held.
func heldChart(h *forecast.Hindcast) *chart.Chart {
	var list []report.Share
	for _, l := range h.Levels {
		share, low, high := l.Share()
		list = append(
			list,
			report.Share{Name: fmt.Sprintf("%g %% date", l.Confidence), Low: low, Mid: share, High: high},
		)
	}
	c := report.ShareRanges("How often the last safe dates held", "held in; the line marks what the date says", list)
	for i, l := range h.Levels {
		at, row := l.Confidence/100, -float64(i)
		c.Lines = append(
			c.Lines,
			chart.Line{Ink: chart.Text, X: []float64{at, at}, Y: []float64{row - 0.4, row + 0.4}, Width: 2},
		)
	}
	return c
}
