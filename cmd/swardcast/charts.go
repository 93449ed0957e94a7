package main

import (
	"fmt"
	"math"
	"strings"

	"swardcast/climate"
	"swardcast/cmd/internal/chart"
	"swardcast/forecast"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// The dashes of rules, which tell them apart without colour.
var (
	dashed = []float64{5, 3}
	dotted = []float64{1.5, 2.5}
)

// A chance is that of a sow date.
type chance struct {
	day            climate.Day
	told, low, top float64
}

func windowChances(w *forecast.Window) []chance {
	out := make([]chance, len(w.ByDate))
	for i, d := range w.ByDate {
		out[i] = chance{d.Sow, d.Chance, d.Low, d.High}
	}
	return out
}

func outlookChances(list []*forecast.Outlook) []chance {
	out := make([]chance, len(list))
	for i, x := range list {
		out[i] = chance{x.Sow, x.Chance, x.Low, x.High}
	}
	return out
}

// A span is the part of a season that its charts show.
type span struct{ first, last climate.Day }

// spanOf is the part in which the chances of all the lists fall, with the other
// days that a chart should show and some room on either side.
func spanOf(lists [][]chance, also ...climate.Day) span {
	const room = 5
	season := span{lists[0][0].day, lists[0][len(lists[0])-1].day}
	s := span{season.last, season.first}
	for _, list := range lists {
		for _, c := range list {
			if c.told < 0.98 {
				s.first = min(s.first, c.day)
				break
			}
		}
		for _, c := range list {
			if c.told > 0.1 {
				s.last = max(s.last, c.day)
			}
		}
	}
	const far = 45 // days off the fall of the chances, which are not worth squeezing it
	low, high := s.first-far, s.last+far
	for _, d := range also {
		if d >= max(season.first, low) && d <= min(season.last, high) {
			s.first, s.last = min(s.first, d), max(s.last, d)
		}
	}
	s.first, s.last = max(season.first, min(s.first, s.last)-room), min(season.last, s.last+room)
	if s.last-s.first < 2*room {
		s.last = min(season.last, s.first+2*room)
	}
	return s
}

// maxTens is how many labels of days an axis has room for on a narrow screen.
const maxTens = 9

func (s span) axis(label string) chart.Axis {
	a := chart.Dates(s.first, s.last, maxTens)
	a.Label = label
	return a
}

// sown is the axis of a chart by sow date.
func (s span) sown(label string) chart.Axis {
	a := s.axis(label)
	a.IsSown = true
	return a
}

// tooFew is said in a chart of too few seasons.
var tooFew = fmt.Sprintf("too few seasons: %d are needed", forecast.MinSeasons)

// chanceChart draws the chance of each sow date with its band.
func chanceChart(list []chance, s span, species string, o *forecast.Options, rules []chart.Rule) *chart.Chart {
	c := &chart.Chart{
		Title: fmt.Sprintf("Chance of %s to be %s before the cutoff, by sow date", species, shortStage(o.Stage)),
		X:     s.sown("sown on"), Y: chart.Percents(""), Rules: rules,
	}
	var x, told, low, top []float64
	for _, d := range list {
		x, told, low, top = append(x, float64(d.day)), append(told, d.told), append(low, d.low), append(top, d.top)
	}
	c.Bands = []chart.Band{{Ink: chart.LeafTi, X: x, Low: low, High: top, Key: fmt.Sprintf("its %d %% interval", forecast.IntervalPercent)}}
	c.Lines = []chart.Line{{Ink: chart.Leaf, X: x, Y: told, Width: 2, Key: "chance"}}
	c.Alt = chanceWords(list, s)
	return c
}

// chanceWords tells a chart of chances in words.
func chanceWords(list []chance, s span) string {
	text := "Chance by sow date: "
	step := max(1, int(s.last-s.first)/6)
	for i := 0; i < len(list); i++ {
		if d := list[i].day; d >= s.first && d <= s.last && int(d-s.first)%step == 0 {
			text += fmt.Sprintf("%s %s (%.0f–%.0f), ", shortDate(d), percent(list[i].told), 100*list[i].low, 100*list[i].top)
		}
	}
	return text[:len(text)-2] + "."
}

// windowRules are the dates that matter, as rules: opening, safe dates, today.
func windowRules(w *forecast.Window, asOf climate.Day) []chart.Rule {
	var rules []chart.Rule
	add := func(d climate.Day, ok bool, label string, ink chart.Ink, dashes []float64) {
		if ok {
			rules = append(rules, chart.Rule{Ink: ink, At: float64(d), Dashes: dashes, Label: label + ", " + shortDate(d)})
		}
	}
	opens, ok := w.Opens.At(0.5)
	add(opens, ok && opens > w.ByDate[0].Sow, "opens", chart.Straw, dashed)
	for _, c := range safeLevels(w.Options.Confidence) {
		d, ok := w.LastSafe(c)
		add(d, ok, fmt.Sprintf("last safe %g %%", c), chart.Sky, nil)
	}
	add(asOf, true, "today", chart.Text, dotted)
	return rules
}

// shapes tell causes of a cutoff apart without colour.
var shapes = []struct {
	cause forecast.Cause
	shape chart.Shape
	ink   chart.Ink
	key   string
}{
	{forecast.CauseFreeze, chart.Triangle, chart.Sky, "ended by freeze"},
	{forecast.CauseDormancy, chart.Disc, chart.Straw, "by dormancy"},
	{forecast.CauseNone, chart.Square, chart.Leaf, "by neither"},
}

// seasonsChart draws each past season's latest date.
func seasonsChart(calendar climate.Calendar, w *forecast.Window, s span) *chart.Chart {
	at := func(se *forecast.Season) climate.Day {
		return calendar.Day(w.Season, calendar.Offset(se.Year, *se.Latest))
	}
	for i := range w.Seasons {
		if se := &w.Seasons[i]; se.Latest != nil {
			s.first, s.last = min(s.first, at(se)-1), max(s.last, at(se)+1)
		}
	}
	first, last := w.Seasons[0].Year, w.Seasons[len(w.Seasons)-1].Year
	c := &chart.Chart{
		Title: fmt.Sprintf("Last sow date in time of each past season, %s", w.Options.Species.Name),
		X:     s.sown("last sow date in time"), Y: chart.Axis{Min: float64(first) - 1, Max: float64(last) + 1},
	}
	step := max(1, (last-first+5)/6)
	for y := first; y <= last; y += step {
		c.Y.Ticks = append(c.Y.Ticks, chart.Tick{At: float64(y), Label: fmt.Sprint(y)})
	}
	middle := ""
	if d, ok := w.Latest.At(0.5); ok {
		middle = fmt.Sprintf(" The middle one is %s.", shortDate(d))
		c.Rules = []chart.Rule{{Ink: chart.Quiet, At: float64(d), Dashes: dashed, Label: "middle, " + shortDate(d)}}
	}
	none := 0
	for _, kind := range shapes {
		p := chart.Points{Ink: kind.ink, Shape: kind.shape, Key: kind.key}
		for i := range w.Seasons {
			se := &w.Seasons[i]
			if se.Cause != kind.cause {
				continue
			}
			if se.Latest == nil {
				none++
				continue
			}
			cutoff := "no cutoff"
			if se.Cutoff != nil {
				cutoff = fmt.Sprintf("cutoff %s by %s", shortDate(*se.Cutoff), se.Cause)
			}
			p.X = append(p.X, float64(at(se)))
			p.Y = append(p.Y, float64(se.Year))
			p.Notes = append(p.Notes, fmt.Sprintf("%d: last date in time %s, %s", se.Year, shortDate(*se.Latest), cutoff))
		}
		if p.X != nil {
			c.Points = append(c.Points, p)
		}
	}
	c.Alt = fmt.Sprintf("%d seasons, %d to %d.%s", len(w.Seasons), first, last, middle)
	if none > 0 {
		c.Alt += fmt.Sprintf(" In %d no date was in time.", none)
	}
	return c
}

// daysChart draws the days from sowing to each stage.
func daysChart(w *forecast.Window, s span) *chart.Chart {
	return stageDaysChart(w.Options.Species.Name, s, len(w.ByDate), func(i int) (climate.Day, [3]forecast.Spread) { return w.ByDate[i].Sow, w.ByDate[i].Days })
}

// stageLines are how the stages are drawn, in their order.
var stageLines = []struct {
	ink, tint chart.Ink
	dashes    []float64
	key       string
}{
	{chart.Leaf, chart.LeafTi, nil, "half is up"},
	{chart.Straw, chart.StrawT, []float64{7, 3}, "first cut"},
	{chart.Sky, chart.SkyTi, []float64{2, 2}, "established"},
}

const (
	maxDays = 90 // as far as a chart of days reaches
	banded  = 2  // stages with a band: a third would hide the others
)

func stageDaysChart(species string, s span, n int, at func(int) (climate.Day, [3]forecast.Spread)) *chart.Chart {
	c := &chart.Chart{
		Title: fmt.Sprintf("Days until %s is up, can be cut and is established, by sow date", species),
		X:     s.sown("sown on"), Y: chart.Axis{Label: "days"},
	}
	top := 0.0
	for k, kind := range stageLines {
		var x, low, mid, high []float64
		for i := range n {
			day, days := at(i)
			if day < s.first || day > s.last {
				continue
			}
			q := days[k]
			if q.P50 > maxDays {
				q.P50 = math.NaN()
			}
			x, low, mid, high = append(x, float64(day)), append(low, q.P10), append(mid, q.P50), append(high, math.Min(maxDays, q.P90))
			switch {
			case math.IsNaN(q.P50):
				low[len(low)-1] = math.NaN()
			case k < banded:
				top = math.Max(top, math.Min(maxDays, q.P90))
			default:
				top = math.Max(top, q.P50)
			}
		}
		if k < banded {
			c.Bands = append(c.Bands, chart.Band{Ink: kind.tint, X: x, Low: low, High: high})
		}
		c.Lines = append(c.Lines, chart.Line{Ink: kind.ink, X: x, Y: mid, Dashes: kind.dashes, Width: 2, Key: kind.key})
		if len(mid) > 0 {
			c.Alt += fmt.Sprintf("%s: %s if sown on %s, %s if sown on %s. ", kind.key, daysWords(mid[0]), shortDate(s.first), daysWords(mid[len(mid)-1]), shortDate(s.last))
		}
	}
	if top == 0 {
		c.Empty, c.Alt = tooFew, tooFew
	}
	c.Y.Max = math.Max(10, 10*math.Ceil(top/10))
	for v := 0.0; v <= c.Y.Max; v += 10 * math.Ceil(c.Y.Max/60) {
		c.Y.Ticks = append(c.Y.Ticks, chart.Tick{At: v, Label: fmt.Sprintf("%.0f", v)})
	}
	return c
}

func daysWords(d float64) string {
	if math.IsNaN(d) {
		return "not soon"
	}
	return days(d)
}

// safeRanges draws the last safe dates of species, 90 to 50 %.
func safeRanges(windows []*forecast.Window, s span, asOf climate.Day) *chart.Chart {
	c := &chart.Chart{
		Title: "Last safe dates of the species, 90 to 50 %",
		Alt:   "Last safe dates at 90, 80 and 50 %: ", X: s.sown("last safe date; the square is 80 %, the bar 90 to 50 %"),
		Rules: []chart.Rule{{Ink: chart.Text, At: float64(asOf), Dashes: dotted, Label: "today, " + shortDate(asOf)}},
	}
	date := func(w *forecast.Window, percent float64) float64 {
		if d, ok := w.LastSafe(percent); ok {
			return float64(d)
		}
		return math.NaN()
	}
	for i, w := range windows {
		name := w.Options.Species.Name
		c.Rows = append(c.Rows, name)
		r := chart.Range{Ink: chart.Leaf, Row: float64(i), Low: date(w, 90), Mid: date(w, 80), High: date(w, 50)}
		r.Note = name + ": " + safeWords(w)
		c.Ranges = append(c.Ranges, r)
		c.Alt += r.Note + "; "
	}
	if len(windows[0].Seasons) < forecast.MinSeasons {
		c.Empty = tooFew
	}
	return c
}

// safeWords tells the last safe dates of a window.
func safeWords(w *forecast.Window) string {
	s := ""
	for _, p := range []float64{90, 80, 50} {
		if d, ok := w.LastSafe(p); ok {
			s += fmt.Sprintf(", %s at %.0f %%", shortDate(d), p)
		}
	}
	if s == "" {
		return "no safe date"
	}
	return s[2:]
}

// A soilCurve is what a chart of the soil shows over some days.
type soilCurve struct {
	in    *stationInput
	depth soil.Depth
	span  span
	rules []soilRule
}

// A soilRule is a temperature that matters.
type soilRule struct {
	tempC float64
	label string
}

func (s *soilCurve) chart(u unitSystem) *chart.Chart {
	depth := u.depth(int(s.depth))
	c := &chart.Chart{
		Title: fmt.Sprintf("Soil temperature at %s under grass, estimated from the air", depth),
		X:     s.span.axis(""),
	}
	value := func(tempC float64) float64 {
		if u == metric {
			return tempC
		}
		return fahrenheit(tempC)
	}
	normal, curve := s.in.Normal10C, s.in.Soil.At(s.depth)
	if s.depth == soil.Depth5 {
		normal = s.in.Normal5C
	}
	course := normal.Series(s.span.first, int(s.span.last-s.span.first)+1)
	var x, mean, now, low, high []float64
	spread, err := s.in.SoilSpread(s.depth, s.span.first, s.span.last)
	if err != nil {
		panic(err) // hosts and flags name the depths that are modelled, no other
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	see := func(v float64) float64 {
		if !math.IsNaN(v) {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
		return v
	}
	seen := 0
	for d := s.span.first; d <= s.span.last; d++ {
		x = append(x, float64(d))
		mean = append(mean, see(value(course[d-s.span.first])))
		at := math.NaN()
		if i := s.in.Record.Index(d); i >= 0 && i < len(curve) && d <= s.in.asOf {
			at = see(value(curve[i]))
			seen++
		}
		now = append(now, at)
		q := spread[d-s.span.first]
		low, high = append(low, see(value(q.P10))), append(high, see(value(q.P90)))
	}
	if !math.IsNaN(low[0]) {
		c.Bands = []chart.Band{{Ink: chart.LeafTi, X: x, Low: low, High: high, Key: "8 of 10 other years"}}
	}
	c.Lines = []chart.Line{{Ink: chart.Leaf, X: x, Y: mean, Dashes: dashed, Key: "normal"}}
	if seen > 0 {
		c.Lines = append(c.Lines, chart.Line{Ink: chart.Text, X: x, Y: now, Width: 1.6, Key: "as it was"})
	}
	for _, r := range s.rules {
		see(value(r.tempC))
		c.Rules = append(c.Rules, chart.Rule{Horizontal: true, Ink: chart.Brick, At: value(r.tempC), Dashes: dotted, Label: strings.TrimPrefix(r.label+", "+u.temp(r.tempC), ", ")})
	}
	if s.in.asOf > s.span.first && s.in.asOf < s.span.last {
		c.Rules = append(c.Rules, chart.Rule{Ink: chart.Text, At: float64(s.in.asOf), Dashes: dotted, Label: "today, " + shortDate(s.in.asOf)})
	}
	step, unit := 10.0, "°F"
	if u == metric {
		step, unit = 5, "°C"
	}
	c.Y = chart.Axis{Label: unit, Min: step * math.Floor((lo-1)/step), Max: step * math.Ceil((hi+1)/step)}
	for v := c.Y.Min; v <= c.Y.Max; v += step {
		c.Y.Ticks = append(c.Y.Ticks, chart.Tick{At: v, Label: fmt.Sprintf("%.0f", v)})
	}
	tell := func(d climate.Day) string { return fmt.Sprintf("%s on %s", u.temp(normal.At(d)), shortDate(d)) }
	mid := (s.span.first + s.span.last) / 2
	c.Alt = fmt.Sprintf("The normal soil is at %s, %s and %s.", tell(s.span.first), tell(mid), tell(s.span.last))
	for _, r := range c.Rules {
		if r.Horizontal {
			c.Alt += " A line: " + r.Label + "."
		}
	}
	if seen > 0 {
		last := min(s.in.Record.Last(), s.span.last)
		c.Alt += fmt.Sprintf(" On %s it was at %s.", longDate(last), u.temp(curve[s.in.Record.Index(last)]))
	}
	return c
}

// stagesChart draws when the stages come, and the cutoff.
func stagesChart(x *forecast.Outlook, asOf climate.Day) *chart.Chart {
	c := &chart.Chart{Title: fmt.Sprintf("When %s sown on %s reaches its stages", x.Options.Species.Name, longDate(x.Sow)), Alt: "8 in 10 between: "}
	first, last := x.Sow, x.Sow+30
	row := func(name string, a, mid, z *climate.Day, ink chart.Ink) {
		at := func(d *climate.Day) float64 {
			if d == nil {
				return math.NaN()
			}
			first, last = min(first, *d), max(last, *d)
			return float64(*d)
		}
		r := chart.Range{Ink: ink, Row: float64(len(c.Rows)), Low: at(a), Mid: at(mid), High: at(z)}
		words := "not before the season is over"
		if x.Members < forecast.MinSeasons {
			words, c.Empty = tooFew, tooFew
		}
		if mid != nil {
			words = shortDate(*mid)
			if a != nil && z != nil {
				words += fmt.Sprintf(" (%s to %s)", shortDate(*a), shortDate(*z))
			}
		}
		r.Note = name + ": " + words
		c.Alt += r.Note + "; "
		c.Rows, c.Ranges = append(c.Rows, name), append(c.Ranges, r)
	}
	for i, s := range x.Stages {
		row([]string{"half is up", "first cut", "established"}[i], s.P10, s.P50, s.P90, stageLines[i].ink)
	}
	row("cutoff", dayOrNull(x.Cutoff.At(0.1)), dayOrNull(x.Cutoff.At(0.5)), dayOrNull(x.Cutoff.At(0.9)), chart.Brick)
	c.X = span{first - 3, last + 5}.axis("square: the middle of what may come; bar: 8 in 10")
	c.Rules = []chart.Rule{{Ink: chart.Leaf, At: float64(x.Sow), Dashes: dashed, Label: "sown"}}
	if asOf != x.Sow {
		c.Rules = append(c.Rules, chart.Rule{Ink: chart.Text, At: float64(asOf), Dashes: dotted, Label: "today"})
	}
	return c
}

// shareAxis is that of chances along the bottom.
func shareAxis(label string) chart.Axis {
	return chart.Axis{Label: label, Min: 0, Max: 1, Ticks: []chart.Tick{{At: 0, Label: "0 %"}, {At: 0.2, Label: "20"}, {At: 0.4, Label: "40"}, {At: 0.6, Label: "60"}, {At: 0.8, Label: "80"}, {At: 1, Label: "100 %"}}}
}

// A share is a chance or part with its interval, by name.
type share struct {
	name           string
	low, mid, high float64
}

// shareRanges draws shares with their intervals.
func shareRanges(title, label string, list []share) *chart.Chart {
	c := &chart.Chart{Title: title, X: shareAxis(label)}
	for i, s := range list {
		r := chart.Range{Ink: chart.Leaf, Row: float64(i), Low: s.low, Mid: s.mid, High: s.high}
		r.Note = fmt.Sprintf("%s: %s", s.name, percent(s.mid))
		if !math.IsNaN(s.low) {
			r.Note += fmt.Sprintf(" (%.0f–%.0f)", 100*s.low, 100*s.high)
		}
		c.Rows, c.Ranges, c.Alt = append(c.Rows, s.name), append(c.Ranges, r), c.Alt+r.Note+"; "
	}
	return c
}

// speciesShares are the chances of species.
func speciesShares(list []*forecast.Outlook) []share {
	var out []share
	for _, x := range list {
		out = append(out, share{x.Options.Species.Name, x.Low, x.Chance, x.High})
	}
	return out
}

// reliabilityChart draws chances told against what came of them.
func reliabilityChart(h *forecast.Hindcast) *chart.Chart {
	c := &chart.Chart{
		Title: "Chances told on the eve of sowing, and how often they came true",
		Alt:   "Chance told and share in which it came: ", X: shareAxis("chance told (mean of the group)"), Y: chart.Percents("it came in"),
		Lines: []chart.Line{{Ink: chart.Quiet, X: []float64{0, 1}, Y: []float64{0, 1}, Width: 1, Dashes: dashed, Key: "as told"}},
	}
	p := chart.Points{Ink: chart.Leaf, Key: fmt.Sprintf("a group of forecasts, with its %d %% interval", forecast.IntervalPercent)}
	for _, g := range h.Reliability(forecast.LeadSow) {
		note := fmt.Sprintf("told %.0f %%, came in %.0f %% of %d", 100*g.Mean, 100*g.Observed, g.N)
		_, low, high := forecast.Held{N: g.N, Count: int(math.Round(g.Observed * float64(g.N)))}.Share()
		c.Lines = append(c.Lines, chart.Line{Ink: chart.Leaf, X: []float64{g.Mean, g.Mean}, Y: []float64{low, high}, Width: 1})
		p.X, p.Y, p.Notes = append(p.X, g.Mean), append(p.Y, g.Observed), append(p.Notes, note)
		c.Alt += note + "; "
	}
	c.Points = []chart.Points{p}
	return c
}

// heldChart draws how often the last safe dates held.
func heldChart(h *forecast.Hindcast) *chart.Chart {
	var list []share
	for _, l := range h.Levels {
		told, low, high := l.Share()
		list = append(list, share{fmt.Sprintf("%g %% date", l.Confidence), low, told, high})
	}
	c := shareRanges("How often the last safe dates held", "held in; the line marks what was promised", list)
	for i, l := range h.Levels {
		at := l.Confidence / 100
		c.Lines = append(c.Lines, chart.Line{Ink: chart.Brick, X: []float64{at, at}, Y: []float64{-float64(i) - 0.4, -float64(i) + 0.4}, Width: 2})
	}
	return c
}

// asked puts the species that were asked for before all others.
func asked(options []forecast.Options) []forecast.Options {
	all := options[:len(options):len(options)]
	for _, sp := range turf.All() {
		known := false
		for i := range all {
			known = known || all[i].Species.ID == sp.ID
		}
		if !known {
			o := options[0]
			o.Species = sp
			all = append(all, o)
		}
	}
	return all
}
