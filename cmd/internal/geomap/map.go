package geomap

import (
	"math"
	"strconv"
)

// A Map is a frame on a projection: a width and a height in units, y downwards.
type Map struct {
	Width, Height float64

	projection Projection
	middle     Point
	x0, y0     float64 // of the upper left corner, in radii of the Earth
	scale      float64 // units a radius of the Earth
}

const (
	leastKM  = 300.0 // what a map shows at least, so that a single place has surroundings
	room     = 0.07  // part of the extent that stays free around it
	tallest  = 0.8   // height as part of the width
	flattest = 0.5
)

// New returns a map of so many units' width that has every one of some places on it.
// Where they lie on one line it shows what is beside them too, and where no coast and no
// border is near, as much as has one.
func New(points []Point, width float64) *Map {
	b := boundsOf(points)
	m := &Map{Width: width, projection: Suiting(points),
		middle: Point{(b.south + b.north) / 2, b.west + b.width/2}}
	left, right, low, high := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range points {
		x, y, ok := m.projection.XY(p)
		if !ok {
			continue
		}
		left, right, low, high = math.Min(left, x), math.Max(right, x), math.Min(low, y), math.Max(high, y)
	}
	if left > right {
		left, right, low, high = 0, 0, 0, 0
	}
	middleX, middleY := (left+right)/2, (low+high)/2
	wide := math.Max((right-left)*(1+2*room), leastKM/earthKM)
	tall := math.Max((high-low)*(1+2*room), leastKM/earthKM*flattest)
	tall = math.Max(tall, wide*flattest)
	wide = math.Max(wide, tall/tallest)
	const wider, most = 1.5, 6
	for range most {
		m.scale, m.Height = width/wide, math.Round(width*tall/wide)
		m.x0, m.y0 = middleX-wide/2, middleY+tall/2
		if m.Lines() != [kinds]string{} {
			break
		}
		wide, tall = wider*wide, wider*tall
	}
	return m
}

// XY is where a place lies on the map; ok is false of one that the projection cannot show.
func (m *Map) XY(p Point) (x, y float64, ok bool) {
	px, py, ok := m.projection.XY(p)
	return (px - m.x0) * m.scale, (m.y0 - py) * m.scale, ok
}

// Place is the place at a position on the map; ok is false of one that is beyond the Earth.
func (m *Map) Place(x, y float64) (Point, bool) {
	return m.projection.Point(x/m.scale+m.x0, m.y0-y/m.scale)
}

// KM returns how many kilometres so many units are.
func (m *Map) KM(units float64) float64 { return units / m.scale * earthKM }

// A Graticule is a parallel or a meridian on the map, with its name and where it meets the
// left or the lower edge.
type Graticule struct {
	Path, Name string
	X, Y       float64
	Parallel   bool
}

// Graticules are parallels and meridians at whole degrees, about four of each.
func (m *Map) Graticules() []Graticule {
	// The latitudes and longitudes that the edges of the map have, by looking around.
	span := m.KM(math.Max(m.Width, m.Height)) / 111
	step := 30.0
	for _, s := range []float64{0.5, 1, 2, 5, 10, 15} {
		if span/s <= 5 {
			step = s
			break
		}
	}
	lonStep := step
	for _, s := range []float64{1, 2, 5, 10, 15, 30, 45} {
		if s*math.Cos(m.middle.Latitude*degree) >= step*0.8 {
			lonStep = s
			break
		}
	}
	var out []Graticule
	for lat := math.Ceil((m.middle.Latitude-span)/step) * step; lat <= m.middle.Latitude+span; lat += step {
		if math.Abs(lat) >= 90 {
			continue
		}
		var points []Point
		for e := -90.0; e <= 90; e++ {
			points = append(points, Point{lat, m.middle.Longitude + e})
		}
		out = m.addGraticule(out, points, true, side(lat, "N", "S"))
	}
	for e := -180.0; e < 180; e += lonStep {
		lon := math.Floor(m.middle.Longitude/lonStep)*lonStep + e
		var points []Point
		for lat := -85.0; lat <= 85; lat++ {
			points = append(points, Point{lat, lon})
		}
		out = m.addGraticule(out, points, false, side(east(lon, 0), "E", "W"))
	}
	return out
}

func (m *Map) addGraticule(out []Graticule, points []Point, parallel bool, name string) []Graticule {
	path := m.appendLine(nil, points)
	if len(path) == 0 {
		return out
	}
	g := Graticule{Path: string(path), Name: name, Parallel: parallel}
	// Where it comes in at the left, or at the bottom.
	for i := range points[1:] {
		ax, ay, okA := m.XY(points[i])
		bx, by, okB := m.XY(points[i+1])
		if !okA || !okB {
			continue
		}
		if parallel && ax <= 0 && bx > 0 {
			g.Y = ay + (by-ay)*(0-ax)/(bx-ax)
			if g.Y > 14 && g.Y < m.Height-14 {
				return append(out, g)
			}
		}
		if !parallel && ay >= m.Height && by < m.Height {
			g.X = ax + (bx-ax)*(m.Height-ay)/(by-ay)
			if g.X > 40 && g.X < m.Width-30 {
				g.Y = m.Height
				return append(out, g)
			}
		}
	}
	g.Name = "" // its end is beyond a corner
	return append(out, g)
}

// side writes degrees with their side of the Earth.
func side(v float64, positive, negative string) string {
	text := strconv.FormatFloat(math.Abs(v), 'g', 4, 64) + "°"
	switch {
	case v > 0:
		return text + "\u00a0" + positive
	case v < 0:
		return text + "\u00a0" + negative
	}
	return text
}
