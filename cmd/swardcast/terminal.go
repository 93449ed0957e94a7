package main

import (
	"bytes"
	"fmt"
	"io"
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

// A progress tells on standard error how far long work is, if that is a terminal
// and the work takes longer than a moment.
type progress struct {
	w       io.Writer // nil: silent
	what    string
	started time.Time
	shown   bool
}

// moment is how long work goes on before its progress is told.
const moment = 400 * time.Millisecond

func (p *program) progress(what string) *progress {
	g := &progress{what: what, started: time.Now()}
	if p.isTerminal(p.Stderr) {
		g.w = p.Stderr
	}
	return g
}

// tell shows that so many of all are done.
func (g *progress) tell(done, all int) {
	if g.w == nil || !g.shown && time.Since(g.started) < moment {
		return
	}
	g.shown = true
	fmt.Fprintf(g.w, "\r%s: %d of %d\x1b[K", g.what, done, all)
}

// end clears the line.
func (g *progress) end() {
	if g.shown {
		fmt.Fprint(g.w, "\r\x1b[K")
	}
}
