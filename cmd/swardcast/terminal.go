package main

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"time"

	"golang.org/x/term"
)

// getenv reads the environment.
func (p *program) getenv(name string) string {
	if p.Getenv != nil {
		return p.Getenv(name)
	}
	return os.Getenv(name)
}

// isTerminal tells whether what is written goes to a terminal that can do more
// than print.
func (p *program) isTerminal(w io.Writer) bool {
	if p.getenv("TERM") == "dumb" {
		return false
	}
	if p.Terminal != nil {
		return p.Terminal(w)
	}
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// colours tells whether text on standard output is coloured: on a terminal,
// unless NO_COLOR is set to anything.
func (p *program) colours(o *outputFlags) bool {
	switch o.color.value {
	case "always":
		return true
	case "never":
		return false
	}
	return o.output == "" && p.getenv("NO_COLOR") == "" && p.isTerminal(p.Stdout)
}

// Escape sequences of ECMA-48 (SGR): of the eight colours only, which the user's
// terminal makes legible on its background.
const (
	bold  = "\x1b[1m"
	green = "\x1b[32m"
	blue  = "\x1b[36m"
	plain = "\x1b[0m"
)

// painted colours a text: its first paragraph, which is the answer, bold; the
// marks of its charts by their part. It adds nothing else, so that without colour
// nothing is lost.
func painted(text []byte) []byte {
	var b bytes.Buffer
	answer, rest, _ := strings.Cut(string(text), "\n\n")
	const most = 6 // lines of an answer
	if strings.Count(answer, "\n") >= most {
		answer, rest = "", string(text) // a list
	}
	for line := range strings.Lines(answer) {
		b.WriteString(bold + strings.TrimSuffix(line, "\n") + plain)
		if strings.HasSuffix(line, "\n") {
			b.WriteString("\n")
		}
	}
	if answer != "" && rest != "" {
		b.WriteString("\n\n")
	}
	ink := ""
	for _, r := range rest {
		want := ""
		switch r {
		case '█':
			want = green
		case '▒', '·':
			want = blue
		}
		if want != ink {
			if ink != "" {
				b.WriteString(plain)
			}
			b.WriteString(want)
			ink = want
		}
		b.WriteRune(r)
	}
	if ink != "" {
		b.WriteString(plain)
	}
	return b.Bytes()
}

// A progress tells on standard error how far long work is, how fast it goes and
// how long it will take, if that is a terminal and the work takes longer than a
// moment.
type progress struct {
	to          io.Writer // nil: silent
	now         func() time.Time
	what        string // is counted
	done, total int
	start, last time.Time
	shown       bool
}

// progressEvery is how often the line is written anew, and how long work goes on
// before it is.
const progressEvery = 500 * time.Millisecond

func (p *program) progress(what string, total int) *progress {
	g := &progress{now: time.Now, what: what, total: total}
	if p.isTerminal(p.Stderr) {
		g.to = p.Stderr
	}
	g.start = g.now()
	g.last = g.start
	return g
}

// step counts one more.
func (g *progress) step() {
	g.done++
	if now := g.now(); g.to != nil && now.Sub(g.last) >= progressEvery {
		g.last, g.shown = now, true
		fmt.Fprintf(g.to, "\r\x1b[K%s", g.line(now))
	}
}

func (g *progress) line(now time.Time) string {
	rate := float64(g.done) / math.Max(now.Sub(g.start).Seconds(), 1e-3)
	left := time.Duration(float64(g.total-g.done) / rate * float64(time.Second))
	return fmt.Sprintf("%d of %d %s, %.1f a second, %s left", g.done, g.total, g.what, rate, left.Round(time.Second))
}

// clear takes the line away, so that something else can be written.
func (g *progress) clear() {
	if g.shown {
		io.WriteString(g.to, "\r\x1b[K")
		g.shown, g.last = false, g.now()
	}
}
