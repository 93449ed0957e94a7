package main

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"swardcast/climate"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/page"
)

// An answer can be written in the forms that its command offers.
type answer struct {
	text func(unitSystem) []byte
	json func() any
	// These are nil where they are not offered.
	csv   func() ([]byte, error)
	page  func(unitSystem) (*page.Page, error)
	chart func(name string, u unitSystem) (*chart.Chart, error)
	ics   func(unitSystem) ([]byte, error)
	about string // where and when, beneath the title of a picture
}

// give writes an answer in the form asked for.
func (p *program) give(o *outputFlags, a answer) (err error) {
	if o.flags.Changed("chart") && !o.isPicture() {
		return &usageError{"--chart is of the formats svg and png", "--format svg"}
	}
	if o.format.value == "png" && o.output == "" && p.isTerminal(p.Stdout) {
		return &usageError{"a picture is nothing for a terminal", "-o chart.png"}
	}
	var content []byte
	switch o.format.value {
	case "json":
		content, err = jsonBytes(a.json())
	case "csv":
		content, err = a.csv()
		content = harmlessLines(content)
	case "ics":
		content, err = a.ics(o.system())
	case "html":
		content, err = a.html(o.system())
	case "svg", "png":
		content, err = a.picture(o)
	default:
		content = harmlessLines(a.text(o.system()))
		if p.colours(o) {
			content = painted(content)
		}
	}
	if err != nil {
		return err
	}
	return p.write(o, content)
}

func (a *answer) html(u unitSystem) ([]byte, error) {
	p, err := a.page(u)
	if err != nil {
		return nil, err
	}
	return p.HTML()
}

// picture draws the chart that was asked for.
func (a *answer) picture(o *outputFlags) ([]byte, error) {
	c, err := a.chart(o.chart.value, o.system())
	if err != nil {
		return nil, err
	}
	c.Under = a.about
	if o.format.value == "svg" {
		return c.File(), nil
	}
	return c.PNG()
}

// jsonBytes writes an answer as indented JSON.
func jsonBytes(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return harmlessJSON(b.Bytes()), nil
}

// A number is written with at most four decimals, null where it is not known.
type number float64

func (n number) MarshalJSON() ([]byte, error) {
	v := float64(n)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, roundTo(v, 4), 'f', -1, 64), nil
}

// MarshalCSV leaves what is not known blank.
func (n number) MarshalCSV() (string, error) {
	v := float64(n)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "", nil
	}
	return strconv.FormatFloat(roundTo(v, 4), 'f', -1, 64), nil
}

func roundTo(v float64, decimals int) float64 {
	if math.Abs(v) >= 1e15 {
		return v // it has no decimals
	}
	scale := math.Pow10(decimals)
	r := math.Round(v*scale) / scale
	if r == 0 {
		return 0 // not -0
	}
	return r
}

// dayOrNull is a day for JSON, nil where there is none.
func dayOrNull(d climate.Day, ok bool) *climate.Day {
	if !ok {
		return nil
	}
	return &d
}

// unknownNumber is blank in CSV, null in JSON.
var unknownNumber = number(math.NaN())

// cellText is a text from a file as a cell of CSV: one that a spreadsheet would
// take for a formula gets an apostrophe before it.
func cellText(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
