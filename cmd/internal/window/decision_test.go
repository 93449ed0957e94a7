package window_test

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/clitest"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/window"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// demoWindow is the answer of the demo station with rows after a day left out.
func demoWindow(t *testing.T, asOf string, o ...forecast.Options) *window.Answer {
	t.Helper()
	how := ask.Reading{Invented: true}
	if asOf != "" {
		var d ask.Date
		if err := d.Set(asOf); err != nil {
			t.Fatal(err)
		}
		how.AsOf = &d.Day
	}
	in, err := ask.Read(bytes.NewReader(demo.Station), demo.Name, how)
	if err != nil {
		t.Fatal(err)
	}
	station, err := in.Ready()
	if err != nil {
		t.Fatal(err)
	}
	if o == nil {
		o = []forecast.Options{{}}
	}
	a, err := window.New(station, o)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func document(t *testing.T, a *window.Answer, u words.System, on report.Medium) *report.Document {
	t.Helper()
	d, err := a.Document(u, on)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// imperatives begin every headline.
var imperatives = regexp.MustCompile(`^(Sow|Don't (sow|plan)|Get|Add|Too late) [^.]*\.`)

// The headline says what to do, in both systems of units, as the day and the record
// have it; its dates are those of JSON.
func TestDecision(t *testing.T) {
	fescue, _ := turf.Find("tall-fescue")
	none, _ := turf.FindHost("none")
	for _, c := range []struct {
		asOf   string
		o      forecast.Options
		action string
		says   []string
	}{
		{"2019-08-01", forecast.Options{}, "sow", []string{"Sow perennial ryegrass between FROM and UNTIL."}},
		{"2019-10-02", forecast.Options{}, "sow-now", []string{"Sow perennial ryegrass now, by UNTIL at the latest.", "swardcast outlook"}},
		{"2019-10-16", forecast.Options{}, "sow-today", []string{"Sow perennial ryegrass today: CHANCE to establish", "SAFE, is past", "wait for spring"}},
		{"2019-10-24", forecast.Options{}, "sow-late", []string{"today or not this autumn: CHANCE"}},
		{"2019-10-30", forecast.Options{}, "dont-sow", []string{"Don't sow perennial ryegrass this autumn: CHANCE", "Next year: "}},
		{"2019-11-20", forecast.Options{}, "too-late", []string{"Too late for perennial ryegrass this autumn: CHANCE"}},
		{"2019-10-30", forecast.Options{Species: fescue, Host: none}, "sow-late", []string{"Annual ryegrass is quicker"}},
		{"2019-08-01", forecast.Options{Species: fescue, Confidence: 97}, "sow-when-cool", []string{"Sow tall fescue by SAFE, as soon as the soil stays below"}},
		{"2019-08-01", forecast.Options{FirstSeason: 2001, LastSeason: 2001}, "more-seasons", []string{"Get a longer record: 1 usable autumn is too few"}},
		{"2019-08-01", forecast.Options{FirstSeason: 2001, LastSeason: 2007}, "sow", []string{"Only 7 seasons"}},
	} {
		a := demoWindow(t, c.asOf, c.o)
		out := a.JSON().(window.Output)
		s := out.Species[0]
		if s.Decision.Action != c.action {
			t.Errorf("%s: %s, want %s", c.asOf, s.Decision.Action, c.action)
		}
		for _, u := range []words.System{words.US, words.Metric} {
			d := document(t, a, u, report.Terminal)
			if !imperatives.MatchString(d.Headline) {
				t.Errorf("%s: no imperative: %q", c.asOf, d.Headline)
			}
			fill := []string{}
			if s.Aim != nil {
				fill = append(fill, "FROM", u.Date(s.Aim.From), "UNTIL", u.Date(s.Aim.Until))
			}
			if s.LastSafe.AtConfidence != nil {
				fill = append(fill, "SAFE", u.Date(*s.LastSafe.AtConfidence))
			}
			if s.Decision.Instead != nil {
				fill = append(fill, "CHANCE", words.Percent(float64(s.Decision.Instead.Chance)))
			}
			text := d.Headline + " " + strings.Join(d.Notes, " ")
			for _, want := range c.says {
				if want = strings.NewReplacer(fill...).Replace(want); !strings.Contains(text, want) {
					t.Errorf("%s: %q lacks %q", c.asOf, text, want)
				}
			}
		}
	}
}

// Dates stand in their order, and the aim and the last safe date are those of JSON.
func TestDatesAreThoseOfJSON(t *testing.T) {
	a := demoWindow(t, "")
	s := a.JSON().(window.Output).Species[0]
	rows := clitest.Section(t, document(t, a, words.US, report.Terminal), "dates").Tables[0].Rows
	u := words.US
	want := map[string]string{
		"cool enough": u.Date(
			s.Aim.From,
		), "best until": u.Date(s.Aim.BestUntil), "safe in 9 of 10": u.Date(*s.LastSafe.P90),
		"safe in 8 of 10": u.Date(
			*s.LastSafe.P80,
		), "safe in 5 of 10": u.Date(*s.LastSafe.P50), "cold ends it": u.Date(*s.Cutoff.P50),
	}
	for _, r := range rows {
		if r[0] != want[r[1]] {
			t.Errorf("%s: %s, JSON has %s", r[1], r[0], want[r[1]])
		}
		delete(want, r[1])
	}
	if len(want) > 0 {
		t.Errorf("not in the table: %v", want)
	}
}

// What would change the date is what the library says.
func TestChangeIsThatOfTheLibrary(t *testing.T) {
	a := demoWindow(t, "")
	text := clitest.Section(t, document(t, a, words.US, report.Terminal), "change").Intro[0]
	for _, c := range a.JSON().(window.Output).Species[0].Sensitivities {
		want := words.US.Date(*c.LastSafe)
		if c.Change == "sow" {
			want = words.Percent(float64(c.Chance))
		}
		if !strings.Contains(text, want) {
			t.Errorf("%s: %q lacks %s", c.Change, text, want)
		}
	}
	if !strings.Contains(text, "24 °F") || !strings.Contains(text, "2 °F colder") {
		t.Error(text)
	}
}

// Fewer than five seasons never read as a high chance, in any form.
func TestFewSeasonsPromiseNothing(t *testing.T) {
	for _, years := range []string{"2001-2001", "2001-2004"} {
		text := clitest.Answer(t, window.Command, nil, "--years", years)
		html := clitest.Answer(t, window.Command, nil, "--years", years, "--format", "html")
		if strings.Contains(text, "99 %") || strings.Contains(html, "99 %") || strings.Contains(text, "likely") {
			t.Errorf("%s: a chance is promised", years)
		}
		var got window.Output
		clitest.JSON(t, &got, window.Command, nil, "--years", years)
		if len(got.Species[0].Warnings) == 0 || got.Species[0].Warnings[0].Kind != string(forecast.WarnTooFew) ||
			got.Species[0].Aim != nil {
			t.Errorf("%s: %+v", years, got.Species[0].Warnings)
		}
		for _, row := range strings.Split(clitest.Answer(t, window.Command, nil, "--years", years, "--format", "csv"), "\n")[1:] {
			if cells := strings.Split(row, ","); len(cells) > 2 && cells[2] != "" {
				t.Fatalf("%s: %s", years, row)
			}
		}
	}
}

// record is a file of the demo station's days to a year's end, colder by some °C, of
// a place at a latitude.
func record(t *testing.T, last int, latitude, colder float64) string {
	t.Helper()
	in, err := ask.Read(bytes.NewReader(demo.Station), demo.Name, ask.Reading{Invented: true})
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Latitude: %g\ndate,tmax_c,tmin_c\n", latitude)
	for i, high := range in.Checked.TMaxC {
		d := in.Checked.Day(i)
		if d.Year() <= last && !in.Checked.Missing(i) {
			fmt.Fprintf(&b, "%s,%.1f,%.1f\n", d, high-colder, in.Checked.TMinC[i]-colder)
		}
	}
	return b.String()
}

// A record that ended long ago plans the season at or after the day by the clock, and
// says so; asked as of a day, it plans from that day.
func TestOldRecordPlansTheNextSeason(t *testing.T) {
	files := clitest.Files{"old.csv": record(t, 2018, 35.4, 0)}
	var got window.Output
	clitest.JSON(t, &got, window.Command, files, "old.csv")
	if got.Season != 2026 || len(got.Warnings) != 1 || got.Warnings[0].Kind != string(forecast.WarnRecordEnded) ||
		got.Species[0].Decision.Action != "sow" {
		t.Errorf("season %d, %+v, %s", got.Season, got.Warnings, got.Species[0].Decision.Action)
	}
	clitest.JSON(t, &got, window.Command, files, "old.csv", "--as-of", "2017-08-01")
	if got.Season != 2017 || len(got.Warnings) != 0 {
		t.Errorf("season %d, %+v", got.Season, got.Warnings)
	}
}

// Bermudagrass far north is answered with the flag that settles it.
func TestHostThatWintersKill(t *testing.T) {
	files := clitest.Files{"north.csv": record(t, 2025, 46.9, 14)}
	text := clitest.Answer(t, window.Command, files, "north.csv")
	if !strings.HasPrefix(text, "Add --host none for a cool-season lawn: bermudagrass doesn't survive") ||
		!strings.Contains(text, "January averages") {
		t.Errorf("%.300s", text)
	}
	if text := clitest.Answer(t, window.Command, files, "north.csv", "--host", "none"); !imperatives.MatchString(
		text,
	) ||
		strings.Contains(text, "survive") {
		t.Errorf("%.300s", text)
	}
}

// In November such a record plans the next autumn, once no species asked for is
// possible any more; two weeks past the last safe date it still weighs today.
func TestOldRecordInItsSeason(t *testing.T) {
	bluegrass, _ := turf.Find("kentucky-bluegrass")
	for _, c := range []struct {
		today  climate.Day
		season int
		action string
	}{
		{climate.Date(2026, time.November, 25), 2027, "sow"},
		{climate.Date(2026, time.October, 23), 2026, "sow-late"},
	} {
		in, err := ask.Read(strings.NewReader(record(t, 2018, 35.4, 0)), "old.csv", ask.Reading{Today: c.today})
		if err != nil {
			t.Fatal(err)
		}
		station, err := in.Ready()
		if err != nil {
			t.Fatal(err)
		}
		a, err := window.New(station, []forecast.Options{{}, {Species: bluegrass}})
		if err != nil {
			t.Fatal(err)
		}
		out := a.JSON().(window.Output)
		if out.Season != c.season || a.Windows[1].Season != c.season || out.Species[0].Decision.Action != c.action {
			t.Errorf(
				"on %s: season %d and %d, %s",
				c.today,
				out.Season,
				a.Windows[1].Season,
				out.Species[0].Decision.Action,
			)
		}
		if d := document(t, a, words.US, report.Page); c.season > 2026 && !strings.Contains(d.Headline, "2027") {
			t.Errorf("on %s: %q", c.today, d.Headline)
		}
	}
}

// The chart gives the opening and the cold their dates and words of the table.
func TestChartHasTheDatesOfTheTable(t *testing.T) {
	fescue, _ := turf.Find("tall-fescue")
	none, _ := turf.FindHost("none")
	seen := 0
	for _, o := range []forecast.Options{{}, {Species: fescue}, {Host: none}, {Species: fescue, Host: none}, {Confidence: 95}} {
		a := demoWindow(t, "2026-06-01", o)
		d := document(t, a, words.US, report.Terminal)
		c, err := a.Chart("chance", words.US)
		if err != nil {
			t.Fatal(err)
		}
		var labels []string
		for _, r := range c.Rules {
			labels = append(labels, r.Label)
		}
		for _, row := range d.Sections[0].Tables[0].Rows {
			word := map[string]string{"cool enough": "cool enough ", "cold ends it": "cold "}[row[1]]
			if word == "" || row[0] == words.US.Date(a.Windows[0].ByDate[0].Sow) {
				continue
			}
			seen++
			if !strings.Contains(strings.Join(labels, "\n"), word+row[0]) {
				t.Errorf("%s: the table has %q, the chart %q", a.Windows[0].Options.Species.ID, row, labels)
			}
		}
	}
	if seen < 8 {
		t.Errorf("%d dates compared", seen)
	}
}
