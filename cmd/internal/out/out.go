// Package out writes an answer in the forms that the program offers: a file a form.
// A form knows documents, rows, charts and calendars, and no question.
package out

import (
	"time"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/ask"
)

// An Answer is an answer in the shapes that forms are written from. What a command
// does not have is nil.
type Answer struct {
	JSON     func() any
	Rows     func() (any, error) // a slice of structs with csv tags
	Station  string              // of the rows, put behind each in CSV; "" where they name their own or have none
	Document func(words.System, report.Medium) (*report.Document, error)
	Chart    func(name string, u words.System) (*chart.Chart, error)
	Calendar func(words.System) (*report.Calendar, error)
	About    func(words.System) string // where and when, beneath the title of a picture
	// Matrix is the answer about many places, whose page has a map; nil of one place.
	Matrix func(words.System) (*report.Matrix, error)
}

// Has is what a form needs of an answer, and what an answer has.
type Has int

// What answers have.
const (
	HasJSON Has = 1 << iota
	HasRows
	HasDocument
	HasCharts
	HasCalendar
)

// A Form is a way to write an answer.
type Form struct {
	Name  string // as --format takes it
	Needs Has
	Write func(*Answer, *Flags) ([]byte, error)
}

// forms lists every form in the order of the help; the first is the default.
var forms = []*Form{&Text, &JSON, &CSV, &HTML, &Fragment, &ICS, &SVG}

// pngName is the name of the form that is not there for a browser.
const pngName = "png"

// Flags say in which form and where the answer goes.
type Flags struct {
	Output string
	format *ask.Choice
	chart  *ask.Choice // of the forms that are one chart
	units  *ask.Choice
	color  *ask.Choice
	flags  *pflag.FlagSet

	now      time.Time // of the look
	replaced []byte    // what the output holds so far, of the form that takes it up
}

// Declare declares the flags of a command whose answer has some things; charts names
// those that it can draw, the first by default.
func (o *Flags) Declare(f *pflag.FlagSet, has Has, charts ...string) {
	var names []string
	for _, form := range forms {
		if form.Needs&has == form.Needs {
			names = append(names, form.Name)
		}
	}
	o.DeclareFormats(f, names...)
	if len(charts) > 0 {
		o.chart = ask.NewChoice(charts[0], charts...)
		f.Var(o.chart, "chart", "chart that the formats svg and png draw")
	}
}

// DeclareFormats declares the flags of a command with forms of its own.
func (o *Flags) DeclareFormats(f *pflag.FlagSet, formats ...string) {
	o.flags = f
	o.units = ask.NewChoice("us", "us", "metric")
	f.Var(o.units, "units", "units of text, pages and charts; JSON and CSV are always SI")
	o.format = ask.NewChoice(formats[0], formats...)
	f.Var(o.format, "format", "form of the answer")
	o.color = ask.NewChoice("auto", "auto", "always", "never")
	f.Var(o.color, "color", "colour in text; auto: on a terminal, unless NO_COLOR is set or TERM is dumb")
	f.VarP(outputName{o}, "output", "o", "`file` to write, whole or not at all (default standard output); "+
		"its ending gives the form")
}

// Format is the name of the form asked for.
func (o *Flags) Format() string { return o.format.Value }

// System is the system of units asked for.
func (o *Flags) System() words.System { return words.System(o.units.Value == "metric") }

// Give writes an answer in the form asked for.
func Give(p *cli.Program, o *Flags, a *Answer) error {
	if o.flags.Changed("chart") && o.Format() != SVG.Name && o.Format() != pngName {
		return cli.Usagef("--format svg", "--chart is of the formats svg and png")
	}
	if o.Format() == pngName && o.Output == "" && p.IsTerminal(p.Stdout) {
		return cli.Usagef("-o chart.png", "a picture is nothing for a terminal")
	}
	for _, form := range forms {
		if form.Name != o.Format() {
			continue
		}
		o.now = p.Clock()
		if form == &ICS {
			o.replaced = p.Existing(o.Output)
		}
		content, err := form.Write(a, o)
		if err != nil {
			return err
		}
		if form == &Text && o.colours(p) {
			content = painted(content)
		}
		return p.Write(o.Output, content)
	}
	panic("out: no form " + o.Format())
}
