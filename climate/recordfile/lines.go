package recordfile

import (
	"bufio"
	"bytes"
	"strings"
)

// lines feeds the CSV reader one line at a time. So a line without a quotation
// mark can bypass the CSV reader: it is split at the delimiter, which is faster.
type lines struct {
	in     *bufio.Reader
	rest   []byte // of the line that the CSV reader is being fed
	err    error  // that follows it
	served int    // lines fed to the CSV reader
	taken  int    // lines that bypassed it
	cells  []string
}

// Read implements io.Reader for the CSV reader.
func (l *lines) Read(p []byte) (int, error) {
	if len(l.rest) == 0 {
		if l.err == nil {
			l.fetch()
		}
		if len(l.rest) == 0 {
			return 0, l.err
		}
	}
	n := copy(p, l.rest)
	l.rest = l.rest[n:]
	return n, nil
}

// fetch gets the next line, or as much of it as fits into memory at once.
func (l *lines) fetch() {
	if l.rest, l.err = l.in.ReadSlice('\n'); l.err == bufio.ErrBufferFull {
		l.err = nil
		return
	}
	l.served++
}

// next returns the cells of the next line that has any, or false where the CSV
// reader must read on.
func (l *lines) next(delimiter byte, comments bool) ([]string, bool) {
	for l.err == nil {
		l.fetch()
		if l.err != nil || bytes.IndexByte(l.rest, '"') >= 0 || l.rest[len(l.rest)-1] != '\n' {
			return nil, false
		}
		line := bytes.TrimSuffix(l.rest[:len(l.rest)-1], []byte{'\r'})
		l.rest = nil
		l.served--
		l.taken++
		if len(line) == 0 || comments && line[0] == '#' {
			continue
		}
		l.cells = l.cells[:0]
		text := string(line)
		for i := strings.IndexByte(text, delimiter); i >= 0; i = strings.IndexByte(text, delimiter) {
			l.cells = append(l.cells, text[:i])
			text = text[i+1:]
		}
		l.cells = append(l.cells, text)
		return l.cells, true
	}
	return nil, false
}

// line is the line, from 1, of the cells that next returned last.
func (l *lines) line() int { return l.served + l.taken }

// column is the byte, from 1, at which cell i of them begins, 0 where there is
// none.
func (l *lines) column(i int) int {
	if i >= len(l.cells) {
		return 0
	}
	at := 1
	for _, c := range l.cells[:i] {
		at += len(c) + 1
	}
	return at
}
