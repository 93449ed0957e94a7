// Package chart draws the program's charts: lines, bands, ranges and points over
// dates or numbers, the same for pages and for pictures. Axes, scales and text are
// those of gonum.org/v1/plot.
package chart

import (
	"image/color"

	"swardcast/climate"
)

// An Ink is a colour by its part in a chart. A page gives it a colour of its own
// by the class, for light, dark and paper; elsewhere it has the one it carries.
type Ink struct {
	Class string
	color.NRGBA
}

// The inks. Each line's colour has a contrast of at least 4.5 to white.
var (
	Text   = Ink{"text", color.NRGBA{0x23, 0x29, 0x1f, 0xff}}
	Quiet  = Ink{"quiet", color.NRGBA{0x57, 0x60, 0x53, 0xff}}
	Grid   = Ink{"grid", color.NRGBA{0xdd, 0xdf, 0xd6, 0xff}}
	Leaf   = Ink{"leaf", color.NRGBA{0x1f, 0x6b, 0x45, 0xff}}
	LeafTi = Ink{"leaf-tint", color.NRGBA{0xcb, 0xe1, 0xd2, 0xff}}
	Straw  = Ink{"straw", color.NRGBA{0x86, 0x58, 0x00, 0xff}}
	StrawT = Ink{"straw-tint", color.NRGBA{0xf0, 0xe0, 0xbd, 0xff}}
	Sky    = Ink{"sky", color.NRGBA{0x35, 0x56, 0x8c, 0xff}}
	SkyTi  = Ink{"sky-tint", color.NRGBA{0xd3, 0xde, 0xef, 0xff}}
	Brick  = Ink{"brick", color.NRGBA{0x99, 0x2e, 0x26, 0xff}}
)

// Inks lists every ink.
func Inks() []Ink {
	return []Ink{Text, Quiet, Grid, Leaf, LeafTi, Straw, StrawT, Sky, SkyTi, Brick}
}

// A Chart is what is drawn, from the back to the front: bands, grid, lines,
// ranges, points, rules.
type Chart struct {
	Title string
	Under string // beneath the title of a picture that stands alone: where and when
	Empty string // said in the chart where it has nothing to show
	Alt   string // what it shows, in words, for who cannot see it
	X, Y  Axis
	Rows  []string // names of the rows from the top; Y is then counted in rows, 0 the first

	Bands  []Band
	Lines  []Line
	Ranges []Range
	Points []Points
	Rules  []Rule
}

// An Axis is a scale with its ticks.
type Axis struct {
	Label    string
	Min, Max float64
	Ticks    []Tick
	IsSown   bool // the values are days of sowing: a page marks the chosen one
}

// A Tick is a value with its label, "" for a minor tick.
type Tick struct {
	At    float64
	Label string
}

// A Band is the room between two lines. NaN breaks it.
type Band struct {
	Ink          Ink
	X, Low, High []float64
	Key          string // beside its colour above the chart; "" for none
}

// A Line is a line. NaN breaks it.
type Line struct {
	Ink    Ink
	X, Y   []float64
	Width  float64   // points; 0: 1.5
	Dashes []float64 // nil: solid
	Key    string
}

// A Range is an interval with its middle on a row.
type Range struct {
	Ink            Ink
	Row            float64
	Low, Mid, High float64 // NaN: without
	Note           string  // shown when pointed at
}

// A Shape is the shape of points, which tells them apart without colour.
type Shape int

// The shapes.
const (
	Disc Shape = iota
	Triangle
	Square
)

// Points are marks of one kind.
type Points struct {
	Ink   Ink
	Shape Shape
	X, Y  []float64
	Notes []string // shown when pointed at, one a point; nil for none
	Key   string
}

// A Rule is a line across the chart at a value.
type Rule struct {
	Ink        Ink
	At         float64
	Horizontal bool
	Dashes     []float64
	Label      string
}

// Dates is an axis over days with ticks at the months' first and, where there is
// room for so many labels, at their 11th and 21st. Over most of a year the months
// alone are named.
func Dates(first, last climate.Day, most int) Axis {
	a := Axis{Min: float64(first), Max: float64(last)}
	tens := int(last-first)/10 <= most
	for d := first; d <= last; d++ {
		switch _, _, day := d.Date(); {
		case day == 1:
			label := d.Format("2 Jan")
			if last-first > 200 {
				label = d.Format("Jan")
			}
			a.Ticks = append(a.Ticks, Tick{float64(d), label})
		case tens && (day == 11 || day == 21):
			a.Ticks = append(a.Ticks, Tick{float64(d), d.Format("2")})
		case day == 11 || day == 21:
			a.Ticks = append(a.Ticks, Tick{float64(d), ""})
		}
	}
	return a
}

// Percents is the axis of chances, 0 to 1.
func Percents(label string) Axis {
	return Axis{Label: label, Min: 0, Max: 1, Ticks: []Tick{{0, "0 %"}, {0.2, "20"}, {0.4, "40"}, {0.5, ""}, {0.6, "60"}, {0.8, "80"}, {1, "100 %"}}}
}
