package chart

import (
	"fmt"
	"html"
	"image"
	"image/color"
	"math"
	"strconv"
	"strings"

	stdfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// A canvas writes what is drawn as SVG. The library's own SVG canvas writes fixed
// colours and the name of a font it does not embed; this one writes inks as
// classes, so that a page can be dark or printed, and leaves the font to the page.
// Its y runs upward, as gonum's does, until it is written.
type canvas struct {
	elements      []string
	height        float64
	inline        bool // colours as attributes too, for a file that stands alone
	width         vg.Length
	dashes        []vg.Length
	ink           color.Color
	to            transform
	stack         []canvas
	notes         []string // what is shown when pointed at, above all else
	plotX0, plotW float64  // where the data lie, in the chart's units
	plotY0, plotH float64
}

// A transform turns by an angle, then moves.
type transform struct {
	turn float64
	by   vg.Point
}

func (t transform) at(p vg.Point) vg.Point {
	sin, cos := math.Sincos(t.turn)
	return vg.Point{
		X: t.by.X + p.X*vg.Length(cos) - p.Y*vg.Length(sin),
		Y: t.by.Y + p.X*vg.Length(sin) + p.Y*vg.Length(cos),
	}
}

func newCanvas(height float64, inline bool) *canvas {
	return &canvas{height: height, inline: inline, width: 1, ink: color.Black}
}

func (c *canvas) SetLineWidth(w vg.Length)                { c.width = w }
func (c *canvas) SetLineDash(d []vg.Length, _ vg.Length)  { c.dashes = d }
func (c *canvas) SetColor(ink color.Color)                { c.ink = ink }
func (c *canvas) Rotate(rad float64)                      { c.to.turn += rad }
func (c *canvas) Translate(p vg.Point)                    { c.to.by = c.to.at(p) }
func (c *canvas) Scale(_, _ float64)                      { panic("chart: a scaled canvas") }
func (c *canvas) DrawImage(_ vg.Rectangle, _ image.Image) { panic("chart: an image in a chart") }

func (c *canvas) Push() {
	c.stack = append(c.stack, canvas{width: c.width, dashes: c.dashes, ink: c.ink, to: c.to})
}

func (c *canvas) Pop() {
	s := &c.stack[len(c.stack)-1]
	c.width, c.dashes, c.ink, c.to = s.width, s.dashes, s.ink, s.to
	c.stack = c.stack[:len(c.stack)-1]
}

// coordinate writes a number to a tenth.
func coordinate(v float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(v, 'f', 1, 64), ".0")
}

// at is a point as SVG has it, y downward.
func (c *canvas) at(p vg.Point) string {
	p = c.to.at(p)
	return coordinate(float64(p.X)) + " " + coordinate(c.height-float64(p.Y))
}

// path writes a path. Lines are relative, from tenth to tenth, which is shorter.
func (c *canvas) path(p vg.Path) string {
	var b strings.Builder
	tenths := func(p vg.Point) (x, y int) {
		p = c.to.at(p)
		return int(math.Round(10 * float64(p.X))), int(math.Round(10 * (c.height - float64(p.Y))))
	}
	lastX, lastY := 0, 0
	for _, x := range simpler(p) {
		switch x.Type {
		case vg.MoveComp:
			lastX, lastY = tenths(x.Pos)
			b.WriteString("M" + c.at(x.Pos))
		case vg.LineComp:
			if px, py := tenths(x.Pos); px != lastX || py != lastY {
				b.WriteString("l" + tenth(px-lastX) + " " + tenth(py-lastY))
				lastX, lastY = px, py
			}
		case vg.CloseComp:
			b.WriteString("Z")
		case vg.ArcComp:
			// In two halves, since one arc of SVG cannot be a whole circle.
			point := func(angle float64) string {
				sin, cos := math.Sincos(angle)
				return c.at(vg.Point{X: x.Pos.X + x.Radius*vg.Length(cos), Y: x.Pos.Y + x.Radius*vg.Length(sin)})
			}
			sweep := 0
			if x.Angle < 0 {
				sweep = 1
			}
			join := "L"
			if b.Len() == 0 {
				join = "M"
			}
			b.WriteString(join + point(x.Start))
			for _, part := range []float64{0.5, 1} {
				r := coordinate(float64(x.Radius))
				fmt.Fprintf(&b, "A%s %s 0 0 %d %s", r, r, sweep, point(x.Start+part*x.Angle))
			}
		default:
			panic("chart: a curve in a path")
		}
	}
	return b.String()
}

// flat is how far a point may lie off the line that replaces it, in points.
const flat = 0.12

// simpler is a path without the points that lie on a line between their neighbours.
func simpler(p vg.Path) vg.Path {
	var out vg.Path
	for i := 0; i < len(p); {
		if p[i].Type != vg.LineComp || i == 0 || p[i-1].Type == vg.ArcComp {
			out = append(out, p[i])
			i++
			continue
		}
		end := i
		for end+1 < len(p) && p[end+1].Type == vg.LineComp {
			end++
		}
		line := p[i-1 : end+1]
		keep := make([]bool, len(line))
		bent(line, 0, len(line)-1, keep)
		for k := 1; k < len(line); k++ {
			if keep[k] || k == len(line)-1 {
				out = append(out, line[k])
			}
		}
		i = end + 1
	}
	return out
}

// bent marks the points between two of a line that are needed to draw it.
//
// Reference: Douglas & Peucker 1973, from memory.
func bent(line vg.Path, a, z int, keep []bool) {
	from, to := line[a].Pos, line[z].Pos
	length := math.Hypot(float64(to.X-from.X), float64(to.Y-from.Y))
	far, at := 0.0, -1
	for i := a + 1; i < z; i++ {
		x, y := float64(line[i].Pos.X-from.X), float64(line[i].Pos.Y-from.Y)
		off := math.Hypot(x, y)
		if length > 0 {
			off = math.Abs(x*float64(to.Y-from.Y)-y*float64(to.X-from.X)) / length
		}
		if off > far {
			far, at = off, i
		}
	}
	if far > flat {
		keep[at] = true
		bent(line, a, at, keep)
		bent(line, at, z, keep)
	}
}

// tenth writes a number of tenths.
func tenth(n int) string { return coordinate(float64(n) / 10) }

// paint is the class of the ink, and its colour where the file stands alone.
func (c *canvas) paint(property string) string {
	ink, ok := c.ink.(Ink)
	if !ok {
		n := color.NRGBAModel.Convert(c.ink).(color.NRGBA)
		return fmt.Sprintf(`%s="#%02x%02x%02x"`, property, n.R, n.G, n.B)
	}
	if c.inline {
		return fmt.Sprintf(`%s="#%02x%02x%02x"`, property, ink.R, ink.G, ink.B)
	}
	return fmt.Sprintf(`class="%c-%s"`, property[0], ink.Class)
}

// add writes an element.
func (c *canvas) add(format string, values ...any) {
	c.elements = append(c.elements, fmt.Sprintf(format, values...))
}

func (c *canvas) Stroke(p vg.Path) {
	d := c.path(p)
	if c.width <= 0 || d == "" {
		return
	}
	dash := ""
	if len(c.dashes) > 0 {
		var list []string
		for _, l := range c.dashes {
			list = append(list, coordinate(float64(l)))
		}
		dash = ` stroke-dasharray="` + strings.Join(list, " ") + `"`
	}
	c.add(
		"<path %s fill=\"none\" stroke-width=\"%s\"%s d=\"%s\"/>\n",
		c.paint("stroke"),
		coordinate(float64(c.width)),
		dash,
		d,
	)
}

func (c *canvas) Fill(p vg.Path) {
	if d := c.path(p); d != "" {
		c.add("<path %s d=\"%s\"/>\n", c.paint("fill"), d)
	}
}

func (c *canvas) FillString(f font.Face, p vg.Point, text string) {
	if strings.TrimSpace(text) == "" {
		return
	}
	at := c.to.at(p)
	x, y := coordinate(float64(at.X)), coordinate(c.height-float64(at.Y))
	turned := ""
	if c.to.turn != 0 {
		turned = fmt.Sprintf(` transform="rotate(%s %s %s)"`, coordinate(-c.to.turn*180/math.Pi), x, y)
	}
	weight := ""
	if f.Font.Weight >= stdfont.WeightBold {
		weight = ` font-weight="bold"`
	}
	c.add(
		"<text %s font-size=\"%s\"%s x=\"%s\" y=\"%s\"%s>%s</text>\n",
		c.paint("fill"),
		coordinate(float64(f.Font.Size)),
		weight,
		x,
		y,
		turned,
		html.EscapeString(text),
	)
}

// note shows a text where a point is pointed at.
func (c *canvas) note(p vg.Point, text string) {
	if text != "" {
		at := strings.Split(c.at(p), " ")
		c.notes = append(
			c.notes,
			fmt.Sprintf(
				"<circle class=\"note\" fill-opacity=\"0\" r=\"9\" cx=\"%s\" cy=\"%s\"><title>%s</title></circle>\n",
				at[0],
				at[1],
				html.EscapeString(text),
			),
		)
	}
}
