package geomap

import (
	"math"
	"strings"
	"testing"
)

// The worked examples of Snyder 1987 (US Geological Survey Professional Paper 1395,
// Appendix A), by memory: Albers, sphere, p. 291; Lambert azimuthal, sphere, p. 332.
func TestSnyder(t *testing.T) {
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 5e-8*math.Max(1, math.Abs(want)) {
			t.Errorf("%s is %.7f, Snyder has %.7f", what, got, want)
		}
	}
	x, y, _ := NewAlbers(29.5, 45.5, 23, -96).XY(Point{35, -75})
	near("Albers x", x, 0.2952720)
	near("Albers y", y, 0.2416774)
	l := &Azimuthal{Point{40, -100}}
	x, y, ok := l.XY(Point{-20, 100}) // of a sphere of radius 3
	near("azimuthal x", 3*x, -4.2339303)
	near("azimuthal y", 3*y, 4.0257775)
	if ok { // it lies 154° away, farther than a map of ours shows
		t.Error("the other side of the Earth is shown")
	}
}

// Small squares keep their area wherever they lie, which is what the projections are for.
func TestEqualArea(t *testing.T) {
	const d = 0.01
	for name, p := range map[string]Projection{
		"Albers":    NewAlbers(29.5, 45.5, 37.5, -96),
		"south":     NewAlbers(-18, -36, -27, 134),
		"azimuthal": &Azimuthal{Point{40, -100}},
	} {
		for _, at := range []Point{{25, -120}, {37, -96}, {49, -70}, {60, -100}, {-20, 120}, {-40, 150}} {
			x0, y0, ok := p.XY(at)
			x1, y1, _ := p.XY(Point{at.Latitude, at.Longitude + d})
			x2, y2, _ := p.XY(Point{at.Latitude + d, at.Longitude})
			if !ok || name != "south" && at.Latitude < 0 || name == "south" && at.Latitude > 0 {
				continue
			}
			got := (x1-x0)*(y2-y0) - (x2-x0)*(y1-y0)
			want := d * degree * (math.Sin((at.Latitude+d)*degree) - math.Sin(at.Latitude*degree))
			if math.Abs(got/want-1) > 1e-3 {
				t.Errorf("%s at %v: area %g, on the sphere %g", name, at, got, want)
			}
		}
	}
}

// A map has every place on it, whatever they are.
func TestPlacesAreOnTheMap(t *testing.T) {
	for name, points := range map[string][]Point{
		"one place":     {{35.9, -84}},
		"one longitude": {{30, -84}, {35, -84}, {45, -84}},
		"one latitude":  {{35, -120}, {35, -75}},
		"date line":     {{-17, 178}, {-18, -179}, {-21, -175}},
		"equator":       {{1, 30}, {-1, 37}},
		"far north":     {{70, -150}, {71, 25}, {65, 100}},
		"Australia":     {{-12, 131}, {-43, 147}, {-32, 116}},
		"north":         {{35, -120}, {45, 140}, {50, 10}},
	} {
		m := New(points, 900)
		if ratio := m.Height / m.Width; ratio < flattest-0.01 || ratio > tallest+0.01 {
			t.Errorf("%s: %g by %g", name, m.Width, m.Height)
		}
		for _, p := range points {
			x, y, ok := m.XY(p)
			if !ok || x < 0 || x > m.Width || y < 0 || y > m.Height {
				t.Errorf("%s: %v at %g, %g of %g by %g", name, p, x, y, m.Width, m.Height)
			}
		}
	}
	for name, points := range map[string][]Point{"wide": {{30, -120}, {45, -75}}, "tall": {{30, 10}, {50, 12}},
		"south": {{-12, 131}, {-43, 147}, {-32, 116}}, "date line": {{-17, 178}, {-21, -175}}} {
		m := New(points, 900)
		for _, p := range points {
			x, y, _ := m.XY(p)
			q, ok := m.Place(x, y)
			if !ok || math.Abs(q.Latitude-p.Latitude) > 1e-9 || math.Abs(east(q.Longitude, p.Longitude)) > 1e-9 {
				t.Errorf("%s: %v comes back as %v", name, p, q)
			}
		}
	}
	if m := New([]Point{{-33.2, 147.1}, {-36.5, 147}}, 900); m.Lines() == [kinds]string{} {
		t.Error("a map without a coast or a border")
	}
	if m := New([]Point{{-17, 178}, {-18, -179}}, 900); m.KM(900) > 700 {
		t.Errorf("over the date line the map is %g km wide", m.KM(900))
	}
}

// The lines of the map are where the coast is: a place in the sea off a known cape and one
// inland lie on either side.
func TestLines(t *testing.T) {
	n := [kinds]int{}
	for _, l := range lines() {
		n[l.kind]++
		for _, p := range l.points {
			if math.Abs(p.Latitude) > 90 || math.Abs(p.Longitude) > 180.01 {
				t.Fatalf("a line at %v", p)
			}
		}
	}
	if n[Coast] < 500 || n[Border] < 200 || n[State] < 80 {
		t.Errorf("%d coasts, %d borders, %d borders of states", n[Coast], n[Border], n[State])
	}
	if len(packed) > 300<<10 {
		t.Errorf("%d bytes", len(packed))
	}
	// The border of Colorado and Kansas runs along 102.05° W (from memory).
	found := false
	for _, l := range lines() {
		for i := range l.points[1:] {
			a, b := l.points[i], l.points[i+1]
			if l.kind == State && math.Abs(a.Longitude+102.05) < 0.03 && math.Abs(b.Longitude+102.05) < 0.03 &&
				min(a.Latitude, b.Latitude) < 38.5 && max(a.Latitude, b.Latitude) > 38.5 {
				found = true
			}
		}
	}
	if !found {
		t.Error("no border of Colorado and Kansas")
	}
	paths := New([]Point{{25, -124}, {49, -67}}, 900).Lines()
	for k, path := range paths {
		// The borders of the USA are lines of its states' file, which are coasts here.
		if Kind(k) != Border && !strings.HasPrefix(path, "M") || len(path) > 60000 {
			t.Errorf("kind %d: %d bytes", k, len(path))
		}
	}
}
