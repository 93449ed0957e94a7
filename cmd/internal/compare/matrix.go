package compare

import (
	"slices"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// Matrix is the answer of several stations as a page with a map has it, nil of one
// station. Its species are in the order of the first station.
func (a *Answer) Matrix(u words.System) (*report.Matrix, error) {
	if len(a.Stations) < 2 {
		return nil, nil
	}
	first := a.Stations[0]
	m := report.NewMatrix(first.options())
	m.Cautions = a.cautions(u)
	m.Settings = report.Thresholds(first.question(), u)
	m.Sow, m.SowDay = report.SowOn, u.Date(first.Sow)
	if slices.ContainsFunc(a.Stations, func(s *Station) bool { return u.Date(s.Sow) != m.SowDay }) {
		m.Sow, m.SowDay = report.SowByPlace, ""
	}
	for _, s := range a.Stations {
		var windows []*forecast.Window
		var sown []forecast.Prospect
		for _, sp := range m.Species {
			x := s.Of(sp.ID)
			windows, sown = append(windows, x.Window), append(sown, s.Prospect(x))
		}
		m.Places = append(m.Places, report.PlaceOf(s.In, windows, sown))
	}
	return m, nil
}
