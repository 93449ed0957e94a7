package region

import (
	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

const schema = "swardcast.region/2"

// A Row is a station and species. Its fields are the columns of CSV, the keys of JSON
// lines and the properties of GeoJSON.
type Row struct {
	Schema       string       `csv:"-"                            json:"schema"`
	File         words.Text   `csv:"file"                         json:"file"`
	Station      words.Text   `csv:"station_name"                      json:"station_name"`
	Latitude     words.Number `csv:"latitude"                     json:"latitude"`
	Longitude    words.Number `csv:"longitude"                    json:"longitude"`
	ElevationM   words.Number `csv:"elevation_m"                  json:"elevation_m"`
	FirstDate    climate.Day  `csv:"first_date"                   json:"first_date"`
	LastDate     climate.Day  `csv:"last_date"                    json:"last_date"`
	TempUnit     string       `csv:"temp_unit"                    json:"temp_unit"`
	Suspect      int          `csv:"suspect_value_count"               json:"suspect_value_count"`
	SeasonsUsed  int          `csv:"season_count"                 json:"season_count"`
	Season       int          `csv:"season"                       json:"season"`
	Species      string       `csv:"species_id"                      json:"species_id"`
	OpensP20     *climate.Day `csv:"opens_p20"                    json:"opens_p20"`
	OpensP50     *climate.Day `csv:"opens_p50"                    json:"opens_p50"`
	OpensP80     *climate.Day `csv:"opens_p80"                    json:"opens_p80"`
	LastSafeP50  *climate.Day `csv:"last_safe_p50"                json:"last_safe_p50"`
	LastSafeP80  *climate.Day `csv:"last_safe_p80"                json:"last_safe_p80"`
	LastSafeP90  *climate.Day `csv:"last_safe_p90"                json:"last_safe_p90"`
	AtConfidence *climate.Day `csv:"last_safe_at_confidence"      json:"last_safe_at_confidence"`
	BestSowing   *climate.Day `csv:"best_sowing_date"                  json:"best_sowing_date"`
	BestChance   words.Number `csv:"best_sowing_chance"                  json:"best_sowing_chance"`
	CutoffP10    *climate.Day `csv:"cutoff_p10"                   json:"cutoff_p10"`
	CutoffP50    *climate.Day `csv:"cutoff_p50"                   json:"cutoff_p50"`
	CutoffP90    *climate.Day `csv:"cutoff_p90"                   json:"cutoff_p90"`
	FreezeP50    *climate.Day `csv:"freeze_p50"                   json:"freeze_p50"`
	DormancyP50  *climate.Day `csv:"dormancy_p50"                 json:"dormancy_p50"`
	TrendAirC    words.Number `csv:"trend_air_c_per_decade"       json:"trend_air_c_per_decade"`
	TrendLatest  words.Number `csv:"trend_latest_days_per_decade" json:"trend_latest_days_per_decade"`
	TrendShift   words.Number `csv:"trend_shift_days"             json:"trend_shift_days"`
	Sow          *climate.Day `csv:"sow"                          json:"sow"`
	Chance       words.Number `csv:"chance"                       json:"chance"`
	ChanceLow    words.Number `csv:"chance_low"                   json:"chance_low"`
	ChanceHigh   words.Number `csv:"chance_high"                  json:"chance_high"`
	Verdict      string       `csv:"verdict"                      json:"verdict"`
	WinterRisk   string       `csv:"winter_risk"                  json:"winter_risk"`
	WinterAlive  words.Number `csv:"winter_alive"                 json:"winter_alive"`
	Success      words.Number `csv:"success"                      json:"success"`
	Settings     string       `csv:"settings_text"                json:"settings_text"`

	SpeciesName string       `csv:"-" json:"-"` // for reading alone
	Middle      *climate.Day `csv:"-" json:"-"` // last safe date at report.MiddleLevel
	// Place is the whole of the station, on the first of its rows.
	Place *report.MatrixPlace `csv:"-" json:"-"`
}

// RowOf sums up a window, and a sowing.
func RowOf(in *ask.Station, w *forecast.Window, sown *forecast.Prospect, settings string) Row {
	latitude, longitude, elevation := in.Checked.Place.Coordinates()
	dates := func(d forecast.Dates, share float64) *climate.Day { return words.DayOrNil(d.At(share)) }
	safe := func(percent float64) *climate.Day { return words.DayOrNil(w.LastSafe(percent)) }
	r := Row{
		Schema: schema, File: words.Text(words.Harmless(in.Name)), Station: words.Text(in.DisplayName()),
		Latitude: words.Number(latitude), Longitude: words.Number(longitude), ElevationM: words.Number(elevation),
		FirstDate: in.Checked.First, LastDate: in.Checked.Last(), TempUnit: string(in.File.Unit),
		Suspect: report.SuspectValues(in.Suspect), SeasonsUsed: len(w.Seasons), Season: w.Season,
		Species: w.Options.Species.ID, SpeciesName: w.Options.Species.Name,
		OpensP20: dates(w.Opens, 0.2), OpensP50: dates(w.Opens, 0.5), OpensP80: dates(w.Opens, 0.8),
		LastSafeP50: safe(50), LastSafeP80: safe(80), LastSafeP90: safe(90),
		AtConfidence: safe(w.Options.Confidence),
		BestChance:   words.Unknown,
		CutoffP10:    dates(w.Cutoff, 0.1), CutoffP50: dates(w.Cutoff, 0.5), CutoffP90: dates(w.Cutoff, 0.9),
		FreezeP50: dates(w.Freeze, 0.5), DormancyP50: dates(w.Dormancy, 0.5), Settings: settings,
		TrendAirC: words.Number(w.Trend.Air.Slope), TrendLatest: words.Number(w.Trend.Latest.Slope),
		TrendShift: words.Number(w.Trend.ShiftDays),
		Middle:     safe(report.MiddleLevel(w.Options.Confidence)),
		Sow:        sown.Sow, Chance: words.Number(sown.Chance), ChanceLow: words.Number(sown.Low),
		ChanceHigh: words.Number(sown.High), Verdict: string(sown.Verdict()), Success: words.Number(sown.Success),
		WinterAlive: words.Unknown,
	}
	if sown.Winter != nil {
		r.WinterRisk, r.WinterAlive = string(sown.Winter.Risk), words.Number(sown.Winter.Alive)
	}
	if w.Best != nil {
		r.BestSowing, r.BestChance = &w.Best.Sow, words.Number(w.Best.Chance)
	}
	return r
}
