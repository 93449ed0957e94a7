package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
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
	case "ics":
		content, err = a.ics(o.system())
	case "html":
		content, err = a.html(o.system())
	case "svg", "png":
		content, err = a.picture(o)
	default:
		content = a.text(o.system())
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
	if o.format.value == "svg" {
		return c.File(), nil
	}
	return c.PNG()
}

// write puts an answer on standard output, or in a file that is there whole or
// not at all.
func (p *program) write(o *outputFlags, answer []byte) error {
	if o.output == "" {
		_, err := p.Stdout.Write(answer)
		return err
	}
	if err := writeFile(o.output, answer); err != nil {
		// Not the name of the temporary file.
		var path *os.PathError
		if errors.As(err, &path) {
			err = path.Err
		}
		return &dataError{fmt.Errorf("%s cannot be written: %w", o.output, err), ""}
	}
	return nil
}

// writeFile replaces a file in one step. A link is followed; what is no regular
// file, a pipe or a device, is written to as it is.
func writeFile(name string, content []byte) error {
	mode := os.FileMode(0o644)
	if target, err := filepath.EvalSymlinks(name); err == nil {
		name = target
	}
	if info, err := os.Stat(name); err == nil {
		if !info.Mode().IsRegular() {
			f, err := os.OpenFile(name, os.O_WRONLY, 0)
			if err != nil {
				return err
			}
			_, err = f.Write(content)
			return errors.Join(err, f.Close())
		}
		mode = info.Mode().Perm()
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".swardcast-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // nothing is left of it once it is renamed
	_, err = f.Write(content)
	if err == nil {
		err = f.Chmod(mode)
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
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
	return b.Bytes(), nil
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
