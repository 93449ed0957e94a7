package chart

import "math"

// A surface is what is drawn on. Lengths are points; y runs upward from its foot.
type surface interface {
	stroke(p pen, line []point)
	fill(ink Ink, polygon []point)
	disc(ink Ink, at point, radius float64)
	// text writes a line that begins at a point of its baseline; upright: upward.
	text(l lettering, at point, upright bool, text string)
	// group begins a group of what is drawn, which end ends.
	group(name string)
	end()
	// note shows a text where a point is pointed at.
	note(at point, text string)
}

// A point of a drawing.
type point struct{ x, y float64 }

// A pen draws lines of a width.
type pen struct {
	ink    Ink
	width  float64
	dashes []float64 // nil: solid
}

// An area is a rectangle of a drawing.
type area struct{ min, max point }

// within is the area without so much at its left, right, foot and top.
func (a area) within(left, right, foot, top float64) area {
	return area{point{a.min.x + left, a.min.y + foot}, point{a.max.x - right, a.max.y - top}}
}

// slack is by how much a point may lie outside of what contains it, for rounding.
const slack = 1e-6

func (a area) hasX(x float64) bool { return x >= a.min.x-slack && x <= a.max.x+slack }
func (a area) hasY(y float64) bool { return y >= a.min.y-slack && y <= a.max.y+slack }
func (a area) has(p point) bool    { return a.hasX(p.x) && a.hasY(p.y) }

// A side is a straight border: what lies within is where off is not negative.
type side func(p point) (off float64)

func (a area) sides() []side {
	return []side{
		func(p point) float64 { return p.x - a.min.x }, func(p point) float64 { return a.max.x - p.x },
		func(p point) float64 { return p.y - a.min.y }, func(p point) float64 { return a.max.y - p.y },
	}
}

// crossing is where the line from p to q crosses the side.
func (s side) crossing(p, q point) point {
	a, b := s(p), s(q)
	t := a / (a - b)
	return point{p.x + t*(q.x-p.x), p.y + t*(q.y-p.y)}
}

// clipped are the stretches of a line that lie in the area.
func (a area) clipped(line []point) [][]point {
	list := [][]point{line}
	for _, s := range a.sides() {
		var next [][]point
		for _, l := range list {
			var run []point
			for i, p := range l {
				in := s(p) >= 0
				if i > 0 && in != (s(l[i-1]) >= 0) {
					run = append(run, s.crossing(l[i-1], p))
				}
				if in {
					run = append(run, p)
				} else if len(run) > 0 {
					next, run = append(next, run), nil
				}
			}
			if len(run) > 0 {
				next = append(next, run)
			}
		}
		list = next
	}
	return list
}

// clippedPolygon is the part of a polygon that lies in the area.
//
// Reference: Sutherland & Hodgman 1974, from memory.
func (a area) clippedPolygon(polygon []point) []point {
	for _, s := range a.sides() {
		var next []point
		for i, p := range polygon {
			before := polygon[(i+len(polygon)-1)%len(polygon)]
			if (s(p) >= 0) != (s(before) >= 0) {
				next = append(next, s.crossing(before, p))
			}
			if s(p) >= 0 {
				next = append(next, p)
			}
		}
		polygon = next
	}
	return polygon
}

// Where a text stands at its point: shares of its width and height that it is moved by.
const (
	left, centre, right = 0, -0.5, -1
	foot, middle, top   = 0, -0.5, -1
)

// write writes a text of several lines at a point.
func write(s surface, l lettering, at point, across, up float64, text string) {
	list := lines(text)
	y := at.y + up*l.height(text) - l.ascent()
	for i, line := range list {
		if line == "" || line == " " {
			continue
		}
		s.text(l, point{at.x + across*l.width(line), y + float64(len(list)-i)*l.size}, false, line)
	}
}

// writeUpward writes a line upward whose foot is centred right of a point.
func writeUpward(s surface, l lettering, at point, text string) {
	s.text(l, point{at.x + l.ascent() - l.size, at.y - l.width(text)/2}, true, text)
}

// glyph draws a mark of a shape.
func glyph(s surface, shape Shape, ink Ink, radius float64, at point) {
	switch shape {
	case Triangle:
		r, sin, cos := 1.25*radius, 0.5, math.Sqrt(3)/2
		s.fill(ink, []point{{at.x, at.y + r}, {at.x - r*cos, at.y - r*sin}, {at.x + r*cos, at.y - r*sin}})
	case Square:
		r := radius * (1 + math.Sqrt2/2) / 2
		s.fill(ink, []point{{at.x - r, at.y - r}, {at.x + r, at.y - r}, {at.x + r, at.y + r}, {at.x - r, at.y + r}})
	default:
		s.disc(ink, at, radius)
	}
}
