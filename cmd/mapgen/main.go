// Mapgen makes the lines that maps are drawn from: coasts and borders of countries from
// Natural Earth (public domain), coasts and borders of the states of the USA from the
// cartographic boundary files of the US Census Bureau (public domain), both as TopoJSON.
//
//	go run ./cmd/mapgen --countries countries-50m.json --states states-10m.json \
//		--write cmd/internal/geomap/lines.bin.gz
package main

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
)

// usa is the country whose lines are those of its states: its number of ISO 3166-1.
const usa = "840"

// tolerance is how far, in degrees, a line may lie from the one it stands for.
const tolerance = 0.012

// What a line is, as package geomap reads it.
const (
	coast = iota
	border
	state
)

// A topology is a TopoJSON file whose geometries share arcs.
type topology struct {
	Transform struct{ Scale, Translate [2]float64 }
	Arcs      [][][2]float64
	Objects   map[string]struct{ Geometries []geometry }
}

type geometry struct {
	Type string
	ID   any
	Arcs json.RawMessage
}

func main() {
	countries := flag.String("countries", "", "TopoJSON of countries")
	states := flag.String("states", "", "TopoJSON of the states of the USA")
	write := flag.String("write", "", "file to write")
	flag.Parse()
	if err := run(*countries, *states, *write); err != nil {
		fmt.Fprintln(os.Stderr, "mapgen:", err)
		os.Exit(1)
	}
}

func run(countries, states, write string) error {
	world, err := read(countries)
	if err != nil {
		return err
	}
	us, err := read(states)
	if err != nil {
		return err
	}
	var raw bytes.Buffer
	owners, err := world.owners("countries")
	if err != nil {
		return err
	}
	points := 0
	for i, of := range owners {
		if of[usa] {
			continue
		}
		points += put(&raw, min(len(of)-1, border), world.line(i))
	}
	if owners, err = us.owners("states"); err != nil {
		return err
	}
	for i, of := range owners {
		kind := coast // and the borders with the neighbours
		if len(of) > 1 {
			kind = state
		}
		points += put(&raw, kind, us.line(i))
	}
	var packed bytes.Buffer
	z, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return err
	}
	if _, err := z.Write(raw.Bytes()); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	fmt.Printf("%d points, %d bytes, packed %d\n", points, raw.Len(), packed.Len())
	return os.WriteFile(write, packed.Bytes(), 0o644)
}

func read(name string) (*topology, error) {
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	var t topology
	if err := json.Unmarshal(text, &t); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return &t, nil
}

// owners are, for each arc, the geometries of an object that it bounds, by their ID.
func (t *topology) owners(object string) ([]map[string]bool, error) {
	out := make([]map[string]bool, len(t.Arcs))
	for k, g := range t.Objects[object].Geometries {
		id := fmt.Sprint(g.ID)
		if g.ID == nil {
			id = fmt.Sprint("unnamed ", k)
		}
		var arcs any
		if g.Arcs == nil {
			continue
		}
		if err := json.Unmarshal(g.Arcs, &arcs); err != nil {
			return nil, err
		}
		each(arcs, func(i int) {
			if out[i] == nil {
				out[i] = map[string]bool{}
			}
			out[i][id] = true
		})
	}
	return out, nil
}

// each gives every arc of nested lists; one that is run backwards is ^i.
func each(arcs any, do func(int)) {
	switch a := arcs.(type) {
	case []any:
		for _, x := range a {
			each(x, do)
		}
	case float64:
		i := int(a)
		if i < 0 {
			i = ^i
		}
		do(i)
	}
}

// line is an arc in degrees: longitude, latitude.
func (t *topology) line(i int) [][2]float64 {
	var at [2]float64
	var out [][2]float64
	for _, d := range t.Arcs[i] {
		at[0] += d[0]
		at[1] += d[1]
		out = append(out, [2]float64{at[0]*t.Transform.Scale[0] + t.Transform.Translate[0],
			at[1]*t.Transform.Scale[1] + t.Transform.Translate[1]})
	}
	return out
}

// put writes a line: its kind, the number of its points, and from point to point the
// hundredths of a degree. It returns the number of points.
func put(b *bytes.Buffer, kind int, line [][2]float64) int {
	if kind < 0 {
		return 0 // of no country
	}
	line = simplified(line)
	if len(line) < 2 || tiny(line) {
		return 0
	}
	b.WriteByte(byte(kind))
	var buf []byte
	buf = binary.AppendUvarint(buf, uint64(len(line)))
	var x, y int64
	for _, p := range line {
		px, py := int64(math.Round(p[0]*100)), int64(math.Round(p[1]*100))
		buf = binary.AppendVarint(buf, px-x)
		buf = binary.AppendVarint(buf, py-y)
		x, y = px, py
	}
	b.Write(buf)
	return len(line)
}

// tiny reports whether a closed line is an islet of less than a few kilometres.
func tiny(line [][2]float64) bool {
	if line[0] != line[len(line)-1] {
		return false
	}
	low, high := line[0], line[0]
	for _, p := range line {
		for k := range p {
			low[k], high[k] = min(low[k], p[k]), max(high[k], p[k])
		}
	}
	return math.Hypot((high[0]-low[0])*math.Cos(low[1]*math.Pi/180), high[1]-low[1]) < 0.08
}

// simplified leaves out points of a line as long as none lies farther than the tolerance
// from what is left.
//
// Reference: Douglas & Peucker 1973, Cartographica 10:112–122.
func simplified(line [][2]float64) [][2]float64 {
	if len(line) < 3 {
		return line
	}
	keep := make([]bool, len(line))
	keep[0], keep[len(line)-1] = true, true
	var cut func(i, j int)
	cut = func(i, j int) {
		far, at := tolerance, -1
		for k := i + 1; k < j; k++ {
			if d := distance(line[k], line[i], line[j]); d > far {
				far, at = d, k
			}
		}
		if at >= 0 {
			keep[at] = true
			cut(i, at)
			cut(at, j)
		}
	}
	cut(0, len(line)-1)
	var out [][2]float64
	for i, p := range line {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

// distance is that of a point from a segment, in degrees of latitude.
func distance(p, a, b [2]float64) float64 {
	wide := math.Cos(p[1] * math.Pi / 180)
	px, py := (p[0]-a[0])*wide, p[1]-a[1]
	bx, by := (b[0]-a[0])*wide, b[1]-a[1]
	t := 0.0
	if square := bx*bx + by*by; square > 0 {
		t = max(0, min(1, (px*bx+py*by)/square))
	}
	return math.Hypot(px-t*bx, py-t*by)
}
