package app

import (
	"bytes"
	"errors"
	"io"

	"swardcast/cmd/internal/cli"
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
