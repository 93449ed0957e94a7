package chart

import (
	"encoding/json"
	"math"

	"swardcast/climate"
)

// Together returns charts of one kind, of which one is shown at a time, on one pair
// of axes: whichever is shown, the drawing of the first has room for it.
func Together(charts []*Chart) []*Chart {
	out := make([]*Chart, len(charts))
	for i, c := range charts {
		copied := *c
		out[i] = &copied
	}
	first := out[0]
	for _, c := range out[1:] {
		if c.Y.Max > first.Y.Max {
			first.Y = c.Y
		}
		first.X.Min, first.X.Max = math.Min(first.X.Min, c.X.Min), math.Max(first.X.Max, c.X.Max)
	}
	for _, c := range out[1:] {
		c.X, c.Y = first.X, first.Y
	}
	first.others = out[1:]
	return out
}

// Layers is what a page's script draws of a chart into the drawing of another, with
// which it shares its axes. Heights are whole thousandths of the y axis from the
// bottom, null where there is none; days are counted from the left end.
type Layers struct {
	Title  string   `json:"title"`
	Empty  string   `json:"empty,omitempty"`
	Bands  []layerY `json:"bands,omitempty"`
	Lines  []layerY `json:"lines,omitempty"`
	Points []layerP `json:"points,omitempty"`
	Rules  []layerR `json:"rules,omitempty"`
}

// A layerY is a line or a band over days that follow each other.
type layerY struct {
	Ink    string    `json:"ink"`
	From   int       `json:"from"`
	Y      []*int    `json:"y,omitempty"`
	Low    []*int    `json:"low,omitempty"`
	High   []*int    `json:"high,omitempty"`
	Width  float64   `json:"width,omitempty"`
	Dashes []float64 `json:"dashes,omitempty"`
}

// A layerP are points of a kind.
type layerP struct {
	Ink   string  `json:"ink"`
	Shape Shape   `json:"shape"`
	Size  float64 `json:"size"`
	X     []int   `json:"x"`
	Y     []*int  `json:"y"`
}

// A layerR is an upright rule with its labels, by system of units and room.
type layerR struct {
	Ink    string       `json:"ink"`
	X      int          `json:"x"`
	Width  float64      `json:"width"`
	Dashes []float64    `json:"dashes,omitempty"`
	Bold   bool         `json:"bold,omitempty"`
	Wide   []layerLabel `json:"wide,omitempty"` // US, then metric where that differs
	Narrow []layerLabel `json:"narrow,omitempty"`
}

type layerLabel struct {
	Text  string
	Lane  int
	Shift float64
}

// MarshalJSON writes a label as a list: text, lane, shift.
func (l layerLabel) MarshalJSON() ([]byte, error) {
	return json.Marshal([]any{l.Text, l.Lane, l.Shift})
}

// LayersOf returns the layers of a chart by days in both systems of units, for
// drawings of two sizes.
func LayersOf(us, si *Chart, first *Chart, wide, narrow Size) Layers {
	l := Layers{Title: us.Title, Empty: us.Empty}
	share := func(v float64) *int {
		at := 1000 * (v - us.Y.Min) / (us.Y.Max - us.Y.Min)
		if math.IsNaN(at) || math.IsInf(at, 0) {
			return nil
		}
		n := int(math.Round(math.Max(0, math.Min(1000, at))))
		return &n
	}
	day := func(x float64) int { return int(math.Round(x - us.X.Min)) }
	// inside are the days of a line that the axis shows.
	inside := func(x []float64) (from, to int) {
		from, to = len(x), 0
		for i, v := range x {
			if v >= us.X.Min && v <= us.X.Max {
				from, to = min(from, i), i+1
			}
		}
		return min(from, to), to
	}
	shares := func(list []float64) []*int {
		out := make([]*int, len(list))
		for i, v := range list {
			out[i] = share(v)
		}
		return out
	}
	for _, b := range us.Bands {
		if a, z := inside(b.X); a < z {
			l.Bands = append(
				l.Bands,
				layerY{Ink: b.Ink.Class, From: day(b.X[a]), Low: shares(b.Low[a:z]), High: shares(b.High[a:z])},
			)
		}
	}
	for _, b := range us.Lines {
		if a, z := inside(b.X); a < z {
			l.Lines = append(
				l.Lines,
				layerY{
					Ink:    b.Ink.Class,
					From:   day(b.X[a]),
					Y:      shares(b.Y[a:z]),
					Width:  b.pen().width,
					Dashes: b.Dashes,
				},
			)
		}
	}
	for _, p := range us.Points {
		out := layerP{Ink: p.Ink.Class, Shape: p.Shape, Size: p.radius()}
		for i, x := range p.X {
			out.X, out.Y = append(out.X, day(x)), append(out.Y, share(p.Y[i]))
		}
		l.Points = append(l.Points, out)
	}
	rule := make([]layerR, len(us.Rules))
	for i, r := range us.Rules {
		rule[i] = layerR{
			Ink:    r.Ink.Class,
			X:      day(r.At),
			Width:  r.pen().width,
			Dashes: r.Dashes,
			Bold:   r.Heavy,
		}
	}
	for _, size := range []Size{wide, narrow} {
		at := first.drawn(size)
		for k, c := range []*Chart{us, si} {
			placed, _ := c.laid(at.data.min.x, at.data.max.x-at.data.min.x, size.Width, size)
			for i := range c.Rules {
				text := c.Rules[i].text(size)
				list := &rule[i].Wide
				if size.Width < narrowUnder {
					list = &rule[i].Narrow
				}
				if text != "" && (k == 0 || (*list)[0].Text != text || (*list)[0].Lane != placed[i].Lane) {
					*list = append(*list, layerLabel{text, placed[i].Lane, math.Round(placed[i].Shift)})
				}
			}
		}
	}
	for i, r := range us.Rules {
		if r.At >= us.X.Min && r.At <= us.X.Max {
			l.Rules = append(l.Rules, rule[i])
		}
	}
	return l
}

// firstDay is the day at the left end of an axis of days.
func (a *Axis) firstDay() climate.Day { return climate.Day(a.Min) }
