package secondpass_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/hint"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/secondpass"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// memory holds the files that a command reads, by name.
type memory map[string]string

func (m memory) Read(name string, read func(io.Reader) error) error {
	text, ok := m[name]
	if !ok {
		return fmt.Errorf("%s: no such file", name)
	}
	return read(strings.NewReader(text))
}
func (memory) Write(string, []byte) error                      { return errors.New("nothing is written") }
func (memory) Clash(string, []string, io.Reader) (name string) { return "" }

// run runs a command line of swardcast second-pass.
func run(t *testing.T, files memory, args ...string) (status int, stdout, stderr string) {
	var out, err bytes.Buffer
	p := &cli.Program{Name: "swardcast", Commands: []*cli.Command{secondpass.Command}, Hint: hint.For, Files: files,
		Stdin: strings.NewReader(""), Stdout: &out, Stderr: &err,
		Now: func() time.Time { return time.Date(2026, time.July, 1, 0, 0, 0, 0, time.UTC) }}
	status = p.Main(t.Context(), append([]string{"second-pass"}, args...))
	return status, out.String(), err.String()
}

var first = climate.Date(2019, time.October, 1)

// answer is the answer about a first pass at the demo station.
func answer(t *testing.T, first, asOf climate.Day, stand forecast.Stand, o forecast.Options) *secondpass.Answer {
	t.Helper()
	input, err := ask.Read(bytes.NewReader(demo.Station), demo.Name, ask.Reading{AsOf: &asOf, Invented: true})
	if err != nil {
		t.Fatal(err)
	}
	in, err := input.Ready()
	if err != nil {
		t.Fatal(err)
	}
	o.Completeness = climate.WMO
	e, err := ask.SeasonAtHand(nil, in, o, in.Calendar.SeasonHolding(first), "")
	if err != nil {
		t.Fatal(err)
	}
	a, err := secondpass.New(in, e, o, first, stand)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func document(t *testing.T, a *secondpass.Answer, u words.System) *report.Document {
	t.Helper()
	d, err := a.Document(u, report.Page)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func section(t *testing.T, d *report.Document, id string) *report.Section {
	t.Helper()
	i := slices.IndexFunc(d.Sections, func(s report.Section) bool { return s.ID == id })
	if i < 0 {
		t.Fatalf("the document has no section %q", id)
	}
	return &d.Sections[i]
}

// What scripts read holds together.
func TestJSON(t *testing.T) {
	for _, c := range []struct {
		line  string
		worth bool
	}{
		{"--first 2019-10-01 --as-of 2019-10-12 --bare 80 --seed-found few --area 5000ft2 --bag 50lb --price 95/bag", true},
		{"--first 2019-11-20 --as-of 2019-12-15 --bare 80 --seed-found few --area 5000ft2 --bag 50lb --price 95/bag", false},
	} {
		status, stdout, stderr := run(t, nil, append(strings.Fields(c.line), "--format", "json")...)
		if status != cli.Answered {
			t.Fatal(stderr)
		}
		type spread struct{ P10, P50, P90 float64 }
		var x struct {
			Schema    string
			Cover     float64
			Lost      float64 `json:"lost_probability"`
			Judgement forecast.Judgement
			Found     string                             `json:"seed_found"`
			Up        struct{ Share, Low, High float64 } `json:"expected_up"`
			Alive     spread
			Final     spread                     `json:"final_cover"`
			Second    []struct{ Chance float64 } `json:"second_pass"`
			Worth     bool                       `json:"worth_it"`
			Seed      struct {
				AreaM2 float64 `json:"area_m2"`
				Bags   int
				Cost   float64
			}
			Calendar []struct{ Date, What string }
		}
		if err := json.Unmarshal([]byte(stdout), &x); err != nil {
			t.Fatal(err)
		}
		if x.Schema != "swardcast.second-pass/1" || x.Found != "few" || math.Abs(x.Cover-0.2) > 1e-9 {
			t.Errorf("%+v", x)
		}
		if x.Worth != c.worth || x.Worth != (x.Second[0].Chance >= forecast.FairChance) {
			t.Errorf("worth it: %t, with a chance of %.2f", x.Worth, x.Second[0].Chance)
		}
		for i := range x.Second[1:] {
			if x.Second[i+1].Chance > x.Second[i].Chance {
				t.Errorf("a later pass is more likely to be in time: %+v", x.Second)
			}
		}
		ordered := func(low, mid, high float64) bool { return 0 <= low && low <= mid && mid <= high && high <= 1 }
		if !ordered(x.Up.Low, x.Up.Share, x.Up.High) || !ordered(x.Alive.P10, x.Alive.P50, x.Alive.P90) ||
			!ordered(x.Final.P10, x.Final.P50, x.Final.P90) || x.Final.P10 < x.Cover || !ordered(0, x.Lost, 1) {
			t.Errorf("%+v", x)
		}
		// 80 % of 5000 square feet, 0.09290304 m² each.
		if math.Abs(x.Seed.AreaM2-0.8*5000*0.09290304) > 1e-3 || x.Seed.Cost != 95*float64(x.Seed.Bags) {
			t.Errorf("seed: %+v", x.Seed)
		}
		for i, day := range x.Calendar {
			if i > 0 && day.Date < x.Calendar[i-1].Date {
				t.Errorf("out of order: %+v", x.Calendar)
			}
			if up := strings.Contains(day.What, "second pass is up"); up && !c.worth {
				t.Errorf("a day of a pass that is not worth it: %+v", day)
			}
		}
	}
}

func TestDocument(t *testing.T) {
	a := answer(t, first, first+11, forecast.Stand{Cover: 0.2, Found: forecast.FewSeeds}, forecast.Options{})
	us, metric := document(t, a, words.US), document(t, a, words.Metric)
	for _, d := range []*report.Document{us, metric} {
		if !strings.HasPrefix(d.Headline, "Most of the seed is gone: ") ||
			!strings.HasSuffix(d.Headline, "still has a fair chance.") {
			t.Errorf("headline: %s", d.Headline)
		}
		if c := d.Choices; c.From != "2019-10-12" || c.What != "a second pass of" || !c.Keep || len(c.Species) < 10 {
			t.Errorf("to choose from: %s %q %t, %d species", c.From, c.What, c.Keep, len(c.Species))
		}
		stand := section(t, d, "stand")
		rows := stand.Tables[0].Rows
		if len(rows) != 5 || rows[1][1] != "20 %" || stand.Notes[0] != "Seed found on digging: few." {
			t.Errorf("the first pass: %v %q", rows, stand.Notes)
		}
		second := section(t, d, "chance")
		bars := second.Figures[0].Bars.Rows
		if len(bars) != 4 || !strings.HasPrefix(bars[0].Label, "today ") || bars[0].Mid != a.Second[0].Chance {
			t.Errorf("second passes: %+v", bars)
		}
		if len(second.Figures) != len(d.Choices.Species) ||
			!strings.HasPrefix(second.List[0], "Last safe date for it at 80 %: ") {
			t.Errorf("%d charts, %q", len(second.Figures), second.List)
		}
		next := section(t, d, "next")
		if len(next.Tables[0].Rows) != len(a.Coming) || next.Items[0].Label != "water" {
			t.Errorf("what comes: %v, %v", next.Tables[0].Rows, next.Items)
		}
		for i, row := range next.Tables[0].Rows {
			if row[1] == "" {
				t.Errorf("nothing is said of %s", a.Coming[i].Kind)
			}
		}
		section(t, d, "soil")
		section(t, d, "cautions")
		if slices.ContainsFunc(d.Sections, func(s report.Section) bool { return s.ID == "seed" }) {
			t.Error("seed is told that nobody asked for")
		}
	}
	basis := func(d *report.Document) string { return fmt.Sprint(section(t, d, "basis").Items) }
	if !strings.Contains(basis(us), "75 °F at 4 in.") || !strings.Contains(basis(metric), "23.9 °C at 10 cm") {
		t.Errorf("the opening is not in the units asked for:\n%s\n%s", basis(us), basis(metric))
	}
}

// The first sentence follows the judgement.
func TestHeadlines(t *testing.T) {
	for _, c := range []struct {
		first, look climate.Day
		stand       forecast.Stand
		want        string
	}{
		{first, first, forecast.Stand{}, "Sown 0 days ago, nothing of it can be up yet"},
		{first, first + 24, forecast.Stand{Cover: 0.95}, "The first pass lives: "},
		{first, first + 5, forecast.Stand{Cover: 0.8}, "Wait: "},
		{first, first + 24, forecast.Stand{Cover: 0.1}, "Most of the seed is gone: "},
		{first, first + 5, forecast.Stand{Cover: 0.15}, "Too early to tell: "},
	} {
		a := answer(t, c.first, c.look, c.stand, forecast.Options{})
		if d := document(t, a, words.US); !strings.HasPrefix(d.Headline, c.want) {
			t.Errorf("%d days after sowing, %.0f %% up: %s", c.look-c.first, 100*c.stand.Cover, d.Headline)
		}
	}
}

// A second pass that is not worth it has something to fall back on.
func TestFallbacks(t *testing.T) {
	check := func(id string, u words.System, want ...string) {
		t.Helper()
		sp, _ := turf.Find(id)
		a := answer(t, first+50, first+75, forecast.Stand{Cover: 0.05}, forecast.Options{Species: sp})
		list := strings.Join(section(t, document(t, a, u), "chance").List, "\n")
		for _, w := range want {
			if !strings.Contains(list, w) {
				t.Errorf("%s: %q is not in %s", id, w, list)
			}
		}
	}
	check("kentucky-bluegrass", words.US, "the soil at 2 in. is down to 40 °F", "wait for spring")
	check("kentucky-bluegrass", words.Metric, "the soil at 5 cm is down to 4.4 °C")
	check("perennial-ryegrass", words.US, "Dormant seeding is no fallback", "which is past")
}

// In the calendar stands one sowing: the first pass where it lives, the second where
// it does not.
func TestCalendar(t *testing.T) {
	days := func(stand forecast.Stand) (ofFirst, ofSecond int) {
		a := answer(t, first, first+5, stand, forecast.Options{})
		k, err := a.Calendar(words.US)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range k.Events {
			switch {
			case e.Day == nil:
			case strings.HasPrefix(e.Summary, "First pass of "):
				ofFirst++
			case strings.HasPrefix(e.Summary, "Second pass, "):
				ofSecond++
			}
		}
		return ofFirst, ofSecond
	}
	if f, s := days(forecast.Stand{Cover: 0.9}); f != 3 || s != 0 {
		t.Errorf("it lives: %d days of the first, %d of the second", f, s)
	}
	if f, s := days(forecast.Stand{Found: forecast.NoSeed}); f != 0 || s != 3 {
		t.Errorf("it is lost: %d days of the first, %d of the second", f, s)
	}
}

func TestErrors(t *testing.T) {
	files := memory{"short.csv": "date,tmax_c,tmin_c\n2019-01-01,10,2\n2019-01-02,10,1\n",
		"broken.csv": "date,tmax_c,tmin_c\n2019-01-01,ten,2\n"}
	for _, c := range []struct {
		args, message, hint string
		status              int
	}{
		{"short.csv --lat 40 --first 2019-01-01 --cover 3", "the record has 2 days", "at least a year is", cli.NoAnswer},
		{"broken.csv --lat 40 --first 2019-01-01 --cover 3", "broken.csv:2", "", cli.NoAnswer},
		{"--cover 30", "the day of the first pass is not given", "--first 2026-10-01", cli.Usage},
		{"--first 2019-10-01", "how much of the stand is up is not given", "--cover 30", cli.Usage},
		{"--first 2019-10-01 --cover 30 --bare 70", "not both", "", cli.Usage},
		{"--first 2019-10-01 --bare 170", "from 0 to 100", "", cli.Usage},
		{"--first 2019-10-01 --cover 100 --area 1ac", "nothing is bare", "leave the area out", cli.Usage},
		{"--first 2019-10-01 --cover 30 --rate 5lb/1000ft2", "no area given", "--area 5000ft2", cli.Usage},
		{"--first 2019-10-01 --as-of 2019-09-30 --cover 30", "lies after the day of the look", "--as-of", cli.Usage},
		{"--first 2019-10-01 --cover 30", "ended on 2020-04-30", "--as-of DATE", cli.Usage},
		{"--first 2019-10-01 --cover 3 --species tall-fescue,red-fescue", "of one species", "--species tall", cli.Usage},
	} {
		status, stdout, stderr := run(t, files, strings.Fields(c.args)...)
		_, hint, _ := strings.Cut(stderr, "hint: ")
		if status != c.status || stdout != "" || !strings.Contains(stderr, c.message) || !strings.Contains(hint, c.hint) {
			t.Errorf("%s: status %d, %s%s", c.args, status, stdout, stderr)
		}
	}
}
