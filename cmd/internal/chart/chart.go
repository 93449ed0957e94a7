// Package chart draws the program's charts: lines, bands, ranges and points over
// dates or numbers, the same for pages and for pictures. Text is laid out by the
// measures of one font, Liberation Sans, which is in no drawing but PNG.
package chart

import (
	"image/color"
	"math"

	"swardcast/climate"
)

// An Ink is a colour by its part in a chart. A page gives it a colour of its own
// by the class, for light, dark and paper; elsewhere it has the one it carries.
type Ink struct {
	Class string
	color.NRGBA
}

// The inks, by what they stand for: one concept has one ink on every chart. Each
// line's colour has a contrast of at least 4.5 to white. What lies close together
// differs in dashes or shape as well.
var (
	Text  = Ink{"text", color.NRGBA{0x23, 0x29, 0x1f, 0xff}}  // today, readings, what was observed
	Quiet = Ink{"quiet", color.NRGBA{0x57, 0x60, 0x53, 0xff}} // axes, normals, references
	Grid  = Ink{"grid", color.NRGBA{0xdd, 0xdf, 0xd6, 0xff}}
	Shade = Ink{"shade", color.NRGBA{0xe3, 0xe5, 0xdb, 0xff}} // spread of other years

	Chance        = Ink{"chance", color.NRGBA{0x1f, 0x6b, 0x45, 0xff}} // and what it is of: established
	ChanceTint    = Ink{"chance-tint", color.NRGBA{0xcb, 0xe1, 0xd2, 0xff}}
	Opening       = Ink{"opening", color.NRGBA{0x8f, 0x56, 0x00, 0xff}}
	Safe          = Ink{"safe", color.NRGBA{0x8b, 0x2f, 0x73, 0xff}} // last safe dates
	Freeze        = Ink{"freeze", color.NRGBA{0x2b, 0x5c, 0x9c, 0xff}}
	Dormancy      = Ink{"dormancy", color.NRGBA{0x6b, 0x5b, 0x45, 0xff}}
	Cutoff        = Ink{"cutoff", color.NRGBA{0x99, 0x2e, 0x26, 0xff}} // the first of freeze and dormancy
	Emerged       = Ink{"emerged", color.NRGBA{0x4a, 0x6d, 0x00, 0xff}}
	EmergedTint   = Ink{"emerged-tint", color.NRGBA{0xe2, 0xea, 0xc4, 0xff}}
	Mow           = Ink{"mow", color.NRGBA{0x0b, 0x6a, 0x75, 0xff}}
	MowTint       = Ink{"mow-tint", color.NRGBA{0xc8, 0xe4, 0xe7, 0xff}}
	Established   = Chance
	EstablishTint = ChanceTint
)

// Inks lists every ink.
func Inks() []Ink {
	return []Ink{
		Text,
		Quiet,
		Grid,
		Shade,
		Chance,
		ChanceTint,
		Opening,
		Safe,
		Freeze,
		Dormancy,
		Cutoff,
		Emerged,
		EmergedTint,
		Mow,
		MowTint,
	}
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

	others []*Chart // shown in its place: their labels and keys need room too
}

// An Axis is a scale with its ticks.
type Axis struct {
	Label    string
	Min, Max float64
	Ticks    []Tick
	IsDates  bool // the values are days; where the ticks stand hangs on the room
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

// A Range is an interval with its median on a row.
type Range struct {
	Ink            Ink
	Row            float64
	Low, Mid, High float64 // NaN: without
	Note           string  // shown when pointed at
}

// A Shape is the shape of points, by which they differ without colour.
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
	Size  float64  // radius in points; 0: that of its shape
	Notes []string // shown when pointed at, one a point; nil for none
	Key   string
}

// A Rule is a line across the chart at a value. The label of an upright one stands
// above the plot.
type Rule struct {
	Ink        Ink
	At         float64
	Horizontal bool
	Heavy      bool // the answer among its like
	Dashes     []float64
	Label      string
	Short      string // the label where there is little room; "": Label
}

// Dates is an axis over days. Its ticks stand at the first, 11th and 21st of the
// months, or where there is no room for that at the first; the first one of each
// month has the month's name.
func Dates(first, last climate.Day) Axis {
	return Axis{Min: float64(first), Max: float64(last), IsDates: true}
}

// dateTicks are the ticks of an axis of days that is so many points wide, with text
// of a size. Day and month stand on two lines, alike in every system of units.
func (a *Axis) dateTicks(width, text float64) []Tick {
	const digits, name = 1.7, 2.4 // widths of a label with its gap, in sizes of text
	perDay := width / math.Max(1, a.Max-a.Min)
	tens, months := 10*perDay >= digits*text, 1
	for 30*perDay*float64(months) < name*text {
		months++
	}
	var ticks []Tick
	named := false // the month has its name
	count := 0
	for d := climate.Day(math.Ceil(a.Min)); float64(d) <= a.Max; d++ {
		_, _, day := d.Date()
		if day == 1 {
			named = false
		}
		switch {
		case day != 1 && day != 11 && day != 21:
		case !tens && day != 1:
			ticks = append(ticks, Tick{float64(d), ""})
		case !tens:
			label := ""
			if count%months == 0 {
				label = d.Format("Jan")
			}
			count++
			ticks = append(ticks, Tick{float64(d), label})
		case named:
			ticks = append(ticks, Tick{float64(d), d.Format("2\n ")})
		default:
			named = true
			ticks = append(ticks, Tick{float64(d), d.Format("2\nJan")})
		}
	}
	return ticks
}

// Percents is the axis of chances, 0 to 1.
func Percents(label string) Axis {
	return Axis{
		Label: label,
		Min:   0,
		Max:   1,
		Ticks: []Tick{{0, "0 %"}, {0.2, "20"}, {0.4, "40"}, {0.5, ""}, {0.6, "60"}, {0.8, "80"}, {1, "100 %"}},
	}
}
