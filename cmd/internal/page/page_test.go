package page

import (
	"fmt"
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
		need := func(front, back string, min float64) {
			if ink[front] == "" || ink[back] == "" {
				t.Fatalf("palette %d: no %s or %s", k, front, back)
			}
			if c := contrast(t, ink[front], ink[back]); c < min {
				t.Errorf("palette %d: %s on %s has a contrast of %.2f, not %g", k, front, back, c, min)
			}
		}
		for _, back := range []string{"paper", "plate"} {
			for _, front := range []string{"text", "quiet", "freeze"} {
				need(front, back, 4.5)
			}
		}
		for _, front := range []string{"chance", "opening", "safe", "freeze", "dormancy", "cutoff", "emerged", "mow"} { // they label rules
			need(front, "paper", 4.5)
		}
		for front, back := range map[string]string{"chance": "chance-tint", "emerged": "emerged-tint", "mow": "mow-tint", "quiet": "shade", "text": "shade"} {
			need(front, back, 3)
		}
		for _, rule := range []string{"opening", "safe", "cutoff", "text"} { // they run through the band
			need(rule, "chance-tint", 3)
		}
		need("text", "chance-tint", 4.5)
		for _, class := range []string{"map-a", "map-b", "map-c", "map-d"} {
			need(class, "paper", 3)
		}
		need("map-e", "paper", 2) // with an edge of the text's colour; none is a cross
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
		Sections: []report.Section{
			{
				ID:      "s",
				Heading: harm,
				Tables:  []report.Table{{Caption: harm, Head: []string{harm}, Rows: [][]string{{harm}}}},
				Figures: []report.Figure{
					{
						Chart: &chart.Chart{
							Title: harm,
							Alt:   harm,
							X:     chart.Axis{Max: 1, Label: harm},
							Y:     chart.Axis{Max: 1},
							Points: []chart.Points{
								{X: []float64{0.5}, Y: []float64{0.5}, Notes: []string{harm}, Key: harm},
							},
						},
					},
				},
			},
		}}
	b, err := HTML(d, d, words.US, "test")
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(b), "<script"); n != 3 {
		t.Errorf("%d scripts, not the numbers, the layers and the page's own", n)
	}
	if n := strings.Count(string(b), "</title></script>"); n != 0 {
		t.Errorf("%d times as it came", n)
	}
}

// Colours of lines that stand on one chart differ in dashes or shape too where they
// could be taken for one another; on every palette they differ at all.
func TestInksDiffer(t *testing.T) {
	seen := map[string]string{}
	for _, ink := range chart.Inks() {
		hex := fmt.Sprintf("%02x%02x%02x", ink.R, ink.G, ink.B)
		if seen[hex] != "" {
			t.Errorf("%s has the colour of %s", ink.Class, seen[hex])
		}
		seen[hex] = ink.Class
	}
}

// A page puts what leads first, then the seed, the rest, what is folded, the cautions,
// of which the first shows; on paper all up to the seed is on the first sheet.
func TestOrder(t *testing.T) {
	d := &report.Document{Kind: "Test", Headline: "Sow.", Sections: []report.Section{
		{
			ID:      "cautions",
			Heading: "Cautions",
			List:    []string{"Look out.", "Obey."},
		}, {ID: "basis", Heading: "Based on", Folded: true, Notes: []string{"x"}},
		{
			ID:      "other",
			Heading: "Other species",
			Notes:   []string{"x"},
		}, {ID: "seed", Heading: "Seed", Notes: []string{"x"}}, {ID: "dates", Heading: "Dates", Lead: true, Notes: []string{"x"}},
	}}
	b, err := HTML(d, d, words.US, "test")
	if err != nil {
		t.Fatal(err)
	}
	at := -1
	for _, want := range []string{`<h2 id="dates" class="unseen">`, `<details class="part" open><summary><h2 id="seed">`, `<details class="part sheet" open><summary><h2 id="other">`,
		`<details class="part folded"><summary><h2 id="basis">`, `<h2 id="cautions">Cautions</h2><span class="first">Look out.</span></summary>`, `<li>Obey.</li>`} {
		i := strings.Index(string(b), want)
		if i < at || i < 0 {
			t.Errorf("%s stands at %d, not behind %d", want, i, at)
		}
		at = i
	}
}

// Dates, ranges and quantities do not break, and what differs by units stands twice.
func TestUnits(t *testing.T) {
	us := &report.Document{
		Kind:     "Test",
		Headline: "Sow between Sep 26 and Oct 12, 52–76 %.",
		When:     "as of Oct 1, 2026",
		Sections: []report.Section{
			{
				ID:      "s",
				Heading: "Sown on Oct 5",
				Tables:  []report.Table{{Caption: "Oct 5", Head: []string{"a"}, Rows: [][]string{{"75 °F"}}}},
			},
		},
	}
	si := &report.Document{Kind: "Test", Headline: "Sow between 26 Sep and 12 Oct, 52–76 %.", When: "as of 1 Oct 2026",
		Sections: []report.Section{
			{
				ID:      "s",
				Heading: "Sown on 5 Oct",
				Tables:  []report.Table{{Caption: "5 Oct", Head: []string{"a"}, Rows: [][]string{{"24 °C"}}}},
			},
		}}
	b, err := HTML(us, si, words.Metric, "test")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"<span class=\"us\">Sow between Sep\u00a026 and Oct\u00a012, 52–\u206076\u00a0%.</span><span class=\"si\">Sow between 26\u00a0Sep and",
		"<span class=\"us\">Sown on Oct\u00a05</span><span class=\"si\">Sown on 5\u00a0Oct</span>", "<span class=\"us\">as of Oct\u00a01,\u00a02026</span>", `id="units-si" checked`} {
		if !strings.Contains(string(b), want) {
			t.Errorf("no %q", want)
		}
	}
}
