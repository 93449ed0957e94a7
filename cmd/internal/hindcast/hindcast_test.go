package hindcast_test

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"

	"swardcast/climate/demo"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/clitest"
	"swardcast/cmd/internal/hindcast"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

func TestJSONAddsUp(t *testing.T) {
	var got struct {
		Schema  string
		Seasons []int `json:"seasons_judged"`
		Least   int   `json:"min_earlier_season_count"`
		Most    int   `json:"max_earlier_season_count"`
		Cases   int   `json:"case_count"`
		Brier   float64
		Levels  []struct {
			Confidence float64
			Share      float64 `json:"held_share"`
			Low        float64 `json:"held_low"`
			High       float64 `json:"held_high"`
			N          int     `json:"season_count"`
		}
		Reliability []struct {
			Low  float64 `json:"chance_low"`
			High float64 `json:"chance_high"`
			Mean float64 `json:"mean_chance"`
			N    int     `json:"case_count"`
		}
		Leads []struct {
			Lead        string
			N           int `json:"case_count"`
			Brier       float64
			Reliability float64 `json:"brier_reliability"`
			Resolution  float64 `json:"brier_resolution"`
			Uncertainty float64 `json:"brier_uncertainty"`
		}
		Cautions []string
	}
	clitest.JSON(t, &got, hindcast.Command, nil, "--years", "1996-2015")
	if got.Schema != "swardcast.hindcast/3" || len(got.Seasons) != 10 || got.Least != 10 || got.Most != 19 ||
		len(got.Levels) != len(forecast.Confidences()) {
		t.Fatalf(
			"%s, seasons %v from %d to %d, %d levels",
			got.Schema,
			got.Seasons,
			got.Least,
			got.Most,
			len(got.Levels),
		)
	}
	for _, l := range got.Levels {
		if !(l.Low <= l.Share && l.Share <= l.High) || l.N > 10 || !(l.Confidence > 0 && l.Confidence < 1) {
			t.Errorf("%+v", l)
		}
	}
	n := 0
	for _, g := range got.Reliability {
		if !(g.Low <= g.Mean && g.Mean <= g.High) {
			t.Errorf("%+v", g)
		}
		n += g.N
	}
	led := 0
	for _, l := range got.Leads {
		led += l.N
	}
	if n != got.Cases || led != got.Cases || got.Cases == 0 {
		t.Errorf("%d cases, %d in groups, %d by lead", got.Cases, n, led)
	}
	if !(got.Brier >= 0 && got.Brier <= 1) || len(got.Cautions) != 2 {
		t.Errorf("Brier %g, cautions %q", got.Brier, got.Cautions)
	}
}

// The rows are the cases: their mean square of chance less outcome is the Brier score.
func TestCSV(t *testing.T) {
	line := []string{"--years", "2000-2012"}
	var got struct {
		Cases    int `json:"case_count"`
		Brier    float64
		Decision struct{ Action string }
	}
	clitest.JSON(t, &got, hindcast.Command, nil, line...)
	text := clitest.Answer(t, hindcast.Command, nil, append(line, "--format", "csv")...)
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) != 1+got.Cases {
		t.Fatalf("%d rows of %d cases, %v", len(rows), got.Cases, err)
	}
	sum := 0.0
	for _, r := range rows[1:] {
		chance, err := strconv.ParseFloat(r[3], 64)
		came, err2 := strconv.ParseFloat(r[5], 64)
		if err != nil || err2 != nil || came != 0 && came != 1 {
			t.Fatalf("%q", r)
		}
		sum += (chance - came) * (chance - came)
	}
	if mean := sum / float64(got.Cases); math.Abs(mean-got.Brier) > 1e-3 {
		t.Errorf("mean square %g, Brier score %g", mean, got.Brier)
	}
	if got.Decision.Action != "trust" {
		t.Errorf("decision %q", got.Decision.Action)
	}
}

// A date that held about as often as it says is trusted, one far off is not.
func TestTrust(t *testing.T) {
	for count, want := range map[int]string{10: "Sow earlier than the 80 % date here: it would have held in only 10 of 30",
		24: "Trust the 80 % date here: ", 30: "Take the 80 % date here as cautious: it would have held in 30 of 30"} {
		a := &hindcast.Answer{
			In:       station(t),
			Hindcast: &forecast.Hindcast{Levels: []forecast.Held{{Confidence: 80, N: 30, Count: count}}},
		}
		d, err := a.Document(words.US, report.Terminal)
		if err != nil || !strings.HasPrefix(d.Headline, want) {
			t.Errorf("%d: %q, %v", count, d.Headline, err)
		}
	}
}

func TestForms(t *testing.T) {
	clitest.Forms(t, hindcast.Command, nil, "--years", "2000-2016")
	for _, c := range []string{"reliability", "held"} {
		svg := clitest.Answer(t, hindcast.Command, nil, "--years", "2000-2016", "--format", "svg", "--chart", c)
		if !strings.HasPrefix(svg, "<svg") && !strings.HasPrefix(svg, "<?xml") || strings.Contains(svg, "NaN") {
			t.Errorf("%s: %.200s", c, svg)
		}
	}
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
	in := station(t)
	steps := 0
	a, err := hindcast.New(t.Context(), in, forecast.Options{FirstSeason: 1996, LastSeason: 2016}, func(_, all int) {
		if steps++; all != 11 {
			t.Errorf("of %d seasons", all)
		}
	})
	if err != nil || steps != 11 {
		t.Fatalf("%d seasons, %v", steps, err)
	}
	for _, u := range []words.System{words.US, words.Metric} {
		d, err := a.Document(u, report.Page)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(d.Headline, "Trust the 80 % date here: it would have held in ") || len(d.Notes) != 1 ||
			!strings.Contains(d.Notes[0], "the plain share of past autumns") {
			t.Errorf("headline %q, notes %q", d.Headline, d.Notes)
		}
		held := clitest.Section(t, d, "held")
		if len(held.Figures) != 1 || len(held.Figures[0].Bars.Rows)+len(held.Notes) != len(forecast.Confidences()) {
			t.Errorf("bars %v, notes %q", held.Figures[0].Bars.Rows, held.Notes)
		}
		if rows := clitest.Section(t, d, "leads").Tables[0].Rows; len(rows) != len(forecast.Leads()) {
			t.Errorf("leads %q", rows)
		}
		if len(clitest.Section(t, d, "cautions").List) != 3 {
			t.Errorf("cautions %q", clitest.Section(t, d, "cautions").List)
		}
	}
	// A level at which no season had a date is said to be none, not drawn.
	a.Hindcast.Levels = []forecast.Held{{Confidence: 80, N: 4, Count: 3}, {Confidence: 90}}
	d, err := a.Document(words.US, report.Page)
	if err != nil {
		t.Fatal(err)
	}
	held := clitest.Section(t, d, "held")
	if len(held.Figures[0].Bars.Rows) != 1 || len(held.Notes) != 1 || held.Tables[0].Rows[1][1] != "–" {
		t.Errorf("%+v", held)
	}
}

func TestRefuses(t *testing.T) {
	slow := clitest.Files{"slow.csv": "species,parameter,value\nperennial-ryegrass,tillered,4500\n"}
	for _, c := range []struct {
		line, message, hint string
		status              int
	}{
		{"--years 2010-2015", "too few to judge past forecasts by", "take a longer record", cli.NoAnswer},
		{"--years 1950-1955", "no season of the record can be used", "a season needs its days", cli.NoAnswer},
		{"--species tall-fescue,red-fescue", "a hindcast is for one species", "--species tall-fescue", cli.Usage},
		{"--species slow.csv --years 2000-2016", "no sow date would have been in time", "choose another species", cli.NoAnswer},
		{"--chart held", "--chart is of the formats svg and png", "--format svg", cli.Usage},
	} {
		clitest.Fails(t, hindcast.Command, slow, c.status, c.message, c.hint, strings.Fields(c.line)...)
	}
}
