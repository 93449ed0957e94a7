package main

import (
	"bytes"
	"io"
	"regexp"
	"strings"
	"testing"
	"time"
)

// On a terminal text is coloured, but for NO_COLOR, TERM=dumb and --color never;
// without its colours it is the text of a pipe, letter for letter.
func TestColour(t *testing.T) {
	run := func(terminal bool, environment map[string]string, args ...string) string {
		var out bytes.Buffer
		p := program{Stdin: strings.NewReader(""), Stdout: &out, Stderr: io.Discard, Now: func() time.Time { return time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC) },
			Getenv: func(name string) string { return environment[name] }, Terminal: func(io.Writer) bool { return terminal }}
		if status := p.Main(args); status != statusAnswered {
			t.Fatalf("%v: status %d", args, status)
		}
		return out.String()
	}
	const escape = "\x1b"
	for _, c := range []struct {
		name        string
		terminal    bool
		environment map[string]string
		args        []string
		want        bool
	}{
		{"a pipe", false, nil, nil, false},
		{"a terminal", true, nil, nil, true},
		{"NO_COLOR", true, map[string]string{"NO_COLOR": "1"}, nil, false},
		{"TERM=dumb", true, map[string]string{"TERM": "dumb"}, nil, false},
		{"never", true, nil, []string{"--color", "never"}, false},
		{"always", false, map[string]string{"NO_COLOR": "1"}, []string{"--color", "always"}, true},
		{"JSON", true, nil, []string{"--format", "json"}, false},
	} {
		got := run(c.terminal, c.environment, append([]string{"window"}, c.args...)...)
		if strings.Contains(got, escape) != c.want {
			t.Errorf("%s: coloured %v, want %v", c.name, !c.want, c.want)
		}
	}
	sequences := regexp.MustCompile(`\x1b\[[0-9;]*m`)
	for _, args := range [][]string{{"window"}, {"outlook", "--sow", "2019-10-05", "--as-of", "2019-10-15"}, {"hindcast"}, {"species"}, {"seed", "--area", "5000ft2"}} {
		bare := run(false, nil, args...)
		if painted := run(true, nil, args...); sequences.ReplaceAllString(painted, "") != bare {
			t.Errorf("%v: the text differs by more than its colours", args)
		}
	}
}

// Long work tells how far it is, on a terminal alone, and leaves the line clear.
func TestProgress(t *testing.T) {
	for _, terminal := range []bool{true, false} {
		var stderr bytes.Buffer
		p := program{Stderr: &stderr, Getenv: func(string) string { return "" }, Terminal: func(io.Writer) bool { return terminal }}
		g := p.progress("stations", 9)
		g.step() // too soon to be told
		if stderr.Len() > 0 {
			t.Errorf("told at once: %q", stderr.String())
		}
		start := g.start
		g.now = func() time.Time { return start.Add(4 * time.Second) }
		g.step()
		g.clear()
		if want := "\r\x1b[K2 of 9 stations, 0.5 a second, 14s left\r\x1b[K"; terminal && stderr.String() != want || !terminal && stderr.Len() > 0 {
			t.Errorf("terminal %v: %q", terminal, stderr.String())
		}
	}
}
