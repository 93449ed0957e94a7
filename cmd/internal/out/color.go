package out

import (
	"bytes"
	"strings"

	"swardcast/cmd/internal/cli"
)

// colours reports whether text on standard output is coloured: on a terminal,
// unless NO_COLOR is set to anything.
func (o *Flags) colours(p *cli.Program) bool {
	switch o.color.Value {
	case "always":
		return true
	case "never":
		return false
	}
	return o.Output == "" && p.Env("NO_COLOR") == "" && p.IsTerminal(p.Stdout)
}

// Escape sequences of ECMA-48 (SGR): of the eight colours only, which the user's
// terminal makes legible on its background.
const (
	bold  = "\x1b[1m"
	green = "\x1b[32m"
	blue  = "\x1b[36m"
	plain = "\x1b[0m"
)

// painted colours a text: its first sentence, which is the answer, bold; the marks of
// its charts by their part. It adds nothing else, so that without colour
// nothing is lost.
func painted(text []byte) []byte {
	var b bytes.Buffer
	answer, rest, _ := strings.Cut(string(text), "\n\n")
	const most = 6 // lines of an answer
	if strings.Count(answer, "\n") >= most {
		answer, rest = "", string(text) // a list
	}
	headline := true
	for line := range strings.Lines(answer) {
		if !headline {
			b.WriteString(line)
			continue
		}
		headline = !strings.HasSuffix(strings.TrimRight(line, "\n"), ".")
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
