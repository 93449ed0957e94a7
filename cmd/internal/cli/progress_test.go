package cli

import (
	"bytes"
	"io"
	"testing"
	"time"
)

// Long work shows how far it is, on a terminal alone, and leaves the line clear.
func TestProgress(t *testing.T) {
	for _, terminal := range []bool{true, false} {
		var stderr bytes.Buffer
		p := Program{Stderr: &stderr, Getenv: func(string) string { return "" }, Terminal: func(io.Writer) bool { return terminal }}
		g := p.Progress("stations", 9)
		g.Step() // too soon to be shown
		if stderr.Len() > 0 {
			t.Errorf("shown at once: %q", stderr.String())
		}
		start := g.start
		g.now = func() time.Time { return start.Add(4 * time.Second) }
		g.Step()
		g.Clear()
		if want := "\r\x1b[K2 of 9 stations, 0.5 a second, 14s left\r\x1b[K"; terminal && stderr.String() != want || !terminal && stderr.Len() > 0 {
			t.Errorf("terminal %v: %q", terminal, stderr.String())
		}
	}
}
