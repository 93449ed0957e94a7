package main

import (
	"bytes"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"swardcast/climate/recordstest"
)

// The tables of docs/validation.md are what this program prints.
func TestReport(t *testing.T) {
	report(t, "judge", "soil", func(w io.Writer, dir string) error {
		return run(w, dir, recordstest.Path(t, "marine"))
	})
}

func TestTrendTable(t *testing.T) { report(t, "judge --trend", "", trendTable) }

func TestDatesTable(t *testing.T) { report(t, "judge --dates", "", datesTable) }

func TestRowsTable(t *testing.T) { report(t, "judge --rows", "soil", rowsTable) }

// Hedged forecasts miss by what they say, whatever comes.
func TestHedged(t *testing.T) {
	const sigma, sd, n = 4.0, 2.5, 200000
	random := rand.New(rand.NewPCG(1, 1))
	var squares, cross float64
	for range n {
		truth := 10 + sigma*random.NormFloat64()
		f := hedged(truth, 10, sigma, sd, random.NormFloat64())
		squares += (truth - f) * (truth - f) / n
		cross += (truth - f) * (f - 10) / n
	}
	if got := math.Sqrt(squares); math.Abs(got-sd) > 0.02 || math.Abs(cross) > 0.05 {
		t.Errorf("error %.3f °C, its covariance with the forecast %.3f; want %g and 0", got, cross, sd)
	}
	if got := hedged(20, 10, 3, 4, 0.5); got != 10 {
		t.Errorf("a forecast without skill is %g, want the normal 10", got)
	}
}

// report holds what a report prints of a part of the records, "" for all of them, against
// docs/validation.md.
func report(t *testing.T, command, part string, print func(io.Writer, string) error) {
	if os.Getenv("SWARDCAST_VALIDATE") == "" && os.Getenv("UPDATE_DOCS") == "" {
		t.Skip("SWARDCAST_VALIDATE is not set: it takes a minute")
	}
	var out bytes.Buffer
	if err := print(&out, recordstest.Path(t, part)); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("../../docs/validation.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "<!-- "+command+" prints from here -->\n\n")
	table, _, ok := strings.Cut(rest, "<!-- to here -->")
	if os.Getenv("UPDATE_DOCS") != "" && ok {
		mark := "<!-- " + command + " prints from here -->\n\n"
		before, _, _ := strings.Cut(string(text), mark)
		_, after, _ := strings.Cut(rest, "<!-- to here -->")
		whole := before + mark + strings.TrimSpace(out.String()) + "\n\n<!-- to here -->" + after
		if err := os.WriteFile("../../docs/validation.md", []byte(whole), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !ok || strings.TrimSpace(table) != strings.TrimSpace(out.String()) {
		t.Errorf("docs/validation.md does not hold what %s prints", command)
	}
}
