package chart

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
)

// An svg writes what is drawn as elements of SVG. Inks are classes, so that a page can
// be dark or printed, and the font is left to the page. It implements surface.
type svg struct {
	elements []string
	height   float64
	inline   bool     // colours as attributes too, for a file that stands alone
	notes    []string // what is shown when pointed at, above all else
}

// coordinate writes a number to a tenth.
func coordinate(v float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(v, 'f', 1, 64), ".0")
}

// path writes a line. It is relative, from tenth to tenth, which is shorter.
func (c *svg) path(points []point) string {
	var b strings.Builder
	tenths := make([]point, len(points))
	for i, p := range points {
		tenths[i] = point{math.Round(10 * p.x), math.Round(10 * (c.height - p.y))}
	}
	lastX, lastY := 0, 0
	for i, p := range simpler(tenths) {
		x, y := int(p.x), int(p.y)
		switch {
		case i == 0:
			b.WriteString("M" + tenth(x) + " " + tenth(y))
		case x != lastX || y != lastY:
			b.WriteString("l" + tenth(x-lastX) + " " + tenth(y-lastY))
		}
		lastX, lastY = x, y
	}
	return b.String()
}

// flat is how far a point may lie off the line that replaces it, in tenths of a point.
const flat = 1.2

// simpler is a line without the points that lie on a line between their neighbours. Its
// points are of whole tenths, so that every processor keeps the same ones.
func simpler(line []point) []point {
	if len(line) < 3 {
		return line
	}
	keep := make([]bool, len(line))
	keep[0], keep[len(line)-1] = true, true
	bent(line, 0, len(line)-1, keep)
	var out []point
	for i, p := range line {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

// bent marks the points between two of a line that are needed to draw it.
//
// Reference: Douglas & Peucker 1973, from memory.
func bent(line []point, a, z int, keep []bool) {
	from, to := line[a], line[z]
	length := distance(to.x-from.x, to.y-from.y)
	far, at := 0.0, -1
	for i := a + 1; i < z; i++ {
		x, y := line[i].x-from.x, line[i].y-from.y
		off := distance(x, y)
		if length > 0 {
			off = math.Abs(x*(to.y-from.y)-y*(to.x-from.x)) / length
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

// distance is that of math.Hypot, which some processors round otherwise.
func distance(x, y float64) float64 { return math.Sqrt(x*x + y*y) }

// tenth writes a number of tenths.
func tenth(n int) string { return coordinate(float64(n) / 10) }

// paint is the class of the ink, or its colour where the file stands alone.
func (c *svg) paint(property string, ink Ink) string {
	if c.inline {
		return fmt.Sprintf(`%s="#%02x%02x%02x"`, property, ink.R, ink.G, ink.B)
	}
	return fmt.Sprintf(`class="%c-%s"`, property[0], ink.Class)
}

// add writes an element.
func (c *svg) add(format string, values ...any) {
	c.elements = append(c.elements, fmt.Sprintf(format, values...))
}

func (c *svg) stroke(p pen, points []point) {
	if p.width <= 0 || len(points) == 0 {
		return
	}
	dash := ""
	if len(p.dashes) > 0 {
		var list []string
		for _, l := range p.dashes {
			list = append(list, coordinate(l))
		}
		dash = ` stroke-dasharray="` + strings.Join(list, " ") + `"`
	}
	c.add("<path %s fill=\"none\" stroke-width=\"%s\"%s d=\"%s\"/>\n", c.paint("stroke", p.ink), coordinate(p.width),
		dash, c.path(points))
}

func (c *svg) fill(ink Ink, points []point) {
	if len(points) > 0 {
		c.add("<path %s d=\"%sZ\"/>\n", c.paint("fill", ink), c.path(points))
	}
}

func (c *svg) disc(ink Ink, at point, radius float64) {
	c.add("<circle %s cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n", c.paint("fill", ink), coordinate(at.x),
		coordinate(c.height-at.y), coordinate(radius))
}

func (c *svg) text(l lettering, at point, upright bool, text string) {
	x, y := coordinate(at.x), coordinate(c.height-at.y)
	turned, weight := "", ""
	if upright {
		turned = fmt.Sprintf(` transform="rotate(-90 %s %s)"`, x, y)
	}
	if l.bold {
		weight = ` font-weight="bold"`
	}
	c.add("<text %s font-size=\"%s\"%s x=\"%s\" y=\"%s\"%s>%s</text>\n", c.paint("fill", l.ink), coordinate(l.size),
		weight, x, y, turned, html.EscapeString(text))
}

func (c *svg) group(name string) { c.add("<g class=\"%s\">\n", name) }
func (c *svg) end()              { c.add("</g>\n") }

func (c *svg) note(at point, text string) {
	if text != "" {
		c.notes = append(c.notes, fmt.Sprintf("<circle class=\"note\" fill-opacity=\"0\" r=\"9\" cx=\"%s\" cy=\"%s\">"+
			"<title>%s</title></circle>\n", coordinate(at.x), coordinate(c.height-at.y), html.EscapeString(text)))
	}
}
