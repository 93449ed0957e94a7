package plan

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
	Species  string              `json:"species_id"`
	Sow      climate.Day         `json:"sow"`
	AsOf     climate.Day         `json:"as_of"`
	Chance   words.Number        `json:"chance"`
	Decision report.DecisionJSON `json:"decision"`
	Winter   *report.WinterJSON  `json:"winter"`
	Steps    []stepJSON          `json:"steps"`
	Areas    []areaJSON          `json:"areas"`
	WeightG  words.Number        `json:"order_g"`
	Bags     *int                `json:"order_bag_count"`
	Cost     *words.Number       `json:"order_cost"`
	Cautions []string            `json:"cautions"`
}

type stepJSON struct {
	Step    string       `json:"step"`
	Date    climate.Day  `json:"date"`
	Until   *climate.Day `json:"until"`
	Low     *climate.Day `json:"p10"`
	High    *climate.Day `json:"p90"`
	WaterMM words.Number `json:"water_mm"`
	Text    string       `json:"text"`
	Basis   string       `json:"standing"`
	Source  string       `json:"source"`
}

type areaJSON struct {
	Name    string       `json:"name"`
	AreaM2  words.Number `json:"area_m2"`
	Use     string       `json:"use"`
	RateGM2 words.Number `json:"rate_g_m2"`
	Basis   string       `json:"rate_basis"`
	WeightG words.Number `json:"weight_g"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	x := a.Plan.Outlook
	weight, bags, cost := a.total()
	out := Output{Schema: "swardcast.plan/2", Station: report.Station(a.In.Input),
		Settings: report.Settings(a.In, x.Options, a.Ensemble.Years), Season: a.Ensemble.Season, Species: x.Options.Species.ID,
		Sow: x.Sow, AsOf: a.In.AsOf, Chance: words.Number(x.Chance),
		Decision: report.OutlookDecision(a.In.Input, x), Winter: report.WinterOf(x.Winter), Areas: []areaJSON{},
		WeightG: words.Number(weight), Cautions: report.Cautions()}
	if bags > 0 {
		out.Bags = &bags
	}
	if cost > 0 {
		out.Cost = new(words.Number(cost))
	}
	for i := range a.Plan.Steps {
		s := &a.Plan.Steps[i]
		out.Steps = append(out.Steps, stepJSON{string(s.Kind), s.Day, s.Until, s.Low, s.High, words.Number(s.WaterMM),
			a.advice(words.Metric, s), string(s.Evidence), s.Source})
	}
	for _, r := range a.Areas {
		n := r.Need
		out.Areas = append(out.Areas, areaJSON{r.Name, words.Number(n.Sowing.AreaM2), string(n.Use), words.Number(n.Sowing.RateGM2),
			string(n.Basis), words.Number(n.Sowing.WeightG())})
	}
	return out
}

// A row is a row of the CSV answer: a step.
type row struct {
	Step    string       `csv:"step"`
	Date    climate.Day  `csv:"date"`
	Until   *climate.Day `csv:"until"`
	Low     *climate.Day `csv:"p10"`
	High    *climate.Day `csv:"p90"`
	WaterMM words.Number `csv:"water_mm"`
	Text    words.Text   `csv:"text"`
	Basis   string       `csv:"standing"`
	Source  words.Text   `csv:"source"`
}

// Rows are the steps.
func (a *Answer) Rows() (any, error) {
	var rows []row
	for i := range a.Plan.Steps {
		s := &a.Plan.Steps[i]
		rows = append(rows, row{string(s.Kind), s.Day, s.Until, s.Low, s.High, words.Number(s.WaterMM),
			words.Text(a.advice(words.Metric, s)), string(s.Evidence), words.Text(s.Source)})
	}
	return rows, nil
}
