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

// answer is the answer about a first sowing at the demo station.
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
	o.Completeness = climate.WMO()
	e, err := ask.SeasonAtHand(nil, in, o, in.Calendar.SeasonHolding(first), "")
	if err != nil {
		t.Fatal(err)
	}
	a, err := secondpass.New(in, e, o, first, stand, nil)
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

// A choice is one of the JSON answer.
type choice struct {
	Action    forecast.Action
	On        *climate.Day
	Cover     float64
	CoverLow  float64 `json:"cover_low"`
	CoverHigh float64 `json:"cover_high"`
	Chance    *float64
	SeedG     *float64 `json:"seed_g"`
	BoughtG   *float64 `json:"bought_g"`
}

// An output is what the tests read of the JSON answer.
type output struct {
	Schema   string
	Cover    float64
	Lost     float64 `json:"lost_chance"`
	Decision struct {
		choice
		TooSoon    bool         `json:"too_soon"`
		Impossible bool         `json:"cover_impossible"`
		FitsSown   *climate.Day `json:"fits_sown_by"`
	}
	Choices []choice
	Reasons []string
	Changes []struct {
		What   string `json:"change"`
		Action forecast.Action
		Cover  *float64
	} `json:"sensitivities"`
	WorthUntil *climate.Day                       `json:"worth_until"`
	Found      string                             `json:"seed_found"`
	Up         struct{ Share, Low, High float64 } `json:"expected_up"`
	Alive      struct{ P10, P50, P90 float64 }    `json:"surviving_seed"`
	Final      struct{ P10, P50, P90 float64 }    `json:"final_cover"`
	Second     []struct{ Chance float64 }         `json:"second_pass"`
	Dormant    *climate.Day                       `json:"dormant_from"`
	Spring     *climate.Day                       `json:"spring_from"`
	Seed       *struct {
		AreaM2  float64  `json:"area_m2"`
		ShortG  *float64 `json:"short_g"`
		WeightG float64  `json:"weight_g"`
		Bags    int      `json:"bag_count"`
		Cost    float64
	}
	Calendar []struct{ Date, What string }
}

// outputOf is the JSON answer to a line, and text its text, in US units, with single
// blanks.
func outputOf(t *testing.T, line string) (x output, text string) {
	t.Helper()
	args := strings.Fields(line)
	status, stdout, stderr := run(t, nil, append(args, "--format", "json")...)
	if status != cli.Answered {
		t.Fatal(stderr)
	}
	if err := json.Unmarshal([]byte(stdout), &x); err != nil {
		t.Fatal(err)
	}
	if _, text, stderr = run(t, nil, args...); text == "" {
		t.Fatal(stderr)
	}
	return x, strings.Join(strings.Fields(text), " ")
}

// The scenarios that anyone experienced would agree on, through the command line.
func TestScenarios(t *testing.T) {
	for _, c := range []struct {
		name, line string
		want       forecast.Action
		starts     string // of the text
		holds      []string
	}{
		{"thin, dug, odds falling, seed at hand",
			"--first 2019-10-05 --as-of 2019-10-19 --cover 40 --seed-found no --area 3200ft2 --seed-left 14lb",
			forecast.SowNow, "Sow today: 14 lb over the bare spots, raked in. ",
			[]string{"14 lb over the bare 1920 ft² is 7.29 lb/1000 ft², a home-lawn rate", "to establish; a week's wait costs",
				"14 lb, all you have", "digging found none"}},
		{"the same a week later",
			"--first 2019-10-05 --as-of 2019-10-26 --cover 40 --seed-found no --area 3200ft2 --seed-left 14lb",
			forecast.SowNow, "Sow today: 14 lb over the bare spots, raked in. ", nil},
		{"the same at the rate of a green",
			"--first 2019-10-05 --as-of 2019-10-19 --cover 40 --seed-found no --area 3200ft2 --seed-left 14lb" +
				" --use putting-green --bag 15lb",
			forecast.SowNow, "Sow today: 14 lb over the bare spots, raked in, and buy 43.6 lb more. ",
			[]string{"needs 43.6 lb (3 bags of 15 lb) more, sown ", "; or sow 467 ft² at the full rate"}},
		{"five days after sowing into cool soil, nothing up",
			"--first 2019-10-01 --as-of 2019-10-06 --cover 0 --species kentucky-bluegrass",
			forecast.WaitUntil, "Wait until ", []string{"can be up yet"}},
		{"a day after sowing, nothing up", "--first 2019-10-12 --as-of 2019-10-13 --cover 0",
			forecast.WaitUntil, "Wait until ", []string{": nothing can be up yet."}},
		{"odds under one in ten, a species for dormant seeding",
			"--first 2019-10-01 --as-of 2019-11-10 --cover 30 --species tall-fescue",
			forecast.Stop, "Too late for this autumn: ", []string{"Dormant seeding from about ", ", or spring from about "}},
		{"odds under one in ten, ryegrass", "--first 2019-10-01 --as-of 2019-11-20 --cover 10",
			forecast.Stop, "Too late for this autumn: <1 %. Seed in spring instead, from about ", []string{"Dormant seeding isn't an option"}},
		{"85 % up", "--first 2019-10-01 --as-of 2019-10-20 --cover 85", forecast.LeaveIt,
			"Leave it: 85 % cover fills in by itself.", nil},
		{"no seed left", "--first 2019-10-01 --as-of 2019-10-15 --cover 40 --area 3200ft2 --seed-left 0lb --bag 15lb",
			forecast.BuySeed, "Buy 14.4 lb: 1 bag of 15 lb; sow ", []string{"14.4 lb, bought"}},
		{"no seed left, nothing known of the ground", "--first 2019-10-01 --as-of 2019-10-15 --cover 40 --seed-left 0lb",
			forecast.BuySeed, "Buy perennial ryegrass seed, 7.5 lb/1000 ft²; sow ", []string{"Give --area for the weight"}},
		{"seed at hand, nothing known of the ground", "--first 2019-10-01 --as-of 2019-10-15 --cover 40 --seed-left 14lb",
			forecast.SowNow, "Sow today: 14 lb over the bare spots, raked in. ", []string{"14 lb covers 1867 ft² of bare ground"}},
		{"nothing known of the seed", "--first 2019-10-01 --as-of 2019-10-15 --cover 40",
			forecast.SowNow, "Sow today over the bare spots, raked in. ", []string{"7.5 lb/1000 ft² of bare ground"}},
		{"no published rate for the use", "--first 2019-10-01 --as-of 2019-10-12 --cover 10 --seed-found no" +
			" --species meadow-fescue --seed-left 14lb --area 3200ft2",
			forecast.SowNow, "Sow today: 14 lb over the bare spots, raked in. ", []string{"No published rate for this use"}},
		{"more seed than is needed", "--first 2019-10-01 --as-of 2019-10-15 --cover 40 --area 3200ft2 --seed-left 20lb",
			forecast.SowNow, "Sow today: 14.4 lb of your 20 lb over the bare spots", []string{"Keep the other 5.6 lb"}},
	} {
		x, text := outputOf(t, c.line)
		if x.Decision.Action != c.want || !strings.HasPrefix(text, c.starts) {
			t.Errorf("%s: %s, want %s: %s", c.name, x.Decision.Action, c.want, text[:min(len(text), 200)])
			continue
		}
		for _, h := range c.holds {
			if !strings.Contains(text, h) {
				t.Errorf("%s: no %q in %s", c.name, h, text[:min(len(text), 1800)])
			}
		}
		check(t, c.name, x)
		if x.Decision.Action == forecast.WaitUntil &&
			!strings.HasPrefix(text, "Wait until "+words.US.Date(*x.Decision.On)+": ") {
			t.Errorf("%s: the day is %s in JSON: %s", c.name, x.Decision.On, text[:60])
		}
	}
}

// check holds the parts of a JSON answer together.
func check(t *testing.T, name string, x output) {
	t.Helper()
	ordered := func(low, mid, high float64) bool { return 0 <= low && low <= mid && mid <= high && high <= 1 }
	if x.Schema != "swardcast.second-pass/3" || len(x.Reasons) != 2 {
		t.Errorf("%s: %s, reasons %q", name, x.Schema, x.Reasons)
	}
	best := slices.IndexFunc(x.Choices, func(c choice) bool { return c.Action == x.Decision.Action })
	if best < 0 || x.Choices[best].Cover != x.Decision.Cover {
		t.Errorf("%s: %+v is not among the choices %+v", name, x.Decision, x.Choices)
	}
	for _, c := range x.Choices {
		if !ordered(c.CoverLow, c.CoverHigh, 1) || !ordered(0, c.Cover, 1) ||
			(c.On == nil) != (c.Action == forecast.LeaveIt || c.Action == forecast.Stop) || (c.On == nil) != (c.Chance == nil) {
			t.Errorf("%s: %+v", name, c)
		}
		if (c.Action == forecast.SowNow || c.Action == forecast.BuySeed) && *c.Chance != x.Second[0].Chance {
			t.Errorf("%s: %s today has %.4f, in second_pass %.4f", name, c.Action, *c.Chance, x.Second[0].Chance)
		}
	}
	for i := range x.Second[1:] {
		if x.Second[i+1].Chance > x.Second[i].Chance {
			t.Errorf("%s: a later sowing is more likely to be in time: %+v", name, x.Second)
		}
	}
	if !ordered(x.Up.Low, x.Up.Share, x.Up.High) || !ordered(x.Alive.P10, x.Alive.P50, x.Alive.P90) ||
		!ordered(x.Final.P10, x.Final.P50, x.Final.P90) || x.Final.P10 < x.Cover || !ordered(0, x.Lost, 1) {
		t.Errorf("%s: %+v", name, x)
	}
	sows := x.Decision.Action == forecast.SowNow || x.Decision.Action == forecast.BuySeed
	for i, day := range x.Calendar {
		if i > 0 && day.Date < x.Calendar[i-1].Date {
			t.Errorf("%s: out of order: %+v", name, x.Calendar)
		}
		if strings.Contains(day.What, "second sowing is up") && !sows {
			t.Errorf("%s: a day of a sowing that is not decided on: %+v", name, day)
		}
	}
	if x.Decision.Action == forecast.Stop && x.Spring == nil && x.Dormant == nil {
		t.Errorf("%s: too late, and nothing instead", name)
	}
}

// The seed of JSON: 80 % of 5000 square feet, 0.09290304 m² each.
func TestSeed(t *testing.T) {
	x, _ := outputOf(t, "--first 2019-10-01 --as-of 2019-10-12 --bare 80 --seed-found few --area 5000ft2 --bag 50lb"+
		" --price 95/bag --seed-left 3lb")
	check(t, "seed", x)
	if x.Found != "few" || math.Abs(x.Cover-0.2) > 1e-9 || x.Seed == nil {
		t.Fatalf("%+v", x)
	}
	if math.Abs(x.Seed.AreaM2-0.8*5000*0.09290304) > 1e-3 || x.Seed.Cost != 95*float64(x.Seed.Bags) {
		t.Errorf("seed: %+v", x.Seed)
	}
	for _, c := range x.Choices {
		switch c.Action {
		case forecast.SowNow:
			if math.Abs(*c.SeedG-3*words.GramsPerPound) > 1e-3 || *c.BoughtG != 0 {
				t.Errorf("with what is at hand: %g g, %g g bought", *c.SeedG, *c.BoughtG)
			}
		case forecast.BuySeed:
			if *c.BoughtG != *x.Seed.ShortG || *c.SeedG != x.Seed.WeightG {
				t.Errorf(
					"bought: %g g of %g g, short %g g of %g g",
					*c.BoughtG,
					*c.SeedG,
					*x.Seed.ShortG,
					x.Seed.WeightG,
				)
			}
		}
	}
}

// With the same cover seen day after day, the command never goes back from sowing to
// waiting.
func TestNoContradiction(t *testing.T) {
	was := forecast.Action("")
	for look := first + 2; look < first+54; look += 3 {
		a := answer(t, first, look, forecast.Stand{Cover: 0.4}, forecast.Options{})
		if a.Report.MoreThanCan {
			continue
		}
		got := a.Decision.Best.Action
		if got == forecast.WaitUntil && was != "" && was != forecast.WaitUntil {
			t.Errorf("on %s: %s, then %s", look, was, got)
		}
		was = got
	}
	if was != forecast.Stop {
		t.Errorf("at last: %s", was)
	}
}

// An impossible cover: the headline says which inputs do not fit, and which day
// would.
func TestImpossible(t *testing.T) {
	x, text := outputOf(t, "--first 2019-10-11 --as-of 2019-10-12 --cover 95")
	if !x.Decision.Impossible || x.Decision.FitsSown == nil {
		t.Fatalf("%+v", x.Decision)
	}
	for _, want := range []string{"Check --first and --cover: seed sown on " + words.US.Date(climate.Date(2019, time.October, 11)) +
		" can't be 95 % up by ", "--first " + x.Decision.FitsSown.String(), "If both are right, leave it"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text[:300])
		}
	}
	line := fmt.Sprintf("--first %s --as-of 2019-10-12 --cover 95", x.Decision.FitsSown)
	if x, _ = outputOf(t, line); x.Decision.Impossible {
		t.Errorf("%s is impossible too", line)
	}
}

// A few seasons carry no odds.
func TestTooFewSeasons(t *testing.T) {
	_, text := outputOf(t, "--first 2019-10-01 --as-of 2019-10-15 --cover 40 --years 2001-2003")
	if !strings.HasPrefix(text, "Use a longer record: 3 seasons ") {
		t.Error(text[:200])
	}
}

func TestDocument(t *testing.T) {
	a := answer(t, first, first+11, forecast.Stand{Cover: 0.2, Found: forecast.FewSeeds}, forecast.Options{})
	us, metric := document(t, a, words.US), document(t, a, words.Metric)
	for _, d := range []*report.Document{us, metric} {
		if !strings.HasPrefix(d.Headline, "Sow today over the bare spots, raked in. ") ||
			!strings.Contains(d.Headline, words.Percent(a.Second[0].Chance)+" to establish") {
			t.Errorf("headline: %s", d.Headline)
		}
		if c := d.Choices; c.From != "2019-10-12" || c.What != "a second sowing of" || !c.Keep || len(c.Species) < 10 {
			t.Errorf("to choose from: %s %q %t, %d species", c.From, c.What, c.Keep, len(c.Species))
		}
		decision := section(t, d, "decision")
		if d.Sections[0].ID != "decision" || !decision.Lead ||
			len(decision.Tables[0].Rows) != len(a.Decision.Choices) {
			t.Errorf("the choices do not lead: %+v", decision.Tables)
		}
		var labels []string
		for _, x := range decision.Items {
			labels = append(labels, x.Label)
		}
		if !slices.Equal(labels, []string{"why", "seed", "next", "what if"}) {
			t.Errorf("beneath the choices: %q", labels)
		}
		stand := section(t, d, "stand")
		rows := stand.Tables[0].Rows
		left := a.Decision.Find(forecast.LeaveIt)
		if len(rows) != 5 || rows[1][1] != "20 %" || stand.Notes[0] != "Seed found on digging: few." ||
			rows[3][1] != words.Percent(left.Cover) {
			t.Errorf("the first sowing: %v %q", rows, stand.Notes)
		}
		second := section(t, d, "chance")
		bars := second.Figures[0].Bars.Rows
		if len(bars) != 4 || !strings.HasPrefix(bars[0].Label, "today ") || bars[0].Mid != a.Second[0].Chance {
			t.Errorf("second sowings: %+v", bars)
		}
		if len(second.Figures) != len(d.Choices.Species) ||
			!strings.HasPrefix(second.List[0], "Last safe date (80 %) for a second sowing: ") {
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
			t.Error("a section of seed that nobody asked for")
		}
	}
	basis := func(d *report.Document) string { return fmt.Sprint(section(t, d, "basis").Items) }
	if !strings.Contains(basis(us), "75 °F at 4 in.") || !strings.Contains(basis(metric), "23.9 °C at 10 cm") {
		t.Errorf("the opening is not in the units asked for:\n%s\n%s", basis(us), basis(metric))
	}
}

// Whatever is decided, every part of the answer is in both systems of units, and no
// text is empty.
func TestEveryAction(t *testing.T) {
	seen := map[forecast.Action]int{}
	for _, id := range []string{"perennial-ryegrass", "tall-fescue"} {
		sp, _ := turf.Find(id)
		for _, look := range []climate.Day{first, first + 5, first + 12, first + 20, first + 35, first + 70} {
			for _, cover := range []float64{0, 0.3, 0.6, 0.85, 1} {
				a := answer(t, first, look, forecast.Stand{Cover: cover}, forecast.Options{Species: sp})
				seen[a.Decision.Best.Action]++
				us, err := a.Document(words.US, report.Terminal)
				if err != nil {
					t.Fatal(err)
				}
				metric, err := a.Document(words.Metric, report.Terminal)
				if err != nil {
					t.Fatal(err)
				}
				if us.Headline == "" || len(us.Notes) != len(metric.Notes) ||
					len(us.Sections) != len(metric.Sections) {
					t.Errorf("%s, cover %g: %q, %q", look, cover, us.Headline, metric.Headline)
				}
				for _, x := range section(t, us, "decision").Items {
					if x.Text == "" || strings.Contains(x.Text, "%!") || strings.Contains(x.Text, "NaN") {
						t.Errorf("%s, cover %g: %s %q", look, cover, x.Label, x.Text)
					}
				}
			}
		}
	}
	for _, action := range []forecast.Action{forecast.SowNow, forecast.WaitUntil, forecast.LeaveIt, forecast.Stop} {
		if seen[action] == 0 {
			t.Errorf("%s is never decided: %v", action, seen)
		}
	}
}

// Where it is too late the list says what is left.
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
	check("kentucky-bluegrass", words.US, "the soil at 2 in. is down to 40 °F", "the soil at 2 in. is back at 50 °F")
	check(
		"kentucky-bluegrass",
		words.Metric,
		"the soil at 5 cm is down to 4.4 °C",
		"the soil at 5 cm is back at 10.0 °C",
	)
	check("perennial-ryegrass", words.US, "Dormant seeding isn't an option", "already past")
}

// In the calendar stands one sowing: the second where the decision is to sow, else the
// first.
func TestCalendar(t *testing.T) {
	days := func(stand forecast.Stand) (ofFirst, ofSecond int) {
		a := answer(t, first, first+8, stand, forecast.Options{})
		k, err := a.Calendar(words.US)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range k.Events {
			switch {
			case e.Day == nil:
			case strings.HasPrefix(e.Summary, "First sowing of "):
				ofFirst++
			case strings.HasPrefix(e.Summary, "Second sowing, "):
				ofSecond++
			}
		}
		return ofFirst, ofSecond
	}
	if f, s := days(forecast.Stand{Cover: 0.9}); f != 3 || s != 0 {
		t.Errorf("left: %d days of the first, %d of the second", f, s)
	}
	if f, s := days(forecast.Stand{Found: forecast.NoSeed}); f != 0 || s != 3 {
		t.Errorf("sown again: %d days of the first, %d of the second", f, s)
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
		{"--cover 30", "the day of the first sowing is not given", "--first 2026-10-01", cli.Usage},
		{"--first 2019-10-01", "how much of the stand is up is not given", "--cover 30", cli.Usage},
		{"--first 2019-10-01 --cover 30 --bare 70", "not both", "", cli.Usage},
		{"--first 2019-10-01 --bare 170", "from 0 to 100", "", cli.Usage},
		{"--first 2019-10-01 --cover 30 --purity 500 --germination 90", "from 0 to 100", "", cli.Usage},
		{"--first 2019-10-01 --as-of 2019-09-30 --cover 30", "lies after the day of the look", "--as-of", cli.Usage},
		{"--first 2019-10-01 --cover 30", "ended on 2020-04-30", "--as-of DATE", cli.Usage},
		{"--first 2019-10-01 --cover 3 --species tall-fescue,red-fescue", "of one species", "--species tall", cli.Usage},
	} {
		status, stdout, stderr := run(t, files, strings.Fields(c.args)...)
		_, hint, _ := strings.Cut(stderr, "hint: ")
		if status != c.status || stdout != "" || !strings.Contains(stderr, c.message) ||
			!strings.Contains(hint, c.hint) {
			t.Errorf("%s: status %d, %s%s", c.args, status, stdout, stderr)
		}
	}
}
