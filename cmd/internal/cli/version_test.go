package cli

import (
	"bytes"
	"context"
	"testing"

	"github.com/spf13/pflag"
)

// --version is answered before and behind a command.
func TestVersionAnywhere(t *testing.T) {
	for _, args := range [][]string{{"--version"}, {"ask", "--version"}, {"ask", "x.csv", "--version"},
		{"ask", "--nothing", "--version"}, {"help", "--version"}, {"version"}, {"nothing", "--version"}} {
		var out, said bytes.Buffer
		p := &Program{Name: "swardcast", Stdout: &out, Stderr: &said, Commands: []*Command{{Name: "ask",
			Setup: func(*pflag.FlagSet) Run {
				return func(context.Context, *Program, []string) error {
					t.Error("the command is run")
					return nil
				}
			}}}}
		if status := p.Main(context.Background(), args); status != Answered ||
			out.String() != "swardcast "+Version()+"\n" {
			t.Errorf("%v: status %d, %q, %q", args, status, out.String(), said.String())
		}
	}
}
