package chart

import "math"

// Axes are a chart's scales on a drawing, with the room that their labels take.
type axes struct {
	x, y  scale
	whole area // of axes and data
	data  area
	ticks lettering
}

// A scale is an axis as it is drawn.
type scale struct {
	min, max float64
	label    string
	ticks    []Tick
	line     float64 // width of the axis and its ticks; 0: neither is drawn
}

const (
	axisWidth  = 0.8
	tickLength = 4 // of a tick with a label; others have half of it
)

// share is where a value lies on the scale, 0 to 1.
func (s *scale) share(v float64) float64 { return (v - s.min) / (s.max - s.min) }

// shown are the ticks with a label.
func (s *scale) shown() []Tick {
	var list []Tick
	for _, t := range s.ticks {
		if t.Label != "" {
			list = append(list, t)
		}
	}
	return list
}

// most is the greatest measure of the labels of the ticks.
func (s *scale) most(measure func(string) float64) float64 {
	m := 0.0
	for _, t := range s.shown() {
		m = math.Max(m, measure(t.Label))
	}
	return m
}

// axes lays the axes of the chart out in an area.
func (c *Chart) axes(in area, size Size) *axes {
	a := &axes{whole: in, ticks: lettering{size: size.Text, ink: Quiet},
		x: scale{min: c.X.Min, max: c.X.Max, label: c.X.Label, ticks: c.X.Ticks, line: axisWidth},
		y: scale{min: c.Y.Min, max: c.Y.Max, label: c.Y.Label, ticks: c.Y.Ticks, line: axisWidth}}
	if c.X.IsDates {
		a.x.ticks = c.X.dateTicks(size.Width-4*size.Text, size.Text)
	}
	if c.Rows != nil {
		a.y = scale{min: -float64(len(c.Rows)) + 0.4, max: 0.6, label: c.Y.Label}
		for i, name := range c.Rows {
			a.y.ticks = append(a.y.ticks, Tick{-float64(i), name})
		}
	}
	for _, s := range []*scale{&a.x, &a.y} {
		if s.min == s.max {
			s.min, s.max = s.min-1, s.max+1
		}
	}
	a.data = in.within(a.yWidth(), 0, a.xHeight(), 0)
	a.data.max.x = a.rightEnd()
	a.data.max.y = a.topEnd()
	return a
}

// xHeight is the height of the x axis with its labels.
func (a *axes) xHeight() float64 {
	h := axisWidth / 2
	if a.x.label != "" {
		h += a.ticks.height(a.x.label)
	}
	if len(a.x.ticks) > 0 {
		h += tickLength + a.x.most(a.ticks.height)
	}
	return h
}

// yWidth is the width of the y axis with its labels.
func (a *axes) yWidth() float64 {
	w := a.y.line / 2
	if a.y.label != "" {
		w += a.ticks.descent() + a.ticks.height(a.y.label)
	}
	if labels := a.y.most(a.ticks.width); labels > 0 {
		w += labels + a.ticks.width(" ")
	}
	if len(a.y.ticks) > 0 && a.y.line > 0 {
		w += tickLength
	}
	return w
}

// rightEnd is the right end of the data, so that the labels of the x axis lie within the
// drawing.
func (a *axes) rightEnd() float64 {
	from, end := a.data.min.x, a.whole.max.x
	far := end
	fit := func(share, half float64) {
		if at := from + share*(a.whole.max.x-from) + half; share > 0 && share <= 1 && at > far {
			far, end = at, from+(a.whole.max.x-half-from)/share
		}
	}
	if a.x.label != "" {
		fit(0.5, a.ticks.width(a.x.label)/2)
	}
	for _, t := range a.x.shown() {
		fit(a.x.share(t.At), a.ticks.width(t.Label)/2)
	}
	return end
}

// topEnd is the top of the data, so that the labels of the y axis lie within the drawing.
func (a *axes) topEnd() float64 {
	from, end := a.data.min.y, a.whole.max.y
	far := end
	fit := func(share, half float64) {
		if at := from + share*(a.whole.max.y-from) + half; share > 0 && share <= 1 && at > far {
			far, end = at, from+(a.whole.max.y-half-from)/share
		}
	}
	if a.y.label != "" {
		fit(0.5, a.ticks.width(a.y.label)/2)
	}
	for _, t := range a.y.shown() {
		fit(a.y.share(t.At), a.ticks.height(t.Label)/2)
	}
	return end
}

// at is where values lie.
func (a *axes) at(x, y float64) point {
	return point{a.data.min.x + a.x.share(x)*(a.data.max.x-a.data.min.x),
		a.data.min.y + a.y.share(y)*(a.data.max.y-a.data.min.y)}
}

// draw draws the axes.
func (a *axes) draw(s surface) {
	a.drawX(s)
	a.drawY(s)
}

func (a *axes) drawX(s surface) {
	axis := pen{ink: Quiet, width: a.x.line}
	y, descent := a.whole.min.y, a.ticks.descent()
	if a.x.label != "" {
		write(s, a.ticks, point{(a.data.min.x + a.data.max.x) / 2, y + descent}, centre, foot, a.x.label)
		y += a.ticks.height(a.x.label)
	}
	y += a.x.most(a.ticks.height)
	for _, t := range a.x.shown() {
		if x := a.at(t.At, a.y.min).x; a.data.hasX(x) {
			write(s, a.ticks, point{x, y + descent}, centre, top, t.Label)
		}
	}
	if len(a.x.ticks) > 0 {
		for _, t := range a.x.ticks {
			if x := a.at(t.At, a.y.min).x; a.data.hasX(x) {
				s.stroke(axis, []point{{x, y + t.shorter()}, {x, y + tickLength}})
			}
		}
		y += tickLength
	} else {
		y += axisWidth / 2
	}
	s.stroke(axis, []point{{a.data.min.x, y}, {a.data.max.x, y}})
}

func (a *axes) drawY(s surface) {
	axis := pen{ink: Quiet, width: a.y.line}
	x, descent := a.whole.min.x, a.ticks.descent()
	if a.y.label != "" {
		x += a.ticks.height(a.y.label)
		writeUpward(s, a.ticks, point{x - descent, (a.data.min.y + a.data.max.y) / 2}, a.y.label)
		x += descent
	}
	x += a.y.most(a.ticks.width)
	for _, t := range a.y.shown() {
		if y := a.at(a.x.min, t.At).y; a.data.hasY(y) {
			write(s, a.ticks, point{x, y + descent}, right, middle, t.Label)
		}
	}
	if len(a.y.shown()) > 0 {
		x += a.ticks.width(" ")
	}
	if a.y.line == 0 {
		return
	}
	for _, t := range a.y.ticks {
		if y := a.at(a.x.min, t.At).y; a.data.hasY(y) {
			s.stroke(axis, []point{{x + t.shorter(), y}, {x + tickLength, y}})
		}
	}
	if len(a.y.ticks) > 0 {
		x += tickLength
	}
	s.stroke(axis, []point{{x, a.data.min.y}, {x, a.data.max.y}})
}

// shorter is by how much a tick is shorter than one with a label.
func (t *Tick) shorter() float64 {
	if t.Label == "" {
		return tickLength / 2.0
	}
	return 0
}
