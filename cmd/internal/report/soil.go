package report

import (
	"fmt"
	"math"
	"strings"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/soil"
)

// A SoilCurve is what a chart of the soil shows over some days.
type SoilCurve struct {
	In    *ask.Station
	Depth soil.Depth
	Span  Span
	Rules []SoilRule
}

// A SoilRule is a temperature that matters. Without an ink it is a reference.
type SoilRule struct {
	Ink   chart.Ink
	TempC float64
	Label string
}

// Chart draws the soil: its normal, the spread of other years, and what was observed.
func (s *SoilCurve) Chart(u words.System) *chart.Chart {
	depth := u.Depth(s.Depth)
	c := &chart.Chart{
		Title: fmt.Sprintf("Soil temperature at %s under grass, estimated from the air", depth),
		X:     s.Span.Axis(""),
	}
	value := func(tempC float64) float64 {
		if u == words.Metric {
			return tempC
		}
		return words.Fahrenheit(tempC)
	}
	normal, curve := s.In.Normal10C, s.In.Soil.At(s.Depth)
	if s.Depth == soil.Depth5 {
		normal = s.In.Normal5C
	}
	course := normal.Series(s.Span.First, int(s.Span.Last-s.Span.First)+1)
	var x, mean, now, low, high []float64
	spread, err := s.In.SoilSpread(s.Depth, s.Span.First, s.Span.Last)
	if err != nil {
		panic(err) // hosts and flags name no depth but those that are modelled
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	see := func(v float64) float64 {
		if !math.IsNaN(v) {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
		return v
	}
	seen := 0
	for d := s.Span.First; d <= s.Span.Last; d++ {
		x = append(x, float64(d))
		mean = append(mean, see(value(course[d-s.Span.First])))
		at := math.NaN()
		if i := s.In.Record.Index(d); i >= 0 && i < len(curve) && d <= s.In.AsOf {
			at = see(value(curve[i]))
			seen++
		}
		now = append(now, at)
		q := spread[d-s.Span.First]
		low, high = append(low, see(value(q.P10))), append(high, see(value(q.P90)))
	}
	if !math.IsNaN(low[0]) {
		c.Bands = []chart.Band{{Ink: chart.Shade, X: x, Low: low, High: high, Key: "8 of 10 other years"}}
	}
	c.Lines = []chart.Line{{Ink: chart.Quiet, X: x, Y: mean, Dashes: Dashed, Key: "normal"}}
	if seen > 0 {
		c.Lines = append(c.Lines, chart.Line{Ink: chart.Text, X: x, Y: now, Width: 1.6, Key: "observed"})
	}
	for _, r := range s.Rules {
		see(value(r.TempC))
		ink := r.Ink
		if ink.Class == "" {
			ink = chart.Quiet
		}
		c.Rules = append(
			c.Rules,
			chart.Rule{
				Horizontal: true,
				Ink:        ink,
				At:         value(r.TempC),
				Dashes:     Dotted,
				Label:      strings.TrimPrefix(r.Label+", "+u.Temp(r.TempC), ", "),
			},
		)
	}
	if s.In.AsOf > s.Span.First && s.In.AsOf < s.Span.Last {
		c.Rules = append(c.Rules, TodayRule(u, s.In.AsOf))
	}
	step, unit := 10.0, "°F"
	if u == words.Metric {
		step, unit = 5, "°C"
	}
	c.Y = chart.Axis{Label: unit, Min: step * math.Floor((lo-1)/step), Max: step * math.Ceil((hi+1)/step)}
	for v := c.Y.Min; v <= c.Y.Max; v += step {
		c.Y.Ticks = append(c.Y.Ticks, chart.Tick{At: v, Label: fmt.Sprintf("%.0f", v)})
	}
	at := func(d climate.Day) string { return fmt.Sprintf("%s on %s", u.Temp(normal.At(d)), u.Date(d)) }
	mid := (s.Span.First + s.Span.Last) / 2
	c.Alt = fmt.Sprintf("The normal soil is at %s, %s and %s.", at(s.Span.First), at(mid), at(s.Span.Last))
	for _, r := range c.Rules {
		if r.Horizontal {
			c.Alt += " A line: " + r.Label + "."
		}
	}
	if seen > 0 {
		last := min(s.In.Record.Last(), s.Span.Last)
		c.Alt += fmt.Sprintf(" On %s it was at %s.", u.LongDate(last), u.Temp(curve[s.In.Record.Index(last)]))
	}
	return c
}

// SeasonSoil is the soil from before a season, or today, to two thirds of it.
func SeasonSoil(in *ask.Station, season int, o *forecast.Options) *SoilCurve {
	const before = 45
	s := &SoilCurve{In: in, Depth: o.Host.Open.Depth}
	first := in.Calendar.First(season)
	s.Span = Span{first, in.Calendar.Half(season) + 31}
	if in.AsOf < first && in.AsOf > first-183 {
		s.Span.First = in.AsOf - before
	}
	if o.Opening == forecast.OpeningSoil {
		s.Rules = []SoilRule{{chart.Opening, o.Host.Open.TempC, "opens below"}}
	}
	if o.Host.Dormancy.Depth == s.Depth {
		s.Rules = append(s.Rules, SoilRule{chart.Dormancy, o.Host.Dormancy.TempC, "dormancy"})
	}
	return s
}
