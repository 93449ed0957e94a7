package main

import (
	"bytes"
	"io"
	"os"
	"strings"
	"testing"
)

const (
	all  = "../../../shared/data" // soil, marine and long
	data = all + "/soil"
)

// The tables of docs/validation.md are what this program prints.
func TestReport(t *testing.T) { report(t, "judge", data, run) }

func TestTrendTable(t *testing.T) { report(t, "judge --trend", all, trendTable) }

// report holds what a report prints of some data against docs/validation.md.
func report(t *testing.T, command, dir string, print func(io.Writer, string) error) {
	if testing.Short() {
		t.Skip("up to a minute")
	}
	if _, err := os.Stat(dir); err != nil {
		t.Skip("the real records are not here")
	}
	var out bytes.Buffer
	if err := print(&out, dir); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("../../docs/validation.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "<!-- "+command+" prints from here -->\n\n")
	table, _, ok := strings.Cut(rest, "<!-- to here -->")
	if !ok || strings.TrimSpace(table) != strings.TrimSpace(out.String()) {
		t.Errorf("docs/validation.md does not hold what %s prints", command)
	}
}
