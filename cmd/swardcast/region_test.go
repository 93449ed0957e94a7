package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/gofrs/flock"

	"swardcast/climate"
	"swardcast/climate/weather"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
)

// drawRegion writes the records of so many invented stations into a directory
// of the test and makes its parent the current one.
func drawRegion(t testing.TB, stations int) {
	t.Helper()
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "fields"), 0o755); err != nil {
		t.Fatal(err)
	}
	for i := range stations {
		rec := weather.Generate(weather.Neighbour(i), uint64(i), climate.Date(2016, 1, 1), climate.Date(2026, 6, 30))
		var b bytes.Buffer
		if err := weather.WriteCSV(&b, rec); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "fields", fmt.Sprintf("%02d.csv", i)), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	switch t := t.(type) {
	case *testing.T:
		t.Chdir(dir)
	case *testing.B:
		t.Chdir(dir)
	}
}

func mustRun(t *testing.T, args string) string {
	t.Helper()
	status, stdout, stderr := runLine("", strings.Fields(args)...)
	if status != cli.Answered {
		t.Fatalf("%s: status %d: %s", args, status, stderr)
	}
	return stdout
}

// A row of a region says what window says of the station.
func TestRegionRowIsTheWindow(t *testing.T) {
	drawRegion(t, 3)
	// One of the other hemisphere, in °F, its place in the table alone.
	south := weather.Neighbour(7)
	south.Warmest = 20
	rec := weather.Generate(south, 7, climate.Date(2016, 1, 1), climate.Date(2026, 6, 30))
	var b bytes.Buffer
	b.WriteString("date,tmax_f,tmin_f\n")
	for i := range rec.TMaxC {
		fmt.Fprintf(&b, "%s,%.0f,%.0f\n", rec.Day(i), rec.TMaxC[i]*1.8+32, rec.TMinC[i]*1.8+32)
	}
	if err := os.WriteFile("fields/south.csv", b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	table := "station,name,latitude,longitude\nsouth,Far Paddock (invented),-35.2,146.1\n01.csv,,,-80.5\n"
	if err := os.WriteFile("fields/stations.csv", []byte(table), 0o644); err != nil {
		t.Fatal(err)
	}
	// As of a day: by the clock a window plans the next season of records that ended long ago.
	for _, settings := range []string{"--species tall-fescue,kentucky-bluegrass --as-of 2026-06-30", "--species tall-fescue,kentucky-bluegrass --host none --stage mow --confidence 75 --as-of 2025-10-20"} {
		n := 0
		for line := range strings.Lines(mustRun(t, "region fields --format jsonl "+settings)) {
			var row map[string]any
			if err := json.Unmarshal([]byte(line), &row); err != nil {
				t.Fatal(err)
			}
			place := ""
			switch row["file"] {
			case filepath.Join("fields", "south.csv"):
				place = " --lat -35.2 --lon 146.1 --temp-unit F"
			case filepath.Join("fields", "01.csv"):
				place = " --lon -80.5"
			}
			var w struct {
				Season  int
				Station map[string]any
				Species []struct {
					ID            string
					Opens, Cutoff map[string]any
					LastSafe      map[string]any `json:"last_safe"`
					BestSowing    map[string]any `json:"best_sowing"`
					Freeze        any            `json:"freeze_p50"`
					Dormancy      any            `json:"dormancy_p50"`
					Seasons       []any
					Trend         struct {
						Air, Latest map[string]any
						Shift       any `json:"shift_days"`
					}
				}
			}
			if err := json.Unmarshal([]byte(mustRun(t, fmt.Sprintf("window %s --format json %s%s", row["file"], settings, place))), &w); err != nil {
				t.Fatal(err)
			}
			s := w.Species[n%2]
			want := map[string]any{
				"schema": "swardcast.region/2", "file": row["file"], "station_name": w.Station["name"], "latitude": w.Station["latitude"], "longitude": w.Station["longitude"],
				"elevation_m": w.Station["elevation_m"], "first_date": w.Station["first_date"], "last_date": w.Station["last_date"], "temp_unit": w.Station["temp_unit"],
				"suspect_value_count": row["suspect_value_count"], "season_count": float64(len(s.Seasons)), "season": float64(w.Season), "species_id": s.ID,
				"opens_p20": s.Opens["p20"], "opens_p50": s.Opens["p50"], "opens_p80": s.Opens["p80"],
				"last_safe_p50": s.LastSafe["p50"], "last_safe_p80": s.LastSafe["p80"], "last_safe_p90": s.LastSafe["p90"],
				"last_safe_at_confidence": s.LastSafe["at_confidence"], "best_sowing_date": s.BestSowing["date"], "best_sowing_chance": s.BestSowing["chance"],
				"cutoff_p10": s.Cutoff["p10"], "cutoff_p50": s.Cutoff["p50"], "cutoff_p90": s.Cutoff["p90"],
				"freeze_p50": s.Freeze, "dormancy_p50": s.Dormancy, "settings_text": row["settings_text"],
				"trend_air_c_per_decade": s.Trend.Air["c_per_decade"], "trend_latest_days_per_decade": s.Trend.Latest["days_per_decade"],
				"trend_shift_days": s.Trend.Shift,
			}
			if row["file"] == filepath.Join("fields", "south.csv") {
				want["station_name"] = "Far Paddock (invented)"
			}
			for k := range want {
				if row[k] != want[k] {
					t.Errorf("%s, %s: %s is %v, window says %v", row["file"], s.ID, k, row[k], want[k])
				}
			}
			// What comes of a sowing is held against compare in TestSowingIsThatOfCompare.
			const sowing = 8
			if len(row) != len(want)+sowing || row["sow"] != row["last_safe_at_confidence"] {
				t.Errorf("%d keys, %d checked; sown on %v", len(row), len(want), row["sow"])
			}
			n++
		}
		if n != 8 {
			t.Errorf("%d rows, want 8", n)
		}
	}
}

// Every form holds the same rows, and the map file is GeoJSON as in RFC 7946.
func TestRegionForms(t *testing.T) {
	drawRegion(t, 4)
	if err := os.WriteFile("fields/stations.csv", []byte("station,name\n02,\"=2+3, \"\"<b>\"\"\"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	record := strings.Replace(read(t, "fields/03.csv"), "Longitude: ", "Place: ", 1)
	if err := os.WriteFile("fields/03.csv", []byte(record), 0o644); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(mustRun(t, "region fields --species all --format csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var lines []map[string]any
	for line := range strings.Lines(mustRun(t, "region fields --species all --format jsonl")) {
		var v map[string]any
		if err := json.Unmarshal([]byte(line), &v); err != nil {
			t.Fatal(err)
		}
		lines = append(lines, v)
	}
	var geo struct {
		Type     string
		Features []struct {
			Type, ID string
			Geometry *struct {
				Type        string
				Coordinates []float64
			}
			Properties map[string]any
		}
	}
	if err := json.Unmarshal([]byte(mustRun(t, "region fields --species all --format geojson")), &geo); err != nil {
		t.Fatal(err)
	}
	if len(rows) != 45 || len(lines) != 44 || len(geo.Features) != 44 || geo.Type != "FeatureCollection" {
		t.Fatalf("%d rows, %d lines, %d features of a %s", len(rows), len(lines), len(geo.Features), geo.Type)
	}
	ids := map[string]bool{}
	for i, f := range geo.Features {
		for k, column := range rows[0] {
			cell := "" // of what is not known
			if v := lines[i][column]; v != nil {
				cell = fmt.Sprint(v)
			}
			if column == "station_name" {
				cell = words.Cell(cell)
			}
			if rows[i+1][k] != cell || lines[i][column] != f.Properties[column] {
				t.Errorf("row %d, %s: %q, %v, %v", i, column, rows[i+1][k], lines[i][column], f.Properties[column])
			}
		}
		ids[f.ID] = true
		switch {
		case f.Type != "Feature":
			t.Errorf("a %s", f.Type)
		case f.Properties["longitude"] == nil:
			if f.Geometry != nil || i < 33 {
				t.Errorf("feature %d without a longitude has a geometry", i)
			}
		case f.Geometry.Type != "Point" || len(f.Geometry.Coordinates) != 3 || f.Geometry.Coordinates[0] != f.Properties["longitude"] || f.Geometry.Coordinates[1] != f.Properties["latitude"]:
			t.Errorf("feature %d stands at %v", i, f.Geometry)
		}
	}
	if len(ids) != len(geo.Features) {
		t.Errorf("%d identifiers of %d features", len(ids), len(geo.Features))
	}
	for line := range strings.Lines(mustRun(t, "region fields --species all")) {
		if words.Width(strings.TrimSuffix(line, "\n")) > words.Columns {
			t.Errorf("%d columns: %s", words.Width(line), line)
		}
	}
}

// The answers of all shards put together are that of the whole, and the order does
// not depend on the number of jobs.
func TestRegionShards(t *testing.T) {
	drawRegion(t, 7)
	for _, form := range []string{"csv", "jsonl", "text"} {
		whole := mustRun(t, "region fields --jobs 1 --format "+form)
		if mustRun(t, "region fields/*.csv --jobs 4 --format "+form) != whole {
			t.Errorf("%s: the order depends on the jobs", form)
		}
		for _, parts := range []int{1, 2, 3, 7, 9} {
			together := ""
			for k := range parts {
				together += mustRun(t, fmt.Sprintf("region fields --format %s --shard %d/%d", form, k+1, parts))
			}
			if together != whole {
				t.Errorf("%s: %d shards differ from the whole", form, parts)
			}
		}
	}
}

// However little of an output is there, going on with it gives the whole.
func TestRegionResumes(t *testing.T) {
	drawRegion(t, 4)
	cuts := 37 // places to cut an output at
	if testing.Short() {
		cuts = 5
	}
	for _, form := range []string{"csv", "jsonl", "geojson"} {
		plain := "region fields --format " + form + " -o out"
		line := plain + " --species perennial-ryegrass,tall-fescue"
		mustRun(t, line)
		whole := read(t, "out")
		if left, _ := filepath.Glob("out.part"); left != nil {
			t.Error("the part is left behind")
		}
		for _, name := range []string{"out", "out.part"} {
			for n := 0; n <= len(whole); n += 1 + len(whole)/cuts {
				os.Remove("out")
				if err := os.WriteFile(name, []byte(whole[:n]), 0o644); err != nil {
					t.Fatal(err)
				}
				mustRun(t, line+" --resume")
				if got := read(t, "out"); got != whole {
					t.Fatalf("%s from %d bytes in %s:\n%s\nwant\n%s", form, n, name, got, whole)
				}
			}
		}
		// Other settings or species must not be mixed with what is there.
		for _, other := range []string{
			line + " --host none", plain + " --species tall-fescue,perennial-ryegrass", plain, line + " --as-of 2025-01-01", line + ",red-fescue",
		} {
			status, _, stderr := runLine("", strings.Fields(other+" --resume")...)
			if status != cli.NoAnswer || !strings.Contains(stderr, "out:") || read(t, "out") != whole {
				t.Errorf("%s: status %d, %s", other, status, stderr)
			}
			if left, _ := filepath.Glob("out.part"); left != nil {
				t.Error("a part is left behind")
			}
		}
	}
	if status, _, stderr := runLine("", "region", "fields", "--resume"); status != cli.Usage {
		t.Errorf("--resume without --output: status %d, %s", status, stderr)
	}
	if status, _, stderr := runLine("", "region", "fields", "--resume", "-o", "out"); status != cli.Usage {
		t.Errorf("--resume of a text: status %d, %s", status, stderr)
	}
}

// A station that cannot be answered costs nothing but itself.
func TestRegionBadStation(t *testing.T) {
	drawRegion(t, 2)
	good := mustRun(t, "region fields --format csv")
	if err := os.WriteFile("fields/005.csv", []byte("date,tmax_c,tmin_c\n2019-01-01,ten,3\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	status, stdout, stderr := runLine("", "region", "fields", "--format", "csv")
	if status != cli.Answered || stdout != good {
		t.Errorf("status %d, %s", status, stdout)
	}
	if !strings.Contains(stderr, `swardcast: fields/005.csv:2:12: "ten" is not a number`) ||
		!strings.Contains(stderr, "swardcast: 1 of 3 stations left out\n") {
		t.Errorf("%s", stderr)
	}
	status, _, stderr = runLine("", "region", "fields", "--format", "csv", "--strict", "-o", "out")
	if _, err := os.Stat("out"); status != cli.NoAnswer || err == nil || read(t, "out.part") != good {
		t.Errorf("strict: status %d, %v, %s", status, err, stderr)
	}
	// Mended, it is all that is left to do.
	if err := os.WriteFile("fields/005.csv", []byte(read(t, "fields/01.csv")), 0o644); err != nil {
		t.Fatal(err)
	}
	mustRun(t, "region fields --format csv --strict -o out --resume")
	if got := read(t, "out"); !strings.HasPrefix(got, good) || strings.Count(got, "\n") != 4 {
		t.Errorf("mended: %s", got)
	}
	status, stdout, stderr = runLine("", "region", "nowhere.csv", "fields/005.csv/x", "-o", "none")
	if _, err := os.Stat("none"); status != cli.NoAnswer || stdout != "" || err == nil ||
		lastMessage(stderr) != "swardcast: no station could be answered" {
		t.Errorf("status %d, %s%s", status, stdout, stderr)
	}
	if left, _ := filepath.Glob("none*"); left != nil {
		t.Errorf("left behind: %v", left)
	}
}

// Two runs do not write to one output, nor one to a station of its own.
func TestRegionOutputIsItsOwn(t *testing.T) {
	drawRegion(t, 2)
	other, err := os.Create("out.csv.part")
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	if _, err := other.WriteString("of another run\n"); err != nil {
		t.Fatal(err)
	}
	held := flock.New("out.csv.part.lock")
	if ok, err := held.TryLock(); !ok || err != nil {
		t.Fatal(ok, err)
	}
	for _, resume := range []string{"", " --resume"} {
		status, _, stderr := runLine("", strings.Fields("region fields --format csv -o out.csv"+resume)...)
		if status != cli.NoAnswer || !strings.Contains(stderr, "another run is writing to out.csv.part") ||
			read(t, "out.csv.part") != "of another run\n" {
			t.Errorf("beside another run: status %d: %s", status, stderr)
		}
	}
	other.Close()
	if err := held.Close(); err != nil {
		t.Fatal(err)
	}

	// What the other run left is kept until somebody removes it.
	status, _, stderr := runLine("", strings.Fields("region fields --format csv -o out.csv")...)
	if status != cli.NoAnswer || !strings.Contains(stderr, "remove out.csv.part to begin anew") ||
		read(t, "out.csv.part") != "of another run\n" {
		t.Errorf("over what another run left: status %d: %s", status, stderr)
	}
	if err := os.Remove("out.csv.part"); err != nil {
		t.Fatal(err)
	}
	mustRun(t, "region fields --format csv -o out.csv")

	before := read(t, "fields/00.csv")
	status, _, stderr = runLine("", strings.Fields("region fields --format csv -o fields/00.csv")...)
	if status != cli.Usage || !strings.Contains(stderr, "which is read: it would be lost") ||
		read(t, "fields/00.csv") != before {
		t.Errorf("onto a station: status %d: %s", status, stderr)
	}

	// Nor is the part, or a table of places, an input that would be lost.
	write(t, "x.csv.part", before)
	write(t, "fields/stations.csv", "station,name\n00,Home (invented)\n")
	for _, line := range []string{"region x.csv.part --format csv -o x.csv", "region fields --format csv -o fields/stations.csv"} {
		if status, _, stderr := runLine("", strings.Fields(line)...); status != cli.Usage ||
			!strings.Contains(stderr, "it would be lost") {
			t.Errorf("%s: status %d: %s", line, status, stderr)
		}
	}
	if read(t, "x.csv.part") != before || !strings.Contains(read(t, "fields/stations.csv"), "Home (invented)") {
		t.Error("an input was lost")
	}
	if out := mustRun(t, "region fields --format csv -o -"); !strings.HasPrefix(out, "file,") {
		t.Errorf("-o - prints %q", out)
	}

	// A species file with other figures under the same name is another question.
	write(t, "own.csv", "species,parameter,value\nperennial-ryegrass,tillered,800\n")
	mustRun(t, "region fields/00.csv --species own.csv --format csv -o own-out.csv")
	if status, _, stderr := runLine("", strings.Fields("region fields/00.csv fields/01.csv --format csv -o own-out.csv --resume")...); status != cli.NoAnswer ||
		!strings.Contains(stderr, "of other settings") {
		t.Errorf("resumed with other figures: status %d: %s", status, stderr)
	}
	// A file that nobody may write is left alone; a link is followed.
	write(t, "locked.csv", "kept\n")
	if err := os.Chmod("locked.csv", 0o444); err != nil {
		t.Fatal(err)
	}
	if status, _, stderr := runLine("", strings.Fields("region fields/00.csv --format csv -o locked.csv")...); status != cli.NoAnswer ||
		!strings.Contains(stderr, "permission denied") ||
		read(t, "locked.csv") != "kept\n" {
		t.Errorf("onto a write-protected file: status %d: %s", status, stderr)
	}
	if err := os.Symlink("linked.csv", "link.csv"); err != nil {
		t.Fatal(err)
	}
	mustRun(t, "region fields/00.csv --format csv -o link.csv")
	if to, err := os.Readlink("link.csv"); err != nil || to != "linked.csv" ||
		!strings.HasPrefix(read(t, "linked.csv"), "file,") {
		t.Errorf("a link to nothing yet: %s, %v", to, err)
	}
}
