package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/window"
)

// The same bytes on any number of processors, in any time zone and locale, and
// from one run to the next.
func TestSameBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	environments := []string{
		"GOMAXPROCS=1 TZ=UTC LC_ALL=C",
		"GOMAXPROCS=7 TZ=Pacific/Kiritimati LC_ALL=de_DE.UTF-8 LANG=de_DE.UTF-8",
		"GOMAXPROCS=2 TZ=Etc/GMT+12 LC_ALL=tr_TR.UTF-8 GOGC=20",
	}
	exampleFolder(t)
	var lines [][]string
	for _, c := range commands {
		for _, args := range examplesOf(c) {
			bare := without(args, "-o", "--output")
			if !slices.Contains(bare, "--resume") {
				lines = append(lines, bare)
			}
		}
		lines = append(lines, []string{"help", c.Name})
	}
	for _, line := range lines {
		want := ""
		for _, env := range environments {
			c := exec.Command("swardcast", line...)
			c.Env = append(os.Environ(), strings.Fields(env)...)
			var out, messages bytes.Buffer
			c.Stdout, c.Stderr = &out, &messages
			if err := c.Run(); err != nil {
				t.Fatalf("%q: %v: %s", line, err, &messages)
			}
			switch {
			case want == "":
				want = out.String()
			case want != out.String():
				t.Errorf("%q: with %s it prints something else", line, env)
			}
		}
	}
}

// What is in the future does not hang on the time zone: at one instant the
// calendars of the Earth show up to three dates.
func TestTodayInAnyZone(t *testing.T) {
	instant := time.Date(2026, 11, 25, 11, 30, 0, 0, time.UTC)
	for _, c := range []struct {
		last string
		want int
	}{{"2026-11-26", cli.Answered}, {"2026-11-27", cli.NoAnswer}} {
		text := string(demo.Station)
		lines := strings.Split(strings.TrimSpace(text), "\n")
		head, final := lines[:len(lines)-1], lines[len(lines)-1]
		text = strings.Join(head, "\n") + "\n" + final + "\n" + c.last + final[len("2026-11-26"):] + "\n"
		for _, hours := range []int{-12, 0, 14} {
			p := testProgram(strings.NewReader(text), &bytes.Buffer{}, &bytes.Buffer{})
			p.Now = func() time.Time { return instant.In(time.FixedZone("", hours*3600)) }
			if status := p.Main(context.Background(), []string{"record", "-"}); status != c.want {
				t.Errorf("a record to %s at UTC%+d: status %d, want %d: %s", c.last, hours, status, c.want, p.Stderr)
			}
		}
	}
}

// demoRecord reads the demo station.
func demoRecord(t *testing.T) *climate.Record {
	t.Helper()
	f, err := recordfile.Read(bytes.NewReader(demo.Station), "demo", recordfile.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return f.Record
}

// recordText writes a record as a plain file, blank where it is missing.
func recordText(r *climate.Record) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Latitude: %g\ndate,tmax_c,tmin_c,prcp_mm\n", *r.Place.Latitude)
	cell := func(v float64) string {
		if math.IsNaN(v) {
			return ""
		}
		return fmt.Sprintf("%.1f", v)
	}
	for i := range r.TMaxC {
		fmt.Fprintf(&b, "%s,%s,%s,%s\n", r.Day(i), cell(r.TMaxC[i]), cell(r.TMinC[i]), cell(r.PrecipMM[i]))
	}
	return b.String()
}

// Leap days and New Year: records, sow dates and todays that begin, end or lie on
// them are answered, and their answers hold.
func TestLeapDaysAndNewYear(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	rec := demoRecord(t)
	days := []climate.Day{
		climate.Date(2023, 12, 31),
		climate.Date(2024, 1, 1),
		climate.Date(2024, 2, 28),
		climate.Date(2024, 2, 29),
		climate.Date(2024, 3, 1),
		climate.Date(2024, 12, 31),
		climate.Date(2025, 2, 28),
		climate.Date(2025, 3, 1),
		climate.Date(2024, 7, 1),
	}
	for _, south := range []bool{false, true} {
		r := rec
		if south {
			r = mirrored(rec)
		}
		cal := climate.Calendar{South: south}
		for _, d := range days {
			part := recordText(r.Until(d))
			later := *r
			k := r.Index(climate.Date(2004, 2, 29)) // a record that begins on a leap day
			later.First, later.TMaxC, later.TMinC, later.PrecipMM = r.Day(k), r.TMaxC[k:], r.TMinC[k:], r.PrecipMM[k:]
			fromLeap := recordText(later.Until(d))
			for _, line := range []string{
				"window -", "outlook - --sow " + d.String(), fmt.Sprintf("outlook - --sow %s --as-of %s", d, d-20), fmt.Sprintf("compare - --sow %s --as-of %s", d, d-1),
				fmt.Sprintf("window - --season %d --as-of %s", d.Year(), d), fmt.Sprintf("second-pass - --first %s --as-of %s --cover 30", d-10, d), "freeze -",
			} {
				texts := map[string]string{"to the day": part}
				if strings.HasPrefix(line, "window -") || strings.HasPrefix(line, "freeze") {
					texts["from a leap day"] = fromLeap
				}
				for from, text := range texts {
					name := fmt.Sprintf("south %v, %s %s: %s", south, from, d, line)
					status, stdout, stderr := runLine(text, append(strings.Fields(line), "--format", "json")...)
					if status != cli.Answered {
						// A first pass whose season is over is a question that has no answer.
						if !strings.Contains(stderr, "the season of that first pass ended") {
							t.Errorf("%s: status %d: %s", name, status, stderr)
						}
						continue
					}
					var v any
					if err := json.Unmarshal([]byte(stdout), &v); err != nil {
						t.Fatal(err)
					}
					(&answerCheck{t: t, line: name, cal: cal}).value("", "", v, 0, false)
				}
			}
		}
	}
}

// mirrored is the record of a place as far south as another lies north: every day
// has the weather of the day at its place in the season before it, half a year
// away; a leap day repeats the day before.
func mirrored(r *climate.Record) *climate.Record {
	north, south := climate.Calendar{}, climate.Calendar{South: true}
	place := r.Place
	place.Latitude = new(-*place.Latitude)
	from, to := climate.Date(r.First.Year()+1, 1, 1), r.Last()+184
	if n := north.First(r.First.Year()); n < r.First {
		from = climate.Date(r.First.Year()+2, 1, 1)
	}
	out := climate.NewRecord(place, from, int(to-from)+1)
	out.PrecipMM = make([]float64, out.Len())
	for i := range out.TMaxC {
		d := out.Day(i)
		k := r.Index(north.Day(d.Year()-1, south.Offset(d.Year(), d)))
		if k < 0 || k >= r.Len() {
			out = out.Until(d - 1)
			break
		}
		out.TMaxC[i], out.TMinC[i], out.PrecipMM[i] = r.TMaxC[k], r.TMinC[k], r.PrecipMM[k]
	}
	return out
}

// The southern hemisphere answers as the northern. Freeze dates, which know no
// sun, are the same to the day. Dates of the soil are not quite: the Earth is
// nearest the sun in January, so that the southern summer has up to 6.8 % more of
// it (FAO-56 eq. 23), 2.8 MJ of 41; at 0.18 °C a MJ (Ra40) that is half a degree
// of soil in the warmest weeks, less towards the equinox. Soil that falls by 0.15
// to 0.25 °C a day at the opening then crosses a threshold up to three days apart.
func TestMirror(t *testing.T) {
	const apartDays, apartChance = 3, 0.08 // three days of the steepest part of the demo's chances, 2.6 % a day
	rec := demoRecord(t)
	m := mirrored(rec)
	// What the mirror shows, and no more.
	n := *rec
	k := rec.Index(climate.Date(m.First.Year()-1, 7, 1))
	n.First, n.TMaxC, n.TMinC, n.PrecipMM = rec.Day(k), rec.TMaxC[k:], rec.TMinC[k:], rec.PrecipMM[k:]
	last := climate.Date(2026, 4, 30)
	north, south := recordText(n.Until(last)), recordText(m.Until(climate.Date(2026, 10, 31)))

	answer := func(text, line string, into any) {
		t.Helper()
		status, stdout, stderr := runLine(text, append(strings.Fields(line), "--format", "json")...)
		if status != cli.Answered {
			t.Fatal(stderr)
		}
		if err := json.Unmarshal([]byte(stdout), into); err != nil {
			t.Fatal(err)
		}
	}
	offset := func(cal climate.Calendar, season int, d *climate.Day) float64 {
		if d == nil {
			return math.Inf(1)
		}
		return float64(cal.Offset(season, *d))
	}
	calN, calS := climate.Calendar{}, climate.Calendar{South: true}

	var fn, fs struct {
		Season     int
		Thresholds []struct {
			Seasons int                     `json:"season_count"`
			First   map[string]*climate.Day `json:"first_freeze"`
		}
	}
	answer(north, "freeze - --season 2025", &fn)
	answer(south, "freeze - --season 2026", &fs)
	for i := range fn.Thresholds {
		a, b := fn.Thresholds[i], fs.Thresholds[i]
		if a.Seasons != b.Seasons || a.Seasons < 25 {
			t.Errorf("freeze: %d seasons in the north, %d in the south", a.Seasons, b.Seasons)
		}
		for p, d := range a.First {
			if x, y := offset(calN, 2025, d), offset(calS, 2026, b.First[p]); x != y {
				t.Errorf("freeze %s: day %g of the season in the north, %g in the south", p, x, y)
			}
		}
	}

	worst, worstChance := 0.0, 0.0
	for _, species := range []string{"perennial-ryegrass", "tall-fescue --host none", "kentucky-bluegrass"} {
		var wn, ws window.Output
		answer(north, "window - --season 2025 --species "+species, &wn)
		answer(south, "window - --season 2026 --species "+species, &ws)
		a, b := wn.Species[0], ws.Species[0]
		if len(a.Seasons) != len(b.Seasons) {
			t.Errorf("%s: %d seasons in the north, %d in the south", species, len(a.Seasons), len(b.Seasons))
		}
		for what, d := range map[string][2]*climate.Day{
			"opens": {a.Opens.P50, b.Opens.P50}, "last safe 80": {a.LastSafe.P80, b.LastSafe.P80}, "last safe 50": {a.LastSafe.P50, b.LastSafe.P50},
			"cutoff": {a.Cutoff.P50, b.Cutoff.P50}, "cutoff 10": {a.Cutoff.P10, b.Cutoff.P10},
			"freeze": {a.FreezeP50, b.FreezeP50},
		} {
			x, y := offset(calN, 2025, d[0]), offset(calS, 2026, d[1])
			if what == "freeze" && x != y || math.Abs(x-y) > apartDays {
				t.Errorf("%s, %s: day %g of the season in the north, %g in the south", species, what, x, y)
			}
			if !math.IsInf(x, 0) {
				worst = max(worst, math.Abs(x-y))
			}
		}
		for i := range min(len(a.ByDate), len(b.ByDate)) {
			d := math.Abs(float64(a.ByDate[i].Chance - b.ByDate[i].Chance))
			if worstChance = max(worstChance, d); d > apartChance {
				t.Errorf(
					"%s: chance of day %d %g in the north, %g in the south",
					species,
					i,
					a.ByDate[i].Chance,
					b.ByDate[i].Chance,
				)
				break
			}
		}
	}
	t.Logf("dates of the soil at most %g days apart, chances %.3f", worst, worstChance)
}
