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
	"swardcast/forecast/turf"
)

// Document puts the answer in words.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	d := report.New(a.In.Input, "Soil temperature", a.headline(u), u)
	d.Notes = []string{a.nowSentence(u), a.normalSentence(u)}
	crossings := report.Section{ID: "crossings", Heading: "When the soil crosses a temperature"}
	if len(a.Year.Crossings) > 0 {
		crossings.Tables = []report.Table{a.crossingsTable(u)}
	} else {
		crossings.Intro = []string{"It crosses none of the temperatures asked for."}
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

// state is what the soil is for seed, by the usual opening of overseeding.
func (a *Answer) state() (forecast.SoilState, *forecast.SoilCrossing) {
	return a.Year.State(turf.Hosts()[0].Open.TempC)
}

// headline says what the soil means for sowing.
func (a *Answer) headline(u words.System) string {
	y := a.Year
	state, next := a.state()
	at, now := u.Depth(y.Depth), u.Temp(y.NowC)
	then := ""
	if next != nil {
		way := "falls below"
		if next.Rising {
			way = "rises to"
		}
		then = fmt.Sprintf(", and usually %s %s about %s", way, u.Temp(next.ThresholdC), u.Date(*next.Normal))
	}
	switch state {
	case forecast.SoilTooWarm:
		return fmt.Sprintf("Wait to sow cool-season grass: the soil at %s is %s, too warm%s.", at, now, then)
	case forecast.SoilTooCold:
		if y.NowC >= forecast.SpringSoilC && next != nil {
			return fmt.Sprintf(
				"Wait for spring: the soil at %s is %s in a mild spell, and usually stays below %s until about %s.",
				at,
				now,
				u.Temp(forecast.SpringSoilC),
				u.Date(*next.Normal),
			)
		}
		return fmt.Sprintf(
			"Wait for spring: the soil at %s is %s, too cold for seed to grow on at this time of year%s.",
			at,
			now,
			then,
		)
	}
	return fmt.Sprintf("The soil suits cool-season seed: it is %s at %s%s.", now, at, then)
}

// nowSentence compares the soil with its normal.
func (a *Answer) nowSentence(u words.System) string {
	y := a.Year
	off := y.NowC - y.Normal.At(y.To)
	difference := strings.TrimLeft(u.Difference(off), "+-")
	than := difference + " warmer than normal"
	switch {
	case strings.HasPrefix(difference, "0.0 "):
		than = "as warm as normal"
	case off < 0:
		than = difference + " colder than normal"
	}
	return fmt.Sprintf("On %s it is %s.", u.LongDate(y.To), than)
}

// normalSentence is its normal year.
func (a *Answer) normalSentence(u words.System) string {
	y := a.Year
	return fmt.Sprintf(
		"In a normal year it is warmest about %s (%s) and coldest about %s (%s).",
		u.Date(y.Warmest.Day),
		u.Temp(y.Warmest.TempC),
		u.Date(y.Coldest.Day),
		u.Temp(y.Coldest.TempC),
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
	b := &report.Bars{Title: "By half months", Heads: "estimate, from normal", Width: 48,
		Legend: fmt.Sprintf(
			"bars from %s to %s: █ and ▒ to the estimate, ▒ where that is above normal, "+
				"· up to normal where it is below",
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
