package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/climate/weather"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
)

// now is a day on which the demo record is not in the future.
func now() time.Time { return time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC) }

// testProgram is the program with streams of a test.
func testProgram(stdin io.Reader, stdout, stderr io.Writer) *cli.Program {
	p := newProgram()
	p.Stdin, p.Stdout, p.Stderr, p.Now = stdin, stdout, stderr, now
	return p
}

// runLine runs a command line in process.
func runLine(stdin string, args ...string) (status int, stdout, stderr string) {
	var out, err bytes.Buffer
	status = testProgram(strings.NewReader(stdin), &out, &err).Main(context.Background(), args)
	return status, out.String(), err.String()
}

func TestStatus(t *testing.T) {
	plain, err := os.ReadFile("../../testdata/layouts/plain.csv")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args  string
		stdin string
		want  int
	}{
		{"window", "", cli.Answered},
		{"help", "", cli.Answered},
		{"window --as-of 2020-12-30 --season 2020", "", cli.Answered}, // too late is an answer
		{"", "", cli.Usage},
		{"sow", "", cli.Usage},
		{"window --host tuft", "", cli.Usage},
		{"window --lat 95", "", cli.Usage},
		{"window --species moss", "", cli.Usage},
		{"record - --columns heat=2", "date,tmax_c,tmin_c\n", cli.Usage},
		{"record - --columns tmax=2,TMAX=3", "date,tmax_c,tmin_c\n", cli.Usage},
		{"window a b", "", cli.NoAnswer},
		{"window nowhere.csv", "", cli.NoAnswer},
		{"window - --lat 40", "not a record", cli.NoAnswer},
		{"window -", string(plain), cli.NoAnswer}, // no latitude
		{"window --years 1900-1910", "", cli.NoAnswer},
		{"record -", string(plain), cli.Answered}, // a poor record is an answer
	} {
		status, stdout, stderr := runLine(c.stdin, strings.Fields(c.args)...)
		if status != c.want {
			t.Errorf("%q: status %d, want %d: %s", c.args, status, c.want, stderr)
		}
		if status != cli.Answered &&
			(stdout != "" || !strings.HasPrefix(lastMessage(stderr), "swardcast: ") || strings.Contains(stderr, "goroutine")) {
			t.Errorf("%q: standard output %q, standard error %q", c.args, stdout, stderr)
		}
	}
}

// lastMessage is the last message that is not a hint.
func lastMessage(stderr string) string {
	lines := strings.Split(strings.TrimSpace(stderr), "\n")
	for i := len(lines) - 1; i >= 0; i-- {
		if !strings.HasPrefix(lines[i], "hint: ") {
			return lines[i]
		}
	}
	return ""
}

// keys collects the paths of all keys of a JSON value; the elements of a list
// share one path.
func keys(v any, path string, into map[string]bool) {
	switch x := v.(type) {
	case map[string]any:
		for k, e := range x {
			into[path+k] = true
			keys(e, path+k+".", into)
		}
	case []any:
		for _, e := range x {
			keys(e, path, into)
		}
	}
}

// The keys of the JSON answers, as the interface promises them. More may come;
// none may go.
func TestJSONKeys(t *testing.T) {
	for args, want := range map[string]string{
		"window": `schema station station.name station.latitude station.longitude station.elevation_m station.first_date station.last_date
			station.temp_unit station.seasons_used station.seasons_dropped settings season species species.id species.name
			species.opens species.opens.p20 species.opens.p50 species.opens.p80
			species.last_safe.p50 species.last_safe.p80 species.last_safe.p90 species.last_safe.at_confidence
			species.best_sowing species.best_sowing.date species.best_sowing.chance
			species.cutoff.p10 species.cutoff.p50 species.cutoff.p90 species.freeze_p50 species.dormancy_p50
			species.by_date.sow species.by_date.chance species.by_date.chance_low species.by_date.chance_high
			species.by_date.emerged_days.p10 species.by_date.emerged_days.p50 species.by_date.emerged_days.p90
			species.by_date.mow_days.p50 species.by_date.tillered_days.p50
			species.seasons.season species.seasons.opens_on species.seasons.latest_on species.seasons.cutoff_on species.seasons.cutoff_cause cautions`,
		"freeze": `schema station thresholds.temp_c thresholds.season_count thresholds.occurred_share thresholds.first_freeze.p10 thresholds.first_freeze.p20
			thresholds.first_freeze.p50 thresholds.first_freeze.p90 method`,
		"soil": `schema station.name normal.depth_cm normal.mean_c normal.amplitude_c crossings.soil_c by_day.date by_day.soil5_c by_day.normal10_c`,
		"outlook": `schema sow as_of stages.id stages.reached_share_now stages.dates.p10 stages.dates.p50 stages.dates.p90 stages.days_from_sowing.p10 stages.days_from_sowing.p50
			stages.days_from_sowing.p90 emerged_share_now chance chance_low chance_high cutoff.p10 cutoff.p50 cutoff.p90 verdict`,
		"hindcast": `schema case_count min_earlier_season_count max_earlier_season_count levels.confidence levels.held_share levels.held_low levels.held_high brier brier_climatology reliability.chance_low
			reliability.chance_high reliability.mean_chance reliability.observed_share reliability.case_count latest_mae_days`,
		"region": `schema file station_name latitude longitude elevation_m first_date last_date temp_unit suspect_value_count season_count season species_id opens_p20
			opens_p50 opens_p80 last_safe_p50 last_safe_p80 last_safe_p90 last_safe_at_confidence best_sowing_date best_sowing_chance cutoff_p10 cutoff_p50 cutoff_p90
			freeze_p50 dormancy_p50 trend_air_c_per_decade trend_latest_days_per_decade trend_shift_days settings_text`,
		"record": `schema verdict station.seasons_used understood.columns.header understood.temp_unit months.month suspect_values tests.reference`,
	} {
		form := "json"
		if args == "region" {
			form = "jsonl"
		}
		status, stdout, stderr := runLine("", args, "--format", form)
		if status != cli.Answered {
			t.Fatal(stderr)
		}
		var v any
		if err := json.Unmarshal([]byte(stdout), &v); err != nil {
			t.Fatal(err)
		}
		got := map[string]bool{}
		keys(v, "", got)
		for _, k := range strings.Fields(want) {
			if !got[k] {
				t.Errorf("%s: no key %s", args, k)
			}
		}
	}
}

// Text keeps within the width of a terminal.
func TestWidth(t *testing.T) {
	for _, args := range []string{
		"window", "window --units metric --species tall-fescue,kentucky-bluegrass --confidence 95", "window --years 2001-2003",
		"outlook --sow 2026-10-01", "compare --sow 2026-10-10", "compare --units metric", "seed --area 5000ft2 --seed-left 3lb", "help compare", "help seed", "help second-pass",
		"second-pass --first 2019-10-01 --as-of 2019-10-12 --cover 20 --area 5000ft2 --seed-left 10lb --bag 25lb --units metric",
		"second-pass --first 2019-10-01 --as-of 2019-11-12 --cover 20 --species tall-fescue",
		"outlook --sow 2019-10-05 --as-of 2019-10-15 --units metric", "hindcast", "help outlook", "help hindcast",
		"soil", "soil --units metric --depth 5", "freeze", "freeze --units metric", "record", "region", "species", "help", "help region", "help window", "help soil",
		"help freeze", "help record", "help species", "region", "region --species all", "help region",
	} {
		_, stdout, stderr := runLine("", strings.Fields(args)...)
		for line := range strings.SplitSeq(stdout, "\n") {
			if words.Width(line) > words.Columns {
				t.Errorf("%s: %d columns: %s", args, words.Width(line), line)
			}
		}
		if stdout == "" {
			t.Errorf("%s prints nothing: %s", args, stderr)
		}
	}
}

// The same weather all year round: no autumn to sow in.
func TestEquator(t *testing.T) {
	c := weather.Piedmont()
	c.Place = climate.Place{
		Name:       "Lantern Cay (invented)",
		Latitude:   new(0.4),
		Longitude:  new(-150.0),
		ElevationM: new(3.0),
	}
	c.Mean, c.Amplitude, c.SummerSD, c.WinterSD, c.Outbreaks = 26.5, 0.4, 0.8, 0.8, 0
	var file bytes.Buffer
	if err := weather.WriteCSV(&file, weather.Generate(c, 1, demo.First, demo.Last)); err != nil {
		t.Fatal(err)
	}
	status, stdout, stderr := runLine(file.String(), "window", "-")
	if status != cli.NoAnswer || stdout != "" ||
		!strings.Contains(stderr, "no autumn here: the soil at latitude 0.4 swings only") {
		t.Errorf("status %d: %s", status, stderr)
	}
}

func TestNoPermission(t *testing.T) {
	if os.Getuid() == 0 {
		t.Skip("nothing is forbidden to the superuser")
	}
	name := filepath.Join(t.TempDir(), "locked.csv")
	if err := os.WriteFile(name, []byte("date,tmax_c,tmin_c\n"), 0); err != nil {
		t.Fatal(err)
	}
	if status, _, stderr := runLine("", "window", name); status != cli.NoAnswer ||
		!strings.Contains(stderr, "locked.csv: no permission to read it") {
		t.Errorf("status %d: %s", status, stderr)
	}
}

func TestFutureRecordIsRefused(t *testing.T) {
	future := strings.ReplaceAll(string(demo.Station), "\n2026-", "\n2027-")
	status, _, stderr := runLine(future, "window", "-")
	if status != cli.NoAnswer || !strings.Contains(stderr, "is in the future (today is 2026-11-25)") {
		t.Errorf("status %d: %s", status, stderr)
	}
}

// A season dropped for one species only is told with its name.
func TestSeasonsOfSeveralSpecies(t *testing.T) {
	lines := strings.Split(string(demo.Station), "\n")
	lines = slices.DeleteFunc(lines, func(l string) bool {
		return strings.HasPrefix(l, "2012-08-2") // a gap that only an early window has
	})
	status, stdout, stderr := runLine(
		strings.Join(lines, "\n"),
		"window",
		"-",
		"--species",
		"perennial-ryegrass,kentucky-bluegrass",
		"--open-soil",
		"86F",
		"--format",
		"json",
	)
	if status != cli.Answered {
		t.Fatal(stderr)
	}
	var v struct {
		Station struct {
			SeasonsUsed    []int `json:"seasons_used"`
			SeasonsDropped []struct {
				Season int
				Reason string
			} `json:"seasons_dropped"`
		}
		Species []struct{ Seasons []struct{ Season int } }
	}
	if err := json.Unmarshal([]byte(stdout), &v); err != nil {
		t.Fatal(err)
	}
	a, b := len(v.Species[0].Seasons), len(v.Species[1].Seasons)
	if used := len(v.Station.SeasonsUsed); used != min(a, b) {
		t.Errorf("%d seasons used by all, %d and %d by each", used, a, b)
	}
	if a != b && !strings.HasPrefix(v.Station.SeasonsDropped[0].Reason, "Kentucky bluegrass: ") {
		t.Errorf("dropped %v", v.Station.SeasonsDropped)
	}
}

func TestOutputFile(t *testing.T) {
	dir := t.TempDir()
	target, link := filepath.Join(dir, "answer.json"), filepath.Join(dir, "link")
	if err := os.WriteFile(target, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(target, link); err != nil {
		t.Fatal(err)
	}
	if status, _, stderr := runLine("", "species", "--format", "json", "-o", link); status != cli.Answered {
		t.Fatal(stderr)
	}
	text, err := os.ReadFile(target)
	if err != nil || !bytes.HasPrefix(text, []byte("{")) {
		t.Errorf("the target of the link holds %.20q, %v", text, err)
	}
	info, err := os.Lstat(target)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
	if l, err := os.Lstat(link); err != nil || l.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v", err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".swardcast-*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	if status, _, _ := runLine("", "species", "-o", os.DevNull); status != cli.Answered {
		t.Error("a device cannot be written to")
	}
}
