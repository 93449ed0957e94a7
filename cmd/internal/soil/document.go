package soil

import (
	"fmt"
	"math"
	"strings"

	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/soil"
)

// Document puts the answer in words.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	d := report.New(a.In.Input, "Soil temperature", a.nowSentence(u), u)
	d.Notes = []string{a.normalSentence(u)}
	crossings := report.Section{ID: "crossings", Heading: "Crossings"}
	if len(a.Year.Crossings) > 0 {
		crossings.Tables = []report.Table{a.crossingsTable(u)}
	} else {
		crossings.Intro = []string{"The soil crosses none of the temperatures asked for."}
	}
	d.Sections = []report.Section{
		{ID: "soil", Heading: "The past year", Figures: []report.Figure{{Chart: a.chart(u), Bars: a.bars(u)}},
			Tables: []report.Table{a.daysTable(u)}},
		crossings,
	}
	facts := append(report.StationFacts(a.In.Input, u), report.ProbeFacts(a.In, u)...)
	facts = append(facts, report.Item{Label: "soil", Text: report.Accuracy})
	d.Sections = append(d.Sections, report.Basis(a.In.Input, facts, report.Cautions()[:1], u)...)
	return d, nil
}

// nowSentence is how warm the soil is.
func (a *Answer) nowSentence(u words.System) string {
	y := a.Year
	return fmt.Sprintf(
		"On %s the soil at %s at %s was at %s, %s from normal for the day.",
		u.LongDate(
			y.To,
		),
		u.Depth(y.Depth),
		a.In.DisplayName(),
		u.Temp(y.NowC),
		u.Difference(y.NowC-y.Normal.At(y.To)),
	)
}

// normalSentence is its normal year.
func (a *Answer) normalSentence(u words.System) string {
	y := a.Year
	return fmt.Sprintf(
		"In a normal year it is warmest about %s (%s) and coldest about %s (%s); mean %s, annual wave %s either side.",
		u.Date(
			y.Warmest.Day,
		),
		u.Temp(y.Warmest.TempC),
		u.Date(y.Coldest.Day),
		u.Temp(y.Coldest.TempC),
		u.Temp(y.Normal.Mean),
		strings.TrimPrefix(u.Difference(y.Normal.Amplitude()), "+"),
	)
}

// crossingsTable has the days on which the soil passes the thresholds.
func (a *Answer) crossingsTable(u words.System) report.Table {
	t := report.Table{Caption: "When the soil crosses a temperature",
		Head: []string{"the soil at " + u.Depth(a.Year.Depth), "in a normal year", "in the past year"}}
	for _, c := range a.Year.Crossings {
		way := "falls below"
		if c.Rising {
			way = "rises to"
		}
		t.Rows = append(t.Rows, []string{way + " " + u.Temp(c.ThresholdC), u.DateOr(c.Normal), u.DateOr(c.PastYear)})
	}
	return t
}

// bars draw the past year by half months.
func (a *Answer) bars(u words.System) *report.Bars {
	type half struct {
		label        string
		normal, soil float64 // °C, sums of n days and then means
		n            float64
	}
	var halves []half
	y := a.Year
	curve := a.In.Soil.At(y.Depth)
	for d := y.From; d <= y.To; d++ {
		label := halfMonth(d)
		if len(halves) == 0 || halves[len(halves)-1].label != label {
			halves = append(halves, half{label: label})
		}
		h := &halves[len(halves)-1]
		h.normal += y.Normal.At(d)
		h.soil += curve[a.In.Record.Index(d)]
		h.n++
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range halves {
		h := &halves[i]
		h.normal /= h.n
		h.soil /= h.n
		lo, hi = min(lo, h.normal, h.soil), max(hi, h.normal, h.soil)
	}
	share := func(t float64) float64 { return (t - lo) / max(1, hi-lo) }
	b := &report.Bars{Title: "By half months", Heads: "as it was, from normal", Width: 48,
		Legend: fmt.Sprintf(
			"bars from %s to %s: █ and ▒ to the soil as it was, "+
				"▒ where that is above normal, · up to normal where it is below",
			u.Temp(lo),
			u.Temp(hi),
		)}
	for _, h := range halves {
		b.Rows = append(
			b.Rows,
			report.Bar{
				Label: h.label,
				Low:   share(min(h.normal, h.soil)),
				Mid:   share(h.soil),
				High:  share(max(h.normal, h.soil)),
				Cells: []string{u.Temp(h.soil), u.Difference(h.soil - h.normal)},
			},
		)
	}
	return b
}

// halfMonth names the half month of a day.
func halfMonth(d climate.Day) string {
	y, m, day := d.Date()
	if day <= 15 {
		return d.Format("Jan") + " 1–15"
	}
	_, _, last := (climate.Date(y, m+1, 1) - 1).Date()
	return fmt.Sprintf("%s 16–%d", d.Format("Jan"), last)
}

// daysTable is the table behind the chart.
func (a *Answer) daysTable(u words.System) report.Table {
	t := report.Table{Caption: "Every day of the past year: soil and its normal", Folded: true,
		Head: []string{"day", u.Depth(soil.Depth5), "normal", u.Depth(soil.Depth10), "normal", "air"}}
	for i := range a.Days {
		t.Rows = append(t.Rows, dayRow(u, &a.Days[i]))
	}
	return t
}

func dayRow(u words.System, d *forecast.SoilDay) []string {
	air := fmt.Sprintf("%s to %s", u.Temp(d.TMinC), u.Temp(d.TMaxC))
	if d.Filled {
		air = "filled"
	}
	return []string{
		u.LongDate(d.Day),
		u.Temp(d.Soil5C),
		u.Temp(d.Normal5C),
		u.Temp(d.Soil10C),
		u.Temp(d.Normal10C),
		air,
	}
}
