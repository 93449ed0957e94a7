package main

import (
	"bytes"
	"os"
	"strings"
	"testing"
)

const (
	data   = "../../../shared/data/soil"
	marine = "../../../shared/data/marine"
)

// The tables of docs/validation.md are what this program prints.
func TestReport(t *testing.T) {
	if testing.Short() {
		t.Skip("half a minute")
	}
	for _, dir := range []string{data, marine} {
		if _, err := os.Stat(dir); err != nil {
			t.Skip("the real records are not here")
		}
	}
	var out bytes.Buffer
	if err := run(&out, data, marine); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("../../docs/validation.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "<!-- judge prints from here -->\n\n")
	table, _, ok := strings.Cut(rest, "<!-- to here -->")
	if !ok || strings.TrimSpace(table) != strings.TrimSpace(out.String()) {
		t.Error("docs/validation.md does not hold what judge prints")
	}
}
