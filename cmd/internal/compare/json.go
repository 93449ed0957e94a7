package compare

import (
	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

type compareJSON struct {
	Schema   string        `json:"schema"`
	Stations []stationJSON `json:"stations"`
	Cautions []string      `json:"cautions"`
}

type stationJSON struct {
	Station  report.StationJSON  `json:"station"`
	Settings report.SettingsJSON `json:"settings"`
	Trend    report.ClimateJSON  `json:"trend"`
	Season   int                 `json:"season"`
	Sow      climate.Day         `json:"sow"`
	AsOf     climate.Day         `json:"as_of"`
	Decision decisionJSON        `json:"decision"`
	Species  []speciesJSON       `json:"species"`
}

type decisionJSON struct {
	report.DecisionJSON
	Species []pickJSON `json:"species"`
}

// A pickJSON is a species that the decision names.
type pickJSON struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

type speciesJSON struct {
	ID             string             `json:"id"`
	Name           string             `json:"name"`
	CompactLetters string             `json:"not_told_apart"`
	Chance         words.Number       `json:"chance"`
	ChanceLow      words.Number       `json:"chance_low"`
	ChanceHigh     words.Number       `json:"chance_high"`
	Verdict        string             `json:"verdict"`
	Winter         *report.WinterJSON `json:"winter"`
	Success        words.Number       `json:"success"`
	Stages         []report.StageJSON `json:"stages"`
	LastSafe       *climate.Day       `json:"last_safe_date"`
	RateGM2        *words.Number      `json:"rate_g_m2"`
	SeedsM2        *words.Number      `json:"seeds_m2"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	out := compareJSON{Schema: "swardcast.compare/2", Cautions: a.cautions(words.Metric)}
	for _, s := range a.Stations {
		x := stationJSON{
			Station: report.Station(s.In.Input), Settings: report.Settings(s.In, *s.question(), s.Ensemble.Years),
			Trend: report.Climate(
				&s.Ensemble.Trend,
			), Season: s.Season, Sow: s.Sow, AsOf: s.In.AsOf, Decision: s.decisionJSON(),
		}
		for i := range s.Species {
			x.Species = append(x.Species, s.speciesJSON(i))
		}
		out.Stations = append(out.Stations, x)
	}
	return out
}

func (s *Station) decisionJSON() decisionJSON {
	c := s.choice()
	out := decisionJSON{report.DecisionJSON{Action: string(c.Action), On: c.Date}, []pickJSON{}}
	if out.On == nil {
		out.On = &s.Sow
	}
	for _, x := range c.Pick {
		sp := &x.Outlook.Options.Species
		out.Species = append(out.Species, pickJSON{sp.ID, sp.Name})
	}
	return out
}

func (s *Station) speciesJSON(i int) speciesJSON {
	x := &s.Species[i]
	o := x.Outlook
	out := speciesJSON{
		ID: o.Options.Species.ID, Name: o.Options.Species.Name, CompactLetters: x.CompactLetters,
		Chance: words.Number(
			o.Chance), ChanceLow: words.Number(o.Low), ChanceHigh: words.Number(o.High), Verdict: string(o.Verdict),
		Winter: report.WinterOf(o.Winter), Success: words.Number(x.Success),
		Stages: report.Stages(o), LastSafe: x.LastSafe,
	}
	if rate, seeds, ok := s.rate(x); ok {
		out.RateGM2, out.SeedsM2 = new(words.Number(rate.Usual)), new(words.Number(seeds))
	}
	return out
}

// A row is a row of the CSV answer.
type row struct {
	Station        words.Text   `csv:"station_name"`
	Species        string       `csv:"species_id"`
	Sow            climate.Day  `csv:"sow"`
	Chance         words.Number `csv:"chance"`
	Low            words.Number `csv:"chance_low"`
	High           words.Number `csv:"chance_high"`
	Verdict        string       `csv:"verdict"`
	Winter         string       `csv:"winter_risk"`
	Alive          words.Number `csv:"winter_alive"`
	Success        words.Number `csv:"success"`
	CompactLetters string       `csv:"not_told_apart"`
	EmergedP50     *climate.Day `csv:"emerged_p50"`
	MowP50         *climate.Day `csv:"mow_p50"`
	TilleredP50    *climate.Day `csv:"tillered_p50"`
	LastSafe       *climate.Day `csv:"last_safe_date"`
	RateGM2        words.Number `csv:"rate_g_m2"`
	SeedsM2        words.Number `csv:"seeds_m2"`
}

// Rows are the species, station by station.
func (a *Answer) Rows() (any, error) {
	var rows []row
	for _, s := range a.Stations {
		for i := range s.Species {
			x := &s.Species[i]
			o := x.Outlook
			r := row{
				Station: words.Text(s.In.DisplayName()), Species: o.Options.Species.ID, Sow: s.Sow,
				Chance: words.Number(
					o.Chance), Low: words.Number(o.Low), High: words.Number(o.High), Verdict: string(o.Verdict),
				Winter: string(o.Winter.Risk), Alive: words.Number(o.Winter.Alive), Success: words.Number(x.Success),
				CompactLetters: x.CompactLetters,
				EmergedP50:     o.Stages[0].P50, MowP50: o.Stages[1].P50, TilleredP50: o.Stages[2].P50,
				LastSafe: x.LastSafe, RateGM2: words.Unknown, SeedsM2: words.Unknown,
			}
			if rate, seeds, ok := s.rate(x); ok {
				r.RateGM2, r.SeedsM2 = words.Number(rate.Usual), words.Number(seeds)
			}
			rows = append(rows, r)
		}
	}
	return rows, nil
}
