package outlook

import (
	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// Output is the answer as JSON.
type Output struct {
	Schema        string                   `json:"schema"`
	Station       report.StationJSON       `json:"station"`
	Settings      report.SettingsJSON      `json:"settings"`
	Season        int                      `json:"season"`
	Species       string                   `json:"species_id"`
	Sow           climate.Day              `json:"sow"`
	AsOf          climate.Day              `json:"as_of"`
	KnownTo       climate.Day              `json:"known_to"`
	UnknownDays   int                      `json:"unknown_day_count"`
	ForecastDays  int                      `json:"forecast_day_count"`
	Stages        []report.StageJSON       `json:"stages"`
	EmergedNow    words.Number             `json:"emerged_share_now"`
	EmergedLow    words.Number             `json:"emerged_share_low"`
	EmergedHigh   words.Number             `json:"emerged_share_high"`
	Chance        words.Number             `json:"chance"`
	ChanceLow     words.Number             `json:"chance_low"`
	ChanceHigh    words.Number             `json:"chance_high"`
	Cutoff        report.DatesJSON         `json:"cutoff"`
	OpensP50      *climate.Day             `json:"opens_p50"`
	OpenChance    words.Number             `json:"open_chance"`
	BehindDays    words.Number             `json:"behind_days"`
	Trend         report.ClimateJSON       `json:"trend"`
	Water         []report.WaterJSON       `json:"water"`
	Verdict       string                   `json:"verdict"`
	Decision      report.DecisionJSON      `json:"decision"`
	Winter        *report.WinterJSON       `json:"winter"`
	RainOnly      *rainJSON                `json:"rain_only"`
	Hindsight     bool                     `json:"in_hindsight"`
	Dormant       *climate.Day             `json:"dormant_from"`
	Spring        *climate.Day             `json:"spring_from"`
	Sensitivities []report.SensitivityJSON `json:"sensitivities"`
	IfSown        []report.IfSownJSON      `json:"if_sown"`
	IfSpecies     []report.IfSpeciesJSON   `json:"if_species"`
	Probe         *report.ProbeJSON        `json:"probe"`
	Cautions      []string                 `json:"cautions"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	x, e := a.Outlook, a.Ensemble
	now := func(share float64) words.Number {
		if x.Unseen {
			return words.Unknown
		}
		return words.Number(share)
	}
	out := Output{
		Schema: "swardcast.outlook/3", Season: e.Season, Species: x.Options.Species.ID, Sow: x.Sow, AsOf: a.In.AsOf,
		Station: report.Station(a.In.Input), Settings: report.Settings(a.In, x.Options, e.Years),
		KnownTo: e.Known, UnknownDays: e.Unknown, ForecastDays: e.Ahead, Stages: report.Stages(x),
		EmergedNow: now(x.EmergedFraction), EmergedLow: now(x.EmergedLow), EmergedHigh: now(x.EmergedHigh),
		Chance: words.Number(x.Chance), ChanceLow: words.Number(x.Low), ChanceHigh: words.Number(x.High),
		Cutoff: report.Dates(
			x.Cutoff,
		), OpensP50: words.DayOrNil(x.Opens.At(0.5)), OpenChance: words.Number(x.Open), BehindDays: words.Number(x.BehindDays),
		Trend: report.Climate(&e.Trend), Water: a.Water.JSON(), Verdict: string(x.Verdict),
		Decision: report.OutlookDecision(a.In.Input, x), Winter: report.WinterOf(x.Winter), RainOnly: a.rainJSON(), Hindsight: x.Decided,
		Sensitivities: report.Sensitivities(a.Changes, &x.Options),
		IfSown:        report.IfSown(a.Later, a.In.AsOf),
		Probe:         report.Probe(a.In), Cautions: a.cautions(words.Metric),
	}
	if a.Instead != nil {
		out.Dormant, out.Spring = a.Instead.Dormant, a.Instead.Spring
	}
	for _, s := range a.Species {
		out.IfSpecies = append(out.IfSpecies, report.IfSpecies(s))
	}
	return out
}

// rainJSON is the same sowing without irrigation.
type rainJSON struct {
	Chance   words.Number `json:"chance"`
	Low      words.Number `json:"chance_low"`
	High     words.Number `json:"chance_high"`
	LastSafe *climate.Day `json:"last_safe_date"`
}

func (a *Answer) rainJSON() *rainJSON {
	x := a.RainOnly
	if x == nil {
		return nil
	}
	return &rainJSON{words.Number(x.Chance), words.Number(x.Low), words.Number(x.High),
		words.DayOrNil(x.LastSafe(x.Options.Confidence))}
}
