package chart

import (
	"bytes"
	"encoding/xml"
	"image/png"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
)

func sown(a Axis) Axis {
	a.IsSown = true
	return a
}

func example() *Chart {
	first := climate.Date(2026, time.September, 1)
	return &Chart{
		Title: "An example", Alt: "A line that falls.",
		X: sown(Dates(first, first+60)), Y: Percents("chance"),
		Bands: []Band{
			{
				Ink:  ChanceTint,
				X:    []float64{float64(first), float64(first) + 30, float64(first) + 60},
				Low:  []float64{0.8, 0.4, 0.1},
				High: []float64{1, 0.7, 0.2},
				Key:  "band",
			},
		},
		Lines: []Line{
			{
				Ink: Chance,
				X:   []float64{float64(first), float64(first) + 30, float64(first) + 60},
				Y:   []float64{0.9, 0.5, 0.1},
				Key: "line",
			},
		},
		Points: []Points{
			{
				Ink:   Freeze,
				Shape: Triangle,
				X:     []float64{float64(first) + 15},
				Y:     []float64{0.5},
				Notes: []string{`a "note" & more`},
				Key:   "point",
			},
		},
		Rules: []Rule{
			{Ink: Opening, At: float64(first) + 10, Label: "opens"},
			{Ink: Opening, At: float64(first) + 11, Label: "close by"},
			{Ink: Cutoff, At: float64(first) + 90, Label: "beyond"},
		},
	}
}

// An SVG is well-formed and says what the chart says.
func TestSVG(t *testing.T) {
	for name, svg := range map[string]string{"page": SVG(example(), nil, Size{760, 300, 11}), "file": string(example().File())} {
		d := xml.NewDecoder(strings.NewReader(svg))
		for {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
		for _, want := range []string{"<title>a &#34;note&#34; &amp; more</title>", ">opens</text>", ">close by</text>", ">band</text>", ">Oct</text>", ">1</text>", ">An example</", "A line that falls.</desc>"} {
			if !strings.Contains(svg, want) &&
				(name == "file" || !strings.HasSuffix(want, "</") && !strings.HasSuffix(want, "</desc>")) {
				t.Errorf("%s: no %s", name, want)
			}
		}
		if strings.Contains(svg, "beyond") || strings.Contains(svg, "NaN") {
			t.Errorf("%s: a rule beyond the axis, or no number", name)
		}
	}
}

// Where a date lies by the data-attributes is where its rule is drawn: the page's
// script draws the chosen date by them.
func TestDatesLieByTheirData(t *testing.T) {
	svg := SVG(example(), nil, Size{760, 300, 11})
	number := func(pattern string) float64 {
		m := regexp.MustCompile(pattern).FindStringSubmatch(svg)
		if m == nil {
			t.Fatalf("no %s in %s", pattern, svg)
		}
		v, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	left, width, days := number(
		`data-left="([0-9.]+)"`,
	), number(
		`data-width="([0-9.]+)"`,
	), number(
		`data-days="([0-9.]+)"`,
	)
	if days != 60 || !strings.Contains(svg, `data-first="2026-09-01"`) {
		t.Errorf("%g days", days)
	}
	rule := number(`class="s-opening"[^>]*d="M([0-9.]+) `)
	if want := left + width*10/days; math.Abs(rule-want) > 0.11 {
		t.Errorf("the rule of the 10th day is at %g, by the data-attributes %g", rule, want)
	}
}

// The labels of a crowded chart stand above the plot and upright, none over another,
// and no rule runs through one, on a wide and on a narrow drawing.
func TestLabels(t *testing.T) {
	first := float64(climate.Date(2026, time.September, 1))
	c := &Chart{X: Dates(climate.Day(first), climate.Day(first)+75), Y: Percents("")}
	for _, r := range []struct {
		at    float64
		label string
	}{{12, "cool enough Sep 13"}, {35, "90 %, Oct 6"}, {40, "last safe 80 %: Oct 11"}, {48, "50 %, Oct 19"}, {50, "today, Oct 21"}, {72, "cold Nov 12"}, {75, "end"}} {
		c.Rules = append(c.Rules, Rule{Ink: Safe, At: first + r.at, Label: r.label, Heavy: r.at == 40})
	}
	for _, size := range []Size{{760, 300, 12}, {328, 240, 12}} {
		v := c.drawn(size)
		placed, lanes := c.laid(v.plotX0, v.plotW, size.Width, size)
		type span struct{ from, to, rule float64 }
		var spans []span
		for i, r := range c.Rules {
			x := v.plotX0 + v.plotW*(r.At-c.X.Min)/(c.X.Max-c.X.Min)
			from := x + placed[i].Shift
			spans = append(spans, span{from, from + float64(style(size.Text, Safe).Width(r.Label)), x})
			if spans[i].from < 0 || spans[i].to > size.Width+1 || placed[i].Lane >= lanes {
				t.Errorf(
					"%g wide: %s from %g to %g in lane %d",
					size.Width,
					r.Label,
					spans[i].from,
					spans[i].to,
					placed[i].Lane,
				)
			}
		}
		for i, a := range spans {
			for k, b := range spans {
				if i != k && placed[i].Lane == placed[k].Lane && a.from < b.to && b.from < a.to {
					t.Errorf("%g wide: %s over %s", size.Width, c.Rules[i].Label, c.Rules[k].Label)
				}
				if i != k && placed[k].Lane > placed[i].Lane && a.from < b.rule && b.rule < a.to {
					t.Errorf("%g wide: the rule of %s runs through %s", size.Width, c.Rules[k].Label, c.Rules[i].Label)
				}
			}
		}
		svg := SVG(c, nil, size)
		for _, m := range regexp.MustCompile(`<text class="f-safe"[^>]*>`).FindAllString(svg, -1) {
			y, err := strconv.ParseFloat(regexp.MustCompile(` y="([0-9.]+)"`).FindStringSubmatch(m)[1], 64)
			if err != nil || y > v.plotY0 || strings.Contains(m, "rotate") {
				t.Errorf("%g wide: a label at %g of a plot from %g: %s", size.Width, y, v.plotY0, m)
			}
		}
	}
}

// An axis of days has the name of a month under its first label, whatever its length
// and the room.
func TestDatesBeginWithMonth(t *testing.T) {
	for _, days := range []climate.Day{20, 40, 75, 150, 365} {
		for start := range climate.Day(31) {
			first := climate.Date(2026, time.August, 1) + start
			a := Dates(first, first+days)
			for _, width := range []float64{280, 700} {
				for _, tick := range a.dateTicks(width, 12) {
					if tick.Label == "" {
						continue
					}
					name := climate.Day(tick.At).Format("Jan")
					if !strings.Contains(tick.Label, name) {
						t.Errorf("%d days from %s, %g wide: the first label is %q", days, first, width, tick.Label)
					}
					break
				}
			}
		}
	}
}

// A drawing for both systems of units has what is alike once and the rest twice.
func TestBothUnits(t *testing.T) {
	si := example()
	si.Rules = append([]Rule(nil), si.Rules...)
	si.Rules[0].Label = "offen"
	size := Size{760, 300, 11}
	svg := SVG(example(), si, size)
	if n := strings.Count(svg, ">band</text>"); n != 1 {
		t.Errorf("the key stands %d times", n)
	}
	for _, want := range []string{`<g class="us">`, `<g class="si">`, ">opens</text>", ">offen</text>"} {
		if strings.Count(svg, want) != 1 {
			t.Errorf("%d times %s", strings.Count(svg, want), want)
		}
	}
	if one := SVG(example(), nil, size); len(svg) > len(one)+300 {
		t.Errorf("%d bytes for both, %d for one", len(svg), len(one))
	}
}

// Charts shown one at a time have one pair of axes, and room for the labels of each.
func TestTogether(t *testing.T) {
	a, b := example(), example()
	a.Y.Max, b.X.Max, b.Y.Max = 2, b.X.Max+10, 2.5
	for i := range 4 {
		b.Rules = append(b.Rules, Rule{Ink: Safe, At: b.X.Min + 20 + float64(i), Label: "a label that is long"})
	}
	list := Together([]*Chart{a, b})
	if list[0].X.Max != b.X.Max || list[1].X.Max != b.X.Max || list[0].Y.Max != 2.5 || a.Y.Max != 2 {
		t.Errorf("axes to %g, %g and %g", list[0].X.Max, list[1].X.Max, list[0].Y.Max)
	}
	size := Size{760, 300, 12}
	if alone, both := a.drawn(size).plotY0, list[0].drawn(size).plotY0; both < alone+2*float64(lane(size))-0.1 {
		t.Errorf("the plot begins at %g, alone at %g", both, alone)
	}
	l := LayersOf(list[1], list[1], list[0], size, Size{328, 240, 12})
	if line := l.Lines[0]; line.From != 0 || *line.Y[0] != 360 || *line.Y[2] != 40 {
		t.Errorf("a line from day %d at %d and %d thousandths", line.From, *line.Y[0], *line.Y[2])
	}
}

// A line is drawn where its numbers are, and broken where one is missing.
func TestLineIsBroken(t *testing.T) {
	c := example()
	nan := math.NaN()
	c.Lines[0].X, c.Lines[0].Y = []float64{
		c.X.Min,
		c.X.Min + 1,
		c.X.Min + 2,
		c.X.Min + 3,
		c.X.Min + 4,
	}, []float64{
		1,
		0.9,
		nan,
		0.5,
		0.4,
	}
	drawn := func(s string) int { return strings.Count(s, `class="s-chance" fill="none" stroke-width="1.5"`) }
	if n := drawn(SVG(c, nil, Size{760, 300, 11})); n != 3 { // the key and two stretches
		t.Errorf("%d strokes", n)
	}
}

func TestPNG(t *testing.T) {
	b, err := example().PNG()
	if err != nil {
		t.Fatal(err)
	}
	p, err := png.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	if r := p.Bounds(); r.Dx() != 1600 || r.Dy() != 900 {
		t.Errorf("%v", r)
	}
	inks := map[Ink]int{Chance: 0, ChanceTint: 0, Opening: 0, Freeze: 0}
	for y := range 900 {
		for x := range 1600 {
			r, g, b, _ := p.At(x, y).RGBA()
			for ink := range inks {
				if uint8(r>>8) == ink.R && uint8(g>>8) == ink.G && uint8(b>>8) == ink.B {
					inks[ink]++
				}
			}
		}
	}
	for ink, n := range inks {
		if n < 40 {
			t.Errorf("%d pixels of %s", n, ink.Class)
		}
	}
}
