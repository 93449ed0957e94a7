package window

import (
	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// Output is the answer as JSON.
type Output struct {
	Schema   string              `json:"schema"`
	Station  report.StationJSON  `json:"station"`
	Settings report.SettingsJSON `json:"settings"`
	Season   int                 `json:"season"`
	Species  []speciesJSON       `json:"species"`
	Probe    *report.ProbeJSON   `json:"probe"`
	Warnings []warningJSON       `json:"warnings"`
	Cautions []string            `json:"cautions"`
}

type speciesJSON struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	Opens struct {
		P20 *climate.Day `json:"p20"`
		P50 *climate.Day `json:"p50"`
		P80 *climate.Day `json:"p80"`

		Low  *climate.Day `json:"low"`
		High *climate.Day `json:"high"`
	} `json:"opens"`
	LastSafe struct {
		P50          *climate.Day `json:"p50"`
		P80          *climate.Day `json:"p80"`
		P90          *climate.Day `json:"p90"`
		AtConfidence *climate.Day `json:"at_confidence"`
		RainOnly     *climate.Day `json:"rain_only_at_confidence"`
	} `json:"last_safe"`
	ColdEnds      bool                     `json:"cold_ends_sowing"`
	Winter        *report.WinterJSON       `json:"winter"`
	Use           *useJSON                 `json:"in_use"`
	BestSowing    *bestJSON                `json:"best_sowing"`
	Decision      decisionJSON             `json:"decision"`
	Aim           *aimJSON                 `json:"aim"`
	Sensitivities []report.SensitivityJSON `json:"sensitivities"`
	Warnings      []warningJSON            `json:"warnings"`
	Cutoff        report.DatesJSON         `json:"cutoff"`
	FreezeP50     *climate.Day             `json:"freeze_p50"`
	DormancyP50   *climate.Day             `json:"dormancy_p50"`
	Trend         report.ClimateJSON       `json:"trend"`
	ByDate        []dateJSON               `json:"by_date"`
	Seasons       []seasonJSON             `json:"seasons"`
}

type decisionJSON struct {
	report.DecisionJSON
	Until   *climate.Day `json:"until"`
	Instead *insteadJSON `json:"instead"`
}

type useJSON struct {
	Sow  climate.Day       `json:"sow"`
	From *climate.Day      `json:"from"`
	To   *climate.Day      `json:"until"`
	Days report.SpreadJSON `json:"days_in_use"`
}

type bestJSON struct {
	Date   climate.Day  `json:"date"`
	Chance words.Number `json:"chance"`
}

type aimJSON struct {
	From      climate.Day  `json:"from"`
	Until     climate.Day  `json:"until"`
	BestUntil climate.Day  `json:"best_until"`
	Chance    words.Number `json:"chance"`
	Bound     string       `json:"bound"`
}

type insteadJSON struct {
	Chance         words.Number `json:"chance"`
	ChanceNextWeek words.Number `json:"chance_next_week"`
	Species        *string      `json:"species_id"`
	SpeciesChance  words.Number `json:"species_chance"`
	DormantFrom    *climate.Day `json:"dormant_from"`
	SpringFrom     *climate.Day `json:"spring_from"`
}

type warningJSON struct {
	Kind string `json:"kind"`
	Text string `json:"text"`
}

// warningsOf are warnings in words, in metric units like every figure of JSON.
func warningsOf(list []forecast.Warning, o *forecast.Options) []warningJSON {
	out := []warningJSON{}
	for _, x := range list {
		out = append(out, warningJSON{string(x.Kind), report.WarningText(words.Metric, x, o)})
	}
	return out
}

type dateJSON struct {
	Sow          climate.Day       `json:"sow"`
	Chance       words.Number      `json:"chance"`
	ChanceLow    words.Number      `json:"chance_low"`
	ChanceHigh   words.Number      `json:"chance_high"`
	OpenChance   words.Number      `json:"open_chance"`
	InWindow     words.Number      `json:"in_window_chance"`
	Early        bool              `json:"before_opening"`
	EmergedDays  report.SpreadJSON `json:"emerged_days"`
	MowDays      report.SpreadJSON `json:"mow_days"`
	TilleredDays report.SpreadJSON `json:"tillered_days"`
}

type seasonJSON struct {
	Season      int          `json:"season"`
	Opens       climate.Day  `json:"opens_on"`
	Latest      *climate.Day `json:"latest_on"`
	Cutoff      *climate.Day `json:"cutoff_on"`
	CutoffCause string       `json:"cutoff_cause"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	in, windows, first := a.In, a.Windows, a.Windows[0]
	out := Output{
		Schema: "swardcast.window/2", Station: report.Station(in.Input, windows...), Settings: report.Settings(in, first.Options, report.UsedByAll(windows)), Probe: report.Probe(in),
		Season: first.Season, Warnings: warningsOf(a.Warnings, nil), Cautions: report.WindowCautions(words.Metric, windows, a.Warnings...),
	}
	for i, w := range windows {
		out.Species = append(out.Species, a.ofSpecies(w, a.decisions[i]))
	}
	return out
}

func (a *Answer) ofSpecies(w *forecast.Window, x *decision) speciesJSON {
	s := speciesJSON{ID: w.Options.Species.ID, Name: w.Options.Species.Name, Seasons: []seasonJSON{}}
	s.Opens.P20, s.Opens.P50, s.Opens.P80 = words.DayOrNil(
		w.Opens.At(0.2),
	), words.DayOrNil(
		w.Opens.At(0.5),
	), words.DayOrNil(
		w.Opens.At(0.8),
	)
	if low, high, ok := w.OpensBetween(); ok {
		s.Opens.Low, s.Opens.High = &low, &high
	}
	s.LastSafe.P50, s.LastSafe.P80, s.LastSafe.P90 = words.DayOrNil(
		w.LastSafe(50),
	), words.DayOrNil(
		w.LastSafe(80),
	), words.DayOrNil(
		w.LastSafe(90),
	)
	s.LastSafe.AtConfidence = words.DayOrNil(w.Safe())
	s.ColdEnds = w.ColdEnds()
	if safe, ok := w.Safe(); ok && !few(w) {
		s.Winter = report.WinterOf(a.In.Winters(w, []climate.Day{safe})[0])
		if rain, err := a.In.RainOnly(w.Options); err == nil {
			s.LastSafe.RainOnly = words.DayOrNil(rain.Safe())
		}
	}
	if !s.ColdEnds && w.Options.Host.ID != "none" {
		use := a.In.Use(w, a.useful(w))
		s.Use = &useJSON{use.Sow, use.From, use.To, report.Spread(use.Days)}
	}
	if w.Best != nil {
		s.BestSowing = &bestJSON{w.Best.Sow, words.Number(w.Best.Chance)}
	}
	on, until := a.when(w, x.action)
	s.Decision = decisionJSON{DecisionJSON: report.DecisionJSON{Action: string(x.action), On: on}, Until: until}
	if i := x.instead; i != nil {
		s.Decision.Instead = &insteadJSON{
			words.Number(i.Chance),
			words.Number(i.NextWeek),
			nil,
			words.Unknown,
			i.Dormant,
			i.Spring,
		}
		if q := i.Quicker; q != nil {
			s.Decision.Instead.Species, s.Decision.Instead.SpeciesChance = &q.Species.ID, words.Number(q.Chance)
		}
	}
	if aim := w.Aim; aim != nil {
		s.Aim = &aimJSON{aim.From, aim.Until, aim.BestUntil, words.Number(aim.Chance), string(aim.Bound)}
	}
	s.Sensitivities, s.Warnings = report.Sensitivities(x.changes, &w.Options), warningsOf(w.Warnings, &w.Options)
	s.Cutoff = report.Dates(w.Cutoff)
	s.FreezeP50, s.DormancyP50 = words.DayOrNil(w.Freeze.At(0.5)), words.DayOrNil(w.Dormancy.At(0.5))
	s.Trend = report.Climate(&w.Trend)
	for _, d := range w.ByDate {
		s.ByDate = append(s.ByDate, dateJSON{
			d.Sow, known(w, d.Chance), known(w, d.Low), known(w, d.High), words.Number(d.Open), known(w, d.InWindow), d.BeforeOpening(), report.Spread(d.Days[0]), report.Spread(d.Days[1]), report.Spread(d.Days[2]),
		})
	}
	for _, se := range w.Seasons {
		s.Seasons = append(s.Seasons, seasonJSON{se.Year, se.Opens, se.Latest, se.Cutoff, string(se.Cause)})
	}
	return s
}

// known is a chance, unknown where there are too few seasons: what looks certain would
// be all that was seen.
func known(w *forecast.Window, chance float64) words.Number {
	if few(w) {
		return words.Unknown
	}
	return words.Number(chance)
}

// A row is a row of the CSV answer.
type row struct {
	Species     string       `csv:"species_id"`
	Sow         climate.Day  `csv:"sow"`
	Chance      words.Number `csv:"chance"`
	Low         words.Number `csv:"chance_low"`
	High        words.Number `csv:"chance_high"`
	EmergedP10  words.Number `csv:"emerged_days_p10"`
	EmergedP50  words.Number `csv:"emerged_days_p50"`
	EmergedP90  words.Number `csv:"emerged_days_p90"`
	MowP10      words.Number `csv:"mow_days_p10"`
	MowP50      words.Number `csv:"mow_days_p50"`
	MowP90      words.Number `csv:"mow_days_p90"`
	TilleredP10 words.Number `csv:"tillered_days_p10"`
	TilleredP50 words.Number `csv:"tillered_days_p50"`
	TilleredP90 words.Number `csv:"tillered_days_p90"`
}

// Rows are the chances by species and sow date.
func (a *Answer) Rows() (any, error) {
	var rows []row
	for _, w := range a.Windows {
		for _, d := range w.ByDate {
			e, m, t := d.Days[0], d.Days[1], d.Days[2]
			rows = append(rows, row{
				w.Options.Species.ID, d.Sow, known(w, d.Chance), known(w, d.Low), known(w, d.High),
				words.Number(
					e.P10,
				), words.Number(e.P50), words.Number(e.P90), words.Number(m.P10), words.Number(m.P50), words.Number(m.P90),
				words.Number(t.P10), words.Number(t.P50), words.Number(t.P90),
			})
		}
	}
	return rows, nil
}
