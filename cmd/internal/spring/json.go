package spring

import (
	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// Output is the answer as JSON.
type Output struct {
	Schema   string              `json:"schema"`
	Station  report.StationJSON  `json:"station"`
	Settings report.SettingsJSON `json:"settings"`
	Season   int                 `json:"season"`
	Species  []speciesJSON       `json:"species"`
	Cautions []string            `json:"cautions"`
}

type speciesJSON struct {
	ID             string           `json:"id"`
	Name           string           `json:"name"`
	Dormant        report.DatesJSON `json:"dormant_opens"`
	CanBeDormant   bool             `json:"can_be_dormant"`
	From           *climate.Day     `json:"sow_from"`
	Until          *climate.Day     `json:"sow_until"`
	SoilBack       report.DatesJSON `json:"spring_opens"`
	Heat           report.DatesJSON `json:"summer_heat"`
	Last           report.DatesJSON `json:"latest_sow"`
	HostWakes      report.DatesJSON `json:"host_wakes"`
	BeforeSowing   *climate.Day     `json:"let_go_before_sowing"`
	BeforeDormancy *climate.Day     `json:"let_go_before_dormancy"`
	ByDate         []dateJSON       `json:"by_date"`
}

type dateJSON struct {
	Sow    climate.Day  `json:"sow"`
	Before words.Number `json:"chance_before_heat"`
	Soil   words.Number `json:"chance_soil_warm"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	first := a.Springs[0]
	out := Output{Schema: "swardcast.spring/2", Station: report.Station(a.In.Input),
		Settings: report.Settings(a.In, first.Options, first.Years), Season: first.Season,
		Cautions: append(a.cautions(), report.Cautions()...)}
	for _, x := range a.Springs {
		s := speciesJSON{ID: x.Options.Species.ID, Name: x.Options.Species.Name, Dormant: report.Dates(x.Dormant),
			CanBeDormant: x.CanBeDormant, SoilBack: report.Dates(x.Wakes), Heat: report.Dates(x.Heat), Last: report.Dates(x.Last),
			HostWakes: report.Dates(x.HostUp), BeforeSowing: x.LetGo.BeforeSowing, BeforeDormancy: x.LetGo.BeforeDormancy,
			ByDate: []dateJSON{}}
		if !overseeded(x) {
			s.From, s.Until = window(x)
			for _, c := range x.ByDate {
				s.ByDate = append(s.ByDate, dateJSON{c.Sow, words.Number(c.Before), words.Number(c.Soil)})
			}
		}
		out.Species = append(out.Species, s)
	}
	return out
}

// A row is a row of the CSV answer: a sow date of a species.
type row struct {
	Species string       `csv:"species_id"`
	Sow     climate.Day  `csv:"sow"`
	Before  words.Number `csv:"chance_before_heat"`
	Soil    words.Number `csv:"chance_soil_warm"`
}

// Rows are the chances by species and sow date.
func (a *Answer) Rows() (any, error) {
	rows := []row{}
	for _, x := range a.Springs {
		for _, c := range x.ByDate {
			rows = append(rows, row{x.Options.Species.ID, c.Sow, words.Number(c.Before), words.Number(c.Soil)})
		}
	}
	return rows, nil
}
