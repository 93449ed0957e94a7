package main

import (
	"encoding/csv"
	"strings"
	"testing"

	ics "github.com/arran4/golang-ical"

	"swardcast/climate/demo"
	"swardcast/cmd/internal/cli"
)

// hostile is a name that means harm: markup, a formula, an escape sequence, a
// line's end, marks that turn the writing.
const hostile = "=cmd()|'</title></script><script>window.harmed=1;alert(1)</script><img src=http://192.0.2.1/x onerror=window.harmed=1>\x1b]0;x\x07\u202eevil\u2066\r\nBEGIN:VEVENT"

// hostileStation is the demo station with the name.
func hostileStation() string {
	quoted := `"` + strings.ReplaceAll(hostile, `"`, `""`) + `"`
	var b strings.Builder
	for line := range strings.Lines(string(demo.Station)) {
		line = strings.TrimRight(line, "\r\n")
		switch {
		case strings.HasPrefix(line, "Station Name"),
			strings.HasPrefix(line, "Latitude"),
			strings.HasPrefix(line, "Elevation"):
			continue
		case strings.HasPrefix(line, "date"):
			b.WriteString("name," + line + "\n")
		default:
			b.WriteString(quoted + "," + line + "\n")
		}
	}
	return b.String()
}

// The name does no harm on a terminal, in a spreadsheet, in a calendar.
func TestHostileName(t *testing.T) {
	give := func(args string) string {
		t.Helper()
		status, stdout, stderr := runLine(hostileStation(), append(strings.Fields(args), "-", "--lat", "35.4")...)
		if status != cli.Answered {
			t.Fatalf("%s: %s", args, stderr)
		}
		return stdout
	}
	for _, args := range []string{"window", "outlook --sow 2019-10-05 --as-of 2019-10-15", "second-pass --first 2019-10-01 --as-of 2019-10-12 --cover 20", "compare", "soil", "freeze", "hindcast", "record"} {
		if text := give(args); strings.ContainsAny(text, "\x1b\x07\r\u202e\u2066") {
			t.Errorf("%s: the name steers the terminal", args)
		}
	}

	rows, err := csv.NewReader(strings.NewReader(give("compare --format csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		if !strings.HasPrefix(r[0], "'=cmd()") || strings.ContainsAny(r[0], "\x1b\r\n\u202e") {
			t.Fatalf("a spreadsheet reads %q", r[0])
		}
	}

	for _, args := range []string{"outlook --sow 2019-10-05 --as-of 2019-10-15", "second-pass --first 2019-10-01 --as-of 2019-10-12 --cover 20"} {
		file := give(args + " --format ics")
		c, err := ics.ParseCalendar(strings.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		if n := len(c.Events()); n < 5 || strings.Count(file, "\r\nBEGIN:VEVENT\r\n") != n ||
			strings.ContainsAny(file, "\x1b\x07\u202e") {
			t.Errorf("%s: %d events of %d", args, strings.Count(file, "\r\nBEGIN:VEVENT\r\n"), n)
		}
	}

	if svg := give("window --format svg"); strings.Contains(svg, "<script") {
		t.Error("a picture with a script")
	}
}
