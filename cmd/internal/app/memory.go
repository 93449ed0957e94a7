package app

import (
	"bytes"
	"errors"
	"io"
	"strings"

	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
)

// A memory is files by name. It implements cli.Storage.
type memory map[string][]byte

// Read gives a file to what reads it.
func (m memory) Read(name string, read func(io.Reader) error) error {
	content, ok := m[name]
	if !ok {
		return cli.Dataf("", "%s: %w", name, cli.ErrNoFile)
	}
	return read(bytes.NewReader(content))
}

// Write returns an error: an answer goes to the page.
func (memory) Write(string, []byte) error { return errors.New("the app writes no file") }

// Clash finds none, since nothing is written.
func (memory) Clash(string, []string, io.Reader) string { return "" }

var _ cli.Storage = memory(nil)

// size is how many bytes the files take.
func (m memory) size() int {
	n := 0
	for _, content := range m {
		n += len(content)
	}
	return n
}

// MaxBytes is how many bytes the files of a station can take in all. A record of 150
// years takes a tenth of it.
const MaxBytes = 40 << 20

// lines are the first lines of a file of text, cut to what can be looked at; nil for a
// packed one.
func (m memory) lines(name string) []string {
	const few, long, peek = 6, 160, 8 << 10
	head := m[name][:min(peek, len(m[name]))]
	if bytes.IndexByte(head, 0) >= 0 || bytes.HasPrefix(head, []byte("PK")) || bytes.HasPrefix(head, []byte{0x1f, 0x8b}) {
		return nil
	}
	var list []string
	for line := range strings.Lines(strings.ToValidUTF8(string(head), "?")) {
		if len(list) == few {
			break
		}
		text := []rune(words.Harmless(strings.TrimSpace(line)))
		list = append(list, string(text[:min(long, len(text))]))
	}
	return list
}
