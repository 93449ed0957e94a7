package compare

import (
	"fmt"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// charts are the names of the charts, the one drawn by default first.
var charts = []string{"chance", "safe", "species"}

// Chart draws a chart by its name.
func (a *Answer) Chart(name string, u words.System) (*chart.Chart, error) {
	if len(a.Stations) > 1 {
		return nil, cli.Usagef("compare one FILE, or --format html", "a chart is of one station")
	}
	s := a.Stations[0]
	switch name {
	case "species":
		return s.speciesChart(u), nil
	case "safe":
		return s.safeChart(u)
	}
	first, err := report.NewSowings(s.In, s.Ensemble, s.options()[:1], s.Sow)
	if err != nil {
		return nil, err
	}
	return first.Chance(u, first.Species[0], first.Rules(u, s.Species[0].Outlook)), nil
}

// speciesChart draws the chances of the species.
func (s *Station) speciesChart(u words.System) *chart.Chart {
	return report.ShareRanges(
		fmt.Sprintf("Chance of the species to be %s before the cold, sown on %s",
			words.ShortStage(s.question().Stage), u.LongDate(s.Sow)),
		"chance; the bar is its interval",
		report.SpeciesShares(s.outlooks()),
	)
}

// safeChart draws the last safe dates of the species.
func (s *Station) safeChart(u words.System) (*chart.Chart, error) {
	windows, err := s.allWindows()
	if err != nil {
		return nil, err
	}
	var lists [][]report.Chance
	for _, w := range windows {
		lists = append(lists, report.WindowChances(w))
	}
	return report.SafeRanges(u, windows, report.SpanOf(lists), s.In.AsOf), nil
}
