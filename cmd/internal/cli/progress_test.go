package cli

import (
	"bytes"
	"io"
	"strings"
	"testing"
	"time"
)

// Long work shows how far it is, on a terminal alone, and leaves the line clear.
func TestProgress(t *testing.T) {
	for _, terminal := range []bool{true, false} {
		var stderr bytes.Buffer
		p := Program{
			Stderr:   &stderr,
			Getenv:   func(string) string { return "" },
			Terminal: func(io.Writer) bool { return terminal },
		}
		g := p.Progress("stations", 9)
		g.Step() // too soon to be shown
		if stderr.Len() > 0 {
			t.Errorf("shown at once: %q", stderr.String())
		}
		start := g.start
		g.now = func() time.Time { return start.Add(4 * time.Second) }
		g.Step()
		g.Clear()
		if want := "\r\x1b[K2 of 9 stations, 0.5 a second, 14s left\r\x1b[K"; terminal && stderr.String() != want ||
			!terminal && stderr.Len() > 0 {
			t.Errorf("terminal %v: %q", terminal, stderr.String())
		}
	}
}

func TestProgressLine(t *testing.T) {
	start := time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	g := &Progress{now: func() time.Time { return start }, total: 1000, what: "stations", start: start}
	for range 250 {
		g.Step() // no terminal: nothing is written
	}
	if got, want := g.line(start.Add(20*time.Second)), "250 of 1000 stations, 12.5 a second, 1m0s left"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	var terminal bytes.Buffer
	g.to = &terminal
	g.Step()
	g.Step() // too soon for another line
	g.Clear()
	if got := terminal.String(); strings.Count(got, "stations") != 1 || !strings.HasSuffix(got, "\r\x1b[K") {
		t.Errorf("%q", got)
	}
}
