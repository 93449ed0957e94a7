package secondpass

import (
	"fmt"
	"math"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// charts are the names of the charts, the one drawn by default first.
var charts = []string{"chance", "stand", "stages", "soil"}

// Chart draws a chart by its name.
func (a *Answer) Chart(name string, u words.System) (*chart.Chart, error) {
	switch name {
	case "stand":
		return a.standChart(u), nil
	case "stages":
		return report.StagesChart(u, a.Second[0].Outlook, a.In.AsOf), nil
	}
	s, err := report.NewSowings(a.In, a.Ensemble, []forecast.Options{a.First.Options}, a.First.Sow)
	if err != nil {
		return nil, err
	}
	if name == "soil" {
		return s.Soil().Chart(u), nil
	}
	return s.Chance(u, s.Species[0], s.Rules(u, a.Second[0].Outlook)), nil
}

// standChart draws the cover now and the expected cover, both as shares of the stand
// wanted. Shares of the surviving seed are in the table: they have another denominator.
func (a *Answer) standChart(u words.System) *chart.Chart {
	left := &a.Decision.Choices[len(a.Decision.Choices)-1]
	return report.ShareRanges(fmt.Sprintf("The first sowing as of %s", u.LongDate(a.In.AsOf)),
		"share of the stand wanted; the bar holds 8 in 10", []report.Share{
			{Name: "cover now", Low: math.NaN(), Mid: a.Stand.Cover, High: math.NaN()},
			{Name: "expected cover", Low: left.Low, Mid: left.Cover, High: left.High},
		})
}
