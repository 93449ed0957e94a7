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
	Species    string                `json:"species_id"`
	First      climate.Day           `json:"first_sow"`
	AsOf       climate.Day           `json:"as_of"`
	Cover      words.Number          `json:"cover"`
	Found      *string               `json:"seed_found"`
	Decision   decisionJSON          `json:"decision"`
	Choices    []choiceJSON          `json:"choices"`
	Reasons    []string              `json:"reasons"`
	Changes    []changeJSON          `json:"sensitivities"`
	Lost       words.Number          `json:"lost_chance"`
	ClearOn    *climate.Day          `json:"clear_on"`
	ExpectedUp shareJSON             `json:"expected_up"`
	Alive      report.SpreadJSON     `json:"surviving_seed"`
	Final      report.SpreadJSON     `json:"final_cover"`
	Second     []report.IfSownJSON   `json:"second_pass"`
	WorthUntil *climate.Day          `json:"worth_until"`
	LastSafe   *climate.Day          `json:"last_safe_date"`
	Other      *report.IfSpeciesJSON `json:"surer_species"`
	Dormant    *climate.Day          `json:"dormant_from"`
	Spring     *climate.Day          `json:"spring_from"`
	Seed       *seed.NeedJSON        `json:"seed"`
	Calendar   []comingJSON          `json:"calendar"`
	Water      []report.WaterJSON    `json:"water"`
	Probe      *report.ProbeJSON     `json:"probe"`
	Assumed    string                `json:"assumptions"`
	Cautions   []string              `json:"cautions"`
}

// A choiceJSON is an action with what it is expected to bring. Leaving the stand has
// neither a day nor a chance.
type choiceJSON struct {
	Action    string        `json:"action"`
	On        *climate.Day  `json:"on"`
	Cover     words.Number  `json:"cover"`
	CoverLow  words.Number  `json:"cover_low"`
	CoverHigh words.Number  `json:"cover_high"`
	Chance    *words.Number `json:"chance,omitempty"`
	SeedG     words.Number  `json:"seed_g"`
	BoughtG   words.Number  `json:"bought_g"`
}

type decisionJSON struct {
	choiceJSON
	TooSoon     bool         `json:"too_soon"`
	MoreThanCan bool         `json:"cover_impossible"`
	FitsSown    *climate.Day `json:"fits_sown_by"`
}

// A changeJSON is the decision with one thing changed, which is among its keys.
type changeJSON struct {
	What    string        `json:"change"`
	Cover   *words.Number `json:"cover,omitempty"`
	Found   string        `json:"seed_found,omitempty"`
	FreezeC *words.Number `json:"freeze_c,omitempty"`
	SoilC   *words.Number `json:"soil_warmer_c,omitempty"`
	Species string        `json:"species_id,omitempty"`
	Action  string        `json:"action"`
	On      *climate.Day  `json:"on"`
	Chance  words.Number  `json:"chance_today"`
}

// dayOf is the day of a choice, nil for one that has none.
func dayOf(c *forecast.Choice) *climate.Day {
	if c.Action == forecast.LeaveIt || c.Action == forecast.Stop {
		return nil
	}
	return &c.On
}

func (a *Answer) choiceJSON(c *forecast.Choice) choiceJSON {
	seed, bought := a.seedOf(c)
	out := choiceJSON{
		Action:    string(c.Action),
		On:        dayOf(c),
		Cover:     words.Number(c.Cover),
		CoverLow:  words.Number(c.Low),
		CoverHigh: words.Number(c.High),
		SeedG:     words.Number(seed),
		BoughtG:   words.Number(bought),
	}
	if out.On != nil {
		out.Chance = new(words.Number(c.Chance))
	}
	return out
}

func changeOf(c *forecast.DecisionChange) changeJSON {
	out := changeJSON{What: string(c.Kind), Found: string(c.Found), Action: string(c.Best.Action),
		On: dayOf(&c.Best), Chance: words.Number(c.Chance)}
	switch c.Kind {
	case forecast.ChangeCover:
		out.Cover = new(words.Number(c.Cover))
	case forecast.ChangeFreeze:
		out.FreezeC = new(words.Number(c.FreezeC))
	case forecast.ChangeSoil:
		out.SoilC = new(words.Number(c.SoilC))
	case forecast.ChangeSpecies:
		out.Species = c.Species.ID
	}
	return out
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
		Schema:  "swardcast.second-pass/3",
		Station: report.Station(a.In.Input), Settings: report.Settings(a.In, o, a.Ensemble.Years),
		Trend:  report.Climate(&a.Ensemble.Trend),
		Season: a.Ensemble.Season, Species: o.Species.ID, First: a.First.Sow, AsOf: a.In.AsOf,
		Cover: words.Number(a.Stand.Cover), Lost: words.Number(r.LostProbability),
		ClearOn:    r.ClearOn,
		ExpectedUp: shareJSON{words.Number(r.ExpectedUp), words.Number(r.ExpectedLow), words.Number(r.ExpectedHi)},
		Alive: spread(
			r.SurvivingP10,
			r.SurvivingP50,
			r.SurvivingP90,
		), Final: spread(r.FinalP10, r.FinalP50, r.FinalP90),
		Second: report.IfSown(a.Second, a.In.AsOf), WorthUntil: a.Decision.WorthUntil, LastSafe: a.LastSafe,
		Dormant: a.Instead.Dormant, Spring: a.Instead.Spring, Calendar: []comingJSON{}, Water: a.Water.JSON(),
		Reasons: a.reasons(words.Metric), Changes: []changeJSON{},
		Decision: decisionJSON{a.choiceJSON(a.Decision.Best), a.Decision.TooSoon, r.MoreThanCan, a.FitsSown},
		Probe:    report.Probe(a.In), Assumed: assumptions, Cautions: a.cautions(words.Metric),
	}
	if a.Stand.Found != forecast.NotDug {
		out.Found = new(string(a.Stand.Found))
	}
	if a.Surer != nil {
		out.Other = new(report.IfSpecies(a.Surer))
	}
	if g := a.Ground; g != nil && g.Need != nil && g.Area {
		out.Seed = new(seed.JSON(g.Need))
	}
	for i := range a.Decision.Choices {
		out.Choices = append(out.Choices, a.choiceJSON(&a.Decision.Choices[i]))
	}
	for i := range a.Changes {
		out.Changes = append(out.Changes, changeOf(&a.Changes[i]))
	}
	for _, c := range a.Coming {
		out.Calendar = append(out.Calendar, comingJSON{c.Day, a.comingWords(words.Metric, c)})
	}
	return out
}
