// Package page writes an answer's document as one HTML file that opens from disk:
// its charts, its numbers and its script are in it, and it asks nothing of a network.
package page

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"strings"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// A dual is a text in US and in metric units, alike where it has none.
type dual struct{ US, SI string }

// A view is what the template shows: a document in both systems of units.
type view struct {
	Kind, Place, When string
	Answer            dual
	Notes             []dual
	Metric            bool // the units shown first
	Unitless          bool // nothing on it has units that could be switched
	Ask               *report.Choices
	Sections          []section
	Version           string
}

type section struct {
	ID, Heading string
	Intro       []dual
	Figures     []figure
	Tables      []table
	Items       []item
	List        []dual
	Notes       []dual
}

// A figure is a chart in both systems of units; SI is nil where they are alike.
type figure struct {
	US, SI  *chart.Chart
	Species string
	Caption dual
	Fixed   bool
}

type table struct {
	Caption string
	Head    []dual
	Rows    [][]dual
	Folded  bool
	Fixed   bool
}

type item struct {
	Label string
	Text  dual
}

// HTML writes a document, which is given in both systems of units, as a page; first
// are the units that it opens with.
func HTML(us, metric *report.Document, first words.System, version string) ([]byte, error) {
	j := &join{}
	v := &view{Kind: us.Kind, Place: us.Place, When: us.When, Answer: j.text(us.Headline, metric.Headline), Notes: j.texts(us.Notes, metric.Notes),
		Metric: first == words.Metric, Ask: us.Choices, Version: version}
	for i := range us.Sections {
		if us.Sections[i].On != report.Terminal {
			v.Sections = append(v.Sections, j.section(&us.Sections[i], &metric.Sections[i]))
		}
	}
	v.Unitless = !j.differs
	var b bytes.Buffer
	err := tmpl.Execute(&b, v)
	return b.Bytes(), err
}

// A join puts the two documents together and notes whether they differ.
type join struct{ differs bool }

func (j *join) text(us, si string) dual {
	j.differs = j.differs || us != si
	return dual{us, si}
}

func (j *join) texts(us, si []string) []dual {
	var out []dual
	for i, s := range us {
		out = append(out, j.text(s, si[i]))
	}
	return out
}

// chart is nil where both are alike.
func (j *join) chart(us, si *chart.Chart) *chart.Chart {
	if fmt.Sprint(us) == fmt.Sprint(si) { // reflect.DeepEqual takes NaN for unlike
		return nil
	}
	j.differs = true
	return si
}

func (j *join) section(us, si *report.Section) section {
	s := section{ID: us.ID, Heading: us.Heading, Intro: j.texts(us.Intro, si.Intro), List: j.texts(us.List, si.List), Notes: j.texts(us.Notes, si.Notes)}
	for i, f := range us.Figures {
		out := figure{US: f.Chart, Species: f.Species, Caption: j.text(f.Caption, si.Figures[i].Caption), Fixed: f.Fixed,
			SI: j.chart(f.Chart, si.Figures[i].Chart)}
		s.Figures = append(s.Figures, out)
	}
	for i, t := range us.Tables {
		if t.On == report.Terminal {
			continue
		}
		out := table{Caption: t.Caption, Head: j.texts(t.Head, si.Tables[i].Head), Folded: t.Folded, Fixed: t.Fixed}
		for k, row := range t.Rows {
			out.Rows = append(out.Rows, j.texts(row, si.Tables[i].Rows[k]))
		}
		s.Tables = append(s.Tables, out)
	}
	for i, x := range us.Items {
		s.Items = append(s.Items, item{x.Label, j.text(x.Text, si.Items[i].Text)})
	}
	return s
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
	"shown": func(a *report.Choices, species string) bool {
		return a == nil || species == "" || a.Species[0].ID == species
	},
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
func draw(f figure, section, figure int) template.HTML {
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
