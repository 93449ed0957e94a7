package region_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/weather"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/compare"
	"swardcast/cmd/internal/files"
	"swardcast/cmd/internal/hint"
	"swardcast/cmd/internal/region"
	"swardcast/cmd/internal/window"
	"swardcast/cmd/internal/words"
)

// fields writes the records of invented stations into a folder "fields" and makes its
// parent the current one.
func fields(t *testing.T, stations int) {
	t.Helper()
	t.Chdir(t.TempDir())
	if err := os.Mkdir("fields", 0o755); err != nil {
		t.Fatal(err)
	}
	for i := range stations {
		rec := weather.Generate(weather.Neighbour(i), uint64(i), climate.Date(2016, 1, 1), climate.Date(2026, 6, 30))
		var b bytes.Buffer
		if err := weather.WriteCSV(&b, rec); err != nil {
			t.Fatal(err)
		}
		put(t, fmt.Sprintf("fields/%02d.csv", i), b.String())
	}
}

func put(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func program(stdin string, stdout, stderr io.Writer) *cli.Program {
	return &cli.Program{
		Name:     "swardcast",
		Commands: []*cli.Command{window.Command, region.Command, compare.Command},
		Files:    files.Disk{},
		Hint:     hint.For,
		Stdin:    strings.NewReader(stdin),
		Stdout:   stdout,
		Stderr:   stderr,
		Now:      func() time.Time { return time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC) },
	}
}

func run(t *testing.T, stdin, line string) (status int, stdout, stderr string) {
	t.Helper()
	var out, err bytes.Buffer
	status = program(stdin, &out, &err).Main(t.Context(), strings.Fields(line))
	return status, out.String(), err.String()
}

func must(t *testing.T, line string) string {
	t.Helper()
	status, stdout, stderr := run(t, "", line)
	if status != cli.Answered {
		t.Fatalf("%s: status %d: %s", line, status, stderr)
	}
	return stdout
}

func rowsOf(t *testing.T, lines string) (rows []map[string]any) {
	t.Helper()
	for line := range strings.Lines(lines) {
		var row map[string]any
		if err := json.Unmarshal([]byte(line), &row); err != nil {
			t.Fatal(err)
		}
		rows = append(rows, row)
	}
	return rows
}

// A row says what the command window says of the station, with the place that the table
// beside the records gives, also in the other hemisphere.
func TestRowIsTheWindow(t *testing.T) {
	fields(t, 1)
	south := weather.Neighbour(7)
	south.Warmest = 20
	var b bytes.Buffer
	rec := weather.Generate(south, 7, climate.Date(2016, 1, 1), climate.Date(2026, 6, 30))
	if err := weather.WriteCSV(&b, rec); err != nil {
		t.Fatal(err)
	}
	put(t, "fields/south.csv", b.String())
	put(t, "fields/stations.csv", "station,name,latitude,longitude\nsouth,Far Paddock (invented),-35.2,146.1\n")
	const asked = " --species tall-fescue --stage mow --confidence 75 --as-of 2025-10-20"
	rows := rowsOf(t, must(t, "region fields --format jsonl"+asked))
	if len(rows) != 2 || rows[1]["station_name"] != "Far Paddock (invented)" || rows[1]["latitude"] != -35.2 {
		t.Fatalf("%v", rows)
	}
	for i, place := range []string{"", " --lat -35.2"} {
		var w struct {
			Season  int
			Species []struct {
				Opens, Cutoff map[string]any
				LastSafe      map[string]any `json:"last_safe"`
				BestSowing    map[string]any `json:"best_sowing"`
				Freeze        any            `json:"freeze_p50"`
				Dormancy      any            `json:"dormancy_p50"`
				Seasons       []any
			}
		}
		answer := must(t, fmt.Sprintf("window %s --format json%s%s", rows[i]["file"], asked, place))
		if err := json.Unmarshal([]byte(answer), &w); err != nil {
			t.Fatal(err)
		}
		s := w.Species[0]
		for key, want := range map[string]any{
			"season": float64(w.Season), "season_count": float64(len(s.Seasons)),
			"opens_p20": s.Opens["p20"], "opens_p50": s.Opens["p50"], "opens_p80": s.Opens["p80"],
			"last_safe_p50": s.LastSafe["p50"], "last_safe_p80": s.LastSafe["p80"],
			"last_safe_p90": s.LastSafe["p90"], "last_safe_at_confidence": s.LastSafe["at_confidence"],
			"best_sowing_date": s.BestSowing["date"], "best_sowing_chance": s.BestSowing["chance"],
			"cutoff_p10": s.Cutoff["p10"], "cutoff_p50": s.Cutoff["p50"], "cutoff_p90": s.Cutoff["p90"],
			"freeze_p50": s.Freeze, "dormancy_p50": s.Dormancy,
		} {
			if rows[i][key] != want {
				t.Errorf("%s: %s is %v, window says %v", rows[i]["file"], key, rows[i][key], want)
			}
		}
	}
}

// A record that ended long ago is planned from the clock, as by window.
func TestNextSeason(t *testing.T) {
	fields(t, 1)
	rec := weather.Generate(weather.Neighbour(1), 1, climate.Date(2010, 1, 1), climate.Date(2024, 4, 6))
	var b bytes.Buffer
	if err := weather.WriteCSV(&b, rec); err != nil {
		t.Fatal(err)
	}
	put(t, "fields/00.csv", b.String())
	var w struct{ Season int }
	if err := json.Unmarshal([]byte(must(t, "window fields/00.csv --format json")), &w); err != nil {
		t.Fatal(err)
	}
	for _, sow := range []string{"", " --sow Oct-5", " --sow 2027-10-05"} {
		row := rowsOf(t, must(t, "region fields --format jsonl"+sow))[0]
		if row["season"] != float64(w.Season) || w.Season != 2027 { // on 25 November it is too late for 2026
			t.Errorf("%s: season %v, window says %d", sow, row["season"], w.Season)
		}
		if day, _ := row["sow"].(string); sow != "" && day != "2027-10-05" {
			t.Errorf("sown on %v", day)
		}
	}
}

// A sowing comes to what compare says of it.
func TestSowingIsThatOfCompare(t *testing.T) {
	fields(t, 2)
	rows := rowsOf(t, must(t, "region fields --format jsonl --species all --sow 2026-10-05"))
	var c struct {
		Stations []struct {
			Sow     string
			Species []struct {
				ID, Verdict     string
				Chance, Success float64
				LastSafe        any `json:"last_safe"`
				Winter          struct {
					Risk  string
					Alive float64
				}
			}
		}
	}
	answer := must(t, "compare fields/00.csv fields/01.csv --format json --sow 2026-10-05")
	if err := json.Unmarshal([]byte(answer), &c); err != nil {
		t.Fatal(err)
	}
	n := len(rows) / 2
	for i, row := range rows {
		for _, x := range c.Stations[i/n].Species {
			if x.ID != row["species"] {
				continue
			}
			for key, want := range map[string]any{"sow": c.Stations[i/n].Sow, "chance": x.Chance, "verdict": x.Verdict,
				"success": x.Success, "winter_risk": x.Winter.Risk, "winter_alive": x.Winter.Alive,
				"last_safe_at_confidence": x.LastSafe} {
				if row[key] != want {
					t.Errorf("%v %v: %s is %v, compare says %v", row["file"], row["species"], key, row[key], want)
				}
			}
		}
	}
}

// Every form has every station and species, in the order of the stations whatever
// finishes first.
func TestForms(t *testing.T) {
	fields(t, 3)
	const asked = " --species tall-fescue,red-fescue"
	lines := rowsOf(t, must(t, "region fields --format jsonl --jobs 3"+asked))
	if len(lines) != 6 {
		t.Fatalf("%d rows", len(lines))
	}
	for i, row := range lines {
		if row["file"] != filepath.Join("fields", fmt.Sprintf("%02d.csv", i/2)) ||
			row["species_id"] != []string{"tall-fescue", "red-fescue"}[i%2] {
			t.Errorf("row %d is of %s, %s", i, row["file"], row["species_id"])
		}
	}
	cells, err := csv.NewReader(strings.NewReader(must(t, "region fields --format csv"+asked))).ReadAll()
	if err != nil || len(cells) != 7 || len(cells[0]) != len(lines[0])-1 { // JSON has the schema too
		t.Fatalf("%d rows of CSV, %v", len(cells), err)
	}
	for i, row := range lines {
		for c, column := range cells[0] {
			want := ""
			if v := row[column]; v != nil {
				want = fmt.Sprint(v)
			}
			if cells[i+1][c] != want {
				t.Errorf("row %d, %s: %q in CSV, %q in JSON", i, column, cells[i+1][c], want)
			}
		}
	}
	text := must(t, "region fields"+asked)
	if strings.Count(text, "tall fescue") != 3 || !strings.Contains(text, "Cautions") {
		t.Error(text)
	}
	for line := range strings.Lines(text) {
		if words.Width(strings.TrimSuffix(line, "\n")) > words.Columns {
			t.Errorf("too wide: %s", line)
		}
	}
	html := must(t, "region fields --format html"+asked)
	if strings.Count(html, `<tr><th scope="row">`) != 3+2 || !strings.Contains(html, "A forecast is no guarantee") {
		t.Error("the page lacks rows or cautions")
	}
}

// Shards one behind the other are the whole.
func TestShards(t *testing.T) {
	fields(t, 4)
	for _, format := range []string{"csv", "jsonl", "text"} {
		whole, together := must(t, "region fields --format "+format), ""
		for k := range 3 {
			together += must(t, fmt.Sprintf("region fields --format %s --shard %d/3", format, k+1))
		}
		if together != whole {
			t.Errorf("%s: the shards differ from the whole", format)
		}
	}
}

// A run that was stopped keeps what is complete, and the same command line does the
// rest.
func TestStopped(t *testing.T) {
	fields(t, 8)
	for _, format := range []string{"csv", "jsonl", "geojson"} {
		line := "region fields --format " + format
		whole := must(t, line)
		ctx, cancel := context.WithCancel(t.Context())
		var stderr bytes.Buffer
		var count atomic.Int32
		p := program("", io.Discard, &stderr)
		p.Now = func() time.Time {
			if count.Add(1) == 4 { // asked once a station
				cancel()
			}
			return time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
		}
		status := p.Main(ctx, strings.Fields(line+" --jobs 1 -o "+format))
		if status != cli.NoAnswer || !strings.Contains(stderr.String(), "of 8 stations are answered") ||
			!strings.Contains(stderr.String(), "hint: they are in "+format+".part") {
			t.Fatalf("status %d, %s", status, stderr.String())
		}
		if part := read(t, format+".part"); len(part) >= len(whole) ||
			format == "geojson" && !json.Valid([]byte(part)) {
			t.Errorf("%s: the part is %q", format, part)
		}
		must(t, line+" --resume -o "+format)
		if read(t, format) != whole {
			t.Errorf("%s: stopped and resumed differs from the whole", format)
		}
		if left, _ := filepath.Glob(format + ".*"); left != nil {
			t.Errorf("left behind: %v", left)
		}
	}
}

// An output of other settings, species or figures is not resumed.
func TestResumeRefuses(t *testing.T) {
	fields(t, 2)
	put(t, "own.csv", "species,parameter,value\ntall-fescue,tillered,800\n")
	const line = "region fields --format csv -o out --resume --species tall-fescue"
	must(t, line)
	whole := read(t, "out")
	for _, other := range []string{
		" --host none", ",red-fescue", " --as-of 2025-01-01", " --confidence 90", " --species own.csv",
	} {
		asked := line + other
		if strings.HasSuffix(other, "own.csv") {
			asked = strings.Replace(line, "tall-fescue", "own.csv", 1)
		}
		status, _, stderr := run(t, "", asked)
		if status != cli.NoAnswer || !strings.Contains(stderr, "swardcast: out:") ||
			!strings.Contains(stderr, "hint: --resume needs the same command line") ||
			read(t, "out") != whole {
			t.Errorf("%s: status %d: %s", asked, status, stderr)
		}
	}
	// The same figures of one's own are the same question.
	must(t, "region fields/00.csv --format csv -o own --species own.csv")
	must(t, "region fields --format csv -o own --species own.csv --resume")
	if got := read(t, "own"); got != must(t, "region fields --format csv --species own.csv") {
		t.Error(got)
	}
}

// A station that cannot be answered costs nothing but itself.
func TestBrokenStation(t *testing.T) {
	fields(t, 2)
	good := must(t, "region fields --format csv")
	put(t, "fields/005.csv", "date,tmax_c,tmin_c\n2019-01-01,ten,3\n")
	status, stdout, stderr := run(t, "", "region fields --format csv")
	if status != cli.Answered || stdout != good ||
		!strings.Contains(stderr, `swardcast: fields/005.csv:2:12: "ten" is not a number`) ||
		!strings.Contains(stderr, "hint: write a number") ||
		!strings.HasSuffix(stderr, "swardcast: 1 of 3 stations left out\n") {
		t.Errorf("status %d: %s", status, stderr)
	}
	status, _, stderr = run(t, "", "region fields --format csv --strict -o out")
	if status != cli.NoAnswer || read(t, "out.part") != good ||
		!strings.Contains(stderr, "the answer is not complete: 1 station could not be answered") {
		t.Errorf("strict: status %d: %s", status, stderr)
	}
	put(t, "fields/005.csv", read(t, "fields/01.csv"))
	must(t, "region fields --format csv --strict -o out --resume")
	if got := read(t, "out"); !strings.HasPrefix(got, good) || strings.Count(got, "\n") != 4 {
		t.Error(got)
	}
}

// Lines of equal date lie between the places that sow earlier and those that sow later.
func TestLines(t *testing.T) {
	fields(t, 24)
	var got struct {
		Schema   string
		Surfaces []struct {
			Species string
			Drawn   bool
			Error   float64 `json:"mean_error_days"`
			Nearest float64 `json:"nearest_mean_error_days"`
		}
		Features []struct {
			Geometry   struct{ Coordinates [][][2]float64 }
			Properties struct {
				Date string `json:"last_safe_date"`
			}
		}
	}
	if err := json.Unmarshal([]byte(must(t, "region fields --format lines")), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Surfaces) != 1 || !got.Surfaces[0].Drawn || !(got.Surfaces[0].Error < got.Surfaces[0].Nearest) ||
		len(got.Features) == 0 {
		t.Fatalf("%+v", got.Surfaces)
	}
	// Invented stations sow later to the south: so do the lines.
	was, date := 90.0, ""
	for _, f := range got.Features {
		sum, n := 0.0, 0.0
		for _, piece := range f.Geometry.Coordinates {
			for _, p := range piece {
				sum, n = sum+p[1], n+1
			}
		}
		if lat := sum / n; n == 0 || lat > was || f.Properties.Date <= date {
			t.Errorf("line of %s at %.1f°, before it %s at %.1f°", f.Properties.Date, lat, date, was)
		} else {
			was, date = lat, f.Properties.Date
		}
	}
}

// Several stations in one file are a row each, as if each had its own file, also when the
// answer is resumed.
func TestSeveralStationsInAFile(t *testing.T) {
	fields(t, 3)
	var b strings.Builder
	b.WriteString("station,latitude,longitude,date,tmax_c,tmin_c\n")
	for i, id := range []string{"ALPHA", "BETA"} {
		rec := weather.Generate(weather.Neighbour(i), uint64(i), climate.Date(2016, 1, 1), climate.Date(2026, 6, 30))
		for k := range rec.TMaxC {
			fmt.Fprintf(&b, "%s,%g,%g,%s,%.1f,%.1f\n", id, *rec.Place.Latitude, *rec.Place.Longitude, rec.Day(k),
				rec.TMaxC[k], rec.TMinC[k])
		}
	}
	put(t, "fields/01.csv", b.String())
	put(t, "fields/stations.csv", "station,name\nBETA,Beta Green (invented)\n")
	whole := must(t, "region fields --format jsonl")
	rows := rowsOf(t, whole)
	var files []string
	for _, row := range rows {
		files = append(files, row["file"].(string))
	}
	if got := strings.Join(files, " "); got != "fields/00.csv fields/01.csv#ALPHA fields/01.csv#BETA fields/02.csv" {
		t.Fatal(got)
	}
	if rows[2]["station_name"] != "Beta Green (invented)" || rows[1]["last_safe_p80"] != rows[0]["last_safe_p80"] {
		t.Errorf("%v", rows[1:3])
	}
	lines := strings.SplitAfter(whole, "\n")
	put(t, "out.part", lines[0]+lines[1])
	must(t, "region fields --format jsonl -o out --resume")
	if got := read(t, "out"); got != lines[0]+lines[1]+lines[2]+lines[3] {
		t.Error(got)
	}
	html := must(t, "region fields --format html")
	if !strings.Contains(html, "01.csv --station ALPHA") {
		t.Error("the page does not say how to ask for one station of the file")
	}
}

// What a table of places says in vain, and an answer among the records, is said aloud.
func TestSaidAloud(t *testing.T) {
	fields(t, 2)
	must(t, "region fields --format csv -o fields/answer.csv")
	must(t, "region fields -o fields/answer.txt")
	put(t, "fields/stations.csv", "station,name,lat,remark\n00.csv,One,1,x\n00,Other,2,\nGone,G,3,\n02,H,,\n")
	status, stdout, stderr := run(t, "", "region fields --format jsonl")
	rows := rowsOf(t, stdout)
	if status != cli.Answered || len(rows) != 2 || rows[0]["station_name"] != "One" {
		t.Errorf("status %d: %s", status, stdout)
	}
	for _, want := range []string{
		"fields/answer.csv is an answer of this program, not a record: it is left out",
		"fields/answer.txt is an answer of this program",
		`fields/stations.csv: columns that are not read: "lat", "remark"; a table of places has`,
		`fields/stations.csv: the rows "00.csv" and "00" are both of fields/00.csv; the first is taken`,
		`fields/stations.csv: no record was read for "02", "Gone"`,
	} {
		if !strings.Contains(stderr, want) {
			t.Errorf("not said: %s\n%s", want, stderr)
		}
	}
	if err := os.Rename("fields/00.csv", "fields/field.csv"); err != nil {
		t.Fatal(err)
	}
	put(t, "fields/stations.csv", "station,name\nfield,One\nField,Other\n")
	if _, _, stderr := run(t, "", "region fields --format jsonl"); !strings.Contains(stderr,
		`the rows "Field" and "field" may be of one station`) {
		t.Error(stderr)
	}
}

func TestRefuses(t *testing.T) {
	fields(t, 1)
	if err := os.Mkdir("empty", 0o755); err != nil {
		t.Fatal(err)
	}
	put(t, "bare.csv", "date,tmax_c,tmin_c\n2019-01-01,9,3\n")
	put(t, "bad.csv", "station,latitude\nme,north\n")
	for _, c := range []struct {
		line, message, hint string
		status              int
	}{
		{"-", "not a record from standard input", "hint: swardcast window -", cli.Usage},
		{"empty", "no station record in this directory", "hint: records end in .csv", cli.NoAnswer},
		{"no*such", "no file has such a name", "", cli.NoAnswer},
		{"bare.csv", "the file gives no latitude", "hint: give it in stations.csv beside the record", cli.NoAnswer},
		{"fields --places bad.csv",
			`bad.csv:2:4: "north" is no latitude`, "hint: a table of places has the columns", cli.NoAnswer},
		{"fields --places gone.csv", "gone.csv: there is no such file", "", cli.NoAnswer},
		{"fields --list gone.txt", "gone.txt: there is no such file", "", cli.NoAnswer},
		{"fields --jobs -1", "--jobs -1: it is a number from 1 on", "hint: leave --jobs out", cli.Usage},
		{"fields --resume", "--resume without an output", "hint: give it as in", cli.Usage},
		{"fields --resume -o x --format html",
			"--resume cannot resume a text, lines or a page", "hint: --format csv, jsonl or geojson", cli.Usage},
		{"fields -o fields/00.csv", "it would be lost", "hint: write to another file", cli.Usage},
		{"fields --shard 3/2", "such as 3/8", "", cli.Usage},
	} {
		status, stdout, stderr := run(t, "", "region "+c.line)
		if status != c.status || stdout != "" || !strings.Contains(stderr, c.message) ||
			!strings.Contains(stderr, c.hint) {
			t.Errorf("%s: status %d, %s%s", c.line, status, stdout, stderr)
		}
	}
}

// Files come once each, in the order of the command line; a list may be on standard
// input.
func TestRecords(t *testing.T) {
	fields(t, 3)
	put(t, "fields/stations.csv", "station,latitude\n")
	put(t, "fields/.hidden.csv", "")
	put(t, "fields/map.png", "")
	put(t, "list", "\ufefffields/02.csv\n\n# a comment\nfields/0[01].csv \r\nfields/02.csv\n")
	for _, c := range []struct{ stdin, args, want string }{
		{"", "fields", "00 01 02"},
		{"", "fields/02.csv fields", "02 00 01"},
		{"", "fields/0*", "00 01 02"},
		{"", "--list list", "02 00 01"},
		{"fields/01.csv\nfields/00.csv", "--list -", "01 00"},
		{"fields/01.csv\n", "fields/02.csv --list -", "02 01"},
	} {
		status, stdout, stderr := run(t, c.stdin, "region --format jsonl "+c.args)
		var got []string
		for _, row := range rowsOf(t, stdout) {
			got = append(got, strings.TrimSuffix(filepath.Base(row["file"].(string)), ".csv"))
		}
		if status != cli.Answered || strings.Join(got, " ") != c.want {
			t.Errorf("%s: %v, want %s: %s", c.args, got, c.want, stderr)
		}
	}
}
