package soil

import (
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// charts are the names of the charts.
var charts = []string{"soil"}

// Chart draws the past year with the thresholds asked for.
func (a *Answer) Chart(_ string, u words.System) (*chart.Chart, error) { return a.chart(u), nil }

func (a *Answer) chart(u words.System) *chart.Chart {
	s := &report.SoilCurve{In: a.In, Depth: a.Year.Depth, Span: report.Span{First: a.Year.From, Last: a.Year.To}}
	for _, c := range a.ThresholdsC {
		s.Rules = append(s.Rules, report.SoilRule{TempC: c})
	}
	return s.Chart(u)
}
