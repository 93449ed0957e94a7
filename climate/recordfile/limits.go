package recordfile

import (
	"bytes"
	"fmt"
	"io"
	"unicode/utf8"
)

// Limits on what is read. They bound memory and time for any input, and are far
// beyond what a station's record needs.
const (
	peekBytes    = 64 << 10  // within which the header stands
	maxTextBytes = 256 << 20 // of the whole text, unpacked
	maxLineBytes = 1 << 20   // of a line
	maxRowBytes  = 2 << 20   // of a row; in quotation marks it can span many lines
	maxColumns   = 1000      // of a line that could be the header
	maxRows      = 1_000_000 // of the station read with a value; 400 years of three elements have 440 000
	maxYears     = 400       // between the first and the last day
	maxIDBytes   = 1000      // of the ID of a station
	maxNameRunes = 100       // of the name of a station, which is cut
)

// A textLimit fails where the text, or a line of it, is longer than the limits. It
// refuses a packed bomb, an endless input or a file without lines without holding
// them in memory.
type textLimit struct {
	r    io.Reader
	most int64 // bytes that may still come
	line int
	n    int
}

// of returns the limit for one text more; what was read before counts.
func (l *textLimit) of(r io.Reader) io.Reader {
	l.r, l.line, l.n = r, 0, 0
	return l
}

func (l *textLimit) Read(p []byte) (int, error) {
	n, err := l.r.Read(p)
	if l.most -= int64(n); l.most < 0 {
		return 0, &Error{Kind: TooLarge, Message: fmt.Sprintf("the file is longer than %d MiB", maxTextBytes>>20),
			Hint: "keep the rows of one station"}
	}
	if i := bytes.LastIndexByte(p[:n], '\n'); i >= 0 {
		l.line += bytes.Count(p[:n], []byte{'\n'})
		l.n = n - i - 1
	} else {
		l.n += n
	}
	if l.n > maxLineBytes {
		return n, &Error{Kind: TooLarge, Line: l.line + 1,
			Message: fmt.Sprintf("the line is longer than %d bytes", maxLineBytes)}
	}
	return n, err
}

// A rowLimit fails where a row is longer than one may be. The parser sets n back
// to 0 with each row.
type rowLimit struct {
	r io.Reader
	n int
	p *parser
}

func (l *rowLimit) Read(p []byte) (int, error) {
	if l.n > maxRowBytes {
		return 0, &Error{Kind: TooLarge, Line: l.p.rowLine + 1,
			Message: fmt.Sprintf("the row that begins here is longer than %d bytes", maxRowBytes),
			Hint:    "look for a quotation mark that is not closed"}
	}
	n, err := l.r.Read(p)
	l.n += n
	return n, err
}

// clipped cuts a name to what fits on a line.
func clipped(s string) string {
	if utf8.RuneCountInString(s) <= maxNameRunes {
		return s
	}
	return string([]rune(s)[:maxNameRunes-1]) + "…"
}
