package main

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"github.com/gocarina/gocsv"
	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/forecast"
	"swardcast/forecast/soil"
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
			at := soil.Depth10
			if depth.value == "5" {
				at = soil.Depth5
			}
			return p.soil(args, &st, &out, limits, at)
		}
	},
}

func (p *program) soil(args []string, st *stationFlags, out *outputFlags, limits []float64, depth soil.Depth) error {
	in, err := p.openStation(args, st)
	if err != nil {
		return err
	}
	if err := p.calibrate(in, st.probe); err != nil {
		return err
	}
	v, err := newSoilView(in, limits, depth)
	if err != nil {
		return err
	}
	return p.give(out, answer{text: v.text, json: func() any { return v.json() }, csv: v.csv, page: v.page, chart: v.chart, about: in.about(0)})
}

// A soilView is the soil of a station as the command shows it.
type soilView struct {
	in     *stationInput
	year   *forecast.SoilYear
	days   []forecast.SoilDay // of the year
	limits []float64

	normals []*forecast.SoilYear // of every depth, in the order of soil.Depths
}

func newSoilView(in *stationInput, limits []float64, depth soil.Depth) (*soilView, error) {
	year, err := in.SoilYear(depth, limits)
	if err != nil {
		return nil, err
	}
	v := &soilView{in: in, year: year, days: in.SoilDays(year.From, year.To), limits: limits}
	for _, d := range soil.Depths() {
		y, err := in.SoilYear(d, nil)
		if err != nil {
			return nil, err
		}
		v.normals = append(v.normals, y)
	}
	return v, nil
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
	var rows []soilRow
	for _, d := range v.in.SoilDays(v.in.Record.First, v.in.Record.Last()) {
		row := soilRow{d.Day, number(d.TMaxC), number(d.TMinC), number(d.Soil5C), number(d.Soil10C), number(d.Normal5C), number(d.Normal10C), 0}
		if d.Filled {
			row.Filled = 1
		}
		rows = append(rows, row)
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

// crossingWords say which way the soil crosses what.
func crossingWords(c *forecast.SoilCrossing, u unitSystem) string {
	word := "falls below"
	if c.Rising {
		word = "rises to"
	}
	return fmt.Sprintf("%s %s", word, u.temp(c.ThresholdC))
}

type soilDayOut struct {
	Date     climate.Day `json:"date"`
	Soil5C   number      `json:"soil5_c"`
	Soil10C  number      `json:"soil10_c"`
	Normal5  number      `json:"normal5_c"`
	Normal10 number      `json:"normal10_c"`
	Filled   bool        `json:"filled"`
}

func (v *soilView) json() soilOut {
	in := v.in
	out := soilOut{Schema: "swardcast.soil/1", Station: stationJSON(in.input), AsOf: in.asOf, Accuracy: accuracy, Probe: in.probeJSON()}
	for _, c := range v.year.Crossings {
		direction := "falling"
		if c.Rising {
			direction = "rising"
		}
		out.Crossings = append(out.Crossings, crossingOut{int(v.year.Depth), number(c.ThresholdC), direction, c.Normal, c.PastYear})
	}
	for k, depth := range soil.Depths() {
		y := v.normals[k]
		out.Normal = append(out.Normal, normalOut{int(depth), number(y.Normal.Mean), number(y.Normal.Amplitude()), y.Warmest.Day, y.Coldest.Day,
			number(y.Warmest.TempC), number(y.Coldest.TempC)})
	}
	for _, d := range v.days {
		out.Days = append(out.Days, soilDayOut{d.Day, number(d.Soil5C), number(d.Soil10C), number(d.Normal5C), number(d.Normal10C), d.Filled})
	}
	return out
}

func (v *soilView) text(u unitSystem) []byte {
	var b strings.Builder
	for _, l := range v.sentences(u) {
		b.WriteString(wrap("", l))
	}
	fmt.Fprintf(&b, "\nCrossings of the soil at %s     normal   past year\n", u.depth(int(v.year.Depth)))
	for _, c := range v.year.Crossings {
		fmt.Fprintf(&b, "  %s %s%s\n", pad(crossingWords(&c, u), 28), padLeft(dateOr(c.Normal), 8), padLeft(dateOr(c.PastYear), 12))
	}
	b.WriteString("\n" + v.textChart(u))
	b.WriteString("\n" + factsText(v.facts(u)))
	return []byte(b.String())
}

// sentences are the answer: the soil as it is, and its normal year.
func (v *soilView) sentences(u unitSystem) []string {
	y := v.year
	return []string{
		fmt.Sprintf("On %s the soil at %s at %s was at %s, %s from normal for the day.",
			longDate(y.To), u.depth(int(y.Depth)), v.in.displayName(), u.temp(y.NowC), u.difference(y.NowC-y.Normal.At(y.To))),
		fmt.Sprintf("In a normal year it is warmest about %s (%s) and coldest about %s (%s); mean %s, annual wave %s either side.",
			shortDate(y.Warmest.Day), u.temp(y.Warmest.TempC), shortDate(y.Coldest.Day), u.temp(y.Coldest.TempC), u.temp(y.Normal.Mean),
			strings.TrimPrefix(u.difference(y.Normal.Amplitude()), "+")),
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
	past := v.in.Soil.At(v.year.Depth)
	for d := v.year.From; d <= v.year.To; d++ {
		_, m, day := d.Date()
		label := m.String()[:3] + " 1–15"
		if day > 15 {
			label = fmt.Sprintf("%s 16–%d", m.String()[:3], daysOf(d))
		}
		if len(halves) == 0 || halves[len(halves)-1].label != label {
			halves = append(halves, half{label: label})
		}
		h := &halves[len(halves)-1]
		h.normal += v.year.Normal.At(d)
		h.soil += past[v.in.Record.Index(d)]
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
