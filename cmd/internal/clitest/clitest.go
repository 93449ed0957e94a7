// Package clitest runs a command in process, on files that are held in memory, for
// the tests of commands.
package clitest

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/hint"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// Files hold what a command reads, by name. Nothing can be written.
type Files map[string]string

// Read gives a file to what reads it.
func (f Files) Read(name string, read func(io.Reader) error) error {
	text, ok := f[name]
	if !ok {
		return fmt.Errorf("%s: %w", name, cli.ErrNoFile)
	}
	return read(strings.NewReader(text))
}

// Write returns an error.
func (Files) Write(string, []byte) error { return errors.New("nothing is written") }

// Clash finds none.
func (Files) Clash(string, []string, io.Reader) string { return "" }

// Run runs a line of a command, without the command's name, on 1 July 2026.
func Run(t *testing.T, c *cli.Command, files Files, args ...string) (status int, stdout, stderr string) {
	t.Helper()
	var out, messages bytes.Buffer
	p := &cli.Program{Name: "swardcast", Commands: []*cli.Command{c}, Hint: hint.For, Files: files,
		Stdin: strings.NewReader(""), Stdout: &out, Stderr: &messages, Getenv: func(string) string { return "" },
		Now: func() time.Time { return time.Date(2026, time.July, 1, 0, 0, 0, 0, time.UTC) }}
	status = p.Main(t.Context(), append([]string{c.Name}, args...))
	return status, out.String(), messages.String()
}

// Answer runs a line that must be answered and returns the answer.
func Answer(t *testing.T, c *cli.Command, files Files, args ...string) string {
	t.Helper()
	status, stdout, stderr := Run(t, c, files, args...)
	if status != cli.Answered {
		t.Fatalf("%s %q: status %d: %s", c.Name, args, status, stderr)
	}
	return stdout
}

// JSON reads the JSON answer to a line. A key that the answer does not take is an
// error.
func JSON(t *testing.T, into any, c *cli.Command, files Files, args ...string) {
	t.Helper()
	d := json.NewDecoder(strings.NewReader(Answer(t, c, files, append(slices.Clone(args), "--format", "json")...)))
	if err := d.Decode(into); err != nil {
		t.Fatalf("%s %q: %v", c.Name, args, err)
	}
}

// Fails checks that a line is not answered: the status, the message and what the
// hint says to type.
func Fails(t *testing.T, c *cli.Command, files Files, status int, message, hint string, args ...string) {
	t.Helper()
	got, stdout, stderr := Run(t, c, files, args...)
	if got != status || stdout != "" || !strings.Contains(stderr, message) ||
		hint != "" && !strings.Contains(stderr, "\nhint: "+hint) {
		t.Errorf("%s %q: status %d, standard output %q, standard error %q", c.Name, args, got, stdout, stderr)
	}
}

// Forms checks the document of a line in both systems of units, as text and as a
// page: no line is wider than a terminal, and the page has the headline of either.
func Forms(t *testing.T, c *cli.Command, files Files, args ...string) {
	t.Helper()
	line := func(more ...string) string { return Answer(t, c, files, append(slices.Clone(args), more...)...) }
	page := line("--format", "html")
	for _, units := range []string{"us", "metric"} {
		text := line("--units", units)
		for l := range strings.Lines(text) {
			if w := words.Width(strings.TrimSuffix(l, "\n")); w > words.Columns {
				t.Errorf("%s %q: %d cells: %s", c.Name, args, w, l)
			}
		}
		first, _, _ := strings.Cut(text, "\n")
		first, _, _ = strings.Cut(first, ". ") // a note may follow
		if first = plain(first); !strings.Contains(plain(page), first) {
			t.Errorf("%s %q, %s: the page has no %q", c.Name, args, units, first)
		}
		if !strings.HasSuffix(text, "\n") || strings.Contains(text, "NaN") {
			t.Errorf("%s %q, %s: text ends in the middle or has NaN:\n%s", c.Name, args, units, text)
		}
	}
	// The page's script knows NaN; its numbers do not.
	if strings.Contains(script.ReplaceAllString(page, ""), "NaN") {
		t.Errorf("%s %q: the page has NaN", c.Name, args)
	}
}

// script is the page's own.
var script = regexp.MustCompile(`(?s)<script>.*?</script>`)

// plain makes the blanks and marks of text and pages alike.
func plain(s string) string {
	return strings.NewReplacer("\u00a0", " ", "\u2060", "", "&#43;", "+", "&#39;", "'", "&gt;", ">", "&lt;", "<").Replace(s)
}

// Section finds a section of a document.
func Section(t *testing.T, d *report.Document, id string) *report.Section {
	t.Helper()
	for i := range d.Sections {
		if d.Sections[i].ID == id {
			return &d.Sections[i]
		}
	}
	t.Fatalf("the document has no section %q", id)
	return nil
}
