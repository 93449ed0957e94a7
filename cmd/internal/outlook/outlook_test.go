package outlook_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/climate/weather"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/hint"
	"swardcast/cmd/internal/outlook"
	"swardcast/cmd/internal/report"
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

// run runs a command line of swardcast outlook.
func run(t *testing.T, files memory, args ...string) (status int, stdout, stderr string) {
	var out, err bytes.Buffer
	p := &cli.Program{Name: "swardcast", Commands: []*cli.Command{outlook.Command}, Hint: hint.For, Files: files,
		Stdin: strings.NewReader(""), Stdout: &out, Stderr: &err,
		Now: func() time.Time { return time.Date(2026, time.July, 1, 0, 0, 0, 0, time.UTC) }}
	status = p.Main(t.Context(), append([]string{"outlook"}, args...))
	return status, out.String(), err.String()
}

// answer is the answer about a sowing at the demo station.
func answer(t *testing.T, sow, asOf climate.Day, change func(*forecast.Options)) *outlook.Answer {
	t.Helper()
	input, err := ask.Read(bytes.NewReader(demo.Station), demo.Name, ask.Reading{AsOf: &asOf, Invented: true})
	if err != nil {
		t.Fatal(err)
	}
	in, err := input.Ready()
	if err != nil {
		t.Fatal(err)
	}
	o := forecast.Options{Completeness: climate.WMO()}
	if change != nil {
		change(&o)
	}
	e, err := ask.SeasonAtHand(nil, in, o, in.Calendar.SeasonHolding(sow), "")
	if err != nil {
		t.Fatal(err)
	}
	a, err := outlook.New(in, e, o, sow)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func document(t *testing.T, a *outlook.Answer, u words.System) *report.Document {
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

var (
	sow  = climate.Date(2019, time.October, 5)
	look = climate.Date(2019, time.October, 15)
)

type spread struct{ P10, P50, P90 *string }

// What scripts read holds together: quantiles and intervals are in order, and a
// later sowing is never more likely to be in time.
func TestJSON(t *testing.T) {
	status, stdout, stderr := run(t, nil, "--sow", "2019-10-05", "--as-of", "2019-10-15", "--format", "json")
	if status != cli.Answered {
		t.Fatal(stderr)
	}
	type chance struct {
		InDays  int `json:"in_days"`
		Sow     string
		Chance  float64
		Low     float64 `json:"chance_low"`
		High    float64 `json:"chance_high"`
		Verdict forecast.Verdict
		Species string `json:"species_id"`
	}
	var x struct {
		chance
		Schema    string
		Stages    []struct{ Dates spread }
		IfSown    []chance `json:"if_sown"`
		IfSpecies []chance `json:"if_species"`
		Cautions  []string
	}
	if err := json.Unmarshal([]byte(stdout), &x); err != nil {
		t.Fatal(err)
	}
	if x.Schema != "swardcast.outlook/3" || x.Sow != "2019-10-05" || len(x.Stages) != 3 || len(x.IfSown) != 4 ||
		len(x.Cautions) == 0 {
		t.Errorf("%+v", x)
	}
	before := *x.Stages[0].Dates.P50
	for _, s := range x.Stages {
		if d := s.Dates; !(*d.P10 <= *d.P50 && *d.P50 <= *d.P90 && *d.P50 >= before) {
			t.Errorf("a stage between %s and %s, most likely on %s, after %s", *d.P10, *d.P90, *d.P50, before)
		}
		before = *s.Dates.P50
	}
	for _, c := range slices.Concat([]chance{x.chance}, x.IfSown, x.IfSpecies) {
		if !(c.Low <= c.Chance && c.Chance <= c.High) || c.Verdict != forecast.VerdictOf(c.Chance) {
			t.Errorf("%+v", c)
		}
	}
	for i, c := range x.IfSown[1:] {
		if c.Chance > x.IfSown[i].Chance || c.InDays <= x.IfSown[i].InDays {
			t.Errorf("%+v after %+v", c, x.IfSown[i])
		}
	}
	same := slices.IndexFunc(x.IfSpecies, func(c chance) bool { return c.Species == "perennial-ryegrass" })
	if same < 0 || x.IfSpecies[same].Chance != x.IfSown[0].Chance {
		t.Errorf("the species asked about has another chance among the species: %+v, %+v", x.IfSown[0], x.IfSpecies)
	}
}

func TestDocument(t *testing.T) {
	a := answer(t, sow, look, nil)
	us, metric := document(t, a, words.US), document(t, a, words.Metric)
	for _, d := range []*report.Document{us, metric} {
		if want := "On track: " + words.Percent(a.Outlook.Chance) + " likely to be established before the cold."; d.Headline != want {
			t.Errorf("headline: %s, want %s", d.Headline, want)
		}
		if lead := d.Sections[0]; lead.ID != "dates" || !lead.Lead || len(lead.Figures) != 1 {
			t.Errorf("the dates and their figure do not lead: %s", lead.ID)
		}
		c := d.Choices
		if len(c.Species) != len(a.Species) || c.Sow != "2019-10-05" || c.Species[0].Answer != d.Headline {
			t.Errorf("%d species to choose from, sown on %s", len(c.Species), c.Sow)
		}
		stages := section(t, d, "stages")
		if rows := stages.Tables[0].Rows; len(rows) != 3 || rows[0][2] == "–" {
			t.Errorf("stages: %v", rows)
		}
		if items := stages.Items; len(items) != 1 || items[0].Label != "cold" {
			t.Errorf("it is up and needs no more water: %+v", items)
		}
		chance := section(t, d, "chance")
		bars := chance.Figures[0].Bars.Rows
		if len(bars) != 4 || !strings.HasPrefix(bars[0].Label, "today") || bars[0].Mid != a.Later[0].Chance {
			t.Errorf("later sowings: %+v", bars)
		}
		if len(chance.Figures) != len(a.Species) || len(section(t, d, "days").Figures) != len(a.Species) {
			t.Errorf("%d charts of %d species", len(chance.Figures), len(a.Species))
		}
		if rows := section(t, d, "species").Tables[0].Rows; len(rows) != len(a.Species) {
			t.Errorf("%d rows of species", len(rows))
		}
		section(t, d, "soil")
		section(t, d, "cautions")
	}
	basis := func(d *report.Document) string { return fmt.Sprint(section(t, d, "basis").Items) }
	if !strings.Contains(basis(us), "75 °F at 4 in.") || !strings.Contains(basis(metric), "23.9 °C at 10 cm") {
		t.Errorf("the opening is not in the units asked for:\n%s\n%s", basis(us), basis(metric))
	}
}

// Until it is up, the water that it needs is in the units asked for.
func TestWater(t *testing.T) {
	a := answer(t, sow, sow+1, nil)
	for u, unit := range map[words.System]string{words.US: " in.", words.Metric: " mm"} {
		items := section(t, document(t, a, u), "stages").Items
		if len(items) != 3 || items[1].Label != "water" || !strings.Contains(items[1].Text, unit) ||
			items[2].Label != "" {
			t.Errorf("in%s: %+v", unit, items)
		}
	}
}

// Long before the opening later sowings are counted from the sow date, within the
// season from today.
func TestLaterSowings(t *testing.T) {
	a := answer(t, sow, climate.Date(2019, time.July, 20), nil)
	bars := section(t, document(t, a, words.US), "chance").Figures[0].Bars
	if a.From != sow || !strings.HasPrefix(bars.Rows[0].Label, "as asked ") ||
		!strings.HasPrefix(bars.Rows[1].Label, "3 days later ") {
		t.Errorf("counted from %s: %+v", a.From, bars.Rows)
	}
	if a = answer(t, sow, look, nil); a.From != look || a.On != look {
		t.Errorf("counted from %s, species sown on %s", a.From, a.On)
	}
	// Sown before the season there is no day of it to count from.
	june := climate.Date(2019, time.June, 10)
	if a = answer(t, june, june+5, nil); len(a.Later) != 0 || a.On != june {
		t.Errorf("sown in June: %d later sowings, species sown on %s", len(a.Later), a.On)
	}
}

// A sowing whose outcome the record holds is answered in hindsight.
func TestHindsight(t *testing.T) {
	late := answer(t, climate.Date(2019, time.November, 25), climate.Date(2020, time.February, 15), nil)
	d := document(t, late, words.Metric)
	if !strings.HasPrefix(d.Headline, "In hindsight: not established before ") {
		t.Errorf("%s %q", d.Headline, d.Notes)
	}
	if c := section(t, d, "stages").Items[0]; !strings.HasSuffix(c.Text, ", observed") {
		t.Errorf("cutoff: %s", c.Text)
	}
	if len(section(t, d, "dates").Notes) != 0 {
		t.Error("other sow dates of a season that is over")
	}
	for _, u := range []words.System{words.US, words.Metric} {
		a := answer(t, sow, climate.Date(2019, time.December, 20), nil)
		cold, _ := a.Outlook.Cutoff.At(0.5)
		day := *a.Outlook.Stages[2].P50
		want := fmt.Sprintf(
			"In hindsight: established %s, %d days before the bermudagrass went dormant (%s).",
			u.Date(day),
			cold-day,
			u.Date(cold),
		)
		if got := document(t, a, u).Headline; got != want || !a.Outlook.Decided {
			t.Errorf("%s, want %s", got, want)
		}
	}
	freeze := answer(
		t,
		sow,
		climate.Date(2019, time.December, 20),
		func(o *forecast.Options) { o.Cutoff = forecast.CutoffFreeze },
	)
	if got := document(t, freeze, words.US).Headline; !strings.Contains(got, " before the first killing freeze (") {
		t.Error(got)
	}
}

// The headline by the state of the sowing; what is not sown yet begins with what to do.
func TestHeadlines(t *testing.T) {
	october := func(d int) climate.Day { return climate.Date(2019, time.October, d) }
	november := func(d int) climate.Day { return climate.Date(2019, time.November, d) }
	for _, c := range []struct {
		sow, look climate.Day
		species   string
		want      string
		verdict   forecast.Verdict
		instead   string
	}{
		{october(5), october(12), "", "On track: ", forecast.Likely, ""},
		{october(22), october(26), "", "At risk: ", forecast.Doubtful, ""},
		{november(1), november(3), "", "Running late: ", forecast.Unlikely, "Seed in spring instead, from about "},
		{november(12), november(15), "", "Too late: ", forecast.TooLate, "; the bermudagrass wakes then too"},
		{october(5), november(5), "", "Done: established since about ", forecast.Likely, ""},
		{october(12), october(12), "", "Sow today: ", forecast.Likely, ""},
		{october(14), october(12), "", "Sow on " + words.US.Date(october(14)) + ": ", forecast.Likely, ""},
		{october(25), october(12), "", "Sow on " + words.US.Date(october(25)) + " only as a gamble: ", forecast.Doubtful, ""},
		{november(5), october(12), "", "Don't sow on " + words.US.Date(november(5)) + ": ", forecast.Unlikely, "spring"},
		{november(30), october(12), "tall-fescue", "Don't sow on " + words.US.Date(november(30)) + ": too late, ", forecast.TooLate,
			"Dormant seeding from about "},
		{climate.Date(2019, time.August, 1), climate.Date(2019, time.July, 15), "", "Wait until the soil stays below 75 °F, usually ", forecast.Likely, ""},
		{climate.Date(2019, time.August, 20), climate.Date(2019, time.September, 15), "", "Watch it: sown before the opening", forecast.Likely, ""},
	} {
		a := answer(t, c.sow, c.look, func(o *forecast.Options) {
			if c.species != "" {
				o.Species, _ = turf.Find(c.species)
			}
		})
		d := document(t, a, words.US)
		if !strings.HasPrefix(d.Headline, c.want) || a.Outlook.Verdict != c.verdict ||
			!strings.Contains(d.Headline, c.instead) {
			t.Errorf("sown %s, seen %s: %s, %s", c.sow, c.look, a.Outlook.Verdict, d.Headline)
		}
		if strings.Contains(strings.Join(d.Notes, " ")+d.Headline, "%!") {
			t.Errorf("%s %q", d.Headline, d.Notes)
		}
	}
}

// Other sow dates stand in one line with the chances of the bars.
func TestIfYouSowMore(t *testing.T) {
	a := answer(t, sow, look, nil)
	note := section(t, document(t, a, words.US), "dates").Notes[0]
	if !strings.HasPrefix(note, "If you sow more: today ") {
		t.Error(note)
	}
	for _, l := range a.Later[1:] {
		if want := words.US.Date(l.Sow) + " " + words.Percent(l.Chance); !strings.Contains(note, want) {
			t.Errorf("no %s in %s", want, note)
		}
	}
}

func TestTooFewSeasons(t *testing.T) {
	a := answer(t, sow, look, func(o *forecast.Options) { o.FirstSeason, o.LastSeason = 2001, 2003 })
	d := document(t, a, words.US)
	if !strings.HasPrefix(d.Headline, "Use a longer record: 3 seasons ") {
		t.Error(d.Headline)
	}
	for _, row := range section(t, d, "stages").Tables[0].Rows {
		if row[2] != "–" || row[3] != "too few seasons" || row[4] != "–" {
			t.Errorf("a date from three seasons: %v", row)
		}
	}
	for _, bar := range section(t, d, "chance").Figures[0].Bars.Rows {
		if bar.Cells[2] != "too few seasons" {
			t.Errorf("a verdict from three seasons: %v", bar.Cells)
		}
	}
}

func TestErrors(t *testing.T) {
	record := "date,tmax_c,tmin_c\n2019-01-01,10,2\n2019-01-02,10,1\n"
	files := memory{"short.csv": record, "broken.csv": "date,tmax_c,tmin_c\n2019-01-01,ten,2\n"}
	for _, c := range []struct {
		args, message, hint string
		status              int
	}{
		{"short.csv --lat 40", "the record has 2 days", "at least a year is needed", cli.NoAnswer},
		{"short.csv", "the file gives no latitude", "--lat 35.9", cli.NoAnswer},
		{"broken.csv --lat 40", "broken.csv:2", "", cli.NoAnswer},
		{"--years 1901-1903", "season", "--years", cli.NoAnswer},
		{"--ahead nowhere.csv", "nowhere.csv: no such file", "", cli.NoAnswer},
		{"--outlook-file nowhere.csv", "nowhere.csv: no such file", "", cli.NoAnswer}, // the former name
		{"--ahead warm", "for how many days?", "--ahead warm:21", cli.Usage},
		{"--species tall-fescue,red-fescue", "an outlook is for one species", "--species tall-fescue", cli.Usage},
		{"--format ics", "a calendar is of one sowing", "--sow 2026-06-30", cli.Usage},
	} {
		status, stdout, stderr := run(t, files, strings.Fields(c.args)...)
		_, hint, _ := strings.Cut(stderr, "hint: ")
		if status != c.status || stdout != "" || !strings.Contains(stderr, c.message) ||
			!strings.Contains(hint, c.hint) {
			t.Errorf("%s: status %d, %s%s", c.args, status, stdout, stderr)
		}
	}
}

// What would change the chance is what the library says; of a sowing in the ground only
// the freeze and the soil can be other than taken, of one that is decided nothing.
func TestWhatWouldChangeIt(t *testing.T) {
	sow := climate.Date(2019, time.October, 5)
	for _, x := range []struct {
		asOf climate.Day
		want []forecast.ChangeKind
	}{
		{sow - 20, []forecast.ChangeKind{"freeze", "soil", "sow", "species"}},
		{sow + 10, []forecast.ChangeKind{"freeze", "soil"}},
		{sow + 150, nil},
	} {
		a := answer(t, sow, x.asOf, nil)
		var kinds []forecast.ChangeKind
		for _, c := range a.Changes {
			if !slices.Contains(kinds, c.Kind) {
				kinds = append(kinds, c.Kind)
			}
			lower := c.Chance < a.Outlook.Chance
			if soil := c.Kind == forecast.ChangeSoil; soil && !lower || c.Kind == forecast.ChangeFreeze && lower {
				t.Errorf("as of %s: %+v, with %.3f before", x.asOf, c, a.Outlook.Chance)
			}
		}
		if !slices.Equal(kinds, x.want) {
			t.Errorf("as of %s: %v, want %v", x.asOf, kinds, x.want)
		}
		d := document(t, a, words.US)
		i := slices.IndexFunc(d.Sections, func(s report.Section) bool { return s.ID == "change" })
		if (i < 0) != (x.want == nil) {
			t.Errorf("as of %s: section %d", x.asOf, i)
			continue
		}
		if i >= 0 && (!strings.Contains(d.Sections[i].Intro[0], "24") || !strings.Contains(d.Sections[i].Intro[0], "colder")) {
			t.Errorf("as of %s: %q", x.asOf, d.Sections[i].Intro)
		}
	}
}

// A warning stands once: the grave ones beneath the headline, the others with the cautions.
func TestWarnings(t *testing.T) {
	count := func(d *report.Document, text string) int {
		n := strings.Count(strings.Join(d.Notes, "\n"), text)
		for _, s := range d.Sections {
			n += strings.Count(strings.Join(s.List, "\n"), text)
		}
		return n
	}
	a := answer(t, climate.Date(2019, time.October, 5), climate.Date(2020, time.May, 1), nil)
	d := document(t, a, words.US)
	if n := count(d, "hindsight, not a forecast"); n != 1 || !strings.HasPrefix(d.Headline, "In hindsight") {
		t.Errorf("hindsight is warned of %d times: %s", n, d.Headline)
	}
	// The demo record ends long before a day in the next year.
	a = answer(t, climate.Date(2027, time.October, 5), climate.Date(2027, time.July, 10), nil)
	d = document(t, a, words.US)
	if n := count(d, "The record ends on"); n != 1 || !strings.Contains(strings.Join(d.Notes, " "), "The record ends on") {
		t.Errorf("that the record ended stands %d times: %q", n, d.Notes)
	}
}

// Winters that kill the host are said first, and once more among the cautions; where the
// host lives nothing is said.
func TestHostOutsideItsRange(t *testing.T) {
	c := weather.Piedmont()
	c.Mean -= 12
	var cold bytes.Buffer
	if err := weather.WriteCSV(&cold, weather.Generate(c, 7, climate.Date(2000, time.January, 1),
		climate.Date(2019, time.October, 15))); err != nil {
		t.Fatal(err)
	}
	files := memory{"cold.csv": cold.String(), "mild.csv": string(demo.Station)}
	for _, x := range []struct {
		file, host string
		says       int
	}{{"cold.csv", "bermudagrass", 1}, {"cold.csv", "none", 0}, {"mild.csv", "bermudagrass", 0}} {
		_, stdout, stderr := run(t, files, x.file, "--host", x.host, "--sow", "2019-08-20", "--as-of", "2019-10-15")
		if stdout == "" {
			t.Fatal(stderr)
		}
		text := strings.Join(strings.Fields(stdout), " ")
		if n := strings.Count(text, "Bermudagrass doesn't survive winters like these"); n != x.says {
			t.Errorf("%s, %s: said %d times, want %d", x.file, x.host, n, x.says)
		}
	}
}
