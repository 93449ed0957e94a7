package page

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// luminance is the relative luminance of a colour #rrggbb or #rgb.
//
// Reference: WCAG 2.1, "relative luminance".
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	hex = strings.TrimPrefix(hex, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

// contrast is the contrast ratio of two colours (WCAG 2.1).
func contrast(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

// Success criteria 1.4.3 and 1.4.11 of WCAG 2.1, level AA: text has a contrast of
// 4.5 to what it stands on, lines of charts and edges of controls one of 3. The
// criterion's own examples: black on white has 21, #767676 on white 4.54.
func TestContrast(t *testing.T) {
	if c := contrast(t, "#000", "#ffffff"); math.Abs(c-21) > 1e-9 {
		t.Fatalf("black on white: %g", c)
	}
	if c := contrast(t, "#767676", "#fff"); math.Abs(c-4.54) > 0.005 {
		t.Fatalf("#767676 on white: %g", c)
	}
	palettes := regexp.MustCompile(`(?s):root \{(.*?)\}`).FindAllStringSubmatch(read("page.css"), -1)
	if len(palettes) != 3 {
		t.Fatalf("%d palettes, not light, dark and paper", len(palettes))
	}
	for k, p := range palettes {
		ink := map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]+);`).FindAllStringSubmatch(p[1], -1) {
			ink[m[1]] = m[2]
		}
		need := func(front, back string, least float64) {
			if ink[front] == "" || ink[back] == "" {
				t.Fatalf("palette %d: no %s or %s", k, front, back)
			}
			if c := contrast(t, ink[front], ink[back]); c < least {
				t.Errorf("palette %d: %s on %s has a contrast of %.2f, not %g", k, front, back, c, least)
			}
		}
		for _, back := range []string{"paper", "plate"} {
			for _, front := range []string{"text", "quiet", "sky"} {
				need(front, back, 4.5)
			}
		}
		for _, front := range []string{"straw", "sky", "brick", "leaf"} { // they label rules
			need(front, "paper", 4.5)
		}
		for front, back := range map[string]string{"leaf": "leaf-tint", "straw": "straw-tint", "sky": "sky-tint"} {
			need(front, back, 3)
		}
		need("text", "leaf-tint", 4.5)
		need("edge", "paper", 3)
	}
}

// Every ink of the charts has its colours on the page, and the light ones are
// those of pictures.
func TestInks(t *testing.T) {
	css := read("page.css")
	for _, ink := range chart.Inks() {
		for _, class := range []string{".f-" + ink.Class + " {", ".s-" + ink.Class + " {"} {
			if !strings.Contains(css, class) {
				t.Errorf("no %s in page.css", class)
			}
		}
		if n := strings.Count(css, "--"+ink.Class+": #"); n != 3 {
			t.Errorf("%s has %d colours, not those of light, dark and paper", ink.Class, n)
		}
	}
}

func TestPageEscapes(t *testing.T) {
	const harm = `</title></script><script>alert(1)</script>`
	d := &report.Document{Kind: "Test", Place: harm, Headline: harm, Notes: []string{harm},
		Choices: &report.Choices{First: "2026-07-01", Species: []report.Species{{ID: "x", Name: harm, Answer: harm}}},
		Sections: []report.Section{{ID: "s", Heading: harm, Tables: []report.Table{{Caption: harm, Head: []string{harm}, Rows: [][]string{{harm}}}},
			Figures: []report.Figure{{Chart: &chart.Chart{Title: harm, Alt: harm, X: chart.Axis{Max: 1, Label: harm}, Y: chart.Axis{Max: 1},
				Points: []chart.Points{{X: []float64{0.5}, Y: []float64{0.5}, Notes: []string{harm}, Key: harm}}}}}}}}
	b, err := HTML(d, d, words.US, "test")
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(b), "<script"); n != 2 {
		t.Errorf("%d scripts, not the numbers and the page's own", n)
	}
	if n := strings.Count(string(b), "</title></script>"); n != 0 {
		t.Errorf("%d times as it came", n)
	}
}
