package main

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"github.com/gocarina/gocsv"
	"github.com/spf13/pflag"

	"swardcast/climate"
)

var soilCommand = &command{
	name:    "soil",
	summary: "The soil temperature curve, and when it crosses a threshold",
	usage:   "[FILE]",
	help: `Estimates the daily mean soil temperature under grass at 2 and 4 in. (5 and
10 cm) from the air, fits its normal course over the year, and tells when the
normal and this season's soil cross temperatures that matter.

Examples:
  swardcast soil my-station.csv --lat 33.8
  swardcast soil my-station.csv --lat 33.8 --threshold 75F,50F --depth 5
  swardcast soil my-station.csv --lat 33.8 --format csv -o soil.csv
`,
	setup: func(f *pflag.FlagSet) func(*program, []string) error {
		var st stationFlags
		var out outputFlags
		thresholds := f.StringSlice("threshold", []string{"75F", "65F", "55F", "50F", "40F"}, "soil temperatures to find the crossings of, with F or C")
		f.Lookup("threshold").DefValue = "75F,65F,55F,50F,40F"
		depth := newChoice("10", "5", "10")
		f.Var(depth, "depth", "depth in cm that the crossings are of")
		st.declare(f)
		st.declareProbe(f)
		out.declare(f, "text", "json", "csv", "html", "svg", "png")
		out.declareCharts(f, "soil")
		return func(p *program, args []string) error {
			limits, err := temperatures("threshold", *thresholds)
			if err != nil {
				return err
			}
			cm := 10
			if depth.value == "5" {
				cm = 5
			}
			return p.soil(args, &st, &out, limits, cm)
		}
	},
}

func (p *program) soil(args []string, st *stationFlags, out *outputFlags, limits []float64, depthCM int) error {
	in, err := p.openStation(args, st)
	if err != nil {
		return err
	}
	if err := p.calibrate(in, st.probe); err != nil {
		return err
	}
	v := newSoilView(in, limits, depthCM)
	return p.give(out, answer{text: v.text, json: func() any { return v.json() }, csv: v.csv, page: v.page, chart: v.chart, about: in.about(0)})
}

// A soilView is the soil of a station as the command shows it.
type soilView struct {
	in                *stationInput
	depthCM           int
	normal            climate.Normal
	soil              []float64
	normal5, normal10 []float64
	from              climate.Day // the year up to the last day
	limits            []float64
}

func newSoilView(in *stationInput, limits []float64, depthCM int) *soilView {
	v := &soilView{in: in, depthCM: depthCM, limits: limits, normal: in.Normal10C, soil: in.Soil.Soil10C}
	if depthCM == 5 {
		v.normal, v.soil = in.Normal5C, in.Soil.Soil5C
	}
	rec := in.Record
	v.normal5 = in.Normal5C.Series(rec.First, rec.Len())
	v.normal10 = in.Normal10C.Series(rec.First, rec.Len())
	y, m, d := rec.Last().Date()
	v.from = max(rec.First, climate.Date(y-1, m, d)+1)
	return v
}

type soilRow struct {
	Date     climate.Day `csv:"date"`
	TMaxC    number      `csv:"tmax_c"`
	TMinC    number      `csv:"tmin_c"`
	Soil5C   number      `csv:"soil5_c"`
	Soil10C  number      `csv:"soil10_c"`
	Normal5  number      `csv:"normal5_c"`
	Normal10 number      `csv:"normal10_c"`
	Filled   int         `csv:"filled"`
}

func (v *soilView) csv() ([]byte, error) {
	in := v.in
	rows := make([]soilRow, in.Record.Len())
	for i := range rows {
		rows[i] = soilRow{in.Record.Day(i), number(in.Record.TMaxC[i]), number(in.Record.TMinC[i]),
			number(in.Soil.Soil5C[i]), number(in.Soil.Soil10C[i]), number(v.normal5[i]), number(v.normal10[i]), 0}
		if in.Filled[i] {
			rows[i].Filled = 1
		}
	}
	var b bytes.Buffer
	err := gocsv.Marshal(rows, &b)
	return b.Bytes(), err
}

type soilOut struct {
	Schema    string        `json:"schema"`
	Station   stationOut    `json:"station"`
	AsOf      climate.Day   `json:"as_of"`
	Normal    []normalOut   `json:"normal"`
	Crossings []crossingOut `json:"crossings"`
	Days      []soilDayOut  `json:"days"`
	Probe     *probeOut     `json:"probe,omitempty"`
	Accuracy  string        `json:"accuracy"`
}

type normalOut struct {
	DepthCM    int         `json:"depth_cm"`
	MeanC      number      `json:"mean_c"`
	AmplitudeC number      `json:"amplitude_c"`
	Warmest    climate.Day `json:"warmest"`
	Coldest    climate.Day `json:"coldest"`
	WarmestC   number      `json:"warmest_c"`
	ColdestC   number      `json:"coldest_c"`
}

type crossingOut struct {
	DepthCM   int          `json:"depth_cm"`
	SoilC     number       `json:"soil_c"`
	Direction string       `json:"direction"`
	Normal    *climate.Day `json:"normal"`
	LastYear  *climate.Day `json:"past_year"`
}

// words say which way the soil crosses what.
func (c *crossingOut) words(u unitSystem) string {
	word := "falls below"
	if c.Direction == "rising" {
		word = "rises to"
	}
	return fmt.Sprintf("%s %s", word, u.temp(float64(c.SoilC)))
}

type soilDayOut struct {
	Date     climate.Day `json:"date"`
	Soil5C   number      `json:"soil5_c"`
	Soil10C  number      `json:"soil10_c"`
	Normal5  number      `json:"normal5_c"`
	Normal10 number      `json:"normal10_c"`
	Filled   bool        `json:"filled"`
}

// extremes are the warmest and the coldest day of a normal course in the year
// up to the last day of the record.
func (v *soilView) extremes(n climate.Normal) (warmest, coldest climate.Day) {
	last := v.in.Record.Last()
	y := n.Series(last-364, 365)
	hi, lo := 0, 0
	for i := range y {
		if y[i] > y[hi] {
			hi = i
		}
		if y[i] < y[lo] {
			lo = i
		}
	}
	return last - 364 + climate.Day(hi), last - 364 + climate.Day(lo)
}

// crossings pairs each threshold's crossings of the normal with those of the
// past year's weekly means in the same part of the year.
func (v *soilView) crossings() []crossingOut {
	var out []crossingOut
	last := v.in.Record.Last()
	for _, limit := range v.limits {
		normal := v.normal.Crossings(limit, last-364, last)
		for _, rising := range []bool{false, true} {
			direction := "falling"
			if rising {
				direction = "rising"
			}
			c := crossingOut{DepthCM: v.depthCM, SoilC: number(limit), Direction: direction}
			from, to := v.from, last
			for _, n := range normal {
				if n.Rising == rising {
					c.Normal = new(n.Day)
					const near = 45 // a thaw in winter is no crossing of autumn
					from, to = max(from, n.Day-near), min(to, n.Day+near)
				}
			}
			c.LastYear = v.crossed(limit, rising, from, to)
			if c.Normal != nil || c.LastYear != nil {
				out = append(out, c)
			}
		}
	}
	return out
}

// crossed is the last day between two on which the trailing weekly mean passed
// the threshold: after it the soil stayed beyond.
func (v *soilView) crossed(limit float64, rising bool, from, to climate.Day) *climate.Day {
	week := v.in.Weekly(v.depthCM)
	for i := v.in.Record.Index(to); i > 0 && i >= v.in.Record.Index(from); i-- {
		before, now := week[i-1] >= limit, week[i] >= limit
		if before != now && now == rising {
			return new(v.in.Record.Day(i))
		}
	}
	return nil
}

func (v *soilView) json() soilOut {
	in := v.in
	out := soilOut{Schema: "swardcast.soil/1", Station: stationJSON(in.input), AsOf: in.asOf, Accuracy: accuracy, Probe: in.probeJSON(), Crossings: v.crossings()}
	for _, n := range []struct {
		cm     int
		normal climate.Normal
	}{{5, in.Normal5C}, {10, in.Normal10C}} {
		warm, cold := v.extremes(n.normal)
		out.Normal = append(out.Normal, normalOut{n.cm, number(n.normal.Mean), number(n.normal.Amplitude()), warm, cold,
			number(n.normal.At(warm)), number(n.normal.At(cold))})
	}
	for d := v.from; d <= in.Record.Last(); d++ {
		i := in.Record.Index(d)
		out.Days = append(out.Days, soilDayOut{d, number(in.Soil.Soil5C[i]), number(in.Soil.Soil10C[i]),
			number(v.normal5[i]), number(v.normal10[i]), in.Filled[i]})
	}
	return out
}

func (v *soilView) text(u unitSystem) []byte {
	var b strings.Builder
	for _, l := range v.sentences(u) {
		b.WriteString(wrap("", l))
	}
	fmt.Fprintf(&b, "\nCrossings of the soil at %s     normal   past year\n", u.depth(v.depthCM))
	for _, c := range v.crossings() {
		fmt.Fprintf(&b, "  %s %s%s\n", pad(c.words(u), 28), padLeft(dateOr(c.Normal), 8), padLeft(dateOr(c.LastYear), 12))
	}
	b.WriteString("\n" + v.textChart(u))
	b.WriteString("\n" + factsText(v.facts(u)))
	return []byte(b.String())
}

// sentences are the answer: the soil as it is, and its normal year.
func (v *soilView) sentences(u unitSystem) []string {
	in := v.in
	warm, cold := v.extremes(v.normal)
	last := in.Record.Last()
	now := v.soil[in.Record.Index(last)]
	return []string{
		fmt.Sprintf("On %s the soil at %s at %s was at %s, %s from normal for the day.",
			longDate(last), u.depth(v.depthCM), in.displayName(), u.temp(now), u.difference(now-v.normal.At(last))),
		fmt.Sprintf("In a normal year it is warmest about %s (%s) and coldest about %s (%s); mean %s, annual wave %s either side.",
			shortDate(warm), u.temp(v.normal.At(warm)), shortDate(cold), u.temp(v.normal.At(cold)), u.temp(v.normal.Mean),
			strings.TrimPrefix(u.difference(v.normal.Amplitude()), "+")),
	}
}

// facts are what the soil rests on.
func (v *soilView) facts(u unitSystem) []fact {
	return append(append(stationFacts(v.in.input), v.in.probeFacts(u)...), fact{"soil", accuracy})
}

// textChart draws the past year by half months: the normal and how it was.
func (v *soilView) textChart(u unitSystem) string {
	const bars = 48
	type half struct {
		label        string
		normal, soil float64
		n            int
	}
	var halves []half
	lo, hi := math.Inf(1), math.Inf(-1)
	for d := v.from; d <= v.in.Record.Last(); d++ {
		_, m, day := d.Date()
		label := m.String()[:3] + " 1–15"
		if day > 15 {
			label = fmt.Sprintf("%s 16–%d", m.String()[:3], daysOf(d))
		}
		if len(halves) == 0 || halves[len(halves)-1].label != label {
			halves = append(halves, half{label: label})
		}
		h := &halves[len(halves)-1]
		h.normal += v.normal.At(d)
		h.soil += v.soil[v.in.Record.Index(d)]
		h.n++
	}
	for i := range halves {
		h := &halves[i]
		h.normal /= float64(h.n)
		h.soil /= float64(h.n)
		lo, hi = math.Min(lo, math.Min(h.normal, h.soil)), math.Max(hi, math.Max(h.normal, h.soil))
	}
	at := func(t float64) int { return int(math.Round((t - lo) / math.Max(1, hi-lo) * (bars - 1))) }
	var b strings.Builder
	fmt.Fprintf(&b, "The past year by half months: | normal, o as it was (%s to %s)\n", u.temp(lo), u.temp(hi))
	for _, h := range halves {
		line := []rune(strings.Repeat(" ", bars))
		line[at(h.normal)] = '|'
		line[at(h.soil)] = 'o'
		fmt.Fprintf(&b, "  %s  %s  %s  %s\n", pad(h.label, 9), string(line), padLeft(u.temp(h.soil), 7), padLeft(u.difference(h.soil-h.normal), 8))
	}
	return b.String()
}

// daysOf is the number of days of the day's month.
func daysOf(d climate.Day) int {
	y, m, _ := d.Date()
	_, _, last := (climate.Date(y, m+1, 1) - 1).Date()
	return last
}
