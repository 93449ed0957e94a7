package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"

	"swardcast/climate"
)

// write puts an answer on standard output, or in a file that is there whole or
// not at all.
func (p *program) write(o *outputFlags, answer []byte) error {
	if o.output == "" {
		_, err := p.Stdout.Write(answer)
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(o.output), ".swardcast-*")
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", o.output, err)
	}
	defer os.Remove(f.Name()) // nothing is left of it once it is renamed
	_, err = f.Write(answer)
	if err == nil {
		err = f.Chmod(0o644)
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(f.Name(), o.output)
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", o.output, err)
	}
	return nil
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
