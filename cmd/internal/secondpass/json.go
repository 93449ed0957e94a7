package secondpass

import (
	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/seed"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

type secondPassJSON struct {
	Schema     string                `json:"schema"`
	Station    report.StationJSON    `json:"station"`
	Settings   report.SettingsJSON   `json:"settings"`
	Trend      report.ClimateJSON    `json:"trend"`
	Season     int                   `json:"season"`
	Species    string                `json:"species"`
	First      climate.Day           `json:"first"`
	AsOf       climate.Day           `json:"as_of"`
	Cover      words.Number          `json:"cover"`
	Found      *string               `json:"seed_found"`
	Judgement  string                `json:"judgement"`
	Lost       words.Number          `json:"lost_probability"`
	ClearOn    *climate.Day          `json:"clear_on"`
	ExpectedUp shareJSON             `json:"expected_up"`
	Alive      report.SpreadJSON     `json:"alive"`
	Final      report.SpreadJSON     `json:"final_cover"`
	Second     []report.IfSownJSON   `json:"second_pass"`
	Worth      bool                  `json:"worth_it"`
	LastSafe   *climate.Day          `json:"last_safe"`
	Other      *report.IfSpeciesJSON `json:"surer_species"`
	Dormant    *climate.Day          `json:"dormant_seeding_from"`
	Spring     *climate.Day          `json:"spring_soil_10_c"`
	Seed       *seed.NeedJSON        `json:"seed"`
	Calendar   []comingJSON          `json:"calendar"`
	Water      []report.WaterJSON    `json:"water"`
	Probe      *report.ProbeJSON     `json:"probe,omitempty"`
	Assumed    string                `json:"assumptions"`
	Cautions   []string              `json:"cautions"`
}

type shareJSON struct {
	Share words.Number `json:"share"`
	Low   words.Number `json:"low"`
	High  words.Number `json:"high"`
}

type comingJSON struct {
	Date climate.Day `json:"date"`
	What string      `json:"what"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	r, o := a.Report, a.First.Options
	spread := func(p10, p50, p90 float64) report.SpreadJSON {
		return report.SpreadJSON{P10: words.Number(p10), P50: words.Number(p50), P90: words.Number(p90)}
	}
	out := secondPassJSON{
		Schema:  "swardcast.second-pass/1",
		Station: report.Station(a.In.Input), Settings: report.Settings(a.In, o, a.Ensemble.Years),
		Trend:  report.Climate(&a.Ensemble.Trend),
		Season: a.Ensemble.Season, Species: o.Species.ID, First: a.First.Sow, AsOf: a.In.AsOf,
		Cover: words.Number(a.Stand.Cover), Judgement: string(r.Judgement), Lost: words.Number(r.LostProbability),
		ClearOn:    r.ClearOn,
		ExpectedUp: shareJSON{words.Number(r.ExpectedUp), words.Number(r.ExpectedLow), words.Number(r.ExpectedHi)},
		Alive:      spread(r.AliveP10, r.AliveP50, r.AliveP90), Final: spread(r.FinalP10, r.FinalP50, r.FinalP90),
		Second: report.IfSown(a.Second, a.In.AsOf), Worth: a.Worth, LastSafe: a.LastSafe,
		Dormant: a.Dormant, Spring: a.Spring, Calendar: []comingJSON{}, Water: a.Water.JSON(),
		Probe: report.Probe(a.In), Assumed: assumptions, Cautions: a.cautions(),
	}
	if a.Stand.Found != forecast.NotDug {
		out.Found = new(string(a.Stand.Found))
	}
	if a.Surer != nil {
		out.Other = new(report.IfSpecies(a.Surer))
	}
	if a.Need != nil {
		out.Seed = new(seed.JSON(a.Need))
	}
	for _, c := range a.Coming {
		out.Calendar = append(out.Calendar, comingJSON{c.Day, a.comingWords(words.Metric, c)})
	}
	return out
}
