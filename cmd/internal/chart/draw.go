package chart

import (
	"fmt"
	"html"
	"math"
	"strings"
)

// A Size is that of a drawing in points, and of its text.
type Size struct{ Width, Height, Text float64 }

// fonts is the family of a drawing's text: measures alike, so that what the
// library laid out by the first fits in the others too.
const fonts = `"Liberation Sans", Arial, Helvetica, sans-serif`

// SVG draws a chart for a page in both systems of units: an svg element whose
// colours are classes; si is nil where the chart is alike in both. What differs
// stands in it twice, with the class of its system, us or si. Data-attributes give
// where the data lie and, where its x axis is of days of sowing, which days these
// are. A page says in words beside it what it shows.
func SVG(us, si *Chart, size Size) string {
	drawn := us.drawn(size)
	elements, notes := drawn.elements, drawn.notes
	if si != nil {
		other := si.drawn(size)
		elements, notes = both(elements, other.elements), both(notes, other.notes)
	}
	c, dates := us, ""
	if c.X.IsSown {
		dates = fmt.Sprintf(` data-first="%s" data-days="%g"`, c.X.firstDay(), c.X.Max-c.X.Min)
	}
	return fmt.Sprintf(
		`<svg aria-hidden="true" viewBox="0 0 %s %s"%s data-left="%s" data-width="%s" data-top="%s"`+
			` data-height="%s" data-text="%s">`+"\n%s%s</svg>\n",
		coordinate(size.Width),
		coordinate(size.Height),
		dates,
		coordinate(drawn.data.min.x),
		coordinate(drawn.data.max.x-drawn.data.min.x),
		coordinate(drawn.top()),
		coordinate(drawn.data.max.y-drawn.data.min.y),
		coordinate(size.Text),
		strings.Join(elements, ""),
		strings.Join(notes, ""),
	)
}

// drawn is the chart on a drawing for a page.
func (c *Chart) drawn(size Size) *drawing {
	v := &svg{height: size.Height}
	return &drawing{v, c.on(v, area{max: point{size.Width, size.Height}}, size)}
}

// A drawing is a chart as SVG with the area of its data.
type drawing struct {
	*svg
	data area
}

// top is the upper end of the data, counted downward as SVG does.
func (d *drawing) top() float64 { return d.height - d.data.max.y }

// both are the elements of two drawings as one: those that are alike once, others
// with the class of their system of units.
func both(us, si []string) []string {
	var out, usOnly, siOnly []string
	flush := func() {
		if len(usOnly) > 0 {
			out = append(out, "<g class=\"us\">"+strings.Join(usOnly, "")+"</g>\n")
		}
		if len(siOnly) > 0 {
			out = append(out, "<g class=\"si\">"+strings.Join(siOnly, "")+"</g>\n")
		}
		usOnly, siOnly = nil, nil
	}
	for i := range max(len(us), len(si)) {
		if i < len(us) && i < len(si) && us[i] == si[i] {
			flush()
			out = append(out, us[i])
			continue
		}
		if i < len(us) {
			usOnly = append(usOnly, us[i])
		}
		if i < len(si) {
			siOnly = append(siOnly, si[i])
		}
	}
	flush()
	return out
}

// slide is the size of a picture, for slides of 16 to 9.
func (c *Chart) slide() Size { return Size{800, 450, 13} }

// File draws the chart as an SVG file that stands alone, its title above it.
func (c *Chart) File() []byte {
	size := c.slide()
	v := &svg{height: size.Height, inline: true}
	c.titled(v, size)
	return fmt.Appendf(
		nil,
		"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"+
			`<svg xmlns="http://www.w3.org/2000/svg" role="img" width="%g" height="%g" viewBox="0 0 %g %g"`+
			" font-family='%s'>\n<title>%s</title>\n<desc>%s</desc>\n"+
			"<style>text { paint-order: stroke; stroke: #fff; stroke-width: 2.5px; stroke-linejoin: round }</style>\n"+
			"<rect width=\"100%%\" height=\"100%%\" fill=\"#ffffff\"/>\n%s%s</svg>\n",
		size.Width,
		size.Height,
		size.Width,
		size.Height,
		fonts,
		html.EscapeString(c.Title),
		html.EscapeString(c.Alt),
		strings.Join(v.elements, ""),
		strings.Join(v.notes, ""),
	)
}

// titled draws the chart beneath its title.
func (c *Chart) titled(s surface, size Size) {
	in := area{max: point{size.Width, size.Height}}.within(12, 12, 8, 10)
	title := lettering{size: size.Text * 1.25, bold: true, ink: Text}
	for _, line := range broken(c.Title, title, in.max.x-in.min.x) {
		write(s, title, point{in.min.x, in.max.y}, left, top, line)
		in.max.y -= 1.6 * size.Text
	}
	if c.Under != "" {
		write(s, lettering{size: size.Text, ink: Quiet}, point{in.min.x, in.max.y}, left, top, c.Under)
		in.max.y -= 1.7 * size.Text
	}
	c.on(s, in, size)
}

// broken breaks a text into lines of a width.
func broken(text string, l lettering, width float64) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(text) {
		longer := w
		if line != "" {
			longer = line + " " + longer
		}
		if line != "" && l.width(longer) > width {
			lines, line = append(lines, line), w
			continue
		}
		line = longer
	}
	return append(lines, line)
}

// on draws the chart in an area and returns that of its data.
func (c *Chart) on(s surface, in area, size Size) area {
	in = c.keys(s, in, size)
	placed, lanes := c.labels(c.axes(in, size), size)
	in.max.y -= float64(lanes) * lane(size)
	a := c.axes(in, size)
	a.draw(s)
	s.group("back")
	for _, b := range c.Bands {
		for _, run := range runs(b.X, b.Low, b.High) {
			var edge []point
			for i := run[0]; i < run[1]; i++ {
				edge = append(edge, a.at(b.X[i], b.High[i]))
			}
			for i := run[1] - 1; i >= run[0]; i-- {
				edge = append(edge, a.at(b.X[i], b.Low[i]))
			}
			s.fill(b.Ink, a.data.clippedPolygon(edge))
		}
	}
	s.end()
	if c.Empty != "" {
		mid := point{(a.data.min.x + a.data.max.x) / 2, (a.data.min.y + a.data.max.y) / 2}
		write(s, lettering{size: size.Text, ink: Quiet}, mid, centre, middle, c.Empty)
	}
	across := func(p pen, y float64) { s.stroke(p, []point{a.at(a.x.min, y), a.at(a.x.max, y)}) }
	grid := pen{ink: Grid, width: 0.6}
	for _, t := range c.Y.Ticks {
		across(grid, t.At)
	}
	for i := range c.Rows {
		across(grid, -float64(i))
	}
	s.group("front")
	for _, l := range c.Lines {
		for _, run := range runs(l.X, l.Y, l.Y) {
			var line []point
			for i := run[0]; i < run[1]; i++ {
				line = append(line, a.at(l.X[i], l.Y[i]))
			}
			for _, stretch := range a.data.clipped(line) {
				s.stroke(l.pen(), stretch)
			}
		}
	}
	for _, r := range c.Ranges {
		c.oneRange(s, a, r)
	}
	for _, r := range c.Rules {
		if r.Horizontal && r.At >= a.y.min && r.At <= a.y.max {
			across(pen{r.Ink, 1, r.Dashes}, r.At)
			end := a.at(a.x.max, r.At)
			write(s, lettering{size: size.Text, ink: r.Ink}, point{end.x, end.y + 2}, right, foot, r.Label)
		}
	}
	c.rules(s, a, size, placed)
	for _, p := range c.Points {
		for i := range p.X {
			here := a.at(p.X[i], c.up(p.Y[i]))
			if math.IsNaN(p.X[i]) || math.IsNaN(p.Y[i]) || !a.data.has(here) {
				continue
			}
			glyph(s, p.Shape, p.Ink, p.radius(), here)
			if p.Notes != nil {
				s.note(here, p.Notes[i])
			}
		}
	}
	s.end()
	return a.data
}

// up turns a row into a height: the first row is at the top.
func (c *Chart) up(y float64) float64 {
	if c.Rows != nil {
		return -y
	}
	return y
}

// runs are the stretches without NaN, as first and past the last.
func runs(x, a, b []float64) [][2]int {
	var out [][2]int
	start := -1
	for i := range x {
		ok := !math.IsNaN(x[i]) && !math.IsNaN(a[i]) && !math.IsNaN(b[i]) && !math.IsInf(a[i], 0) &&
			!math.IsInf(b[i], 0)
		switch {
		case ok && start < 0:
			start = i
		case !ok && start >= 0:
			out, start = append(out, [2]int{start, i}), -1
		}
	}
	if start >= 0 {
		out = append(out, [2]int{start, len(x)})
	}
	return out
}

// pen draws the line.
func (l *Line) pen() pen {
	p := pen{l.Ink, 1.5, l.Dashes}
	if l.Width > 0 {
		p.width = l.Width
	}
	return p
}

// radius is that of the points.
func (s *Points) radius() float64 {
	switch {
	case s.Size > 0:
		return s.Size
	case s.Shape == Triangle:
		return 4
	case s.Shape == Square:
		return 3
	}
	return 3.2
}

func (c *Chart) oneRange(s surface, a *axes, r Range) {
	clamp := func(x float64) float64 { return math.Max(a.x.min, math.Min(a.x.max, x)) }
	y := c.up(r.Row)
	if !math.IsNaN(r.Low) && !math.IsNaN(r.High) {
		s.stroke(pen{ink: r.Ink, width: 4}, []point{a.at(clamp(r.Low), y), a.at(clamp(r.High), y)})
	}
	if !math.IsNaN(r.Mid) && r.Mid >= a.x.min && r.Mid <= a.x.max {
		mid := a.at(r.Mid, y)
		glyph(s, Square, Text, 4.2, mid)
		s.note(mid, r.Note)
	}
}

// rules draws the upright lines, each up to its label, then the labels.
func (c *Chart) rules(s surface, a *axes, size Size, labels []label) {
	upright := func(r *Rule) bool { return !r.Horizontal && r.At >= a.x.min && r.At <= a.x.max }
	for i := range c.Rules {
		r := &c.Rules[i]
		if !upright(r) {
			continue
		}
		x, end := a.at(r.At, a.y.min).x, a.data.max.y
		if r.text(size) != "" {
			end += float64(labels[i].Lane+1) * lane(size)
		}
		s.stroke(r.pen(), []point{{x, a.data.min.y}, {x, end}})
	}
	for i := range c.Rules {
		r := &c.Rules[i]
		if !upright(r) || r.text(size) == "" {
			continue
		}
		y := a.data.max.y + float64(labels[i].Lane)*lane(size) + labelRise*size.Text
		write(s, r.lettering(size), point{a.at(r.At, a.y.min).x + labels[i].Shift, y}, left, foot, r.text(size))
	}
}

// pen draws the rule.
func (r *Rule) pen() pen {
	if r.Heavy {
		return pen{r.Ink, heavy, r.Dashes}
	}
	return pen{r.Ink, 1, r.Dashes}
}

// lettering is that of its label.
func (r *Rule) lettering(size Size) lettering {
	return lettering{size: size.Text, bold: r.Heavy, ink: r.Ink}
}

const heavy = 2.5 // width of a heavy rule, in points

// keys draws the keys above the chart and returns the room beneath.
func (c *Chart) keys(s surface, in area, size Size) area {
	const sample, gap, apart, half = 18, 5, 14, 5
	l := lettering{size: size.Text, ink: Text}
	row := size.Text * 1.5
	x, y, drawn := in.min.x, in.max.y-row/2, false
	seen := map[string]bool{"": true}
	key := func(label string, mark func(a, b point)) {
		if seen[label] {
			return
		}
		seen[label] = true
		width := sample + gap + l.width(label)
		if x > in.min.x && x+width > in.max.x {
			x, y = in.min.x, y-row
		}
		mid := y - 0.14*size.Text // of the small letters
		mark(point{x, mid}, point{x + sample, mid})
		write(s, l, point{x + sample + gap, y}, left, middle, label)
		x, drawn = x+width+apart, true
	}
	for _, c := range append([]*Chart{c}, c.others...) {
		for _, l := range c.Lines {
			key(l.Key, func(a, b point) { s.stroke(l.pen(), []point{a, b}) })
		}
		for _, b := range c.Bands {
			key(b.Key, func(a, z point) {
				s.fill(b.Ink, []point{{a.x, a.y - half}, {z.x, a.y - half}, {z.x, a.y + half}, {a.x, a.y + half}})
			})
		}
		for _, p := range c.Points {
			key(p.Key, func(a, b point) { glyph(s, p.Shape, p.Ink, p.radius(), point{(a.x + b.x) / 2, a.y}) })
		}
	}
	if !drawn {
		return in.within(0, 0, 0, 4)
	}
	in.max.y = y - row/2 - 6
	return in
}
