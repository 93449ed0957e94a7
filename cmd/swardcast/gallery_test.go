package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"swardcast/cmd/internal/browsertest"
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
	b := browsertest.New(t)
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
		browsertest.Call(
			t,
			b,
			emulation.SetEmulatedMedia,
			emulation.SetEmulatedMediaParams{
				Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: theme}},
			},
		)
		b.Open(t, pageOf(t, strings.Fields(shot.args)...), shot.width)
		browsertest.Call(
			t,
			b,
			emulation.SetDeviceMetricsOverride,
			emulation.SetDeviceMetricsOverrideParams{Width: shot.width, Height: shot.height, DeviceScaleFactor: 1},
		)
		made, err := chromedp.Run(b.Context, chromedp.CaptureScreenshot())
		if err != nil {
			t.Fatal(err)
		}
		browsertest.Kept(t, filepath.Join(gallery, shot.name+".png"), made)
	}
	b.Check(t, "gallery")
}
