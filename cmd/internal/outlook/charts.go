package outlook

import (
	"fmt"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// charts are the names of the charts, the one drawn by default first.
var charts = []string{"chance", "stages", "days", "species", "soil"}

// Chart draws a chart by its name.
func (a *Answer) Chart(name string, u words.System) (*chart.Chart, error) {
	x := a.Outlook
	switch name {
	case "stages":
		return report.StagesChart(u, x, a.In.AsOf), nil
	case "species":
		return a.speciesChart(u), nil
	}
	s, err := report.NewSowings(a.In, a.Ensemble, []forecast.Options{x.Options}, x.Sow)
	if err != nil {
		return nil, err
	}
	switch name {
	case "days":
		return s.Days(u, s.Species[0]), nil
	case "soil":
		return s.Soil().Chart(u), nil
	}
	return s.Chance(u, s.Species[0], s.Rules(u, x)), nil
}

func (a *Answer) speciesChart(u words.System) *chart.Chart {
	title := fmt.Sprintf("Chance of the species to be %s before the cold, sown on %s",
		words.ShortStage(a.Outlook.Options.Stage), u.LongDate(a.On))
	return report.ShareRanges(title, "chance; the bar is its interval", report.SpeciesShares(a.Species))
}
