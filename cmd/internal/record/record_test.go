package record_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/clitest"
	"swardcast/cmd/internal/record"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// swapped has a day whose highest temperature lies below its lowest.
const swapped = "date,tmax_c,tmin_c\n2019-01-01,10,2\n2019-01-02,10,12\n2019-01-03,11,1\n"

// rows are the header of the demo station's file and the days of it that are wanted,
// without its place.
func rows(wanted func(climate.Day) bool) string {
	var b strings.Builder
	for line := range strings.Lines(string(demo.Station)) {
		date, _, _ := strings.Cut(line, ",")
		if d, err := climate.ParseDay(date); date == "date" || err == nil && wanted(d) {
			b.WriteString(line)
		}
	}
	return b.String()
}

// upTo is the demo station up to the June of a year.
func upTo(year int) string {
	return rows(func(d climate.Day) bool { return d <= climate.Date(year, time.June, 30) })
}

type answer struct {
	Schema, Verdict string
	Words           string `json:"reason"`
	Days            int    `json:"day_count"`
	Missing         int    `json:"missing_day_count"`
	Station         struct {
		Used []int `json:"seasons_used"`
	}
	Understood struct {
		Unit    string `json:"temp_unit"`
		Columns []struct{ Meaning string }
	}
	Months []struct {
		Month    string
		Days     int `json:"day_count"`
		Missing  int `json:"missing_day_count"`
		Complete bool
	}
	Doubts []struct {
		Test   string
		Values int `json:"value_count"`
	} `json:"suspect_values"`
	Tests []struct {
		Name   string
		Values int `json:"value_count"`
	}
}

func TestVerdicts(t *testing.T) {
	files := clitest.Files{"swapped.csv": swapped, "four.csv": upTo(2000), "eight.csv": upTo(2004)}
	for _, c := range []struct {
		line, verdict, words string
		used                 int
	}{
		{"", "good", "30 usable autumns", 30},
		{"eight.csv --lat 35", "short", "8 usable autumns; 10 or more would be better", 8},
		{"four.csv --lat 35", "too-short", "4 usable autumns, and a safe date needs 5", 4},
		{"four.csv", "unusable", "the file does not give the latitude", 0},
		{"four.csv --lat -35", "unusable", "the latitude does not fit the record", 0},
		{"swapped.csv --lat 40 --temp-unit C", "unusable", "the record has 3 days", 0},
	} {
		var got answer
		clitest.JSON(t, &got, record.Command, files, strings.Fields(c.line)...)
		if got.Schema != "swardcast.record/2" || got.Verdict != c.verdict || !strings.Contains(got.Words, c.words) ||
			len(got.Station.Used) != c.used {
			t.Errorf("%s: %s: %s, %d seasons", c.line, got.Verdict, got.Words, len(got.Station.Used))
		}
		days, missing := 0, 0
		for _, m := range got.Months {
			days += m.Days
			missing += m.Missing
		}
		if days != got.Days || missing > got.Missing {
			t.Errorf("%s: months of %d days, %d missing; in all %d, %d", c.line, days, missing, got.Days, got.Missing)
		}
		doubts, tests := 0, 0
		for _, d := range got.Doubts {
			doubts += d.Values
		}
		for _, x := range got.Tests {
			tests += x.Values
		}
		if doubts != tests || len(got.Understood.Columns) < 3 || got.Understood.Unit != "C" {
			t.Errorf("%s: %d suspect values, %d by test; %+v", c.line, doubts, tests, got.Understood)
		}
	}
}

func TestForms(t *testing.T) {
	files := clitest.Files{"swapped.csv": swapped, "four.csv": upTo(2000)}
	clitest.Forms(t, record.Command, files)
	clitest.Forms(t, record.Command, files, "four.csv", "--completeness", "strict")
	clitest.Forms(t, record.Command, files, "swapped.csv", "--lat", "40", "--temp-unit", "C")
}

// What is not good enough says what to do, in the text as in the JSON.
func TestFixes(t *testing.T) {
	files := clitest.Files{"swapped.csv": swapped, "four.csv": upTo(2000), "eight.csv": upTo(2004)}
	for line, want := range map[string][2]string{
		"":                                   {"Usable: 30 autumns at Wrenfield Green (invented), 1996–2025.", ""},
		"eight.csv --lat 35":                 {"Usable with care: 8 usable autumns;", "add the station's earlier years"},
		"four.csv --lat 35":                  {"Not usable as it is: 4 usable autumns, and a safe date needs 5.", "add the station's earlier years"},
		"four.csv":                           {"Not usable as it is: the file does not give the latitude.", "add the latitude, as in --lat 35.9"},
		"four.csv --lat -35":                 {"Not usable as it is: the latitude does not fit the record", "--lat 35"},
		"swapped.csv --lat 40 --temp-unit C": {"Not usable as it is: the record has 3 days, and a year is the least.", "take a longer record"},
	} {
		var got struct{ Fix string }
		clitest.JSON(t, &got, record.Command, files, strings.Fields(line)...)
		text := strings.Join(strings.Fields(clitest.Answer(t, record.Command, files, strings.Fields(line)...)), " ")
		if !strings.HasPrefix(text, want[0]) || !strings.HasPrefix(got.Fix, want[1]) ||
			(got.Fix == "") != (want[1] == "") ||
			!strings.Contains(text, "Fix: "+got.Fix) && got.Fix != "" {
			t.Errorf("%s: fix %q, %.200s", line, got.Fix, text)
		}
	}
}

// The picture of a record with a lost month and one that begins and ends within a
// year.
func TestDocument(t *testing.T) {
	file := rows(func(d climate.Day) bool {
		year, m, day := d.Date()
		gone := m == time.April && day%2 == 0 || m == time.May && day == 3 || m == time.August && year == 2020
		return !gone && d >= climate.Date(2019, time.February, 1) && d <= climate.Date(2020, time.November, 30)
	})
	in, err := ask.Read(strings.NewReader(file), "x.csv", ask.Reading{Today: climate.Date(2026, time.July, 1)})
	if err != nil {
		t.Fatal(err)
	}
	a := record.New(in, climate.WMO())
	for _, u := range []words.System{words.US, words.Metric} {
		d, err := a.Document(u, report.Page)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(d.Headline, "Not usable as it is: ") || len(d.Notes) != 2 ||
			!strings.HasPrefix(d.Notes[0], "Fix: ") {
			t.Errorf("%q, %q", d.Headline, d.Notes)
		}
		for id, n := range map[string]int{"understood": 7, "suspect": 0} {
			if got := len(clitest.Section(t, d, id).Items); got != n {
				t.Errorf("%s: %d items", id, got)
			}
		}
		table := clitest.Section(t, d, "completeness").Tables[0]
		want := [][]string{
			strings.Fields("2019 . # # - + # # # # # # #"),
			strings.Fields("2020 # # # - + # # . # # # ."),
		}
		if !slices.EqualFunc(table.Rows, want, slices.Equal) {
			t.Errorf("%q", table.Rows)
		}
	}
}

// A long record has several years in a row of the picture.
func TestLongRecord(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("date,tmax_c,tmin_c\n")
	for d := climate.Date(1900, time.January, 1); d <= climate.Date(1999, time.December, 31); d++ {
		fmt.Fprintf(&b, "%s,%d,%d\n", d, 10+int(d)%7, int(d)%5)
	}
	in, err := ask.Read(&b, "x.csv", ask.Reading{Today: climate.Date(2026, time.July, 1)})
	if err != nil {
		t.Fatal(err)
	}
	d, err := record.New(in, climate.WMO()).Document(words.US, report.Page)
	if err != nil {
		t.Fatal(err)
	}
	rows := clitest.Section(t, d, "completeness").Tables[0].Rows
	if len(rows) != 34 || rows[0][0] != "1900–1902" || rows[33][0] != "1999–1999" {
		t.Errorf("%d rows, %q to %q", len(rows), rows[0], rows[len(rows)-1])
	}
}

func TestRefuses(t *testing.T) {
	files := clitest.Files{"bad.csv": "date,tmax_c,tmin_c\n2019-01-01,warm,2\n"}
	clitest.Fails(t, record.Command, files, cli.NoAnswer, "bad.csv:2", "", "bad.csv")
	clitest.Fails(t, record.Command, files, cli.NoAnswer, "a: there is no such file", "", "a", "b")
	clitest.Fails(t, record.Command, files, cli.Usage, "--lat 95: latitude 95 is not between", "", "--lat", "95")
	clitest.Fails(
		t,
		record.Command,
		files,
		cli.Usage,
		"a column cannot be \"colour\"",
		"--columns date=Day,tmax=High,tmin=3",
		"bad.csv",
		"--columns",
		"colour=3",
	)
}
