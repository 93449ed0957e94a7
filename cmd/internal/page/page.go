// Package page writes an answer's document as one HTML file that opens from disk:
// its charts, its numbers and its script are in it, and it asks nothing of a network.
package page

import (
	"embed"
	"fmt"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// A dual is a text in US and in metric units, alike where it has none.
type dual struct{ US, SI string }

// A view is what a page shows: a document in both systems of units.
type view struct {
	Kind, Place string
	When        dual
	Answer      dual
	Notes       []dual
	Metric      bool // the units shown first
	Unitless    bool // nothing on it has units that could be switched
	Ask         *choices
	Sections    []section
	Version     string
	Layers      map[string]map[string]chart.Layers // by figure and species
}

// choices are those of the document, with the answers in metric units too.
type choices struct {
	*report.Choices
	Metric []string `json:"metric"` // answers of the species; nil where all are alike
}

type section struct {
	ID              string
	Heading         dual
	Lead, Folded    bool
	First           *dual // shown though the rest is folded
	Breaks          bool  // begins a sheet of paper
	Intro           []dual
	Figures         []figure
	Tables, Beneath []table
	Items           []item
	List            []dual
	Notes           []dual
}

// A figure is a chart in both systems of units; SI is nil where they are alike.
type figure struct {
	ID       string
	US, SI   *chart.Chart
	Chosen   bool // drawn anew for what is chosen
	Controls bool // what is chosen with stands before it
	Title    dual
	Alt      dual
	Caption  dual
	Fixed    bool
}

type table struct {
	ID      string
	Caption dual
	Head    []dual
	Rows    [][]dual
	Folded  bool
	Fixed   bool
	Plain   bool
	Long    bool // its last column has texts that must wrap
}

type item struct {
	Label dual
	Text  dual
}

// HTML writes a document, which is given in both systems of units, as a page; first
// are the units that it opens with.
func HTML(us, metric *report.Document, first words.System, version string) ([]byte, error) {
	v := newView(us, metric, report.Page)
	v.Metric, v.Version = first == words.Metric, version
	var w writer
	err := w.page(v)
	return w.Bytes(), err
}

// Fragment writes a document as the inside of a page that has the style of these pages:
// what stands between its header and its foot, with nothing to choose.
func Fragment(d *report.Document) ([]byte, error) {
	alone := *d
	alone.Choices = nil
	var w writer
	w.fragment(newView(&alone, &alone, report.Live))
	return w.Bytes(), nil
}

// Style is the style of a page.
func Style() string { return read("page.css") }

// newView puts a document that is given in both systems of units together.
func newView(us, metric *report.Document, on report.Medium) *view {
	j := &join{layers: map[string]map[string]chart.Layers{}, ask: us.Choices != nil}
	v := &view{
		Kind:   us.Kind,
		Place:  us.Place,
		When:   j.text(us.When, metric.When),
		Answer: j.text(us.Headline, metric.Headline),
		Notes:  j.texts(us.Notes, metric.Notes),
		Layers: j.layers,
	}
	if us.Choices != nil {
		v.Ask = &choices{Choices: us.Choices}
		for i := range us.Choices.Species {
			answer := j.text(us.Choices.Species[i].Answer, metric.Choices.Species[i].Answer)
			v.Ask.Metric = append(v.Ask.Metric, answer.SI)
		}
	}
	paper := false // the first sheet is full
	for _, i := range us.Ordered(on) {
		s := j.section(&us.Sections[i], &metric.Sections[i])
		if !paper && !s.Lead && s.ID != report.SeedID {
			s.Breaks, paper = true, true
		}
		v.Sections = append(v.Sections, s)
	}
	v.Unitless = !j.differs
	return v
}

// A join puts the two documents together and notes whether they differ.
type join struct {
	differs bool
	ask     bool // what is chosen with has no place yet
	layers  map[string]map[string]chart.Layers
}

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
	s := section{ID: us.ID, Heading: j.text(us.Heading, si.Heading), Lead: us.Lead, Folded: us.Folded,
		Intro: j.texts(us.Intro, si.Intro), List: j.texts(us.List, si.List), Notes: j.texts(us.Notes, si.Notes)}
	s.Figures = j.figures(us, si)
	for i, t := range us.Tables {
		if t.On == report.Terminal {
			continue
		}
		out := table{
			ID:      fmt.Sprintf("%s-t%d", us.ID, i),
			Caption: j.text(t.Caption, si.Tables[i].Caption),
			Head:    j.texts(t.Head, si.Tables[i].Head),
			Folded:  t.Folded,
			Fixed:   t.Fixed,
			Plain:   t.Plain,
		}
		for k, row := range t.Rows {
			out.Rows = append(out.Rows, j.texts(row, si.Tables[i].Rows[k]))
			const line = 28 // cells that fit
			out.Long = out.Long || len(row) > 1 && words.Width(row[len(row)-1]) > line
		}
		if us.Lead && !t.Folded {
			s.Tables = append(s.Tables, out)
		} else {
			s.Beneath = append(s.Beneath, out)
		}
	}
	for i, x := range us.Items {
		s.Items = append(s.Items, item{j.text(x.Label, si.Items[i].Label), j.text(x.Text, si.Items[i].Text)})
	}
	if us.ID == report.CautionsID && len(s.List) > 0 {
		s.First, s.List, s.Folded = &s.List[0], s.List[1:], true
	}
	return s
}

// figures are the charts of a section. Those of one kind, one a species, become one:
// the first is drawn, and the page has the numbers of the others.
func (j *join) figures(us, si *report.Section) []figure {
	var out []figure
	for i := 0; i < len(us.Figures); {
		n := i + 1
		for us.Figures[i].Species != "" && n < len(us.Figures) && us.Figures[n].Species != "" {
			n++
		}
		f := us.Figures[i]
		id := fmt.Sprintf("%s-f%d", us.ID, len(out))
		if f.Chart == nil { // of a terminal only
			i = n
			continue
		}
		fig := figure{
			ID:      id,
			Chosen:  f.Species != "",
			Caption: j.text(f.Caption, si.Figures[i].Caption),
			Fixed:   f.Fixed,
		}
		usCharts, siCharts := []*chart.Chart{}, []*chart.Chart{}
		for k := i; k < n; k++ {
			usCharts, siCharts = append(usCharts, us.Figures[k].Chart), append(siCharts, si.Figures[k].Chart)
		}
		usCharts, siCharts = chart.Together(usCharts), chart.Together(siCharts)
		if n-i > 1 {
			j.layers[id] = map[string]chart.Layers{}
			wide, narrow := sizes(usCharts[0])
			for k, c := range usCharts[1:] {
				j.layers[id][us.Figures[i+1+k].Species] = chart.LayersOf(c, siCharts[1+k], usCharts[0], wide, narrow)
			}
		}
		first, other := usCharts[0], siCharts[0]
		fig.US, fig.SI = first, j.chart(first, other)
		fig.Title, fig.Alt = j.text(first.Title, other.Title), j.text(first.Alt, other.Alt)
		fig.Controls = fig.Chosen && j.ask
		j.ask = j.ask && !fig.Controls
		out = append(out, fig)
		i = n
	}
	return out
}

//go:embed top.html page.css page.js
var files embed.FS

// read returns an embedded file of the page of one station.
func read(name string) string { return readOf(files, name) }

// readOf returns an embedded file.
func readOf(files embed.FS, name string) string {
	b, err := files.ReadFile(name)
	if err != nil {
		panic("page: " + err.Error())
	}
	return string(b)
}
