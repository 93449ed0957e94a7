package cli

import (
	"fmt"
	"io"
	"math"
	"os"
	"time"

	"golang.org/x/term"
)

// Env reads the environment.
func (p *Program) Env(name string) string {
	if p.Getenv != nil {
		return p.Getenv(name)
	}
	return os.Getenv(name)
}

// IsTerminal reports whether a stream is a terminal that can do more than print.
func (p *Program) IsTerminal(w io.Writer) bool {
	if p.Env("TERM") == "dumb" {
		return false
	}
	if p.Terminal != nil {
		return p.Terminal(w)
	}
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// A Progress shows on standard error how far long work is, how fast it goes and
// how long it will take, if that is a terminal and the work takes longer than a
// moment.
type Progress struct {
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

// Progress begins to count work.
func (p *Program) Progress(what string, total int) *Progress {
	g := &Progress{now: time.Now, what: what, total: total}
	if p.IsTerminal(p.Stderr) {
		g.to = p.Stderr
	}
	g.start = g.now()
	g.last = g.start
	return g
}

// SetTotal says how much work there is, where that was not known at first.
func (g *Progress) SetTotal(total int) { g.total = total }

// Silence shows nothing from here on.
func (g *Progress) Silence() {
	g.Clear()
	g.to = nil
}

// Step counts one more.
func (g *Progress) Step() {
	g.done++
	if now := g.now(); g.to != nil && now.Sub(g.last) >= progressEvery {
		g.last, g.shown = now, true
		fmt.Fprintf(g.to, "\r\x1b[K%s", g.line(now))
	}
}

func (g *Progress) line(now time.Time) string {
	rate := float64(g.done) / math.Max(now.Sub(g.start).Seconds(), 1e-3)
	left := time.Duration(float64(g.total-g.done) / rate * float64(time.Second))
	return fmt.Sprintf("%d of %d %s, %.1f a second, %s left", g.done, g.total, g.what, rate, left.Round(time.Second))
}

// Clear takes the line away, so that something else can be written.
func (g *Progress) Clear() {
	if g.shown {
		io.WriteString(g.to, "\r\x1b[K")
		g.shown, g.last = false, g.now()
	}
}
