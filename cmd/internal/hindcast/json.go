package hindcast

import (
	"slices"

	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

type hindcastJSON struct {
	Schema           string              `json:"schema"`
	Station          report.StationJSON  `json:"station"`
	Settings         report.SettingsJSON `json:"settings"`
	Species          string              `json:"species_id"`
	Seasons          []int               `json:"seasons_judged"`
	EarlierMin       int                 `json:"min_earlier_season_count"`
	EarlierMax       int                 `json:"max_earlier_season_count"`
	Cases            int                 `json:"case_count"`
	Levels           []levelJSON         `json:"levels"`
	Brier            words.Number        `json:"brier"`
	BrierClimatology words.Number        `json:"brier_climatology"`
	Reliability      []groupJSON         `json:"reliability"`
	LatestMAE        words.Number        `json:"latest_mae_days"`
	Leads            []leadJSON          `json:"leads"`
	Method           string              `json:"method"`
	Cautions         []string            `json:"cautions"`
	Decision         report.DecisionJSON `json:"decision"`
}

type levelJSON struct {
	Confidence words.Number `json:"confidence"`
	HeldShare  words.Number `json:"held_share"`
	HeldLow    words.Number `json:"held_low"`
	HeldHigh   words.Number `json:"held_high"`
	N          int          `json:"season_count"`
}

type groupJSON struct {
	Low      words.Number `json:"chance_low"`
	High     words.Number `json:"chance_high"`
	Mean     words.Number `json:"mean_chance"`
	Observed words.Number `json:"observed_share"`
	N        int          `json:"case_count"`
}

type leadJSON struct {
	Lead             string       `json:"lead"`
	N                int          `json:"case_count"`
	Brier            words.Number `json:"brier"`
	BrierClimatology words.Number `json:"brier_climatology"`
	Reliability      words.Number `json:"brier_reliability"`
	Resolution       words.Number `json:"brier_resolution"`
	Uncertainty      words.Number `json:"brier_uncertainty"`
	LatestMAE        words.Number `json:"latest_mae_days"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	h := a.Hindcast
	all, climatology := h.Brier("")
	out := hindcastJSON{
		Schema: "swardcast.hindcast/3", Station: report.Station(a.In.Input),
		Settings: report.Settings(a.In, h.Options, h.Seasons),
		Species:  h.Options.Species.ID, Seasons: h.Seasons,
		EarlierMin: slices.Min(h.Past), EarlierMax: slices.Max(h.Past), Cases: len(h.Cases),
		Brier: words.Number(all.Score), BrierClimatology: words.Number(climatology.Score),
		LatestMAE: words.Number(forecast.MeanAbsolute(h.LatestError[forecast.LeadSow])),
		Method:    method, Cautions: a.cautions(), Decision: report.DecisionJSON{Action: string(trust(a.held(usual)))},
	}
	for _, l := range h.Levels {
		share, low, high := l.Share()
		out.Levels = append(
			out.Levels,
			levelJSON{report.FromPercent(l.Confidence), words.Number(share), words.Number(low), words.Number(high), l.N},
		)
	}
	for _, g := range h.Reliability("") {
		out.Reliability = append(out.Reliability,
			groupJSON{words.Number(g.Low), words.Number(g.High), words.Number(g.Mean), words.Number(g.Observed), g.N})
	}
	for _, lead := range forecast.Leads() {
		f, c := h.Brier(lead)
		out.Leads = append(out.Leads, leadJSON{string(lead), f.N, words.Number(f.Score), words.Number(c.Score),
			words.Number(f.Reliability), words.Number(f.Resolution), words.Number(f.Uncertainty),
			words.Number(forecast.MeanAbsolute(h.LatestError[lead]))})
	}
	return out
}

// A row is a row of the CSV answer: a forecast.
type row struct {
	Season  int          `csv:"season"`
	Lead    string       `csv:"lead"`
	Sow     climate.Day  `csv:"sow"`
	Chance  words.Number `csv:"chance"`
	Climate words.Number `csv:"chance_climatology"`
	InTime  int          `csv:"in_time"`
}

// Rows are the forecasts, season by season.
func (a *Answer) Rows() (any, error) {
	var rows []row
	for _, c := range a.Hindcast.Cases {
		r := row{c.Season, string(c.Lead), c.Sow, words.Number(c.Chance), words.Number(c.Climate), 0}
		if c.Made {
			r.InTime = 1
		}
		rows = append(rows, r)
	}
	return rows, nil
}
