package out

import (
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/cli"
)

// endings has the forms that the ending of a file's name stands for, the usual one
// first. An ending that is not here stands for no form, so that any can have it; one
// with an empty list is that of a form which no command has.
var endings = map[string][]string{
	".txt":     {"text"},
	".json":    {"json", "jsonl", "geojson", "lines"},
	".jsonl":   {"jsonl"},
	".ndjson":  {"jsonl"},
	".geojson": {"geojson", "lines"},
	".csv":     {"csv"},
	".html":    {"html", "fragment"},
	".htm":     {"html", "fragment"},
	".ics":     {"ics"},
	".svg":     {"svg"},
	".png":     {"png"},
	".jpg":     nil,
	".ods":     nil,
	".pdf":     nil,
	".xlsx":    nil,
}

// outputName is the value of the flag --output, whose ending can stand for a form.
type outputName struct{ of *Flags }

func (n outputName) String() string {
	if n.of == nil {
		return ""
	}
	return n.of.Output
}
func (n outputName) Type() string           { return "string" }
func (n outputName) Set(value string) error { n.of.Output = value; return nil }

// Check takes the form from the name of the output where no form is given, and refuses a
// name that stands for another form than the one given, or for one that the command
// does not have.
func (n outputName) Check(f *pflag.FlagSet) error {
	name := n.of.Output
	ending := filepath.Ext(name)
	stands, known := endings[strings.ToLower(ending)]
	if !known {
		return nil
	}
	if f.Changed("format") {
		if slices.Contains(stands, n.of.Format()) {
			return nil
		}
		given := n.of.Format()
		hint := "--format " + given + " -o " + cli.ShellWord(strings.TrimSuffix(name, ending)+endingOf(given))
		for _, form := range stands {
			if slices.Contains(n.of.format.Words(), form) {
				hint += ", or --format " + form
				break
			}
		}
		return cli.Usagef(hint, "--output %s: the name does not fit --format %s", cli.ShellWord(name), given)
	}
	for _, form := range stands {
		if slices.Contains(n.of.format.Words(), form) {
			n.of.format.Value = form
			return nil
		}
	}
	var names []string
	for _, form := range n.of.format.Words() {
		if other := strings.TrimSuffix(name, ending) + endingOf(form); !slices.Contains(names, other) {
			names = append(names, other)
		}
	}
	for i, other := range names {
		names[i] = cli.ShellWord(other)
	}
	return cli.Usagef("-o "+cli.Or(names), "--output %s: %s does not write %s files",
		cli.ShellWord(name), f.Name(), strings.ToLower(ending))
}

// endingOf is the ending of a file that has a form.
func endingOf(form string) string {
	switch form {
	case "text":
		return ".txt"
	case "fragment":
		return ".html"
	case "lines":
		return ".geojson"
	}
	return "." + form
}
