package freeze_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"testing"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/clitest"
	"swardcast/cmd/internal/freeze"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// Dates come later the larger the share, and the later the colder the threshold.
func TestJSONIsOrdered(t *testing.T) {
	var got struct {
		Schema     string
		Season     int
		Thresholds []struct {
			TempC   float64                 `json:"temp_c"`
			Seasons int                     `json:"season_count"`
			Share   float64                 `json:"occurred_share"`
			First   map[string]*climate.Day `json:"first_freeze"`
			Last    map[string]*climate.Day `json:"last_freeze"`
		}
		Cautions []string
	}
	clitest.JSON(t, &got, freeze.Command, nil, "--threshold", "0C,-5C", "--season", "2026")
	if got.Schema != "swardcast.freeze/2" || got.Season != 2026 || len(got.Thresholds) != 2 ||
		got.Thresholds[0].Seasons != 30 {
		t.Fatalf("%+v", got)
	}
	keys := []string{"p10", "p20", "p30", "p40", "p50", "p60", "p70", "p80", "p90"}
	for _, of := range []map[string]*climate.Day{got.Thresholds[0].First, got.Thresholds[0].Last} {
		if len(of) != len(keys) {
			t.Errorf("%v", of)
		}
		var days []climate.Day
		for _, k := range keys {
			days = append(days, *of[k])
		}
		if !slices.IsSorted(days) {
			t.Errorf("not in order: %v", days)
		}
	}
	warm, cold := got.Thresholds[0], got.Thresholds[1]
	if !(*warm.First["p50"] < *cold.First["p50"] && *warm.Last["p50"] > *cold.Last["p50"]) ||
		warm.First["p50"].Year() != 2026 {
		t.Errorf(
			"0 °C %v and %v, -5 °C %v and %v",
			warm.First["p50"],
			warm.Last["p50"],
			cold.First["p50"],
			cold.Last["p50"],
		)
	}
}

// The dates of the headline are those of the JSON, and of the CSV, in both systems of
// units.
func TestHeadlineIsTheJSON(t *testing.T) {
	var got struct {
		Thresholds []struct {
			TempC float64                `json:"temp_c"`
			First map[string]climate.Day `json:"first_freeze"`
			Last  map[string]climate.Day `json:"last_freeze"`
		}
	}
	clitest.JSON(t, &got, freeze.Command, nil)
	kill := got.Thresholds[2] // 28 °F
	for units, u := range map[string]words.System{"us": words.US, "metric": words.Metric} {
		want := fmt.Sprintf(
			"Expect the first killing freeze (%s) about %s: in 1 year of 10 it comes by %s, in 9 of 10 by %s. "+
				"The last one of spring is over by %s in a typical year, and by %s in 9 of 10.",
			u.Temp(kill.TempC),
			u.Date(kill.First["p50"]),
			u.Date(kill.First["p10"]),
			u.Date(kill.First["p90"]),
			u.Date(kill.Last["p50"]),
			u.Date(kill.Last["p90"]),
		)
		text := strings.Join(strings.Fields(clitest.Answer(t, freeze.Command, nil, "--units", units)), " ")
		if !strings.HasPrefix(text, want) {
			t.Errorf("%.300s, want %s", text, want)
		}
	}
	rows, err := csv.NewReader(strings.NewReader(clitest.Answer(t, freeze.Command, nil, "--format", "csv"))).ReadAll()
	if err != nil || len(rows) != 1+2*len(got.Thresholds) {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	column := slices.Index(rows[0], "p50")
	for i, x := range got.Thresholds {
		if first, last := rows[1+2*i], rows[2+2*i]; first[1] != "first" || first[column] != x.First["p50"].String() ||
			last[1] != "last" || last[column] != x.Last["p50"].String() {
			t.Errorf("%g °C: %q, %q", x.TempC, first, last)
		}
	}
}

func TestForms(t *testing.T) {
	for _, line := range []string{"", "--years 2000-2003", "--threshold -40C", "--threshold 45F,0F"} {
		clitest.Forms(t, freeze.Command, nil, strings.Fields(line)...)
	}
}

func TestDocument(t *testing.T) {
	in, err := ask.Read(bytes.NewReader(demo.Station), demo.Name, ask.Reading{Invented: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		thresholds  []float64
		first, last int // seasons
		headline    map[words.System]string
		trends      int
		cautions    int
	}{
		{[]float64{0, -2}, 0, 0, map[words.System]string{words.US: "Expect the first day at 28 °F or colder about ", words.Metric: "Expect the first day at -2.0 °C or colder about "}, 2, 2},
		{[]float64{-40}, 0, 0, map[words.System]string{words.US: "Expect no day at -40 °F or colder in most years: it came in 0 of 30.", words.Metric: "-40.0 °C"}, 0, 2},
		{[]float64{0}, 2000, 2003, map[words.System]string{words.US: "Take no freeze dates from this record", words.Metric: "it has 4 usable autumns, and 5 are needed"}, 0, 3},
	} {
		a, err := freeze.New(
			in,
			c.thresholds,
			0,
			climate.FreezeOptions{FirstSeason: c.first, LastSeason: c.last, Completeness: climate.WMO()},
		)
		if err != nil {
			t.Fatal(err)
		}
		for u, want := range c.headline {
			d, err := a.Document(u, report.Page)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(d.Headline, want) {
				t.Errorf("headline %q, want %q", d.Headline, want)
			}
			for _, id := range []string{"first", "last"} {
				s := clitest.Section(t, d, id)
				if len(s.Tables[0].Rows) != len(c.thresholds) || len(s.Notes) != c.trends {
					t.Errorf("%v, %s: %q, %q", c.thresholds, id, s.Tables[0].Rows, s.Notes)
				}
			}
			if got := clitest.Section(t, d, "cautions").List; len(got) != c.cautions {
				t.Errorf("%v: cautions %q", c.thresholds, got)
			}
		}
	}
}

func TestRefuses(t *testing.T) {
	for _, c := range []struct {
		line, message, hint string
		status              int
	}{
		{"--threshold x", "--threshold x: write a number with F or C", "--threshold 28F or -2C", cli.Usage},
		{"--threshold=", "no threshold given", "--threshold 28F", cli.Usage},
		{"--season 10000", "the season of 10000 lies outside the record", "--season 2026", cli.Usage},
		{"--season 2030", "the season of 2030 lies outside the record", "--season 2026", cli.Usage},
		{"--threshold 28C", "28.0 °C (82 °F); a freeze or frost of the air is between", "--threshold 28F", cli.Usage},
		{"--years 1950-1960", "no season of the record can be used", "", cli.NoAnswer},
		{"--lat -35", "--lat says something of your record, but no FILE is named", "my-station.csv --lat -35", cli.Usage},
	} {
		clitest.Fails(t, freeze.Command, nil, c.status, c.message, c.hint, strings.Fields(c.line)...)
	}
}
