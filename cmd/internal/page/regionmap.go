//go:build !js

package page

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"swardcast/cmd/internal/geomap"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// A regionMap is the map of a hemisphere.
type regionMap struct {
	South                bool
	Name                 string // "" where it is the only one
	Title                string
	Width, Height        float64
	Alt                  string
	Coast, Border, State string
	Graticules           []geomap.Graticule
	Bar                  regionBar
	Marks                []regionMark
	Legend               []regionKey
	Unplaced             int // places that have no longitude

	Cells []regionMark // dates between the places
	Note  string       // how far off they are

	drawn  []regionSurface // by species; the last of the species to choose
	placed []placed
	best   []int
	count  bool // of species that make it, instead of dates
}

// A placed place is one on a map.
type placed struct {
	place int
	x, y  float64
	of    int
}

// A regionMark is every mark of one class, as one path.
type regionMark struct{ Class, Path string }

// A regionKey is an entry of a legend.
type regionKey struct{ Class, Path, Text string }

// A regionBar is a bar of a round length.
type regionBar struct {
	X, Y, To float64
	Text     string
}

const (
	mapWidth  = 720.0 // units of every map
	keyMiddle = 8.0   // of the picture of a legend's entry, 16 by 16 units
)

// class is how a cell stands out: likely, or late where it is not worth sowing.
func (v *regionView) class(m *report.Matrix, c *report.Cell) string {
	switch {
	case m.Sow == report.SowLastSafe:
		return ""
	case !m.MakesIt(c):
		return "late"
	case m.Likely(c):
		return "likely"
	}
	return ""
}

// regionMaps draws the places of each hemisphere, coloured by what is shown first: how many
// species still make it on the day of sowing, else the last safe date.
func regionMaps(m *report.Matrix, u words.System) []regionMap {
	var maps []regionMap
	both := m.Hemispheres()
	for _, south := range both {
		var points []geomap.Point
		x := regionMap{South: south, best: m.Choices(south), count: len(m.Species) > 1 && m.Sow != report.SowLastSafe}
		if len(both) > 1 {
			x.Name = map[bool]string{false: "Northern hemisphere", true: "Southern hemisphere"}[south]
		}
		for i := range m.Places {
			p := &m.Places[i]
			if p.South != south || p.Cells == nil && p.Latitude != p.Latitude {
				continue
			}
			if math.IsNaN(p.Longitude) || math.IsNaN(p.Latitude) {
				x.Unplaced++
				continue
			}
			points = append(points, geomap.Point{Latitude: p.Latitude, Longitude: p.Longitude})
			x.placed = append(x.placed, placed{place: i})
		}
		if len(points) == 0 {
			maps = append(maps, x)
			continue
		}
		g := geomap.New(points, mapWidth)
		x.Width, x.Height = g.Width, g.Height
		for k := range points {
			x.placed[k].x, x.placed[k].y, _ = g.XY(points[k])
		}
		lines := g.Lines()
		x.Coast, x.Border, x.State = lines[geomap.Coast], lines[geomap.Border], lines[geomap.State]
		x.Graticules = g.Graticules()
		x.Bar = barOf(g, u)
		for k := range x.Graticules { // the bar stands where some end
			if q := &x.Graticules[k]; !q.Parallel && q.X > x.Bar.X-80 {
				q.Name = ""
			}
		}
		x.surfaces(m, g, u)
		x.paint(m, u)
		maps = append(maps, x)
	}
	return maps
}

// A regionSurface is the dates of a species between the places: the colour of each cell of
// the map, row by row, "." for none.
type regionSurface struct {
	Cells string `json:"cells"`
	Note  string `json:"note"`
}

// cellSize is the side of a cell, in the units of the map.
const cellSize = 12

// surfaces draws what lies between the places, for every species.
func (x *regionMap) surfaces(m *report.Matrix, g *geomap.Map, u words.System) {
	list := []int{0}
	if len(m.Species) > 1 {
		list = nil
		for i := range m.Species {
			list = append(list, i)
		}
		list = append(list, -1)
	}
	wide, tall := int(math.Ceil(g.Width/cellSize)), int(math.Ceil(g.Height/cellSize))
	for _, species := range list {
		s := m.Surface(species, x.South)
		if s == nil {
			x.drawn = append(x.drawn, regionSurface{})
			continue
		}
		d := regionSurface{Note: words.Unbroken(s.Text())}
		if s.Skill.Better {
			steps := stepsOf(m, u, species, x.South)
			cells := make([]byte, 0, wide*tall)
			for k := range wide * tall {
				cell := byte('.')
				at, ok := g.Place((float64(k%wide)+0.5)*cellSize, (float64(k/wide)+0.5)*cellSize)
				if day, drawn := s.Date(at.Latitude, at.Longitude); ok && drawn {
					cell = '0' + byte(stepOf(steps, int16(math.Floor(day))))
				}
				cells = append(cells, cell)
			}
			d.Cells = string(cells)
		}
		x.drawn = append(x.drawn, d)
	}
}

// paintCells draws the cells of a surface, those of one colour as one path.
func (x *regionMap) paintCells(d regionSurface) {
	x.Note = d.Note
	wide := int(math.Ceil(x.Width / cellSize))
	var paths [report.MatrixSteps]strings.Builder
	for from := 0; from < len(d.Cells); {
		to := from + 1
		for to < len(d.Cells) && to%wide != 0 && d.Cells[to] == d.Cells[from] {
			to++
		}
		if c := d.Cells[from]; c != '.' {
			fmt.Fprintf(&paths[c-'0'], "M%d %dh%dv%dh-%[3]dz", from%wide*cellSize, from/wide*cellSize,
				(to-from)*cellSize, int(cellSize))
		}
		from = to
	}
	for i := range paths {
		if paths[i].Len() > 0 {
			x.Cells = append(x.Cells, regionMark{"k" + strconv.Itoa(i), paths[i].String()})
		}
	}
}

// barOf is a bar of about a fifth of the map.
func barOf(g *geomap.Map, u words.System) regionBar {
	unit, name := 1.0, "km"
	if u != words.Metric {
		unit, name = 1.609344, "mi"
	}
	long := g.KM(g.Width/5) / unit
	round := math.Pow(10, math.Floor(math.Log10(long)))
	for _, f := range []float64{5, 2} {
		if f*round <= long {
			round *= f
			break
		}
	}
	w := round / long * g.Width / 5
	return regionBar{X: g.Width - 12 - w, Y: g.Height - 12, To: g.Width - 12,
		Text: words.Unbroken(fmt.Sprintf("%g %s", round, name))}
}

// paint draws the marks and their legend.
func (x *regionMap) paint(m *report.Matrix, u words.System) {
	r := markSize(len(x.placed))
	paths := map[string]*strings.Builder{}
	add := func(class string, p placed) {
		if paths[class] == nil {
			paths[class] = &strings.Builder{}
		}
		paths[class].WriteString(glyph(class, p.x, p.y, r))
	}
	var steps []regionStep
	classOf := func(p *report.MatrixPlace) string {
		if p.Cells == nil {
			return "failed"
		}
		if x.count {
			if n := m.Making(p); n > 0 {
				return countClass(n, len(m.Species))
			}
			return x.without(p)
		}
		best := 0
		if len(m.Species) > 1 {
			best = m.Best(p)
		}
		if best < 0 || p.Cells[best].State != report.Dated {
			return x.without(p)
		}
		return "k" + strconv.Itoa(stepOf(steps, p.Cells[best].Safe))
	}
	var labels []regionKey
	x.Title = x.titles(m)
	if x.count {
		labels = countLabels(len(m.Species))
	} else {
		species := 0
		if len(m.Species) > 1 {
			species = -1
		}
		steps = stepsOf(m, u, species, x.South)
		x.paintCells(x.drawn[len(x.drawn)-1])
		for _, s := range steps {
			labels = append(labels, regionKey{Class: "k" + strconv.Itoa(s.Class), Text: words.Unbroken(s.Label)})
		}
	}
	for _, q := range x.placed {
		add(classOf(&m.Places[q.place]), q)
	}
	none := "no safe date"
	if x.count {
		none = "none: too late"
	}
	labels = append(labels, regionKey{Class: "none", Text: none},
		regionKey{Class: "open", Text: "no cutoff: cold does not end sowing"},
		regionKey{Class: "failed", Text: "no answer, or too few autumns"})
	for _, k := range labels {
		if paths[k.Class] == nil {
			continue
		}
		x.Marks = append(x.Marks, regionMark{k.Class, paths[k.Class].String()})
		k.Path = glyph(k.Class, keyMiddle, keyMiddle, 6)
		x.Legend = append(x.Legend, k)
	}
	x.Alt = fmt.Sprintf("Map of %d %s with coasts and borders. %s. The table has every place.", len(x.placed),
		words.Plural(len(x.placed), "place", "places"), x.Title)
}

// without is the class of a place without a species to choose, or without a date.
func (x *regionMap) without(p *report.MatrixPlace) string {
	has := func(s report.State) bool {
		return slices.ContainsFunc(p.Cells, func(c report.Cell) bool { return c.State == s })
	}
	switch {
	case has(report.FewSeasons):
		return "failed"
	case has(report.WithoutCutoff):
		return "open"
	}
	return "none"
}

// titles say what the map shows first.
func (x *regionMap) titles(m *report.Matrix) string {
	switch {
	case x.count && m.SowDay != "":
		return "Species that still make it, sown " + m.SowDay
	case x.count:
		return "Species that still make it"
	case len(m.Species) > 1:
		return fmt.Sprintf("Last safe date at %g %% of the species with the most time", m.Level)
	}
	return fmt.Sprintf("Last safe date at %g %%, %s", m.Level, m.Species[0].Name)
}

// countClass is the colour of so many species that still make it, dark for all.
func countClass(n, all int) string {
	return "k" + strconv.Itoa((all-n)/countWide(all))
}

// countWide is how many counts share a colour.
func countWide(all int) int { return (all + report.MatrixSteps - 1) / report.MatrixSteps }

func countLabels(all int) []regionKey {
	var list []regionKey
	for high := all; high > 0; high -= countWide(all) {
		low := max(1, high-countWide(all)+1)
		text := fmt.Sprintf("%d to %d", low, high)
		if low == high {
			text = strconv.Itoa(low)
		}
		if high == all {
			text += fmt.Sprintf(" of %d", all)
		}
		list = append(list, regionKey{Class: countClass(high, all), Text: text})
	}
	return list
}

// markSize is half the width of a mark on a map of so many places, in its units.
func markSize(n int) float64 {
	switch {
	case n <= 150:
		return 6
	case n <= 1000:
		return 4.5
	}
	return 2.6
}

// stepsOf are the classes of a species' dates, spread over the colours.
func stepsOf(m *report.Matrix, u words.System, species int, south bool) []regionStep {
	var list []regionStep
	steps := m.Steps(u, species, south)
	for i, s := range steps {
		class := 0
		if len(steps) > 1 {
			class = i * (report.MatrixSteps - 1) / (len(steps) - 1)
		}
		list = append(list, regionStep{s.From, s.Label, class})
	}
	return list
}

// stepOf is the colour of a date.
func stepOf(steps []regionStep, d int16) int {
	i, found := slices.BinarySearchFunc(steps, d, func(s regionStep, d int16) int { return cmp.Compare(s.From, d) })
	if !found {
		i--
	}
	return steps[max(0, i)].Class
}

// glyph is a mark in the middle of x and y, r units to each side. Classes differ in shape
// where they are no steps of a scale.
func glyph(class string, x, y, r float64) string {
	f := func(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }
	at := func(dx, dy float64) string { return "M" + f(x+dx) + " " + f(y+dy) }
	switch class {
	case "none": // a cross
		return at(-r, -r) + "l" + f(2*r) + " " + f(2*r) + "m0 " + f(-2*r) + "l" + f(-2*r) + " " + f(2*r)
	case "failed": // a plus
		return at(-r, 0) + "h" + f(2*r) + "m" + f(-r) + " " + f(-r) + "v" + f(2*r)
	}
	return at(0, -r) + "a" + f(r) + " " + f(r) + " 0 1 0 .1 0z" // a disc
}
