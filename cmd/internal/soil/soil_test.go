package soil_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"math"
	"regexp"
	"strings"
	"testing"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/clitest"
	"swardcast/cmd/internal/report"
	command "swardcast/cmd/internal/soil"
	"swardcast/cmd/internal/words"
	"swardcast/forecast/soil"
)

const readings = "date,depth_cm,soil_c\n2019-09-20,10,22.5\n2019-09-28,10,22\n"

func TestJSONHoldsTogether(t *testing.T) {
	var got struct {
		Schema string
		Normal []struct {
			Depth     int     `json:"depth_cm"`
			Mean      float64 `json:"mean_c"`
			Amplitude float64 `json:"amplitude_c"`
			Warmest   float64 `json:"warmest_c"`
			Coldest   float64 `json:"coldest_c"`
		}
		Crossings []struct {
			Depth     int `json:"depth_cm"`
			Direction string
			Normal    *climate.Day `json:"normal_on"`
		}
		Days  []struct{ Date climate.Day } `json:"by_day"`
		Probe *struct {
			Used int `json:"used_count"`
		}
	}
	clitest.JSON(
		t,
		&got,
		command.Command,
		clitest.Files{"mine.csv": readings},
		"--probe",
		"mine.csv",
		"--depth",
		"5",
		"--threshold",
		"15C,90C",
	)
	if got.Schema != "swardcast.soil/2" || len(got.Normal) != 2 || len(got.Days) != 365 || got.Probe == nil ||
		got.Probe.Used != 2 {
		t.Errorf("%s, %d depths, %d days, readings %v", got.Schema, len(got.Normal), len(got.Days), got.Probe)
	}
	for _, n := range got.Normal {
		if !(n.Coldest < n.Mean && n.Mean < n.Warmest && n.Amplitude > 0) {
			t.Errorf("%+v", n)
		}
	}
	if !(got.Normal[0].Amplitude > got.Normal[1].Amplitude) {
		t.Errorf("the wave of the year does not fade with depth: %+v", got.Normal)
	}
	if len(got.Crossings) != 2 || got.Crossings[0].Direction != "falling" || got.Crossings[1].Direction != "rising" ||
		got.Crossings[0].Depth != 5 {
		t.Errorf("15 °C is passed down and up, 90 °C never: %+v", got.Crossings)
	}
}

func TestCSVHasEveryDay(t *testing.T) {
	// A day without its highest temperature is filled.
	day := regexp.MustCompile(`(?m)^(2015-03-01),[^,]+,`)
	gap := clitest.Files{"gap.csv": day.ReplaceAllString(string(demo.Station), "$1,,")}
	answer := clitest.Answer(t, command.Command, gap, "gap.csv", "--lat", "35.39", "--format", "csv")
	rows, err := csv.NewReader(strings.NewReader(answer)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	filled := 0
	for _, r := range rows[1:] {
		if r[7] == "1" {
			filled++
		}
	}
	if days := station(t).Record.Len(); len(rows)-1 != days || filled != 1 {
		t.Errorf("%d rows of %d days, %d filled", len(rows)-1, days, filled)
	}
}

func TestForms(t *testing.T) {
	clitest.Forms(t, command.Command, nil)
	clitest.Forms(
		t,
		command.Command,
		clitest.Files{"mine.csv": readings},
		"--probe",
		"mine.csv",
		"--depth",
		"5",
		"--threshold",
		"190F",
	)
}

func station(t *testing.T) *ask.Station {
	t.Helper()
	input, err := ask.Read(bytes.NewReader(demo.Station), demo.Name, ask.Reading{Invented: true})
	if err != nil {
		t.Fatal(err)
	}
	in, err := input.Ready()
	if err != nil {
		t.Fatal(err)
	}
	return in
}

func TestDocument(t *testing.T) {
	a, err := command.New(station(t), soil.Depth10, []float64{10, 15})
	if err != nil {
		t.Fatal(err)
	}
	for u, depth := range map[words.System]string{words.US: "4 in.", words.Metric: "10 cm"} {
		d, err := a.Document(u, report.Page)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(d.Headline, "Wait to sow cool-season grass: the soil at "+depth+" is ") ||
			!strings.Contains(d.Notes[1], "In a normal year") {
			t.Errorf("%q, %q", d.Headline, d.Notes)
		}
		if rows := clitest.Section(t, d, "crossings").Tables[0].Rows; len(rows) != 4 {
			t.Errorf("crossings %q", rows)
		}
		s := clitest.Section(t, d, "soil")
		if len(s.Tables[0].Rows) != 365 || s.Figures[0].Chart == nil {
			t.Errorf("%d days", len(s.Tables[0].Rows))
		}
		// The bars of the year: all between 0 and 1, both ends reached.
		least, most := math.Inf(1), math.Inf(-1)
		for _, b := range s.Figures[0].Bars.Rows {
			if !(b.Low <= b.Mid && b.Mid <= b.High) {
				t.Errorf("%+v", b)
			}
			least, most = min(least, b.Low), max(most, b.High)
		}
		if n := len(s.Figures[0].Bars.Rows); n != 24 || least != 0 || most != 1 {
			t.Errorf("%d half months from %g to %g", n, least, most)
		}
	}
}

// The headline says what the soil means for seed at any time of the year, and the date in
// it is the one of the JSON, in both systems of units.
func TestHeadlines(t *testing.T) {
	for asOf, want := range map[string][2]string{
		"2020-07-20": {"too-warm", "Wait to sow cool-season grass: "}, "2020-10-10": {"right", "The soil suits cool-season seed: "},
		"2020-01-12": {"too-cold", "Wait for spring: "}, "2020-04-20": {"right", "The soil suits cool-season seed: "},
	} {
		var got struct {
			State string      `json:"soil_state"`
			Ends  climate.Day `json:"soil_state_ends"`
		}
		clitest.JSON(t, &got, command.Command, nil, "--as-of", asOf)
		for units, u := range map[string]words.System{"us": words.US, "metric": words.Metric} {
			text := strings.Join(
				strings.Fields(clitest.Answer(t, command.Command, nil, "--as-of", asOf, "--units", units)),
				" ",
			)
			first, _, _ := strings.Cut(text, " On ")
			if got.State != want[0] || !strings.HasPrefix(first, want[1]) ||
				!strings.Contains(first, "about "+u.Date(got.Ends)) {
				t.Errorf("%s: %s, %s: %q", asOf, got.State, got.Ends, first)
			}
		}
	}
}

func TestRefuses(t *testing.T) {
	if _, err := command.New(station(t), 20, nil); !errors.Is(err, soil.ErrDepth) {
		t.Errorf("at 20 cm: %v", err)
	}
	files := clitest.Files{
		"mine.csv": "date,depth_cm,soil_c\n1950-09-20,10,22.5\n",
		"few.csv":  "date,tmax_c,tmin_c\n2019-01-01,10,2\n",
	}
	clitest.Fails(
		t,
		command.Command,
		files,
		cli.NoAnswer,
		"no reading is of a day of the record",
		"",
		"--probe",
		"mine.csv",
	)
	clitest.Fails(
		t,
		command.Command,
		files,
		cli.NoAnswer,
		"the file gives no latitude",
		"--lat 35.9",
		"few.csv",
		"--temp-unit",
		"C",
	)
	clitest.Fails(t, command.Command, files, cli.Usage, "--threshold", "", "--threshold", "1e9F")
	clitest.Fails(t, command.Command, files, cli.Usage, "it is one of 5, 10", "", "--depth", "7")
}
