package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/forecast"
)

var hindcastCommand = &command{
	name:    "hindcast",
	summary: "How often past forecasts at this station would have been right",
	usage:   "[FILE]",
	help: `Forecasts each past season of the record from the seasons before it, ten or
more: before the season, on the day before each of five sow dates around the
median latest date, and one and two weeks after each. Then it counts how often
the last safe dates held and compares the chances with what came. Of a long
record the latest thirty seasons are judged, unless --years names others. The
Brier score is the mean square of chance less outcome, 0 at best; climatology is
the plain share of the earlier seasons.

Examples:
  swardcast hindcast my-station.csv --lat 33.8
  swardcast hindcast my-station.csv --lat 33.8 --species tall-fescue
`,
	setup: func(f *pflag.FlagSet) func(*program, []string) error {
		var st stationFlags
		var tf turfFlags
		var out outputFlags
		tf.declare(f)
		st.declare(f)
		out.declare(f, "text", "json", "html", "svg", "png")
		out.declareCharts(f, "reliability", "held")
		return func(p *program, args []string) error { return p.hindcast(args, &st, &tf, &out) }
	},
}

func (p *program) hindcast(args []string, st *stationFlags, tf *turfFlags, out *outputFlags) error {
	options, err := tf.options()
	if err != nil {
		return err
	}
	if len(options) > 1 {
		return &usageError{"a hindcast is for one species", "--species " + options[0].Species.ID}
	}
	in, err := p.openStation(args, st)
	if err != nil {
		return err
	}
	progress := p.progress("seasons", 0)
	h, err := in.Hindcast(context.Background(), forecast.HindcastOptions{
		Options:  options[0],
		Progress: func(_, all int) { progress.total = all; progress.step() },
	})
	progress.clear()
	if errors.Is(err, forecast.ErrFewSeasons) {
		return &dataError{fmt.Errorf("%s: %w", in.name, err), "swardcast record tells which seasons are left out, and why"}
	}
	if err != nil {
		return seasonsError(in, err)
	}
	if len(h.Cases) == 0 {
		return &dataError{fmt.Errorf("%s: in half the seasons no sow date would have made it, so that there is no forecast to judge", in.name),
			"look at swardcast window; another species or --host none may do"}
	}
	v := &hindcastView{in, h}
	return p.give(out, answer{text: v.text, json: func() any { return v.json() }, page: v.page, chart: v.chart, about: in.about(0)})
}

type hindcastView struct {
	in *stationInput
	h  *forecast.Hindcast
}

type hindcastOut struct {
	Schema           string      `json:"schema"`
	Station          stationOut  `json:"station"`
	Settings         settingsOut `json:"settings"`
	Species          string      `json:"species"`
	Seasons          []int       `json:"seasons"`
	EarlierMin       int         `json:"earlier_seasons_min"`
	EarlierMax       int         `json:"earlier_seasons_max"`
	Cases            int         `json:"cases"`
	Levels           []levelOut  `json:"levels"`
	Brier            number      `json:"brier"`
	BrierClimatology number      `json:"brier_climatology"`
	Reliability      []groupOut  `json:"reliability"`
	LatestMAE        number      `json:"latest_mae_days"`
	Leads            []leadOut   `json:"leads"`
	Method           string      `json:"method"`
	Cautions         []string    `json:"cautions"`
}

type levelOut struct {
	Confidence number `json:"confidence"`
	HeldShare  number `json:"held_share"`
	HeldLow    number `json:"held_low"`
	HeldHigh   number `json:"held_high"`
	N          int    `json:"n"`
}

type groupOut struct {
	Low      number `json:"chance_low"`
	High     number `json:"chance_high"`
	Mean     number `json:"mean_chance"`
	Observed number `json:"observed_share"`
	N        int    `json:"n"`
}

type leadOut struct {
	Lead             string `json:"lead"`
	N                int    `json:"n"`
	Brier            number `json:"brier"`
	BrierClimatology number `json:"brier_climatology"`
	Reliability      number `json:"reliability"`
	Resolution       number `json:"resolution"`
	Uncertainty      number `json:"uncertainty"`
	LatestMAE        number `json:"latest_mae_days"`
}

const hindcastMethod = "each season forecast from the seasons before it, at least ten; cases are sow dates 14 and 7 days before, on, and 7 and 14 days after their median latest date; " +
	"the truth is the season as modelled from its own air; the miss of the latest date is the mean absolute error of its median, forecast on the day before that sow date"

func (v *hindcastView) json() hindcastOut {
	h := v.h
	all, climatology := h.Brier("")
	out := hindcastOut{
		Schema: "swardcast.hindcast/2", Station: stationJSON(v.in.input), Settings: settingsOf(v.in, h.Options, h.Seasons), Species: h.Options.Species.ID, Seasons: h.Seasons, EarlierMin: slices.Min(h.Past), EarlierMax: slices.Max(h.Past), Cases: len(h.Cases),
		Brier: number(all.Score), BrierClimatology: number(climatology.Score),
		LatestMAE: number(forecast.MeanAbsolute(h.LatestError[forecast.LeadSow])), Method: hindcastMethod, Cautions: v.cautions(),
	}
	for _, l := range h.Levels {
		share, low, high := l.Share()
		out.Levels = append(out.Levels, levelOut{number(l.Confidence), number(share), number(low), number(high), l.N})
	}
	for _, g := range h.Reliability("") {
		out.Reliability = append(out.Reliability, groupOut{number(g.Low), number(g.High), number(g.Mean), number(g.Observed), g.N})
	}
	for _, lead := range forecast.Leads() {
		f, c := h.Brier(lead)
		out.Leads = append(out.Leads, leadOut{string(lead), f.N, number(f.Score), number(c.Score), number(f.Reliability), number(f.Resolution), number(f.Uncertainty),
			number(forecast.MeanAbsolute(h.LatestError[lead]))})
	}
	return out
}

func (v *hindcastView) cautions() []string {
	return []string{
		fmt.Sprintf("%d seasons are few to judge by: the intervals show how few. The sow dates of one season share its weather.", len(v.h.Seasons)),
		"The truth is the season as modelled from its own air, not what grew: soil and seed of your own site differ. docs/validation.md judges against soil sensors.",
	}
}

// facts are what the hindcast rests on.
func (v *hindcastView) facts() []fact {
	return append(stationFacts(v.in.input), fact{"judged", fmt.Sprintf("%d seasons (%s), each from the %s before it", len(v.h.Seasons), runsOf(v.h.Seasons), v.earlier())}, fact{"method", hindcastMethod})
}

// earlier says how many seasons a forecast was made from.
func (v *hindcastView) earlier() string {
	low, high := slices.Min(v.h.Past), slices.Max(v.h.Past)
	if low == high {
		return fmt.Sprint(low)
	}
	return fmt.Sprintf("%d to %d", low, high)
}

// heldSentence says how often a last safe date held, where there was one.
func heldSentence(h forecast.Held) string {
	if h.N == 0 {
		return fmt.Sprintf("no season had a date that was safe at %.0f %%", h.Confidence)
	}
	share, low, high := h.Share()
	return fmt.Sprintf("the %.0f %% date would have held in %d of %d seasons (%.0f %%, %.0f–%.0f)", h.Confidence, h.Count, h.N, 100*share, 100*low, 100*high)
}

// missText is a mean miss, – where no season had a date to miss.
func missText(days float64) string {
	if math.IsNaN(days) {
		return "–"
	}
	return fmt.Sprintf("%.1f days", days)
}

// leadWords say when a forecast is made.
var leadWords = map[forecast.Lead]string{
	forecast.LeadSeason: "eve of the season", forecast.LeadSow: "eve of sowing", forecast.LeadWeek: "a week after sowing", forecast.LeadTwo: "two weeks after",
}

// sentence is the answer.
func (v *hindcastView) sentence() string {
	h := v.h
	var held forecast.Held
	for _, l := range h.Levels {
		if l.Confidence == 80 {
			held = l
		}
	}
	eve, climatology := h.Brier(forecast.LeadSow)
	gain := 100 * (1 - eve.Score/climatology.Score)
	skill := fmt.Sprintf("beat the plain share of past seasons by %.0f %%", gain)
	if !(gain >= 0.5) { // also where past seasons left nothing to miss
		skill = "did not beat the plain share of past seasons"
	}
	first := fmt.Sprintf("At %s %s, each forecast from the seasons before it.", v.in.displayName(), heldSentence(held))
	if eve.N > 0 {
		first += fmt.Sprintf(" The chances told on the eve of sowing %s (Brier %.3f against %.3f).", skill, eve.Score, climatology.Score)
	}
	return first
}

func (v *hindcastView) text(u unitSystem) []byte {
	h := v.h
	var b strings.Builder
	b.WriteString(wrap("", v.sentence()))
	b.WriteString("\nLast safe dates   held in\n")
	for _, l := range h.Levels {
		share, low, high := l.Share()
		if l.N == 0 {
			fmt.Fprintf(&b, "  %3.0f %%        no date was safe at it in any season\n", l.Confidence)
			continue
		}
		fmt.Fprintf(&b, "  %3.0f %%        %s %s (%.0f–%.0f)   %d of %d\n", l.Confidence, bars(share, 30), padLeft(fmt.Sprintf("%.0f %%", 100*share), 5), 100*low, 100*high, l.Count, l.N)
	}
	b.WriteString("\nForecast made          Brier  of climatology   median latest date misses by\n")
	for _, lead := range forecast.Leads() {
		f, c := h.Brier(lead)
		if f.N == 0 {
			fmt.Fprintf(&b, "  %s –              –             –\n", pad(leadWords[lead], 20))
			continue
		}
		fmt.Fprintf(&b, "  %s %.3f          %.3f         %s\n", pad(leadWords[lead], 20), f.Score, c.Score, missText(forecast.MeanAbsolute(h.LatestError[lead])))
	}
	b.WriteString("\nChance told on the eve of sowing, and how often it came\n")
	for _, g := range h.Reliability(forecast.LeadSow) {
		line := []rune(strings.Repeat("·", 41))
		at := func(x float64) int { return int(x*40 + 0.5) }
		line[at(g.Mean)] = '|'
		line[at(g.Observed)] = 'o'
		fmt.Fprintf(&b, "  %s %s %s of %d\n", pad(fmt.Sprintf("%.0f–%.0f %%", 100*g.Low, 100*g.High), 10), string(line), padLeft(fmt.Sprintf("%.0f %%", 100*g.Observed), 5), g.N)
	}
	b.WriteString("  | chance told (mean), o share in which it came, over 0 to 100 %\n")
	b.WriteString("\n" + factsText(v.facts()))
	for _, c := range v.cautions() {
		b.WriteString(wrap("  - ", c))
	}
	return []byte(b.String())
}
