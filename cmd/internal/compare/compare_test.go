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
	"swardcast/cmd/internal/clitest"
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
					Dates struct{ P10, P50, P90 string }
				}
				LastSafe string   `json:"last_safe_date"`
				Rate     *float64 `json:"rate_g_m2"`
				Seeds    *float64 `json:"seeds_m2"`
			}
		}
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if got.Schema != "swardcast.compare/2" || len(got.Cautions) == 0 || len(got.Stations) != 2 {
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
				d := stage.Dates
				if d.P10 > d.P50 || d.P50 > d.P90 || d.P50 <= s.Sow || j > 0 && d.P50 <= x.Stages[j-1].Dates.P50 {
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
		n := len(turf.All())
		s := section(t, d, "species")
		if len(s.Figures) != 1 || len(s.Figures[0].Chart.Rows) != n || len(s.Tables[0].Rows) != n ||
			len(s.Tables[1].Rows) != n {
			t.Error("the species are not all there")
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
		// Letters are for the notes of tables.
		if len(s.Notes) < 2 || !strings.Contains(s.Notes[1], "No clear difference between: annual, intermediate and ") {
			t.Errorf("notes %q", s.Notes)
		}
	}
}

// asked compares species of the demo station as of a day, sown on another.
func asked(t *testing.T, asOf, sow climate.Day, use turf.Use, species ...string) *compare.Answer {
	t.Helper()
	in, err := ask.Read(bytes.NewReader(demo.Station), demo.Name, ask.Reading{Invented: true, AsOf: &asOf})
	if err != nil {
		t.Fatal(err)
	}
	ready, err := in.Ready()
	if err != nil {
		t.Fatal(err)
	}
	var options []forecast.Options
	for _, id := range species {
		sp, ok := turf.Find(id)
		if !ok {
			t.Fatal(id)
		}
		options = append(options, forecast.Options{Species: sp})
	}
	a := &compare.Answer{}
	if err := a.Add(ready, forecast.CompareOptions{Options: options, AsOf: &asOf, Sow: &sow}, use); err != nil {
		t.Fatal(err)
	}
	return a
}

// The headline is a decision, its date and action those of the JSON, in both systems of
// units, and every species is named once.
func TestDecisions(t *testing.T) {
	day := func(m time.Month, d int) climate.Day { return climate.Date(2019, m, d) }
	four := []string{"annual-ryegrass", "perennial-ryegrass", "tall-fescue", "kentucky-bluegrass"}
	for _, x := range []struct {
		asOf, sow       climate.Day
		headline, notes string // %s: the date of the JSON
		action          string
	}{
		{day(8, 1), day(8, 20), "Wait until %s to sow: ", "", "wait"},
		{day(9, 20), day(10, 15), "On %s sow annual or perennial ryegrass: ", "Tall fescue and Kentucky bluegrass are a gamble (", "sow"},
		{day(9, 20), day(11, 10), "Sow annual ryegrass by %s (80 %% safe): on ", "unlikely (", "sow-earlier"},
		{day(10, 26), day(10, 26), "Sow on %s only as a gamble: annual ryegrass", "tall fescue", "gamble"},
		{day(11, 10), day(11, 10), "Don't sow on %s: ", "Instead: dormant seeding from about ", "stop"},
		{day(10, 15), day(10, 5), "Sown on %s, annual or perennial ryegrass", "Tall fescue", "sown"},
		{day(12, 25), day(10, 5), "In hindsight, sown on %s, annual and perennial ryegrass", "", "in-hindsight"},
	} {
		a := asked(t, x.asOf, x.sow, turf.HomeLawn, four...)
		text, err := json.Marshal(a.JSON())
		if err != nil {
			t.Fatal(err)
		}
		var got struct {
			Stations []struct {
				Decision struct {
					Action  string
					Species []struct{ ID, Name string }
					Date    climate.Day `json:"on"`
				}
			}
		}
		if err := json.Unmarshal(text, &got); err != nil {
			t.Fatal(err)
		}
		decision := got.Stations[0].Decision
		if decision.Action != x.action || (len(decision.Species) == 0) != (x.action == "wait") {
			t.Errorf("%s: %+v", x.action, decision)
		}
		for _, u := range []words.System{words.US, words.Metric} {
			d, err := a.Document(u, report.Terminal)
			if err != nil {
				t.Fatal(err)
			}
			notes := strings.Join(d.Notes, " ")
			if want := fmt.Sprintf(x.headline, u.Date(decision.Date)); !strings.HasPrefix(d.Headline, want) ||
				!strings.Contains(notes, x.notes) {
				t.Errorf("%s: %q, %q; want %q, %q", x.action, d.Headline, notes, want, x.notes)
			}
		}
	}
}

// Four autumns carry no decision, however likely they make a sowing.
func TestTooFewSeasons(t *testing.T) {
	text := clitest.Answer(t, compare.Command, nil, "--years", "2010-2013", "--sow", "2026-09-20")
	if !strings.HasPrefix(text, "Don't decide by this record: it has 4 usable autumns, and 5 are needed.") {
		t.Errorf("%.200s", text)
	}
	var got struct {
		Stations []struct{ Decision struct{ Action string } }
	}
	clitest.JSON(t, &got, compare.Command, nil, "--years", "2010-2013", "--sow", "2026-09-20")
	if got.Stations[0].Decision.Action != "too-few-seasons" {
		t.Errorf("%+v", got)
	}
}

// A species that is likely is offered although no rate is published for the use, where
// none has one; and with rain only there is no clear difference to speak of.
func TestDecisionWithoutRates(t *testing.T) {
	sow := climate.Date(2019, 10, 1)
	d, err := asked(t, sow, sow, turf.Fairway, "tall-fescue", "meadow-fescue").Document(words.US, report.Terminal)
	if err != nil || !strings.HasPrefix(d.Headline, "On "+words.US.Date(sow)+" sow tall or meadow fescue: ") {
		t.Errorf("%q, %v", d.Headline, err)
	}
	if notes := section(t, d, "seed").Notes; len(notes) != 1 ||
		!strings.Contains(notes[0], "No seeding rate is published") {
		t.Errorf("%q", notes)
	}
}

// The place of a record comes from the table beside it, and the flags come before it.
func TestPlacesBeside(t *testing.T) {
	files := clitest.Files{"x/a.csv": string(demo.Station), "x/b.csv": string(demo.Station),
		"x/stations.csv": "station,name,latitude\na,Upper Meadow,36.5\n"}
	var got struct {
		Stations []struct {
			Station struct {
				Name     string
				Latitude float64
			}
		}
	}
	line := []string{"x/a.csv", "x/b.csv", "--as-of", "2019-10-01", "--species", "tall-fescue"}
	for _, c := range []struct {
		more []string
		want []string
	}{
		{nil, []string{"Upper Meadow 36.5", "Wrenfield Green (invented) 35.4"}},
		{[]string{"--lat", "37,38"}, []string{"Upper Meadow 37", "Wrenfield Green (invented) 38"}},
	} {
		clitest.JSON(t, &got, compare.Command, files, append(slices.Clone(line), c.more...)...)
		for i, s := range got.Stations {
			if text := fmt.Sprintf("%s %g", s.Station.Name, s.Station.Latitude); text != c.want[i] {
				t.Errorf("%q: %s, want %s", c.more, text, c.want[i])
			}
		}
	}
	files["x/stations.csv"] = "station,latitude\na,north\n"
	clitest.Fails(t, compare.Command, files, cli.NoAnswer, `"north" is no latitude`, "", line...)
}

// Several stations are species by station.
func TestDocumentOfStations(t *testing.T) {
	a := answer(t, 3)
	d, err := a.Document(words.US, report.Page)
	if err != nil {
		t.Fatal(err)
	}
	table := section(t, d, "chance").Tables[0]
	decisions := section(t, d, "decisions").List
	if len(decisions) != 3 || !strings.HasPrefix(decisions[1], "Station 2: on ") ||
		!strings.HasPrefix(d.Headline, "Sow annual, intermediate or perennial ryegrass: likely to establish") {
		t.Errorf("%q, %q", d.Headline, decisions)
	}
	if len(table.Head) != 4 || table.Head[3] != "Station 3" ||
		len(table.Rows) != 1+len(turf.All()) {
		t.Errorf("%v", table.Head)
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

// The page of several stations has the numbers of the answer.
func TestMatrix(t *testing.T) {
	if m, err := answer(t, 1).Matrix(words.US); m != nil || err != nil {
		t.Errorf("one station: %v, %v", m, err)
	}
	a := answer(t, 2)
	m, err := a.Matrix(words.US)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range a.Stations {
		for k, sp := range m.Species {
			x, c := s.Of(sp.ID), &m.Places[i].Cells[k]
			if c.Chance != float32(x.Outlook.Chance) || c.Winter != string(x.Outlook.Winter.Risk) ||
				(x.LastSafe == nil) != (c.Safe == report.NoDay) || *m.Places[i].Day(c.Sow) != s.Sow {
				t.Errorf("%s, %s: %+v", m.Places[i].Name, sp.ID, c)
			}
			if x.LastSafe != nil && *m.Places[i].Day(c.Safe) != *x.LastSafe {
				t.Errorf("%s, %s: last safe %s, the answer says %s", m.Places[i].Name, sp.ID, m.Places[i].Day(c.Safe),
					x.LastSafe)
			}
		}
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
		return cli.Dataf("", "%s: %w", name, cli.ErrNoFile)
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
