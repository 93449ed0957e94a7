package main

import (
	"bytes"
	"fmt"
	"slices"

	"github.com/gocarina/gocsv"
	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/page"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

var windowCommand = &command{
	name:    "window",
	summary: "When the seeding window opens and closes, the chance of each date",
	usage:   "[FILE]",
	help: `Goes through the past autumns of the station. In each it finds the day sowing
opens (the soil has cooled below the opening temperature for good), the cutoff
(the first killing freeze or dormancy, whichever comes first) and the latest
date from which the seed still reaches the stage by the cutoff. From these it
tells the last safe date at 50, 80 and 90 percent of seasons and the chance of
every sow date, with an interval that widens where the seasons are few.

Examples:
  swardcast window my-station.csv --lat 33.8
  swardcast window my-station.csv --lat 40.9 --host none --species tall-fescue
  swardcast window my-station.csv --lat 33.8 --format csv -o chances.csv
  swardcast window my-station.csv --lat 33.8 --format html -o window.html
  swardcast window my-station.csv --lat 33.8 --format png --chart seasons \
      -o seasons.png
`,
	setup: func(f *pflag.FlagSet) func(*program, []string) error {
		var st stationFlags
		var tf turfFlags
		var out outputFlags
		tf.declare(f)
		tf.declareConfidence(f)
		tf.declareSeason(f)
		st.declare(f)
		st.declareProbe(f)
		out.declare(f, "text", "json", "csv", "html", "svg", "png")
		out.declareCharts(f, "chance", "seasons", "days", "species", "soil")
		return func(p *program, args []string) error { return p.window(args, &st, &tf, &out) }
	},
}

func (p *program) window(args []string, st *stationFlags, tf *turfFlags, out *outputFlags) error {
	options, err := tf.options()
	if err != nil {
		return err
	}
	in, err := p.openStation(args, st)
	if err != nil {
		return err
	}
	if err := p.calibrate(in, st.probe); err != nil {
		return err
	}
	if y := tf.season; y != 0 && (y < in.Calendar.SeasonFor(in.checked.First) || y > in.Calendar.SeasonFor(in.asOf)+1) {
		return &usageError{fmt.Sprintf("the season of %d lies outside the record, %s to %s, and the year after it", y, in.checked.First, in.checked.Last()), fmt.Sprintf("--season %d", in.Calendar.SeasonFor(in.asOf))}
	}
	var windows []*forecast.Window
	for _, o := range options {
		if o.Season == 0 {
			o.Season = in.Calendar.SeasonFor(in.asOf)
		}
		w, err := in.Window(o)
		if err != nil {
			return seasonsError(in, err)
		}
		windows = append(windows, w)
	}
	return p.give(out, answer{
		text:  func(u unitSystem) []byte { return windowText(in, windows, u) },
		json:  func() any { return windowJSON(in, windows) },
		csv:   func() ([]byte, error) { return windowCSV(windows) },
		about: in.about(windows[0].Season),
		page: func(u unitSystem) (*page.Page, error) {
			v, err := newWindowView(in, windows)
			if err != nil {
				return nil, err
			}
			return v.page(u)
		},
		chart: func(name string, u unitSystem) (*chart.Chart, error) {
			v, err := newWindowView(in, windows)
			if err != nil {
				return nil, err
			}
			return v.chart(name, u), nil
		},
	})
}

type stationOut struct {
	Name           string       `json:"name"`
	Latitude       number       `json:"latitude"`
	Longitude      number       `json:"longitude"`
	ElevationM     number       `json:"elevation_m"`
	FirstDate      climate.Day  `json:"first_date"`
	LastDate       climate.Day  `json:"last_date"`
	TempUnit       string       `json:"temp_unit"`
	SeasonsUsed    []int        `json:"seasons_used,omitempty"`
	SeasonsDropped []droppedOut `json:"seasons_dropped,omitzero"`
}

type droppedOut struct {
	Season int    `json:"season"`
	Reason string `json:"reason"`
}

// stationJSON describes the station. The seasons used are those that every
// window uses; one dropped for a single species is listed with its name.
func stationJSON(in *input, windows ...*forecast.Window) stationOut {
	latitude, longitude, elevation := in.checked.Place.Coordinates()
	s := stationOut{
		Name: in.displayName(), Latitude: number(latitude), Longitude: number(longitude), ElevationM: number(elevation),
		FirstDate: in.checked.First, LastDate: in.checked.Last(), TempUnit: string(in.file.Unit),
	}
	if len(windows) > 0 {
		s.SeasonsUsed, s.SeasonsDropped = usedByAll(windows), droppedJSON(droppedByAny(windows))
	}
	return s
}

// usedByAll returns the seasons that every window uses.
func usedByAll(windows []*forecast.Window) []int {
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

// droppedByAny returns the seasons that any window drops, in their order; a
// reason that is not that of every window names its species.
func droppedByAny(windows []*forecast.Window) []climate.DroppedSeason {
	var all []climate.DroppedSeason
	for _, w := range windows {
		for _, d := range w.Dropped {
			shared := !slices.ContainsFunc(windows, func(x *forecast.Window) bool { return !slices.Contains(x.Dropped, d) })
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

func droppedJSON(dropped []climate.DroppedSeason) []droppedOut {
	out := []droppedOut{}
	for _, d := range dropped {
		out = append(out, droppedOut{d.Season, d.Reason})
	}
	return out
}

type settingsOut struct {
	Host            string      `json:"host"`
	Stage           string      `json:"stage"`
	Cutoff          string      `json:"cutoff"`
	FreezeC         number      `json:"freeze_c"`
	OpenSoilC       number      `json:"open_soil_c"`
	OpenDepthCM     int         `json:"open_depth_cm"`
	DormancySoilC   number      `json:"dormancy_soil_c"`
	DormancyDepthCM int         `json:"dormancy_depth_cm"`
	Confidence      number      `json:"confidence_percent"`
	Interval        int         `json:"interval_percent"`
	Completeness    string      `json:"completeness"`
	Unwatered       bool        `json:"unwatered"`
	Trend           string      `json:"trend"`
	FirstSeason     int         `json:"first_season"`
	LastSeason      int         `json:"last_season"`
	AsOf            climate.Day `json:"as_of"`
	Quantile        string      `json:"quantile"`
}

// settingsOf tells the effective settings, and the first and last season used.
func settingsOf(in *stationInput, o forecast.Options, years []int) settingsOut {
	s := settingsOut{
		Host: o.Host.ID, Stage: string(o.Stage), Cutoff: string(o.Cutoff), FreezeC: number(*o.FreezeC),
		OpenSoilC: number(o.Host.Open.TempC), OpenDepthCM: int(o.Host.Open.Depth),
		DormancySoilC: number(o.Host.Dormancy.TempC), DormancyDepthCM: int(o.Host.Dormancy.Depth),
		Confidence: number(o.Confidence), Interval: forecast.IntervalPercent, Completeness: o.Completeness.Name, Unwatered: o.Unwatered, Trend: string(o.Trend),
		AsOf: in.asOf, Quantile: "(n+1/3)p + 1/3, type 8 of Hyndman & Fan 1996",
	}
	if len(years) > 0 {
		s.FirstSeason, s.LastSeason = years[0], years[len(years)-1]
	}
	return s
}

type windowOut struct {
	Schema   string       `json:"schema"`
	Station  stationOut   `json:"station"`
	Settings settingsOut  `json:"settings"`
	Season   int          `json:"season"`
	Species  []speciesOut `json:"species"`
	Probe    *probeOut    `json:"probe,omitempty"`
	Cautions []string     `json:"cautions"`
}

type speciesOut struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	Opens struct {
		P20 *climate.Day `json:"p20"`
		P50 *climate.Day `json:"p50"`
		P80 *climate.Day `json:"p80"`
	} `json:"opens"`
	LastSafe struct {
		P50          *climate.Day `json:"p50"`
		P80          *climate.Day `json:"p80"`
		P90          *climate.Day `json:"p90"`
		AtConfidence *climate.Day `json:"at_confidence"`
	} `json:"last_safe"`
	BestSowing *bestOut `json:"best_sowing"`
	Cutoff     struct {
		P10         *climate.Day `json:"p10"`
		P50         *climate.Day `json:"p50"`
		P90         *climate.Day `json:"p90"`
		FreezeP50   *climate.Day `json:"freeze_p50"`
		DormancyP50 *climate.Day `json:"dormancy_p50"`
	} `json:"cutoff"`
	Trend   climateOut  `json:"trend"`
	ByDate  []dateOut   `json:"by_date"`
	Seasons []seasonOut `json:"seasons"`
}

type bestOut struct {
	Date   climate.Day `json:"date"`
	Chance number      `json:"chance"`
}

type spreadOut struct {
	P10 number `json:"p10"`
	P50 number `json:"p50"`
	P90 number `json:"p90"`
}

func spreadJSON(q forecast.Spread) spreadOut {
	return spreadOut{number(q.P10), number(q.P50), number(q.P90)}
}

type dateOut struct {
	Sow          climate.Day `json:"sow"`
	Chance       number      `json:"chance"`
	ChanceLow    number      `json:"chance_low"`
	ChanceHigh   number      `json:"chance_high"`
	EmergedDays  spreadOut   `json:"emerged_days"`
	MowDays      spreadOut   `json:"mow_days"`
	TilleredDays spreadOut   `json:"tillered_days"`
}

type seasonOut struct {
	Season      int          `json:"season"`
	Opens       climate.Day  `json:"opens"`
	Latest      *climate.Day `json:"latest"`
	Cutoff      *climate.Day `json:"cutoff"`
	CutoffCause string       `json:"cutoff_cause"`
}

func windowJSON(in *stationInput, windows []*forecast.Window) windowOut {
	first := windows[0]
	out := windowOut{
		Schema: "swardcast.window/1", Station: stationJSON(in.input, windows...), Settings: settingsOf(in, first.Options, usedByAll(windows)), Probe: in.probeJSON(),
		Season: first.Season, Cautions: windowCautions(windows),
	}
	for _, w := range windows {
		out.Species = append(out.Species, speciesJSON(w))
	}
	return out
}

func speciesJSON(w *forecast.Window) speciesOut {
	s := speciesOut{ID: w.Options.Species.ID, Name: w.Options.Species.Name, Seasons: []seasonOut{}}
	s.Opens.P20, s.Opens.P50, s.Opens.P80 = dayOrNull(w.Opens.At(0.2)), dayOrNull(w.Opens.At(0.5)), dayOrNull(w.Opens.At(0.8))
	s.LastSafe.P50, s.LastSafe.P80, s.LastSafe.P90 = dayOrNull(w.LastSafe(50)), dayOrNull(w.LastSafe(80)), dayOrNull(w.LastSafe(90))
	s.LastSafe.AtConfidence = dayOrNull(w.Safe())
	if w.Best != nil {
		s.BestSowing = &bestOut{w.Best.Sow, number(w.Best.Chance)}
	}
	s.Cutoff.P10, s.Cutoff.P50, s.Cutoff.P90 = dayOrNull(w.Cutoff.At(0.1)), dayOrNull(w.Cutoff.At(0.5)), dayOrNull(w.Cutoff.At(0.9))
	s.Cutoff.FreezeP50, s.Cutoff.DormancyP50 = dayOrNull(w.Freeze.At(0.5)), dayOrNull(w.Dormancy.At(0.5))
	s.Trend = trendJSON(&w.Trend)
	for _, d := range w.ByDate {
		s.ByDate = append(s.ByDate, dateOut{
			d.Sow, number(d.Chance), number(d.Low), number(d.High), spreadJSON(d.Days[0]), spreadJSON(d.Days[1]), spreadJSON(d.Days[2]),
		})
	}
	for _, se := range w.Seasons {
		s.Seasons = append(s.Seasons, seasonOut{se.Year, se.Opens, se.Latest, se.Cutoff, string(se.Cause)})
	}
	return s
}

// windowRow is a row of the CSV answer.
type windowRow struct {
	Species     string      `csv:"species"`
	Sow         climate.Day `csv:"sow"`
	Chance      number      `csv:"chance"`
	Low         number      `csv:"chance_low"`
	High        number      `csv:"chance_high"`
	EmergedP10  number      `csv:"emerged_days_p10"`
	EmergedP50  number      `csv:"emerged_days_p50"`
	EmergedP90  number      `csv:"emerged_days_p90"`
	MowP10      number      `csv:"mow_days_p10"`
	MowP50      number      `csv:"mow_days_p50"`
	MowP90      number      `csv:"mow_days_p90"`
	TilleredP10 number      `csv:"tillered_days_p10"`
	TilleredP50 number      `csv:"tillered_days_p50"`
	TilleredP90 number      `csv:"tillered_days_p90"`
}

func windowCSV(windows []*forecast.Window) ([]byte, error) {
	var rows []windowRow
	for _, w := range windows {
		for _, d := range w.ByDate {
			e, m, t := d.Days[0], d.Days[1], d.Days[2]
			rows = append(rows, windowRow{
				w.Options.Species.ID, d.Sow, number(d.Chance), number(d.Low), number(d.High),
				number(e.P10), number(e.P50), number(e.P90), number(m.P10), number(m.P50), number(m.P90),
				number(t.P10), number(t.P50), number(t.P90),
			})
		}
	}
	var b bytes.Buffer
	err := gocsv.Marshal(rows, &b)
	return b.Bytes(), err
}

// stageWords are the stages as a grower says them.
var stageWords = map[turf.Stage]string{
	turf.Emerged: "up", turf.Mow: "ready to mow", turf.Tillered: "established (tillered)",
}
