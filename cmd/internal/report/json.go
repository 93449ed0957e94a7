package report

import (
	"slices"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

type StationJSON struct {
	Name           string        `json:"name"`
	Latitude       words.Number  `json:"latitude"`
	Longitude      words.Number  `json:"longitude"`
	ElevationM     words.Number  `json:"elevation_m"`
	FirstDate      climate.Day   `json:"first_date"`
	LastDate       climate.Day   `json:"last_date"`
	TempUnit       string        `json:"temp_unit"`
	Cautions       []string      `json:"cautions,omitempty"`
	SeasonsUsed    []int         `json:"seasons_used,omitempty"`
	SeasonsDropped []DroppedJSON `json:"seasons_dropped,omitzero"`
	Source         *SourceJSON   `json:"fetched_from,omitempty"`
}

type DroppedJSON struct {
	Season int    `json:"season"`
	Reason string `json:"reason"`
}

// Station describes the station. The seasons used are those that every
// window uses; one dropped for a single species is listed with its name.
func Station(in *ask.Input, windows ...*forecast.Window) StationJSON {
	latitude, longitude, elevation := in.Checked.Place.Coordinates()
	s := StationJSON{
		Name: in.DisplayName(), Latitude: words.Number(latitude), Longitude: words.Number(longitude), ElevationM: words.Number(elevation),
		FirstDate: in.Checked.First, LastDate: in.Checked.Last(), TempUnit: string(in.File.Unit),
		Cautions: in.File.Cautions,
		Source:   sourceOf(in),
	}
	if len(windows) > 0 {
		s.SeasonsUsed, s.SeasonsDropped = UsedByAll(windows), Dropped(DroppedByAny(windows))
	}
	return s
}

// UsedByAll returns the seasons that every window uses.
func UsedByAll(windows []*forecast.Window) []int {
	used := []int{}
	for _, se := range windows[0].Seasons {
		if !slices.ContainsFunc(windows, func(w *forecast.Window) bool {
			return !slices.ContainsFunc(w.Seasons, func(x forecast.Season) bool { return x.Year == se.Year })
		}) {
			used = append(used, se.Year)
		}
	}
	return used
}

// DroppedByAny returns the seasons that any window drops, in their order; a
// reason that is not that of every window names its species.
func DroppedByAny(windows []*forecast.Window) []climate.DroppedSeason {
	var all []climate.DroppedSeason
	for _, w := range windows {
		for _, d := range w.Dropped {
			shared := !slices.ContainsFunc(
				windows,
				func(x *forecast.Window) bool { return !slices.Contains(x.Dropped, d) },
			)
			if !shared {
				d.Reason = w.Options.Species.Name + ": " + d.Reason
			}
			if !slices.Contains(all, d) {
				all = append(all, d)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b climate.DroppedSeason) int { return a.Season - b.Season })
	return all
}

func Dropped(dropped []climate.DroppedSeason) []DroppedJSON {
	out := []DroppedJSON{}
	for _, d := range dropped {
		out = append(out, DroppedJSON{d.Season, d.Reason})
	}
	return out
}

type SettingsJSON struct {
	Host            string       `json:"host"`
	Stage           string       `json:"stage"`
	Cutoff          string       `json:"cutoff_rule"`
	FreezeC         words.Number `json:"freeze_c"`
	Opening         string       `json:"opening"`
	OpenSoilC       words.Number `json:"open_soil_c"`
	OpenDepthCM     int          `json:"open_depth_cm"`
	DormancySoilC   words.Number `json:"dormancy_soil_c"`
	DormancyDepthCM int          `json:"dormancy_depth_cm"`
	Confidence      words.Number `json:"confidence"`
	Interval        words.Number `json:"interval"`
	Completeness    string       `json:"completeness"`
	Unwatered       bool         `json:"unwatered"`
	Trend           string       `json:"trend_rule"`
	FirstSeason     int          `json:"first_season"`
	LastSeason      int          `json:"last_season"`
	AsOf            climate.Day  `json:"as_of"`
	Quantile        string       `json:"quantile"`
}

// Settings are the effective settings, and the first and last season used.
func Settings(in *ask.Station, o forecast.Options, years []int) SettingsJSON {
	s := SettingsJSON{
		Host: o.Host.ID, Stage: string(o.Stage), Cutoff: string(o.Cutoff), FreezeC: words.Number(*o.FreezeC),
		Opening: string(o.Opening), OpenSoilC: words.Number(o.Host.Open.TempC), OpenDepthCM: int(o.Host.Open.Depth),
		DormancySoilC: words.Number(o.Host.Dormancy.TempC), DormancyDepthCM: int(o.Host.Dormancy.Depth),
		Confidence: FromPercent(o.Confidence), Interval: FromPercent(forecast.IntervalPercent),
		Completeness: o.Completeness.Name, Unwatered: o.Unwatered,
		Trend: string(o.Trend),
		AsOf:  in.AsOf, Quantile: "(n+1/3)p + 1/3, type 8 of Hyndman & Fan 1996",
	}
	if len(years) > 0 {
		s.FirstSeason, s.LastSeason = years[0], years[len(years)-1]
	}
	return s
}

// FromPercent is a number of percent as a share, 0 to 1, as every answer for scripts has it.
func FromPercent(percent float64) words.Number { return words.Number(percent / 100) }

// DecisionJSON is what to do. On is the day to do it, nil for none.
type DecisionJSON struct {
	Action string       `json:"action"`
	On     *climate.Day `json:"on"`
}

type SpreadJSON struct {
	P10 words.Number `json:"p10"`
	P50 words.Number `json:"p50"`
	P90 words.Number `json:"p90"`
}

func Spread(q forecast.Spread) SpreadJSON {
	return SpreadJSON{words.Number(q.P10), words.Number(q.P50), words.Number(q.P90)}
}

type StageJSON struct {
	ID         string       `json:"id"`
	ReachedNow words.Number `json:"reached_share_now"`
	Date       DatesJSON    `json:"dates"`
	Days       SpreadJSON   `json:"days_from_sowing"`
}

type DatesJSON struct {
	P10 *climate.Day `json:"p10"`
	P50 *climate.Day `json:"p50"`
	P90 *climate.Day `json:"p90"`
}

func Stages(x *forecast.Outlook) []StageJSON {
	var out []StageJSON
	for _, s := range x.Stages {
		now := words.Number(s.ReachedNow)
		if x.Unseen {
			now = words.Unknown
		}
		out = append(out, StageJSON{string(s.Stage), now, DatesJSON{s.P10, s.P50, s.P90}, Spread(s.Days)})
	}
	return out
}

func Dates(d forecast.Dates) DatesJSON {
	return DatesJSON{words.DayOrNil(d.At(0.1)), words.DayOrNil(d.At(0.5)), words.DayOrNil(d.At(0.9))}
}

type ProbeJSON struct {
	File    string       `json:"file"`
	Used    int          `json:"used_count"`
	Suspect int          `json:"suspect_count"`
	Before  words.Number `json:"rms_before_c"`
	After   words.Number `json:"rms_after_c"`
	Offset  words.Number `json:"offset_now_c"`
}

func Probe(in *ask.Station) *ProbeJSON {
	if in.Site == nil {
		return nil
	}
	c := in.Site
	return &ProbeJSON{
		in.ProbeFile,
		c.Used,
		len(c.Suspect),
		words.Number(c.Before),
		words.Number(c.After),
		words.Number(c.Offset(in.Record.Last())),
	}
}
