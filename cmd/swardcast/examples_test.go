package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/climate/fetch/fetchtest"
	"swardcast/climate/weather"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/clitest"
	"swardcast/cmd/internal/words"
)

// exampleFolder fills a folder with the files that examples name, and goes there. The
// services that some of them ask are a server on the loopback.
func exampleFolder(t testing.TB) {
	t.Helper()
	serviceServer(t)
	t.Setenv("SOURCE_DATE_EPOCH", fmt.Sprint(now().Unix())) // of programs that are run
	t.Chdir(t.TempDir())
	put := func(name, content string) {
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	station := func(name string, latitude float64, seed uint64) {
		c := weather.Piedmont()
		c.Place = climate.Place{
			Name:       name + " (invented)",
			Latitude:   &latitude,
			Longitude:  new(-84.6),
			ElevationM: new(250.0),
		}
		c.Mean -= 0.6 * (latitude - 35) // colder by as much as the latitude is farther
		var b bytes.Buffer
		if err := weather.WriteCSV(&b, weather.Generate(c, seed, climate.Date(2010, 1, 1),
			climate.Date(2026, 10, 12))); err != nil {
			t.Fatal(err)
		}
		file := strings.ToLower(strings.Fields(name)[0]) + ".csv"
		put(file, b.String())
		put("stations/"+file, b.String())
		put("south/"+file, b.String())
	}
	whole := string(demo.Station)
	bare := whole[strings.Index(whole, "\ndate,")+1:] // no name, no latitude
	// The examples look as of days after the demo record ends.
	var season strings.Builder
	for d := demo.Last + 1; d <= climate.Date(2026, 10, 20); d++ {
		fmt.Fprintf(&season, "%s,%.1f,%.1f,0\n", d, 30-float64(d-demo.Last)*0.12, 19-float64(d-demo.Last)*0.12)
	}
	put("my-station.csv", bare+season.String())
	station("North Meadow", 42.1, 3)
	station("South Lea", 33.8, 4)
	put("stations.txt", "stations/north.csv\nstations/south.csv\n")
	put("my-readings.csv", "date,depth_cm,soil_c\n2019-09-20,10,22.5\n2019-09-28,10,22\n2026-09-28,10,21\n")
	put("next-days.csv", "date,tmax_c,tmin_c\n2026-10-21,19,8\n2026-10-22,18,7\n2026-10-23,17,5\n")
	put("mine.csv", "species,parameter,value\nperennial-ryegrass,tillered,380\n")
	put("odd.csv", "Day,High,Low\n2024-01-01,40,22\n2024-01-02,45,30\n2024-01-03,47,31\n2024-01-04,39,25\n")
	lines := strings.SplitAfter(bare, "\n")
	warm := weather.Piedmont() // without a winter that ends sowing
	warm.Mean += 8
	warm.Outbreaks, warm.WinterSD = 0, 2
	var b bytes.Buffer
	if err := weather.WriteCSV(&b, weather.Generate(warm, 5, climate.Date(2010, 1, 1),
		climate.Date(2026, 10, 12))); err != nil {
		t.Fatal(err)
	}
	put("warm.csv", b.String())
	dayThree, _, _ := strings.Cut(lines[3], ",")
	put("suspect.csv", strings.Join(lines[:3], "")+dayThree+",61.0,-40.0,0\n"+strings.Join(lines[4:400], ""))
	put("gridded.csv", "Gridded temperatures (invented)\n"+strings.Join(lines[:400], "")+"Source: invented\n")
	put("several.csv", "station,"+lines[0]+"ALDER-3,"+strings.Join(lines[1:400], "ALDER-3,")+"OTHER,"+lines[1])
}

// serviceServer has the program ask a server of its own, and keep what it fetches in a
// folder of its own.
func serviceServer(t testing.TB) *fetchtest.Server {
	t.Helper()
	s := fetchtest.New()
	t.Cleanup(s.Close)
	s.Now = now()
	t.Setenv("SWARDCAST_BASE", s.Bases())
	t.Setenv("SWARDCAST_CACHE", t.TempDir())
	t.Setenv("SWARDCAST_CONTACT", "keeper@example.org")
	return s
}

// examplesOf are the command lines of a command's examples that are its own.
func examplesOf(c *cli.Command) [][]string {
	var lines [][]string
	for _, e := range c.Examples {
		if args := clitest.Args(e); args[0] == c.Name {
			lines = append(lines, args)
		}
	}
	return lines
}

// asksServices reports whether a command line may ask a service.
func asksServices(c *cli.Command, args []string) bool {
	return c.Name == "station" || c.Name == "fetch" || slices.Contains(args, "--near") ||
		slices.Contains(args, "--station-id")
}

// formatsOf are the forms that a command offers.
func formatsOf(c *cli.Command) []string {
	return strings.Split(c.Flags().Lookup("format").Value.Type(), "|")
}

// without takes a flag and its value out of a command line.
func without(args []string, flags ...string) []string {
	var out []string
	for i := 0; i < len(args); i++ {
		if slices.Contains(flags, args[i]) {
			i++
			continue
		}
		out = append(out, args[i])
	}
	return out
}

// dear reports whether a form takes long; the first two examples of a command are tried
// in it, the others in text and numbers.
func dear(format string) bool {
	return !slices.Contains([]string{"text", "json", "csv", "jsonl", "geojson"}, format)
}

// Every example of every command answers, as it is written, in text, JSON and CSV, and the
// first two in every form that the command offers: no number that is none, no line wider than a terminal.
func TestExamples(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	for _, c := range commands {
		t.Run(c.Name, func(t *testing.T) {
			exampleFolder(t)
			if len(examplesOf(c)) == 0 {
				t.Fatal("no example")
			}
			for i, args := range examplesOf(c) {
				status, _, stderr := runLine("", args...)
				if status != cli.Answered {
					t.Errorf("%q: %s", args, stderr)
				}
				bare := without(args, "--format", "-o", "--chart", "--output")
				bare = slices.DeleteFunc(bare, func(a string) bool { return a == "--resume" })
				for _, format := range formatsOf(c) {
					if i > 1 && dear(format) {
						continue
					}
					line := append(slices.Clone(bare), "--format", format)
					status, stdout, stderr := runLine("", line...)
					// A calendar needs a sow date, a chart one station.
					if status != cli.Answered && format != "ics" &&
						!strings.Contains(stderr, "a chart is of one station") {
						t.Errorf("%q: %s", line, stderr)
					}
					if format == "text" {
						for l := range strings.Lines(stdout) {
							if words.Width(strings.TrimSuffix(l, "\n")) > words.Columns {
								t.Errorf("%q: %d columns: %s", line, words.Width(l), l)
							}
						}
					}
					if format != "png" && format != "html" && noNumber.MatchString(stdout) {
						t.Errorf("%q holds %q", line, noNumber.FindString(stdout))
					}
				}
			}
		})
	}
}

// Every example of every command prints the same bytes when it is built for another
// processor, which SWARDCAST_OTHER runs.
func TestSameOnAnotherProcessor(t *testing.T) {
	other := strings.Fields(os.Getenv("SWARDCAST_OTHER"))
	if len(other) == 0 {
		t.Skip("SWARDCAST_OTHER names no program")
	}
	exampleFolder(t)
	n := 0
	for _, c := range commands {
		for i, args := range examplesOf(c) {
			bare := without(args, "--format", "-o", "--chart", "--output")
			if slices.Contains(bare, "--resume") || asksServices(c, bare) { // which reads the clock
				continue
			}
			for _, format := range formatsOf(c) {
				// Pages and their pictures hold what the SVG and the others do.
				if format == "png" || format == "html" || format == "fragment" || i > 1 && dear(format) {
					continue
				}
				line := append(slices.Clone(bare), "--format", format)
				run := exec.Command(other[0], append(slices.Clone(other[1:]), line...)...)
				var printed bytes.Buffer
				run.Stdout = &printed
				if err := run.Start(); err != nil {
					t.Fatal(err)
				}
				status, want, _ := runLine("", line...)
				err, got := run.Wait(), printed.String()
				if status != cli.Answered || err != nil {
					continue // TestExamples says why
				}
				if n++; got != want {
					t.Errorf("%q prints something else", line)
				}
			}
		}
	}
	t.Logf("%d answers are the same bytes", n)
}
