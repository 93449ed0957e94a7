package main

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swardcast/cmd/internal/cli"
)

// The name of the output gives the form, unless a form is given: then they must go
// together.
func TestOutputNameGivesForm(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct{ line, name, begins string }{
		{"species", "a.html", "<!DOCTYPE html>"},
		{"species", "A.HTM", "<!DOCTYPE html>"},
		{"species", "a.json", "{"},
		{"species", "a.csv", "species,name,"},
		{"species", "a.txt", "Allow "},
		{"species", "a.of-no-form", "Allow "},
		{"soil", "a.svg", "<?xml"},
		{"soil", "a.png", "\x89PNG"},
		{"outlook --sow 2019-10-05", "a.ics", "BEGIN:VCALENDAR"},
		{"region", "a.jsonl", `{"schema":`},
		{"region", "a.json", `{"schema":`},
		{"region", "a.geojson", `{"type":`},
		{"region --format geojson", "b.json", `{"type":`},
		{"species --format fragment", "b.html", "<"},
		{"species --format csv", "b.dat", "species,"},
	} {
		name := filepath.Join(dir, c.name)
		status, stdout, stderr := runLine("", append(strings.Fields(c.line), "-o", name)...)
		content, err := os.ReadFile(name)
		if status != cli.Answered || stdout != "" || err != nil {
			t.Errorf("%s -o %s: status %d, %q, %v: %s", c.line, c.name, status, stdout, err, stderr)
			continue
		}
		text := strings.TrimSpace(string(content))
		if begins := text[:min(len(c.begins), len(text))]; !strings.EqualFold(begins, c.begins) {
			t.Errorf("%s -o %s begins %.60q, not %q", c.line, c.name, text, c.begins)
		}
	}
	for _, c := range []struct{ line, name, hint string }{
		{"species --format json", "c.html", "--format json -o c.json, or --format html"},
		{"species --format text", "c.csv", "--format text -o c.txt, or --format csv"},
		{"species --format csv", "c.pdf", "--format csv -o c.csv\n"},
		{"species", "c.xlsx", "-o c.txt, c.json, c.csv or c.html"},
		{"window", "c.ics", "-o c.txt, c.json, c.csv, c.html, c.svg or c.png"},
		{"fetch USW00000001", "c.json", "-o c.csv"},
		{"region --format geojson", "c.csv", "--format geojson -o c.geojson, or --format csv"},
	} {
		t.Chdir(dir)
		status, _, stderr := runLine("", append(strings.Fields(c.line), "-o", c.name)...)
		if _, err := os.Stat(c.name); status != cli.Usage || !strings.Contains(stderr, "hint: "+c.hint) || err == nil {
			t.Errorf("%s -o %s: status %d, %s", c.line, c.name, status, stderr)
		}
	}
}

// Every row says which station it is of.
func TestCSVNamesStation(t *testing.T) {
	for _, line := range []string{"window", "compare", "spring", "plan --sow 2019-10-05", "hindcast", "freeze", "soil"} {
		status, stdout, stderr := runLine("", append(strings.Fields(line), "--format", "csv")...)
		if status != cli.Answered {
			t.Fatal(stderr)
		}
		rows, err := csv.NewReader(bytes.NewReader([]byte(stdout))).ReadAll()
		if err != nil || len(rows) < 2 {
			t.Fatalf("%s: %v, %q", line, err, rows[:min(1, len(rows))])
		}
		at := slices.Index(rows[0], "station_name")
		for _, row := range rows[1:] {
			if at < 0 || row[at] != "Wrenfield Green (invented)" {
				t.Fatalf("%s: a row of %q", line, row[0])
			}
		}
	}
	// A name that a spreadsheet would take for a formula is harmless there too.
	record := filepath.Join(t.TempDir(), "x.csv")
	if err := os.WriteFile(record, seattleRecord(t), 0o600); err != nil {
		t.Fatal(err)
	}
	_, stdout, stderr := runLine("", "soil", record, "--lat", "47.6", "--name", "=1+1", "--format", "csv")
	if !strings.Contains(stdout, ",'=1+1\n") {
		t.Errorf("%.300s%s", stdout, stderr)
	}
}

func seattleRecord(t *testing.T) []byte {
	t.Helper()
	content, err := os.ReadFile("../../testdata/seattle/seattle-weather.csv")
	if err != nil {
		t.Fatal(err)
	}
	return content
}
