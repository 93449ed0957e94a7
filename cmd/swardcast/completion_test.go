package main

import (
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/shell"
)

// completing are lines whose last word is being typed, and all that is offered, by bars.
var completing = []struct{ line, want string }{
	{"wi", "window"},
	{"help hind", "hindcast"},
	{"completion z", "zsh"},
	{"window --spe", "--species"},
	{"window --species perennial-r", "perennial-ryegrass"},
	{"seed --species red", "red-fescue"},
	{"species kent", "kentucky-bluegrass"},
	{"outlook --host z", "zoysiagrass"},
	{"window --format p", "png"},
	{"window --units m", "metric"},
	{"window --temp-unit F", "F"},
	{"region --format geo", "geojson"},
}

// shellScripts print what a shell offers for such a line.
var shellScripts = map[string]string{
	"bash": `source /usr/share/bash-completion/bash_completion; source <(swardcast completion bash)
COMP_WORDS=(swardcast "$@"); COMP_CWORD=$#; COMP_LINE="swardcast $*"; COMP_POINT=${#COMP_LINE}; COMP_TYPE=9
__start_swardcast swardcast; printf '%s\n' "${COMPREPLY[@]}"`,
	"zsh": `compdef() { :; }; _describe() { while [[ $1 == -* ]] do shift; done; shift; print -rl -- ${(P)1} }
source <(swardcast completion zsh); words=(swardcast "$@"); CURRENT=$#words; _swardcast`,
	"fish": `swardcast completion fish | source; complete -C "swardcast $argv"`,
}

// Every shell offers commands, flags and words through its script.
func TestCompletionInShells(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, script := range shellScripts {
		path, err := exec.LookPath(name)
		if err == nil && name == "bash" {
			_, err = os.Stat("/usr/share/bash-completion/bash_completion")
		}
		if err != nil {
			if os.Getenv("SWARDCAST_SHELLS") != "" {
				t.Error(err)
			}
			continue
		}
		for _, c := range completing {
			words := strings.Fields(c.line)
			args := append([]string{"-c", script, name}, words...)
			switch name {
			case "zsh":
				args = append([]string{"-f"}, args...)
			case "fish":
				args = []string{"-c", script, c.line}
			}
			out, err := exec.Command(path, args...).Output()
			if err != nil {
				t.Errorf("%s: %q: %v", name, c.line, err)
			}
			if got := offered(string(out), "\t:"); got != c.want {
				t.Errorf("%s: %q offers %q, want %q", name, c.line, got, c.want)
			}
		}
	}
}

// offered are the words that an answer offers, sorted, by bars; what follows one of the marks describes.
func offered(answer, marks string) string {
	var words []string
	for line := range strings.Lines(answer) {
		if i := strings.IndexAny(line, marks); i >= 0 {
			line = line[:i]
		}
		if line = strings.TrimSpace(line); line != "" {
			words = append(words, line)
		}
	}
	slices.Sort(words)
	return strings.Join(words, "|")
}

// What the scripts ask for: every command, every flag and every word of a flag is offered
// where it can be typed, and files where a file can.
func TestCompletionIsWhole(t *testing.T) {
	const files, noFiles = ":0\n", ":4\n"
	ask := func(line ...string) string {
		status, out, stderr := runLine("", append([]string{"__complete"}, line...)...)
		if status != cli.Answered || stderr != "" {
			t.Fatalf("%q: %s", line, stderr)
		}
		return out
	}
	words := func(line ...string) string {
		answer := ask(line...)
		return offered(answer[:strings.LastIndex(answer, ":")], "\t")
	}
	offers := func(word string, line ...string) bool {
		return slices.Contains(strings.Split(words(line...), "|"), word)
	}
	for _, c := range append(completing, []struct{ line, want string }{
		{"window --species tall-fescue,red", "tall-fescue,red-fescue"}, // words in a list
		{"window --freeze-temp 28", "28C|28F"},                         // a number and its units
		{"seed --area 3200f", "3200ft2"},
	}...) {
		if got := words(strings.Fields(c.line)...); got != c.want {
			t.Errorf("%q offers %q, want %q", c.line, got, c.want)
		}
	}
	for _, c := range commands {
		if !offers(c.Name, "") || !offers(c.Name, "help", "") {
			t.Errorf("%s is not offered", c.Name)
		}
		if strings.Contains(c.Usage, "FILE") != strings.HasSuffix(ask(c.Name, ""), files) {
			t.Errorf("%s %s: %s", c.Name, c.Usage, ask(c.Name, ""))
		}
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if f.Hidden == offers("--"+f.Name, c.Name, "--"+f.Name) {
				t.Errorf("%s --%s: offered %v", c.Name, f.Name, f.Hidden)
			}
			for _, word := range cli.TakenBy(f).Words {
				if !offers(word, c.Name, "--"+f.Name, "") || !offers(word, c.Name, "--"+f.Name+"=") {
					t.Errorf("%s --%s %s is not offered", c.Name, f.Name, word)
				}
			}
		})
	}
	for _, flag := range []string{"-o", "--output", "--probe", "--species"} {
		if got := ask("outlook", flag, "gr"); !strings.HasSuffix(got, files) {
			t.Errorf("%s: no files: %s", flag, got)
		}
	}
	if got := ask("outlook", "--sow", ""); !strings.HasSuffix(got, noFiles) {
		t.Errorf("a date: %s", got)
	}
	for _, line := range [][]string{{"completion"}, {"completion", "tcl"}, {"completion", "bash", "zsh"}} {
		if status, _, stderr := runLine("", line...); status != cli.Usage ||
			!strings.Contains(stderr, "hint: swardcast completion bash") {
			t.Errorf("%q: status %d, %s", line, status, stderr)
		}
	}
}

// The manual page has every command and every flag, and mandoc has no fault to find where it is.
func TestManualPage(t *testing.T) {
	status, page, stderr := runLine("", "man")
	if status != cli.Answered || !strings.HasPrefix(page, `.TH SWARDCAST 1 `) {
		t.Fatal(page, stderr)
	}
	escaped := func(s string) string { return strings.ReplaceAll(s, "-", `\-`) }
	for _, c := range commands {
		_, of, ok := strings.Cut(page, "\n.SS \"swardcast "+escaped(c.Name))
		if !ok {
			t.Errorf("%s is missing", c.Name)
		}
		of, _, _ = strings.Cut(of, "\n.SS ")
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if f.Hidden == strings.Contains(of, escaped("--"+f.Name)) {
				t.Errorf("%s --%s: in the page %v", c.Name, f.Name, !f.Hidden)
			}
		})
	}
	for _, x := range shell.Extras() {
		if x.Help != "" && !strings.Contains(page, "\n.SS \"swardcast "+x.Name) {
			t.Errorf("%s is missing", x.Name)
		}
	}
	mandoc, err := exec.LookPath("mandoc")
	if err != nil {
		if os.Getenv("SWARDCAST_SHELLS") != "" {
			t.Error(err)
		}
		return
	}
	cmd := exec.Command(mandoc, "-Tlint", "-Wwarning")
	cmd.Stdin = strings.NewReader(page)
	out, _ := cmd.Output()
	for line := range strings.Lines(string(out)) {
		if !strings.Contains(line, "missing date") { // it would be that of the build
			t.Error(line)
		}
	}
}
