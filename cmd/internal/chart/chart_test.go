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
		X: sown(Dates(first, first+60, 9)), Y: Percents("chance"),
		Bands:  []Band{{Ink: LeafTi, X: []float64{float64(first), float64(first) + 30, float64(first) + 60}, Low: []float64{0.8, 0.4, 0.1}, High: []float64{1, 0.7, 0.2}, Key: "band"}},
		Lines:  []Line{{Ink: Leaf, X: []float64{float64(first), float64(first) + 30, float64(first) + 60}, Y: []float64{0.9, 0.5, 0.1}, Key: "line"}},
		Points: []Points{{Ink: Sky, Shape: Triangle, X: []float64{float64(first) + 15}, Y: []float64{0.5}, Notes: []string{`a "note" & more`}, Key: "point"}},
		Rules:  []Rule{{Ink: Straw, At: float64(first) + 10, Label: "opens"}, {Ink: Straw, At: float64(first) + 11, Label: "close by"}, {Ink: Brick, At: float64(first) + 90, Label: "beyond"}},
	}
}

// An SVG is well-formed and says what the chart says.
func TestSVG(t *testing.T) {
	for name, svg := range map[string]string{"page": example().SVG("x", Size{760, 300, 11}), "file": string(example().File())} {
		d := xml.NewDecoder(strings.NewReader(svg))
		for {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
		for _, want := range []string{"<title>a &#34;note&#34; &amp; more</title>", ">opens</text>", ">close by</text>", ">band</text>", ">1 Oct</text>", ">An example</", "A line that falls.</desc>"} {
			if !strings.Contains(svg, want) {
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
func TestDatesLieWhereTold(t *testing.T) {
	svg := example().SVG("x", Size{760, 300, 11})
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
	left, width, days := number(`data-left="([0-9.]+)"`), number(`data-width="([0-9.]+)"`), number(`data-days="([0-9.]+)"`)
	if days != 60 || !strings.Contains(svg, `data-first="2026-09-01"`) {
		t.Errorf("%g days", days)
	}
	rule := number(`class="s-straw"[^>]*d="M([0-9.]+) `)
	if want := left + width*10/days; math.Abs(rule-want) > 0.11 {
		t.Errorf("the rule of the 10th day is at %g, told %g", rule, want)
	}
}

// Labels of rules close by stand beside each other.
func TestLabelsDoNotOverlap(t *testing.T) {
	svg := example().SVG("x", Size{760, 300, 11})
	at := func(label string) float64 {
		m := regexp.MustCompile(`x="([0-9.]+)" y="[0-9.]+" transform="[^"]*">` + label).FindStringSubmatch(svg)
		if m == nil {
			t.Fatalf("no label %s", label)
		}
		v, _ := strconv.ParseFloat(m[1], 64)
		return v
	}
	if gap := at("close by") - at("opens"); gap < 11 {
		t.Errorf("the labels are %.1f points apart", gap)
	}
}

// A line is drawn where its numbers are, and broken where one is missing.
func TestLineIsBroken(t *testing.T) {
	c := example()
	nan := math.NaN()
	c.Lines[0].X, c.Lines[0].Y = []float64{c.X.Min, c.X.Min + 1, c.X.Min + 2, c.X.Min + 3, c.X.Min + 4}, []float64{1, 0.9, nan, 0.5, 0.4}
	drawn := func(s string) int { return strings.Count(s, `class="s-leaf" fill="none" stroke-width="1.5"`) }
	if n := drawn(c.SVG("x", Size{760, 300, 11})); n != 3 { // the key and two stretches
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
	inks := map[Ink]int{Leaf: 0, LeafTi: 0, Straw: 0, Sky: 0}
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
