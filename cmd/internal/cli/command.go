package cli

import (
	"context"
	"fmt"
	"strings"

	"github.com/mattn/go-shellwords"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/words"
)

// A Command is one verb of the program.
type Command struct {
	Name     string
	Summary  string    // one line, for the list of commands
	Usage    string    // arguments that follow the name
	Help     string    // what it answers
	Examples []Example // shown by the help, and run by the tests of every command
	Epilogue string    // follows the examples
	// Setup declares the flags and returns what runs once they are parsed.
	Setup func(*pflag.FlagSet) Run
}

// Run answers a parsed command line.
type Run func(ctx context.Context, p *Program, args []string) error

// An Example is a command line without the name of the program. A backslash at a
// line's end continues it on the next. Hidden ones are not shown: they are there so
// that the tests of every command reach each part of its answer.
type Example struct {
	Line   string
	Hidden bool
}

// Args are the arguments of an example as a shell would give them. It panics for a line
// that a shell would not take.
func (e Example) Args() []string {
	args, err := shellwords.Parse(strings.ReplaceAll(e.Line, "\\\n", " "))
	if err != nil {
		panic("cli: example " + e.Line + ": " + err.Error())
	}
	return args
}

// Flags are the command's flags with their defaults.
func (c *Command) Flags() *pflag.FlagSet {
	f, _ := c.declare()
	return f
}

func (c *Command) declare() (*pflag.FlagSet, Run) {
	f := pflag.NewFlagSet(c.Name, pflag.ContinueOnError)
	f.SortFlags = false
	f.Usage = func() {}
	return f, c.Setup(f)
}

// fullHelp is the help of a command with its flags.
func (c *Command) fullHelp(program string) string {
	usage := strings.TrimSpace(program + " " + c.Name + " " + c.Usage)
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\n  %s [flags]\n\n%s\nExamples:\n", c.Summary, usage, c.Help)
	for _, e := range c.Examples {
		if !e.Hidden {
			fmt.Fprintf(&b, "  %s %s\n", program, strings.ReplaceAll(e.Line, "\n", "\n      "))
		}
	}
	if c.Epilogue != "" {
		fmt.Fprintf(&b, "\n%s", c.Epilogue)
	}
	fmt.Fprintf(&b, "\nFlags:\n%s", flagUsages(c.Flags(), words.Columns))
	return b.String()
}

const readsFile = "swardcast_reads_file"

// MarkInput marks a flag whose value can name files that are read: the answer
// is never written over one of them.
func MarkInput(f *pflag.FlagSet, name string) {
	if err := f.SetAnnotation(name, readsFile, []string{"true"}); err != nil {
		panic("cli: " + err.Error())
	}
}
