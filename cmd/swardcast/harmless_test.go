package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"swardcast/climate/demo"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
)

// nasty clears a screen, turns the direction of the line and pretends to be lines
// of the program, by characters and by bytes that are no UTF-8.
const nasty = "A\x1b[2J\x07\u009b31m\u202eB\u2066\u200f\u061c\ufeff\u00ad\u2028C\x7f\U000e0041\nswardcast: all is well\nhint: rm\r\x9bD"

// steers returns the first character of a text that must not reach a terminal.
func steers(text string) (string, bool) {
	for i, r := range text {
		if r == utf8.RuneError {
			if _, n := utf8.DecodeRuneInString(text[i:]); n == 1 {
				return fmt.Sprintf("byte %#x at %d", text[i], i), true
			}
		}
		if r != '\n' && words.Unprintable(r) {
			return fmt.Sprintf("%U at %d", r, i), true
		}
	}
	return "", false
}

// Names and cells of files reach standard output and standard error without what
// could steer the terminal, in every form, and cannot pass for a message.
func TestNastyNames(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	dir := t.TempDir()
	// A file name holds every byte but NUL and /.
	record := filepath.Join(dir, nasty+".csv")
	quoted := `"` + strings.ReplaceAll(strings.ReplaceAll(nasty, "\n", " "), "\r", "") + `"`
	rows := string(demo.Station)[strings.Index(string(demo.Station), "\ndate,"):]
	rows = strings.Replace(rows[1:], "tmax_c", quoted, 1)
	write(t, record, "Station Name: "+strings.ReplaceAll(nasty, "\n", " ")+"\nLatitude: 35.4\n"+rows)
	nameless := filepath.Join(dir, "\x1b]0;x\x07name\u202eless\n.csv")
	write(t, nameless, string(demo.Station)[strings.Index(string(demo.Station), "\ndate,")+1:])
	bad := filepath.Join(dir, nasty+"-bad.csv")
	write(t, bad, "date,tmax_c,tmin_c\n2019-01-01,"+strings.ReplaceAll(nasty, "\n", " ")+",2\n")
	several := filepath.Join(dir, "several.csv")
	write(t, several, "station,date,tmax_c,tmin_c\n\x1b[31mone,2019-01-01,1,0\n\u202etwo,2019-01-01,1,0\n")
	probe := filepath.Join(dir, nasty+"-probe.csv")
	write(t, probe, "date,depth_cm,soil_c\n2019-09-20,10,22.5\n2019-09-28,10,60\n1900-01-01,10,5\n")
	species := filepath.Join(dir, "mine\x1b[5m.csv")
	write(
		t,
		species,
		"species,name,parameter,value,source\nperennial-ryegrass,\""+nasty+"\",tillered,380,\""+nasty+"\"\n",
	)
	badSpecies := filepath.Join(dir, "bad.csv")
	write(t, badSpecies, "species,parameter,value\n\""+nasty+"\",tillered,380\n")

	columns := "--columns=tmax=2"
	for _, args := range [][]string{
		{"record", record, columns}, {"window", record, columns}, {"soil", record, columns}, {"freeze", record, columns},
		{"compare", record, columns}, {"outlook", record, columns}, {"hindcast", record, columns},
		{"window", nameless, "--lat", "35.4"}, {"compare", nameless, nameless, "--lat", "35.4,35.4"},
		{"window", bad, "--lat", "35"}, {"window", several, "--lat", "35"}, {"window", dir + "/" + nasty, "--lat", "35"},
		{"window", "--probe", probe}, {"soil", "--probe", probe}, {"window", "--probe", bad}, {"window", "--probe", dir + "/none" + nasty},
		{"window", "--species", species}, {"species", species}, {"outlook", "--species", species, "--sow", "2026-10-05"}, {"seed", "--area", "1ac", "--species", species},
		{"compare", "--species", species}, {"second-pass", "--first", "2019-10-01", "--as-of", "2019-10-12", "--cover", "20", "--species", species},
		{"window", "--species", badSpecies}, {"window", "--species", nasty}, {"outlook", "--outlook-file", bad}, {"outlook", "--outlook-file", record},
		{nasty}, {"window", "--" + nasty}, {"window", "--host", nasty}, {"window", "--name", nasty}, {"window", "--as-of", nasty}, {"window", "-o", dir + "/no/" + nasty},
		{"help", nasty}, {"record", record, columns, "--station", nasty}, {"record", several, "--station", nasty}, {"window", "--columns", nasty + "=1"}, {"window", "--columns", "tmax=" + nasty},
		{"freeze", "--threshold", nasty}, {"seed", "--area", nasty}, {"seed", "--area", "1ac", "--price", nasty}, {"seed", "--circle", nasty},
	} {
		for _, form := range []string{"", "json", "csv"} {
			line := args
			if form != "" {
				line = append(append([]string{}, args...), "--format", form)
			}
			status, stdout, stderr := runLine("", line...)
			for stream, text := range map[string]string{"standard output": stdout, "standard error": stderr} {
				if c, found := steers(text); found {
					t.Errorf("%q: %s holds %s: %q", line, stream, c, text[:min(len(text), 300)])
				}
			}
			for l := range strings.Lines(stderr) {
				if strings.HasPrefix(l, "swardcast: all is well") || strings.HasPrefix(l, "hint: rm") {
					t.Errorf("%q: a name passes for a message: %q", line, l)
				}
			}
			if form == "json" && status == cli.Answered {
				if !json.Valid([]byte(stdout)) {
					t.Errorf("%q: not JSON", line)
				}
			}
		}
	}
}

// No slip of a flag gives an amount that is no number.
func TestSeedOverflow(t *testing.T) {
	for args, want := range map[string]string{
		"--area 1000000000m2 --purity 1e-300% --germination 50":      "that would take",
		"--area 1000000000m2 --purity 1e-200% --germination 1e-200%": "with a purity or germination of 0",
		"--area 1ac --bag 0.00001g":                                  "that would take 1.48e+10 bags",
		"--area 1ac --bag 0.000000001lb":                             "too small or too large",
		"--area 1ac --price 1e300/lb":                                "write an amount",
		"--area 1000000000m2 --price 1e14/g":                         "that would cost",
		"--area 0.0000001m2":                                         "too small or too large",
		"--area 1000000000000000000000000000m2":                      "too small or too large",
		"--rectangle 100000000mx100000000m":                          "cannot be sown",
		"--area 1ac --rate 0.00001g/m2 --loss 98.99":                 "grass is sown at",
	} {
		status, stdout, stderr := runLine("", append(strings.Fields("seed "+args), "--format", "json")...)
		if want == "" {
			if status != cli.Answered {
				t.Errorf("%s: %s", args, stderr)
			}
			continue
		}
		if status != cli.Usage || stdout != "" || !strings.Contains(stderr, want) {
			t.Errorf("%s: status %d: %s%s", args, status, stdout, stderr)
		}
	}
	for _, args := range []string{"window --elevation NaN", "window --elevation 1e300", "window --lon NaN", "window --lat NaN", "window --confidence NaN", "second-pass --first 2019-10-01 --cover NaN"} {
		if status, _, stderr := runLine("", strings.Fields(args)...); status != cli.Usage {
			t.Errorf("%s: status %d: %s", args, status, stderr)
		}
	}
}
