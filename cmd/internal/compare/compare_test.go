package compare_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/compare"
	"swardcast/cmd/internal/hint"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// answer compares every species at so many stations, all the demo station.
func answer(t *testing.T, stations int) *compare.Answer {
	t.Helper()
	sow := climate.Date(2026, time.October, 10)
	a := &compare.Answer{}
	for i := range stations {
		name := func(p *climate.Place) { p.Name = fmt.Sprintf("Station %d", i+1) }
		in, err := ask.Read(bytes.NewReader(demo.Station), demo.Name, ask.Reading{Invented: true, Place: name})
		if err != nil {
			t.Fatal(err)
		}
		ready, err := in.Ready()
		if err != nil {
			t.Fatal(err)
		}
		if err := a.Add(ready, forecast.CompareOptions{Sow: &sow}, turf.HomeLawn); err != nil {
			t.Fatal(err)
		}
	}
	return a
}

func TestJSON(t *testing.T) {
	text, err := json.Marshal(answer(t, 2).JSON())
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Schema   string
		Cautions []string
		Stations []struct {
			Station struct{ Name string }
			Season  int
			Sow     string
			Species []struct {
				ID, Verdict string
				Letters     string  `json:"not_told_apart"`
				Low         float64 `json:"chance_low"`
				Chance      float64
				High        float64 `json:"chance_high"`
				Stages      []struct {
					Date struct{ P10, P50, P90 string }
				}
				LastSafe string   `json:"last_safe"`
				Rate     *float64 `json:"rate_g_m2"`
				Seeds    *float64 `json:"seeds_m2"`
			}
		}
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if got.Schema != "swardcast.compare/1" || len(got.Cautions) == 0 || len(got.Stations) != 2 {
		t.Fatalf("%s of %d stations", got.Schema, len(got.Stations))
	}
	for i, s := range got.Stations {
		if s.Station.Name != fmt.Sprintf("Station %d", i+1) || s.Season != 2026 || s.Sow != "2026-10-10" ||
			len(s.Species) != len(turf.All()) {
			t.Errorf("station %d: %+v", i, s)
		}
		rates := 0
		for k, x := range s.Species {
			if x.Low > x.Chance || x.Chance > x.High || k > 0 && x.Chance > s.Species[k-1].Chance+0.001 {
				t.Errorf("%s: %g to %g, %g", x.ID, x.Low, x.High, x.Chance)
			}
			if string(forecast.VerdictOf(x.Chance)) != x.Verdict || x.Letters == "" || x.LastSafe == "" {
				t.Errorf("%s: %+v", x.ID, x)
			}
			for j, stage := range x.Stages {
				d := stage.Date
				if d.P10 > d.P50 || d.P50 > d.P90 || d.P50 <= s.Sow || j > 0 && d.P50 <= x.Stages[j-1].Date.P50 {
					t.Errorf("%s: %+v", x.ID, x.Stages)
				}
			}
			if (x.Rate == nil) != (x.Seeds == nil) {
				t.Errorf("%s has a rate or seeds alone", x.ID)
			}
			if x.Rate != nil {
				rates++
			}
		}
		if rates == 0 {
			t.Error("no rate")
		}
	}
}

// section is the section of an ID.
func section(t *testing.T, d *report.Document, id string) *report.Section {
	t.Helper()
	i := slices.IndexFunc(d.Sections, func(s report.Section) bool { return s.ID == id })
	if i < 0 {
		t.Fatalf("there is no section %s", id)
	}
	return &d.Sections[i]
}

func TestDocument(t *testing.T) {
	a := answer(t, 1)
	for u, unit := range map[words.System][2]string{words.US: {"°F", "lb/1000 ft²"}, words.Metric: {"°C", "g/m²"}} {
		d, err := a.Document(u, report.Page)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(d.Headline, "Station 1") || !strings.Contains(d.Headline, "perennial ryegrass") ||
			strings.Contains(d.Headline, "Kentucky") {
			t.Error(d.Headline)
		}
		n := len(turf.All())
		s := section(t, d, "species")
		if len(s.Figures) != 1 || len(s.Figures[0].Bars.Rows) != n || len(s.Figures[0].Chart.Rows) != n ||
			len(s.Tables[0].Rows) != n {
			t.Error("the species are not all drawn")
		}
		if rows := section(t, d, "dates").Tables[0].Rows; len(rows) != n ||
			rows[0][0] != s.Figures[0].Bars.Rows[0].Label {
			t.Errorf("%v", rows)
		}
		if f := section(t, d, "chance").Figures; len(f) != n || len(d.Choices.Species) != n ||
			f[1].Species != d.Choices.Species[1].ID {
			t.Errorf("%d figures, %d choices", len(f), len(d.Choices.Species))
		}
		if !strings.Contains(section(t, d, "seed").Tables[0].Rows[0][1], unit[1]) {
			t.Errorf("%v", section(t, d, "seed").Tables[0].Rows)
		}
		if items := section(t, d, "basis").Items; !slices.ContainsFunc(items,
			func(x report.Item) bool { return x.Label == "thresholds" && strings.Contains(x.Text, unit[0]) }) {
			t.Errorf("no threshold in %s", unit[0])
		}
		if len(section(t, d, "cautions").List) < 4 {
			t.Error("cautions are missing")
		}
	}
}

// Several stations are species by station.
func TestDocumentOfStations(t *testing.T) {
	a := answer(t, 3)
	d, err := a.Document(words.US, report.Page)
	if err != nil {
		t.Fatal(err)
	}
	table := section(t, d, "chance").Tables[0]
	if len(d.Notes) != 3 || len(table.Head) != 4 || table.Head[3] != "Station 3" ||
		len(table.Rows) != 1+len(turf.All()) {
		t.Errorf("%d notes, %v", len(d.Notes), table.Head)
	}
	for i := range a.Stations {
		label := fmt.Sprintf("trend at Station %d", i+1)
		if !slices.ContainsFunc(section(t, d, "stations").Items, func(x report.Item) bool {
			return x.Label == label && strings.Contains(x.Text, " a decade; ")
		}) {
			t.Errorf("there is no %s", label)
		}
	}
	for _, row := range table.Rows {
		if len(row) != 4 || row[1] != row[3] { // it is the same record
			t.Errorf("%v", row)
		}
	}
	if _, err := a.Chart("chance", words.US); err == nil {
		t.Error("a chart of three stations")
	}
}

func TestCharts(t *testing.T) {
	a := answer(t, 1)
	for _, name := range []string{"chance", "safe", "species"} {
		c, err := a.Chart(name, words.US)
		if err != nil || c.Title == "" || c.Alt == "" || len(c.Lines)+len(c.Ranges) == 0 {
			t.Errorf("%s: %+v, %v", name, c, err)
		}
	}
}

// memory is a storage with one file.
type memory struct{ name, text string }

func (m memory) Read(name string, read func(io.Reader) error) error {
	if name != m.name {
		return cli.Dataf("", "%s: there is no such file", name)
	}
	return read(strings.NewReader(m.text))
}
func (memory) Write(string, []byte) error               { return nil }
func (memory) Clash(string, []string, io.Reader) string { return "" }

func TestCommandRefuses(t *testing.T) {
	header := "date,tmax_c,tmin_c\n"
	short := header + "2019-01-01,10,2\n2019-01-02,10,2\n"
	for _, c := range []struct {
		text, line, message, hint string
		status                    int
	}{
		{header + "2019-01-01,ten,2\n", "r.csv --lat 40",
			"swardcast: r.csv:2:12: \"ten\" is not a number", "hint: write a number", cli.NoAnswer},
		{short, "r.csv --lat 40", "the record has 2 days", "hint: at least a year is needed", cli.NoAnswer},
		{short, "r.csv", "the file gives no latitude", "hint: --lat 35.9", cli.NoAnswer},
		{"", "gone.csv --lat 40", "gone.csv: there is no such file", "", cli.NoAnswer},
		{"", "--years 1900-1950",
			"no season of the record can be used", "hint: a season needs its days", cli.NoAnswer},
		{"", "a.csv b.csv --lat 40", "2 files, 1 latitudes", "hint: give one each", cli.Usage},
		{"", "--use lawn", "it could be new-lawn or home-lawn", "hint: --use new-lawn or home-lawn", cli.Usage},
	} {
		var stdout, stderr bytes.Buffer
		p := &cli.Program{
			Name:     "swardcast",
			Commands: []*cli.Command{compare.Command},
			Stdout:   &stdout,
			Stderr:   &stderr,
			Hint:     hint.For,
			Files:    memory{"r.csv", c.text},
		}
		status := p.Main(t.Context(), append([]string{"compare"}, strings.Fields(c.line)...))
		if status != c.status || stdout.Len() > 0 || !strings.Contains(stderr.String(), c.message) ||
			!strings.Contains(stderr.String(), c.hint) {
			t.Errorf("%s: status %d, %s", c.line, status, stderr.String())
		}
	}
}
