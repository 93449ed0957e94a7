package window_test

import (
	"bytes"
	"encoding/csv"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/clitest"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/window"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

func TestForms(t *testing.T) {
	for _, line := range []string{
		"", "--species tall-fescue,kentucky-bluegrass --host none --confidence 95", "--years 2001-2003", "--cutoff freeze --freeze-temp -10C",
		"--unwatered --stage emerged", "--as-of 2019-10-15",
	} {
		clitest.Forms(t, window.Command, nil, strings.Fields(line)...)
	}
}

// Chances are shares that lie within their interval and fall with the date; the
// last safe dates come earlier the safer they are.
func TestJSONHolds(t *testing.T) {
	var got window.Output
	clitest.JSON(t, &got, window.Command, nil, "--species", "perennial-ryegrass,tall-fescue")
	if len(got.Species) != 2 || len(got.Cautions) == 0 || got.Season != 2026 {
		t.Fatalf("%d species, %d cautions, season %d", len(got.Species), len(got.Cautions), got.Season)
	}
	for _, s := range got.Species {
		before := 2.0
		for _, d := range s.ByDate {
			if !(0 <= d.ChanceLow && d.ChanceLow <= d.Chance && d.Chance <= d.ChanceHigh && d.ChanceHigh <= 1) {
				t.Errorf("%s on %s: %v (%v to %v)", s.ID, d.Sow, d.Chance, d.ChanceLow, d.ChanceHigh)
			}
			if float64(d.Chance) > before {
				t.Errorf("%s: the chance rises on %s", s.ID, d.Sow)
			}
			before = float64(d.Chance)
		}
		l := s.LastSafe
		if !(*l.P90 <= *l.P80 && *l.P80 <= *l.P50 && *l.AtConfidence == *l.P80 &&
			*s.Opens.P20 <= *s.Opens.P50 && *s.Opens.P50 <= *s.Opens.P80) {
			t.Errorf("%s: last safe %v, opens %v", s.ID, l, s.Opens)
		}
		const rounded = 5e-5 // of a chance in JSON
		for d, least := range map[climate.Day]float64{*l.P90: 0.9, *l.P80: 0.8, *l.P50: 0.5} {
			day := d - s.ByDate[0].Sow
			if on, next := float64(s.ByDate[day].Chance), float64(s.ByDate[day+1].Chance); on < least-rounded ||
				next >= least+rounded {
				t.Errorf(
					"%s: the last safe date at %g is %s, with chances of %g and %g the day after",
					s.ID,
					least,
					d,
					on,
					next,
				)
			}
		}
		if len(s.Seasons) != 30 {
			t.Errorf("%s: %d seasons", s.ID, len(s.Seasons))
		}
	}
}

// The rows of CSV are the dates of JSON.
func TestRowsAreTheDates(t *testing.T) {
	var got window.Output
	clitest.JSON(t, &got, window.Command, nil)
	rows, err := csv.NewReader(strings.NewReader(clitest.Answer(t, window.Command, nil, "--format", "csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	dates := got.Species[0].ByDate
	if len(rows) != len(dates)+1 {
		t.Fatalf("%d rows of %d dates", len(rows)-1, len(dates))
	}
	for i, d := range dates {
		chance, err := strconv.ParseFloat(rows[i+1][2], 64)
		if err != nil || rows[i+1][1] != d.Sow.String() || chance-float64(d.Chance) > 1e-4 ||
			float64(d.Chance)-chance > 1e-4 {
			t.Errorf("%v, want %s %v", rows[i+1], d.Sow, d.Chance)
		}
	}
}

// One document in both systems of units: the same sections, tables and dates; only
// quantities differ. Every chart names what it shows.
func TestDocument(t *testing.T) {
	in, err := ask.Read(bytes.NewReader(demo.Station), demo.Name, ask.Reading{Invented: true})
	if err != nil {
		t.Fatal(err)
	}
	station, err := in.Ready()
	if err != nil {
		t.Fatal(err)
	}
	tall, _ := turf.Find("tall-fescue")
	a, err := window.New(station, []forecast.Options{{Species: tall}})
	if err != nil {
		t.Fatal(err)
	}
	us, err := a.Document(words.US, report.Page)
	if err != nil {
		t.Fatal(err)
	}
	metric, err := a.Document(words.Metric, report.Page)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(us.Headline, "tall fescue") || len(us.Sections) != len(metric.Sections) ||
		reflect.DeepEqual(us, metric) {
		t.Errorf("%q; %d and %d sections", us.Headline, len(us.Sections), len(metric.Sections))
	}
	dates := clitest.Section(t, us, "dates")
	if len(dates.Tables) != 1 || len(dates.Tables[0].Rows) < 6 {
		t.Errorf("%+v", dates)
	}
	for _, s := range us.Sections {
		for _, f := range s.Figures {
			if f.Chart != nil && (f.Chart.Alt == "" || f.Chart.Title == "") {
				t.Errorf("%s: a chart without words", s.ID)
			}
		}
	}
	if len(us.Choices.Species) != len(turf.All()) || us.Choices.Species[0].ID != "tall-fescue" {
		t.Errorf("%d species to choose from", len(us.Choices.Species))
	}
	for _, name := range []string{"chance", "seasons", "days", "species", "soil"} {
		if c, err := a.Chart(name, words.US); err != nil || c.Title == "" || c.Alt == "" {
			t.Errorf("%s: %+v, %v", name, c, err)
		}
	}
}

func TestRefused(t *testing.T) {
	clitest.Fails(
		t,
		window.Command,
		nil,
		cli.Usage,
		"the season of 1950 lies outside the record",
		"--season 2026",
		"--season",
		"1950",
	)
	clitest.Fails(t, window.Command, nil, cli.NoAnswer, "no season", "a season needs its days", "--years", "1900-1910")
	short := "Latitude: 40\ndate,tmax_c,tmin_c\n"
	for d := climate.Date(2020, 1, 1); d < climate.Date(2020, 3, 1); d++ {
		short += d.String() + ",10,2\n"
	}
	clitest.Fails(
		t,
		window.Command,
		clitest.Files{"short.csv": short},
		cli.NoAnswer,
		"short.csv: the record has 60 days",
		"at least a year",
		"short.csv",
	)
	clitest.Fails(
		t,
		window.Command,
		clitest.Files{"x.csv": "date,tmax\n2020-01-01,5\n"},
		cli.NoAnswer,
		"x.csv:1",
		"--columns tmin=NAME",
		"x.csv",
	)
}
