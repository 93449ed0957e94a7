package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// The documents whose examples must be what the program prints.
var documents = []string{"README.md", "docs/guide.md"}

var example = regexp.MustCompile("(?s)```console\n\\$ go run \\./cmd/swardcast ([^\n]*)\n(.*?)```")

// cutOff ends an example that shows the beginning of the output alone.
const cutOff = "...\n"

// TestDocuments runs the console examples of the documents. UPDATE_DOCS=1 writes
// them anew, each with as many lines as it has.
func TestDocuments(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	serviceServer(t) // with invented stations
	t.Chdir(root)
	for _, name := range documents {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if !example.Match(text) {
			t.Errorf("%s has no example", name)
		}
		updated := example.ReplaceAllStringFunc(string(text), func(block string) string {
			m := example.FindStringSubmatch(block)
			line, want := m[1], m[2]
			var out bytes.Buffer
			p := testProgram(strings.NewReader(""), &out, &bytes.Buffer{})
			p.Main(context.Background(), strings.Fields(line))
			got := out.String()
			if begin, ok := strings.CutSuffix(want, cutOff); ok {
				lines := strings.SplitAfter(got, "\n")
				got = strings.Join(lines[:min(len(lines), strings.Count(begin, "\n"))], "") + cutOff
			}
			if got != want && os.Getenv("UPDATE_DOCS") == "" {
				t.Errorf("%s: %s prints\n%s\nthe document says\n%s", name, line, got, want)
			}
			return "```console\n$ go run ./cmd/swardcast " + line + "\n" + got + "```"
		})
		if os.Getenv("UPDATE_DOCS") != "" {
			if err := os.WriteFile(name, []byte(updated), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}
