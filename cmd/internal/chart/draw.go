package chart

import (
	"bytes"
	"fmt"
	"html"
	"math"
	"strings"

	stdfont "golang.org/x/image/font"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
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
		coordinate(
			drawn.plotX0,
		),
		coordinate(drawn.plotW),
		coordinate(drawn.plotY0),
		coordinate(drawn.plotH),
		coordinate(size.Text),
		strings.Join(elements, ""),
		strings.Join(notes, ""),
	)
}

// drawn is the chart on a canvas for a page.
func (c *Chart) drawn(size Size) *canvas {
	v := newCanvas(size.Height, false)
	c.on(draw.NewCanvas(v, vg.Length(size.Width), vg.Length(size.Height)), size)
	return v
}

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
	v := newCanvas(size.Height, true)
	c.titled(draw.NewCanvas(v, vg.Length(size.Width), vg.Length(size.Height)), size)
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

// pictureDPI gives a slide 1600 × 900 pixels.
const pictureDPI = 144

// PNG draws the chart as a picture, its title above it.
func (c *Chart) PNG() ([]byte, error) {
	size := c.slide()
	v := vgimg.NewWith(vgimg.UseWH(vg.Length(size.Width), vg.Length(size.Height)), vgimg.UseDPI(pictureDPI))
	c.titled(draw.New(v), size)
	var b bytes.Buffer
	_, err := vgimg.PngCanvas{Canvas: v}.WriteTo(&b)
	return b.Bytes(), err
}

// titled draws the chart beneath its title.
func (c *Chart) titled(dc draw.Canvas, size Size) {
	dc = draw.Crop(dc, 12, -12, 8, -10)
	sty := style(size.Text*1.25, Text)
	sty.Font.Weight = stdfont.WeightBold
	sty.YAlign = text.YTop
	for _, line := range broken(c.Title, sty, dc.Max.X-dc.Min.X) {
		dc.FillText(sty, vg.Point{X: dc.Min.X, Y: dc.Max.Y}, line)
		dc = draw.Crop(dc, 0, 0, 0, -vg.Length(1.6*size.Text))
	}
	under := style(size.Text, Quiet)
	under.YAlign = text.YTop
	if c.Under != "" {
		dc.FillText(under, vg.Point{X: dc.Min.X, Y: dc.Max.Y}, c.Under)
		dc = draw.Crop(dc, 0, 0, 0, -vg.Length(1.7*size.Text))
	}
	c.on(dc, size)
}

// broken breaks a text into lines of a width.
func broken(s string, sty text.Style, width vg.Length) []string {
	var lines []string
	line := ""
	for _, w := range bytes.Fields([]byte(s)) {
		longer := string(w)
		if line != "" {
			longer = line + " " + longer
		}
		if line != "" && sty.Width(longer) > width {
			lines, line = append(lines, line), string(w)
			continue
		}
		line = longer
	}
	return append(lines, line)
}

// style is that of text in a chart.
func style(size float64, ink Ink) text.Style {
	return text.Style{
		Color:   ink,
		Font:    font.Font{Typeface: "Liberation", Variant: "Sans", Size: vg.Length(size)},
		Handler: plot.DefaultTextHandler,
	}
}

// A layer is drawn with the scales of the plot.
type layer func(c draw.Canvas, at func(x, y float64) vg.Point)

func (l layer) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	l(c, func(a, b float64) vg.Point { return vg.Point{X: x(a), Y: y(b)} })
}

// on draws the chart on a canvas.
func (c *Chart) on(dc draw.Canvas, size Size) {
	dc = c.keys(dc, size)
	p := plot.New()
	p.BackgroundColor = nil
	c.axes(p, size)
	placed, lanes := c.labels(p, dc, size)
	dc = draw.Crop(dc, 0, 0, 0, -vg.Length(lanes)*lane(size))
	p.Add(layer(func(dc draw.Canvas, at func(x, y float64) vg.Point) {
		if v, ok := own(dc); ok {
			low, high := at(c.X.Min, p.Y.Min), at(c.X.Max, p.Y.Max)
			v.plotX0, v.plotW = float64(low.X), float64(high.X-low.X)
			v.plotY0, v.plotH = v.height-float64(high.Y), float64(high.Y-low.Y)
		}
		mark(dc, "<g class=\"back\">\n")
		for _, b := range c.Bands {
			for _, run := range runs(b.X, b.Low, b.High) {
				var edge []vg.Point
				for i := run[0]; i < run[1]; i++ {
					edge = append(edge, at(b.X[i], b.High[i]))
				}
				for i := run[1] - 1; i >= run[0]; i-- {
					edge = append(edge, at(b.X[i], b.Low[i]))
				}
				dc.FillPolygon(b.Ink, dc.ClipPolygonXY(edge))
			}
		}
		mark(dc, "</g>\n")
		if c.Empty != "" {
			sty := style(size.Text, Quiet)
			sty.XAlign, sty.YAlign = text.XCenter, text.YCenter
			dc.FillText(sty, vg.Point{X: (dc.Min.X + dc.Max.X) / 2, Y: (dc.Min.Y + dc.Max.Y) / 2}, c.Empty)
		}
		grid := draw.LineStyle{Color: Grid, Width: 0.6}
		for _, t := range c.Y.Ticks {
			dc.StrokeLines(grid, []vg.Point{at(c.X.Min, t.At), at(c.X.Max, t.At)})
		}
		for i := range c.Rows {
			dc.StrokeLines(grid, []vg.Point{at(c.X.Min, -float64(i)), at(c.X.Max, -float64(i))})
		}
		mark(dc, "<g class=\"front\">\n")
		for _, l := range c.Lines {
			for _, run := range runs(l.X, l.Y, l.Y) {
				var points []vg.Point
				for i := run[0]; i < run[1]; i++ {
					points = append(points, at(l.X[i], l.Y[i]))
				}
				dc.StrokeLines(l.style(), dc.ClipLinesXY(points)...)
			}
		}
		for _, r := range c.Ranges {
			c.oneRange(dc, r, at)
		}
		c.levels(dc, size, at)
		c.rules(dc, size, at, placed)
		for _, s := range c.Points {
			for i := range s.X {
				here := at(s.X[i], c.up(s.Y[i]))
				if math.IsNaN(s.X[i]) || math.IsNaN(s.Y[i]) || !dc.Contains(here) {
					continue
				}
				dc.DrawGlyphNoClip(s.glyph(), here)
				if v, ok := own(dc); ok && s.Notes != nil {
					v.note(here, s.Notes[i])
				}
			}
		}
		mark(dc, "</g>\n")
	}))
	p.Draw(dc)
}

// mark writes an element that groups what is drawn, where that is an SVG.
func mark(dc draw.Canvas, element string) {
	if v, ok := own(dc); ok {
		v.elements = append(v.elements, element)
	}
}

// own is the canvas of this package that is drawn on, if it is one: cropping
// wraps it.
func own(dc draw.Canvas) (*canvas, bool) {
	under := dc.Canvas
	for {
		switch c := under.(type) {
		case draw.Canvas:
			under = c.Canvas
		case *canvas:
			return c, true
		default:
			return nil, false
		}
	}
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

func lengths(d []float64) []vg.Length {
	var out []vg.Length
	for _, v := range d {
		out = append(out, vg.Length(v))
	}
	return out
}

func (l *Line) style() draw.LineStyle {
	s := draw.LineStyle{Color: l.Ink, Width: 1.5, Dashes: lengths(l.Dashes)}
	if l.Width > 0 {
		s.Width = vg.Length(l.Width)
	}
	return s
}

func (s *Points) glyph() draw.GlyphStyle {
	g := draw.GlyphStyle{Color: s.Ink, Radius: 3.2, Shape: draw.CircleGlyph{}}
	switch s.Shape {
	case Triangle:
		g.Shape, g.Radius = draw.PyramidGlyph{}, 4
	case Square:
		g.Shape, g.Radius = draw.BoxGlyph{}, 3
	}
	if s.Size > 0 {
		g.Radius = vg.Length(s.Size)
	}
	return g
}

func (c *Chart) oneRange(dc draw.Canvas, r Range, at func(x, y float64) vg.Point) {
	clamp := func(x float64) float64 { return math.Max(c.X.Min, math.Min(c.X.Max, x)) }
	y := c.up(r.Row)
	if !math.IsNaN(r.Low) && !math.IsNaN(r.High) {
		a, b := at(clamp(r.Low), y), at(clamp(r.High), y)
		dc.StrokeLines(draw.LineStyle{Color: r.Ink, Width: 4}, []vg.Point{a, b})
	}
	if mid := at(clamp(r.Mid), y); !math.IsNaN(r.Mid) && r.Mid >= c.X.Min && r.Mid <= c.X.Max {
		dc.DrawGlyphNoClip(draw.GlyphStyle{Color: Text, Radius: 4.2, Shape: draw.BoxGlyph{}}, mid)
		if v, ok := own(dc); ok {
			v.note(mid, r.Note)
		}
	}
}

// levels draws the lines across at a height.
func (c *Chart) levels(dc draw.Canvas, size Size, at func(x, y float64) vg.Point) {
	for _, r := range c.Rules {
		if !r.Horizontal || r.At < c.Y.Min || r.At > c.Y.Max {
			continue
		}
		a, b := at(c.X.Min, r.At), at(c.X.Max, r.At)
		dc.StrokeLines(draw.LineStyle{Color: r.Ink, Width: 1, Dashes: lengths(r.Dashes)}, []vg.Point{a, b})
		sty := style(size.Text, r.Ink)
		sty.XAlign = text.XRight
		dc.FillText(sty, vg.Point{X: b.X, Y: b.Y + 2}, r.Label)
	}
}

// rules draws the upright lines, each up to its label.
func (c *Chart) rules(dc draw.Canvas, size Size, at func(x, y float64) vg.Point, labels []label) {
	for i, r := range c.Rules {
		if r.Horizontal || r.At < c.X.Min || r.At > c.X.Max {
			continue
		}
		x, top := at(r.At, 0).X, dc.Max.Y
		if r.text(size) != "" {
			top += vg.Length(labels[i].Lane+1) * lane(size)
		}
		dc.StrokeLines(r.style(), []vg.Point{{X: x, Y: dc.Min.Y}, {X: x, Y: top}})
	}
	for i, r := range c.Rules {
		if r.Horizontal || r.At < c.X.Min || r.At > c.X.Max || r.text(size) == "" {
			continue
		}
		sty := style(size.Text, r.Ink)
		if r.Heavy {
			sty.Font.Weight = stdfont.WeightBold
		}
		y := dc.Max.Y + vg.Length(labels[i].Lane)*lane(size) + vg.Length(labelRise*size.Text)
		dc.FillText(sty, vg.Point{X: at(r.At, 0).X + vg.Length(labels[i].Shift), Y: y}, r.text(size))
	}
}

// style is the line of a rule.
func (r *Rule) style() draw.LineStyle {
	if r.Heavy {
		return draw.LineStyle{Color: r.Ink, Width: heavy, Dashes: lengths(r.Dashes)}
	}
	return draw.LineStyle{Color: r.Ink, Width: 1, Dashes: lengths(r.Dashes)}
}

const heavy = 2.5 // width of a heavy rule, in points

// axes sets up the plot's axes.
func (c *Chart) axes(p *plot.Plot, size Size) {
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = c.X.Min, c.X.Max, c.Y.Min, c.Y.Max
	if c.Rows != nil {
		p.Y.Min, p.Y.Max = -float64(len(c.Rows))+0.4, 0.6
	}
	for _, a := range []struct {
		*plot.Axis
		own Axis
	}{{&p.X, c.X}, {&p.Y, c.Y}} {
		a.Label.Text = a.own.Label
		label := style(size.Text, Quiet)
		like := a.Label.TextStyle
		label.XAlign, label.YAlign, label.Rotation = like.XAlign, like.YAlign, like.Rotation
		a.Label.TextStyle = label
		tick := style(size.Text, Quiet)
		tick.XAlign, tick.YAlign = a.Tick.Label.XAlign, a.Tick.Label.YAlign
		a.Tick.Label = tick
		a.LineStyle = draw.LineStyle{Color: Quiet, Width: 0.8}
		a.Tick.LineStyle = a.LineStyle
		a.Tick.Length = 4
		a.Padding = 0
		var ticks plot.ConstantTicks
		list := a.own.Ticks
		if a.own.IsDates {
			list = a.own.dateTicks(size.Width-4*size.Text, size.Text)
		}
		for _, t := range list {
			ticks = append(ticks, plot.Tick{Value: t.At, Label: t.Label})
		}
		a.Tick.Marker = ticks
	}
	if c.Rows != nil {
		var ticks plot.ConstantTicks
		for i, name := range c.Rows {
			ticks = append(ticks, plot.Tick{Value: -float64(i), Label: name})
		}
		p.Y.Tick.Marker, p.Y.Tick.Length, p.Y.LineStyle.Width = ticks, 0, 0
	}
}

// keys draws the keys above the chart and returns the room beneath.
func (c *Chart) keys(dc draw.Canvas, size Size) draw.Canvas {
	const sample, gap = 18, 5
	sty := style(size.Text, Text)
	sty.YAlign = text.YCenter
	row := vg.Length(size.Text * 1.5)
	x, y, drawn := dc.Min.X, dc.Max.Y-row/2, false
	seen := map[string]bool{"": true}
	key := func(label string, mark func(a, b vg.Point)) {
		if seen[label] {
			return
		}
		seen[label] = true
		width := sample + gap + sty.Width(label) + 14
		if x > dc.Min.X && x+width-14 > dc.Max.X {
			x, y = dc.Min.X, y-row
		}
		mid := y - vg.Length(0.14*size.Text) // of the small letters
		mark(vg.Point{X: x, Y: mid}, vg.Point{X: x + sample, Y: mid})
		dc.FillText(sty, vg.Point{X: x + sample + gap, Y: y}, label)
		x, drawn = x+width, true
	}
	for _, c := range append([]*Chart{c}, c.others...) {
		for _, l := range c.Lines {
			key(l.Key, func(a, b vg.Point) { dc.StrokeLines(l.style(), []vg.Point{a, b}) })
		}
		for _, b := range c.Bands {
			key(b.Key, func(a, z vg.Point) {
				dc.FillPolygon(
					b.Ink,
					[]vg.Point{{X: a.X, Y: a.Y - 5}, {X: z.X, Y: a.Y - 5}, {X: z.X, Y: a.Y + 5}, {X: a.X, Y: a.Y + 5}},
				)
			})
		}
		for _, s := range c.Points {
			key(s.Key, func(a, b vg.Point) { dc.DrawGlyphNoClip(s.glyph(), vg.Point{X: (a.X + b.X) / 2, Y: a.Y}) })
		}
	}
	if !drawn {
		return draw.Crop(dc, 0, 0, 0, -4)
	}
	return draw.Crop(dc, 0, 0, 0, y-row/2-6-dc.Max.Y)
}
