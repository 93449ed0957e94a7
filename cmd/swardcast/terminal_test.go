package main

import (
	"bytes"
	"context"
	"io"
	"regexp"
	"strings"
	"testing"

	"swardcast/cmd/internal/cli"
)

// On a terminal text is coloured, but for NO_COLOR, TERM=dumb and --color never;
// without its colours it is the text of a pipe, letter for letter.
func TestColour(t *testing.T) {
	run := func(terminal bool, environment map[string]string, args ...string) string {
		var out bytes.Buffer
		p := testProgram(strings.NewReader(""), &out, io.Discard)
		p.Getenv, p.Terminal = func(name string) string { return environment[name] },
			func(io.Writer) bool { return terminal }
		if status := p.Main(context.Background(), args); status != cli.Answered {
			t.Fatalf("%v: status %d", args, status)
		}
		return out.String()
	}
	const escape = "\x1b"
	for _, c := range []struct {
		name        string
		terminal    bool
		environment map[string]string
		args        []string
		want        bool
	}{
		{"a pipe", false, nil, nil, false},
		{"a terminal", true, nil, nil, true},
		{"NO_COLOR", true, map[string]string{"NO_COLOR": "1"}, nil, false},
		{"TERM=dumb", true, map[string]string{"TERM": "dumb"}, nil, false},
		{"never", true, nil, []string{"--color", "never"}, false},
		{"always", false, map[string]string{"NO_COLOR": "1"}, []string{"--color", "always"}, true},
		{"JSON", true, nil, []string{"--format", "json"}, false},
	} {
		got := run(c.terminal, c.environment, append([]string{"window"}, c.args...)...)
		if strings.Contains(got, escape) != c.want {
			t.Errorf("%s: coloured %v, want %v", c.name, !c.want, c.want)
		}
	}
	sequences := regexp.MustCompile(`\x1b\[[0-9;]*m`)
	for _, args := range [][]string{{"window"}, {"outlook", "--sow", "2019-10-05", "--as-of", "2019-10-15"}, {"hindcast"}, {"species"}, {"seed", "--area", "5000ft2"}} {
		bare := run(false, nil, args...)
		if painted := run(true, nil, args...); sequences.ReplaceAllString(painted, "") != bare {
			t.Errorf("%v: the text differs by more than its colours", args)
		}
	}
}
