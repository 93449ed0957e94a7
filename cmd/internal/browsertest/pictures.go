//go:build !js

package browsertest

import (
	"bytes"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// Kept holds a picture against the one in a file, or replaces it where UPDATE_GALLERY is
// set. Fonts differ from machine to machine; where ink stands does not.
func Kept(t *testing.T, name string, made []byte) {
	t.Helper()
	if os.Getenv("UPDATE_GALLERY") != "" {
		if err := os.WriteFile(name, made, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	kept, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	const alike = 0.4 // two different pages differ by 1.1
	if d := difference(t, kept, made); d > alike {
		t.Errorf("%s differs from the page by %.2f of its ink", filepath.Base(name), d)
	}
}

// difference compares two pictures by the mean lightness of blocks of 20 pixels:
// the sum of differences as a part of the first one's own from its paper.
func difference(t *testing.T, a, b []byte) float64 {
	t.Helper()
	const block = 20
	blocks := func(file []byte) ([]float64, image.Rectangle) {
		p, err := png.Decode(bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		var out []float64
		r := p.Bounds()
		for y := r.Min.Y; y+block <= r.Max.Y; y += block {
			for x := r.Min.X; x+block <= r.Max.X; x += block {
				sum := 0.0
				for j := range block {
					for i := range block {
						red, green, blue, _ := p.At(x+i, y+j).RGBA()
						sum += float64(red+green+blue) / 3 / 0xffff
					}
				}
				out = append(out, sum/block/block)
			}
		}
		return out, r
	}
	x, xr := blocks(a)
	y, yr := blocks(b)
	if xr != yr {
		t.Errorf("sizes %v and %v", xr, yr)
		return 1
	}
	sorted := slices.Clone(x)
	slices.Sort(sorted)
	paper := sorted[len(sorted)/2]
	apart, ink := 0.0, 0.0
	for i := range x {
		apart += math.Abs(x[i] - y[i])
		ink += math.Abs(x[i] - paper)
	}
	return apart / ink
}
