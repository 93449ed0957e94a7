// Package page writes an answer as one HTML file that opens from disk: its
// charts, its numbers and its script are in it, and it asks nothing of a network.
package page

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"strings"

	"swardcast/cmd/internal/chart"
)

// A Dual is a text in US and in metric units, alike where it has none.
type Dual struct{ US, SI string }

// Both is a text without units.
func Both(s string) Dual { return Dual{s, s} }

// A Page is what a page says, in its order.
type Page struct {
	Kind     string // of answer, such as "Seeding window"
	Place    string
	When     string // of which day; "" for none
	Answer   Dual   // the first sentence
	Notes    []Dual
	Metric   bool // the units shown first
	Unitless bool // nothing on it has units that could be switched
	Ask      *Ask // what can be chosen; nil for nothing
	Sections []Section
	Version  string
}

// An Ask is what can be chosen, with the numbers that answer it. Its fields are
// those that the script reads.
type Ask struct {
	First   string       `json:"first"`   // the day that the lists begin with
	From    string       `json:"from"`    // the first that can be chosen
	What    string       `json:"what"`    // is sown, before the species: "" or "a second pass of"
	Keep    bool         `json:"keep"`    // the first answer stands before that of what is chosen
	Sow     string       `json:"sow"`     // chosen at first; "" for none
	Stage   string       `json:"stage"`   // what is to be reached, as a participle
	Species []AskSpecies `json:"species"` // the first is chosen at first
}

// An AskSpecies has the numbers of a species, by sow date. Days are whole, null
// where too few seasons tell, -1 where the season ends before.
type AskSpecies struct {
	ID     string    `json:"id"`
	Name   string    `json:"name"`
	Answer string    `json:"answer"` // where no date is chosen
	Opens  string    `json:"opens"`  // day before which sowing is too early; "" for none
	Cutoff string    `json:"cutoff"` // day after which it is too late; "" for none
	Chance []float64 `json:"chance"`
	Low    []float64 `json:"low"`
	High   []float64 `json:"high"`
	Up     []*int    `json:"up"`
	Mow    []*int    `json:"mow"`
	Till   []*int    `json:"till"`
}

// A Section is a heading with what stands beneath.
type Section struct {
	ID, Heading string
	Intro       []Dual
	Figures     []Figure
	Tables      []Table
	Items       []Item
	List        []Dual
}

// A Figure is a chart in both systems of units; SI is nil where they are alike.
// One of a species is shown where the species is chosen.
type Figure struct {
	US, SI  *chart.Chart
	Species string
	Caption Dual
	Fixed   bool // of what was first asked, whatever is chosen
}

// A Table has its row headers in the first column.
type Table struct {
	Caption string
	Head    []Dual
	Rows    [][]Dual
	Folded  bool // shown when asked for
	Fixed   bool // of what was first asked, whatever is chosen
}

// An Item is a text with a label.
type Item struct {
	Label string
	Text  Dual
}

//go:embed top.html page.html page.css page.js region.html region.js
var files embed.FS

// read returns an embedded file.
func read(name string) string {
	b, err := files.ReadFile(name)
	if err != nil {
		panic("page: " + err.Error())
	}
	return string(b)
}

var tmpl = template.Must(template.New("page").Funcs(template.FuncMap{
	"style":  func() template.CSS { return template.CSS(read("page.css")) },
	"script": func() template.JS { return template.JS(read("page.js")) },
	"draw":   draw,
	"glued":  glued,
	"shown":  func(a *Ask, species string) bool { return a == nil || species == "" || a.Species[0].ID == species },
}).Parse(read("top.html") + read("page.html")))

// glued keeps a number and its unit on one line.
func glued(s string) string {
	const noBreak = "\u00a0"
	return strings.NewReplacer(" °", noBreak+"°", " %", noBreak+"%").Replace(s)
}

// The sizes of charts: a wide one, and one for a narrow screen. Rows take the
// height that they need.
func sizes(c *chart.Chart) (wide, narrow chart.Size) {
	wide, narrow = chart.Size{Width: 760, Height: 300, Text: 11}, chart.Size{Width: 344, Height: 260, Text: 10}
	if n := len(c.Rows); n > 0 {
		wide.Height, narrow.Height = 60+19*float64(n), 74+18*float64(n)
	}
	return wide, narrow
}

// draw draws a figure: wide and narrow, in both units where they differ.
func draw(f Figure, section, figure int) template.HTML {
	var b strings.Builder
	one := func(c *chart.Chart, units string) {
		wide, narrow := sizes(c)
		for _, s := range []struct {
			name string
			size chart.Size
		}{{"wide", wide}, {"narrow", narrow}} {
			id := fmt.Sprintf("c%d-%d%s-%s", section, figure, units, s.name)
			fmt.Fprintf(&b, "<div class=\"%s %s\">%s</div>\n", s.name, units, c.SVG(id, s.size))
		}
	}
	if f.SI == nil {
		one(f.US, "")
	} else {
		one(f.US, "us")
		one(f.SI, "si")
	}
	return template.HTML(b.String()) // the chart escapes what it writes
}

// HTML writes the page.
func (p *Page) HTML() ([]byte, error) {
	var b bytes.Buffer
	err := tmpl.Execute(&b, p)
	return b.Bytes(), err
}
