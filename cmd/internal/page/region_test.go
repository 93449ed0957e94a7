package page

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"strings"
	"testing"

	"swardcast/cmd/internal/browsertest"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// drawn is a matrix of invented places: later dates to the south, a few without.
func drawn(places, species int) *report.Matrix {
	r := rand.New(rand.NewPCG(1, 2))
	m := &report.Matrix{Level: 80, Sow: report.SowOn, SowDay: "Oct 10", Settings: "settings",
		Cautions: []string{"Mind.", "Look."}}
	for s := range species {
		m.Species = append(m.Species, report.MatrixSpecies{ID: fmt.Sprintf("s%d", s),
			Name: fmt.Sprintf("species number %d", s), Need: float64(300 + 20*s)})
	}
	for i := range places {
		p := report.MatrixPlace{Name: fmt.Sprintf("Sample field %d (invented)", i+1),
			File:     fmt.Sprintf("stations/field-%04d.csv", i+1),
			Latitude: 28 + 18*r.Float64(), Longitude: -120 + 45*r.Float64(), ElevationM: 300, Season: 2026, Seasons: 30}
		for s := range species {
			safe := int16(130 - 4*(p.Latitude-28) - 3*float64(s) + 6*r.NormFloat64())
			c := report.Cell{Opens: 60, Safe90: safe - 8, Safe: safe, Safe50: safe + 12, Cutoff: safe + 40, Sow: 101,
				Chance: float32(1 / (1 + math.Exp(float64(101-safe)/8))), Winter: "low"}
			c.Success = c.Chance
			if i%97 == 0 {
				c.State, c.Safe90, c.Safe, c.Safe50 = report.WithoutCutoff, report.NoDay, report.NoDay, report.NoDay
			}
			p.Cells = append(p.Cells, c)
		}
		if i%501 == 500 {
			p.Cells, p.Why = nil, "the record has 200 days"
		}
		m.Places = append(m.Places, p)
	}
	return m
}

// The page of ten thousand places with every species stays under 5 MB, with every place
// in it for readers without a script.
func TestRegionSize(t *testing.T) {
	b, err := Region(drawn(10000, 11), "Test", words.US, "test")
	if err != nil {
		t.Fatal(err)
	}
	if len(b) > 5e6 {
		t.Errorf("%d bytes: %v", len(b), parts(string(b)))
	}
	if n := len(regexp.MustCompile(`<tr><th scope="?row"?>Sample`).FindAll(b, -1)); n != 10000 {
		t.Errorf("%d rows", n)
	}
	if name := os.Getenv("SWARDCAST_PAGE"); name != "" {
		if err := os.WriteFile(name, b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// What the script reads of a place is what the place has.
func TestRegionData(t *testing.T) {
	m := drawn(98, 2)
	m.Places[1].Name = `</script><script>harmed = 1</script>`
	b, err := Region(m, "Test", words.Metric, "test")
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(b), "<script>harmed") {
		t.Error("the name of a place is a script")
	}
	text := regexp.MustCompile(`(?s)id="data">(.*?)</script>`).FindStringSubmatch(string(b))[1]
	var data struct{ Places [][]any }
	if err := json.Unmarshal([]byte(text), &data); err != nil {
		t.Fatal(err)
	}
	decode := func(code string) int {
		return strings.IndexByte(digits, code[0])*36 + strings.IndexByte(digits, code[1])
	}
	for i, p := range data.Places {
		if p[0] != m.Places[i].Name || p[8] != 2026.0 {
			t.Fatalf("%v", p)
		}
		safe := p[15].(string)
		for s, c := range m.Places[i].Cells {
			code := safe[:2]
			if len(safe) > 2 {
				code = safe[2*s : 2*s+2]
			}
			dated := c.State == report.Dated
			if dated != (code != "--") || dated && decode(code)-dayShift != int(c.Safe) {
				t.Errorf("place %d, species %d: %q of %+v", i, s, code, c)
			}
		}
	}
}

// parts are the lengths of what a page is made of.
func parts(html string) (n []int) {
	for _, end := range []string{"<main>", `class="beside"`, `<noscript>`, "</noscript>", `id="data">`, "</script>"} {
		before, after, _ := strings.Cut(html, end)
		n, html = append(n, len(before)), after
	}
	return n
}

// How long the page of ten thousand places with every species takes to filter and to sort,
// laid out again, in Chromium; it skips without one.
func BenchmarkRegionFilter(b *testing.B) {
	html, err := Region(drawn(10000, 11), "Test", words.US, "test")
	if err != nil {
		b.Fatal(err)
	}
	browser := browsertest.New(b)
	browser.Open(b, string(html), 1300)
	for what, script := range map[string]string{
		"place":   `set("ask-place", "7" + i)`,
		"species": `set("ask-species", String(i % 11))`,
		"map":     `set("ask-map", document.getElementById("ask-map").options[i % 2].value)`,
		"sort":    `document.querySelectorAll("#place-table thead button")[i % 2].click()`,
	} {
		b.Run(what, func(b *testing.B) {
			total := 0.0
			for i := range b.N {
				total += browsertest.Eval[float64](b, browser, fmt.Sprintf(`(() => {
					const i = %d, set = (id, v) => { const e = document.getElementById(id); e.value = v; e.dispatchEvent(new Event("input", { bubbles: true })); e.dispatchEvent(new Event("change", { bubbles: true })); };
					const began = performance.now();
					%s;
					document.body.offsetHeight;
					return performance.now() - began;
				})()`, i, script))
			}
			b.ReportMetric(total/float64(b.N), "ms")
		})
	}
}
