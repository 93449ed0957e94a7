package cli

import (
	"context"
	"fmt"
	"strings"

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
	// Arguments are the words that an argument can be; nil where they name files.
	Arguments []string
	// Setup declares the flags and returns what runs once they are parsed.
	Setup func(*pflag.FlagSet) Run
}

// An Extra is what the program offers beside its commands: it prints something about the
// command line itself.
type Extra struct {
	Name string
	Help string // "": no one types it
	Run  func(p *Program, args []string) error
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
	fmt.Fprintf(&b, "\nFlags:\n%s", c.FlagUsages(words.Columns))
	return b.String()
}

// FlagUsages are the flags as the help prints them, wrapped at a column; 0: a flag a line.
func (c *Command) FlagUsages(columns int) string { return flagUsages(c.Flags(), columns) }

const readsFile = "swardcast_reads_file"

// MarkInput marks a flag whose value can name files that are read: the answer
// is never written over one of them.
func MarkInput(f *pflag.FlagSet, name string) {
	if err := f.SetAnnotation(name, readsFile, []string{"true"}); err != nil {
		panic("cli: " + err.Error())
	}
}

const wordsOf = "swardcast_words"

// MarkWords marks a flag whose value is one of some words, or a list of them by commas,
// where the value cannot say so itself: a shell completes them.
func MarkWords(f *pflag.FlagSet, name string, words ...string) {
	if err := f.SetAnnotation(name, wordsOf, words); err != nil {
		panic("cli: " + err.Error())
	}
}

// A Taken says what the value of a flag can be.
type Taken struct {
	Words []string // one of these
	List  bool     // or several of them by commas
	Units []string // a number with one of these behind it
	File  bool     // the name of a file
	Like  string   // a value as an example; "" for none
}

// TakenBy says what the value of a flag can be.
func TakenBy(f *pflag.Flag) Taken {
	var t Taken
	if v, ok := f.Value.(worded); ok {
		t.Words = v.Words()
	}
	if words := f.Annotations[wordsOf]; words != nil {
		t.Words = words
		_, t.List = f.Value.(pflag.SliceValue)
	}
	if v, ok := f.Value.(interface{ Units() []string }); ok {
		t.Units = v.Units()
	}
	if v, ok := f.Value.(interface{ Example() string }); ok {
		t.Like = v.Example()
	}
	t.File = f.Annotations[readsFile] != nil || f.Name == "output"
	return t
}

// check asks the values that depend on other flags, once all are parsed, whether they
// go with them.
func check(f *pflag.FlagSet) error {
	var err error
	f.VisitAll(func(x *pflag.Flag) {
		if v, ok := x.Value.(interface{ Check(*pflag.FlagSet) error }); ok && err == nil {
			err = v.Check(f)
		}
	})
	return err
}
