package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// The documents whose examples must be what the program prints.
var documents = []string{"README.md"}

var example = regexp.MustCompile("(?s)```console\n\\$ (go run \\./cmd/swardcast [^\n]*)\n(.*?)```")

// TestDocuments runs the console examples of the documents. An example whose
// output ends in a line of three dots shows the beginning of it.
func TestDocuments(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(root)
	for _, name := range documents {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		found := example.FindAllStringSubmatch(string(text), -1)
		if len(found) == 0 {
			t.Errorf("%s has no example", name)
		}
		for _, m := range found {
			args := strings.Fields(strings.TrimPrefix(m[1], "go run ./cmd/swardcast "))
			var out bytes.Buffer
			p := program{Stdin: strings.NewReader(""), Stdout: &out, Stderr: &bytes.Buffer{}}
			p.Main(args)
			want, got := m[2], out.String()
			if begin, ok := strings.CutSuffix(want, "...\n"); ok {
				want = begin
				got = got[:min(len(got), len(begin))]
			}
			if got != want {
				t.Errorf("%s: %s prints\n%s\nthe document says\n%s", name, m[1], got, want)
			}
		}
	}
}
