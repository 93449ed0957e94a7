package main

import (
	"bytes"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"swardcast/cmd/internal/cli"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// The gallery's pictures and files are what its commands make.
func TestGallery(t *testing.T) {
	docs, err := os.ReadFile("../../docs/gallery.md")
	if err != nil {
		t.Fatal(err)
	}
	commands := regexp.MustCompile("(?m)^`swardcast (.*) -o (gallery/\\S+)`$").FindAllStringSubmatch(string(docs), -1)
	if len(commands) < 10 {
		t.Fatalf("%d commands in the gallery", len(commands))
	}
	for _, c := range commands {
		status, made, stderr := runLine("", strings.Fields(c[1])...)
		if status != cli.Answered {
			t.Fatalf("%s: %s", c[1], stderr)
		}
		name := "../../docs/" + c[2]
		if os.Getenv("UPDATE_GALLERY") != "" {
			if err := os.WriteFile(name, []byte(made), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if kept, err := os.ReadFile(name); err != nil || string(kept) != made {
			t.Errorf("%s is not what %q makes: %v", c[2], c[1], err)
		}
	}
}

// The gallery's shots of pages look as the pages do.
func TestGalleryInBrowser(t *testing.T) {
	b := newBrowser(t)
	gallery, err := filepath.Abs("../../docs/gallery")
	if err != nil {
		t.Fatal(err)
	}
	drawRegion(t, 40)
	for _, shot := range []struct {
		name, args string
		width      int64
		height     int64
		dark       bool
	}{
		{"page-window", "window", 1000, 1150, false},
		{"page-window-narrow-dark", "window", 360, 800, true},
		{"page-second-pass", "second-pass --first 2025-10-05 --as-of 2025-10-19 --cover 40 --seed-found no --area 3200ft2 --seed-left 14lb", 1000, 1150, false},
		{"page-region", "region fields --species all --sow Oct-10", 1400, 1150, false},
		{"page-region-narrow-dark", "region fields --species all", 360, 1150, true},
	} {
		theme := "light"
		if shot.dark {
			theme = "dark"
		}
		call(
			t,
			b,
			emulation.SetEmulatedMedia,
			emulation.SetEmulatedMediaParams{
				Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: theme}},
			},
		)
		b.open(t, pageOf(t, strings.Fields(shot.args)...), shot.width)
		call(
			t,
			b,
			emulation.SetDeviceMetricsOverride,
			emulation.SetDeviceMetricsOverrideParams{Width: shot.width, Height: shot.height, DeviceScaleFactor: 1},
		)
		made, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(gallery, shot.name+".png")
		if os.Getenv("UPDATE_GALLERY") != "" {
			if err := os.WriteFile(name, made, 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		kept, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		// Fonts differ from machine to machine; where ink stands does not.
		const alike = 0.4 // two different pages differ by 1.1
		if d := difference(t, kept, made); d > alike {
			t.Errorf("%s differs from the page by %.2f of its ink", shot.name, d)
		}
	}
	b.check(t, "gallery")
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
