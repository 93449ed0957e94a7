package geomap

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"encoding/binary"
	"io"
	"math"
	"strconv"
	"sync"
)

// Coasts and borders of countries: Natural Earth 4.1.0, 1:50 million (public domain).
// Those of the USA and its states: US Census Bureau, cartographic boundary files of 2017
// (public domain). cmd/mapgen wrote them.
//
//go:embed lines.bin.gz
var packed []byte

// A Kind is what a line is.
type Kind int

// The kinds, as the file has them.
const (
	Coast Kind = iota
	Border
	State
	kinds
)

// A line is a line on the Earth.
type line struct {
	kind   Kind
	points []Point
}

// lines are those of the file. It is part of the program, so that a fault is one of ours.
var lines = sync.OnceValue(func() []line {
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		panic("geomap: " + err.Error())
	}
	text, err := io.ReadAll(z)
	if err != nil {
		panic("geomap: " + err.Error())
	}
	var all []line
	for len(text) > 0 {
		l := line{kind: Kind(text[0])}
		n, size := binary.Uvarint(text[1:])
		text = text[1+size:]
		var at [2]int64
		for range n {
			for k := range at {
				d, size := binary.Varint(text)
				at[k] += d
				text = text[size:]
			}
			l.points = append(l.points, Point{Latitude: float64(at[1]) / 100, Longitude: float64(at[0]) / 100})
		}
		all = append(all, l)
	}
	return all
})

// Lines returns the lines of each kind that cross the map, as the data of an SVG path in
// the map's units.
func (m *Map) Lines() [kinds]string {
	var out [kinds][]byte
	for _, l := range lines() {
		out[l.kind] = m.appendLine(out[l.kind], l.points)
	}
	return [kinds]string{string(out[Coast]), string(out[Border]), string(out[State])}
}

// finest is how far apart, in the map's units, the points of a line are drawn.
const finest = 1.2

// appendLine adds a line's parts that cross the map.
func (m *Map) appendLine(path []byte, points []Point) []byte {
	// around is a point with the side of the map that it lies beyond.
	beyond := func(x, y float64) (sideX, sideY int) {
		switch {
		case x < 0:
			sideX = -1
		case x > m.Width:
			sideX = 1
		}
		switch {
		case y < 0:
			sideY = -1
		case y > m.Height:
			sideY = 1
		}
		return sideX, sideY
	}
	pen := false              // the path is at the point before
	var atX, atY float64      // where the path is
	var lastX, lastY float64  // the point before
	var side [2]int           // of it
	was, wasEast := false, 0. // it can be shown; how far east of the middle it is
	for i, p := range points {
		x, y, ok := m.XY(p)
		e := east(p.Longitude, m.middle.Longitude)
		sideX, sideY := beyond(x, y)
		switch {
		case !ok || !was || math.Abs(e-wasEast) > 180, // the line runs over the back of the map
			sideX != 0 && sideX == side[0], sideY != 0 && sideY == side[1]:
			pen = false
		default:
			if !pen {
				path = append(path, 'M')
				path = appendXY(path, lastX, lastY)
				atX, atY, pen = lastX, lastY, true
			}
			if i == len(points)-1 || sideX != 0 || sideY != 0 || math.Hypot(x-atX, y-atY) >= finest {
				path = append(path, 'L')
				path = appendXY(path, x, y)
				atX, atY = x, y
			}
		}
		lastX, lastY, side, was, wasEast = x, y, [2]int{sideX, sideY}, ok, e
	}
	return path
}

// appendXY writes a position in tenths.
func appendXY(b []byte, x, y float64) []byte {
	b = strconv.AppendFloat(b, math.Round(x*10)/10, 'f', -1, 64)
	if y = math.Round(y*10) / 10; !math.Signbit(y) || y == 0 {
		b = append(b, ' ')
		y = math.Abs(y)
	}
	return strconv.AppendFloat(b, y, 'f', -1, 64)
}
