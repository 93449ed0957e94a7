// Package geomap places points of the Earth on a flat map of equal areas, under coast lines
// and borders. It knows no question: what is drawn at a place is up to the caller.
package geomap

import "math"

// A Point is a place in degrees, north and east positive.
type Point struct{ Latitude, Longitude float64 }

// earthKM is the radius of the sphere with the Earth's area, km (Snyder 1987, p. 16).
const earthKM = 6370.997

const degree = math.Pi / 180

// A Projection places points on a plane, in radii of the Earth, y to the north. ok is false
// of a point that it cannot show.
type Projection interface {
	XY(Point) (x, y float64, ok bool)
	// Point is the place at a position, the inverse of XY.
	Point(x, y float64) (Point, bool)
}

// Albers is the conic projection of equal areas: true along two parallels.
//
// Reference: Snyder 1987, Map Projections: A Working Manual, US Geological Survey
// Professional Paper 1395, eqs 14-1 to 14-6, p. 100.
type Albers struct{ centre, n, c, rho0 float64 }

// NewAlbers returns the projection with its standard parallels, its central meridian and
// the latitude at which y is 0, in degrees. The parallels must not be as far north as
// south of the equator.
func NewAlbers(parallel1, parallel2, latitude, meridian float64) *Albers {
	a := &Albers{centre: meridian}
	a.n = (math.Sin(parallel1*degree) + math.Sin(parallel2*degree)) / 2              // (14-6)
	a.c = math.Pow(math.Cos(parallel1*degree), 2) + 2*a.n*math.Sin(parallel1*degree) // (14-5)
	a.rho0 = math.Sqrt(math.Max(0, a.c-2*a.n*math.Sin(latitude*degree))) / a.n       // (14-3a)
	return a
}

// XY implements Projection.
func (a *Albers) XY(p Point) (x, y float64, ok bool) {
	square := a.c - 2*a.n*math.Sin(p.Latitude*degree)
	if square < 0 {
		return 0, 0, false
	}
	rho := math.Sqrt(square) / a.n                      // (14-3)
	theta := a.n * east(p.Longitude, a.centre) * degree // (14-4)
	return rho * math.Sin(theta), a.rho0 - rho*math.Cos(theta), true
}

// Point implements Projection.
func (a *Albers) Point(x, y float64) (Point, bool) {
	side := math.Copysign(1, a.n)
	rho := math.Hypot(x, a.rho0-y)               // (14-10)
	theta := math.Atan2(side*x, side*(a.rho0-y)) // (14-11)
	sin := (a.c - rho*rho*a.n*a.n) / (2 * a.n)   // (14-8)
	if math.Abs(sin) > 1 {
		return Point{}, false
	}
	return Point{math.Asin(sin) / degree, east(a.centre+theta/a.n/degree, 0)}, true // (14-9)
}

// Azimuthal is Lambert's azimuthal projection of equal areas: true at its centre.
//
// Reference: Snyder 1987, eqs 22-4, 22-5 and 24-2, p. 185.
type Azimuthal struct{ Centre Point }

// farCosine is the cosine of the distance beyond which the projection shows nothing: 120°.
const farCosine = -0.5

// XY implements Projection.
func (l *Azimuthal) XY(p Point) (x, y float64, ok bool) {
	sin0, cos0 := math.Sincos(l.Centre.Latitude * degree)
	sin, cos := math.Sincos(p.Latitude * degree)
	sinE, cosE := math.Sincos(east(p.Longitude, l.Centre.Longitude) * degree)
	near := sin0*sin + cos0*cos*cosE
	if near <= -1 {
		return 0, 0, false // the other side of the Earth
	}
	k := math.Sqrt(2 / (1 + near)) // (24-2)
	// (22-4), (22-5)
	return k * cos * sinE, k * (cos0*sin - sin0*cos*cosE), near >= farCosine
}

// Point implements Projection.
func (l *Azimuthal) Point(x, y float64) (Point, bool) {
	rho := math.Hypot(x, y)
	if rho == 0 {
		return l.Centre, true
	}
	if rho > 2 {
		return Point{}, false
	}
	sinC, cosC := math.Sincos(2 * math.Asin(rho/2)) // (24-16)
	sin0, cos0 := math.Sincos(l.Centre.Latitude * degree)
	lat := math.Asin(math.Max(-1, math.Min(1, cosC*sin0+y*sinC*cos0/rho)))           // (20-14)
	lon := l.Centre.Longitude + math.Atan2(x*sinC, rho*cos0*cosC-y*sin0*sinC)/degree // (20-15)
	return Point{lat / degree, east(lon, 0)}, true
}

// east is how far a longitude lies east of another, −180 to 180°.
func east(longitude, of float64) float64 { return math.Remainder(longitude-of, 360) }

// Suiting returns a projection that suits an extent: Albers where it is wide and away from
// the equator and the poles, else Lambert's azimuthal one. The standard parallels lie a
// sixth of the extent within it (Snyder 1987, p. 99).
func Suiting(points []Point) Projection {
	b := boundsOf(points)
	middle := Point{(b.south + b.north) / 2, b.west + b.width/2}
	tall := b.north - b.south
	wide := b.width * math.Cos(middle.Latitude*degree)
	const wideRatio, tropics, polar = 1.2, 15, 75
	oneSide := b.south > 0 == (b.north > 0)
	if oneSide && math.Abs(middle.Latitude) > tropics && math.Max(-b.south, b.north) < polar && wide > wideRatio*tall {
		return NewAlbers(b.south+tall/6, b.north-tall/6, middle.Latitude, middle.Longitude)
	}
	return &Azimuthal{middle}
}

// Bounds are the extent of places. It begins at a meridian and goes east, over the date
// line where that is shorter.
type bounds struct{ south, north, west, width float64 }

func boundsOf(points []Point) bounds {
	b := bounds{south: 90, north: -90}
	var at [360]bool // degrees of longitude with a point
	for _, p := range points {
		b.south, b.north = math.Min(b.south, p.Latitude), math.Max(b.north, p.Latitude)
		at[slot(p.Longitude)] = true
	}
	// The widest stretch without a point is left out.
	gap, end, run := 0, 0, 0
	for i := range 2 * len(at) {
		if at[i%len(at)] {
			run = 0
			continue
		}
		if run++; run > gap && run <= len(at) {
			gap, end = run, i
		}
	}
	start := float64((end+1)%len(at)) - 180 // a whole degree with a point
	low, high := 360.0, 0.0
	for _, p := range points {
		off := math.Mod(p.Longitude-start+720, 360)
		low, high = math.Min(low, off), math.Max(high, off)
	}
	b.west, b.width = start+low, high-low
	return b
}

// slot is the whole degree that a longitude lies in, 0 to 359.
func slot(longitude float64) int {
	return int(math.Mod(math.Floor(longitude)+180+720, 360))
}
