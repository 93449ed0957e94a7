package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/cmd/internal/words"
)

// A Program is a list of commands with what they run on, so that tests and other
// hosts run it in process.
type Program struct {
	Name     string     // as it is typed
	Top      string     // help of the program; %s stands for the list of commands
	Commands []*Command // in the order of the help

	Stdin          io.Reader
	Stdout, Stderr io.Writer
	Files          Storage
	Online         Online // nil: no network
	// nil: the clock; it serves only to refuse records from the future, and for the age of what a service gave
	Now      func() time.Time
	Getenv   func(string) string  // nil: the environment
	Terminal func(io.Writer) bool // whether a stream is a terminal; nil: as it is
	Extras   []Extra              // after the commands
	Hint     func(error) string   // what to type after an error that has no hint of its own; nil: nothing

	ctx context.Context // of the command line that runs
}

// A Storage is where named files are read and written: a disk, or what a host
// without one holds in memory.
type Storage interface {
	// Read gives a file to what reads it. Its error is ErrNoFile where there is none.
	Read(name string, read func(io.Reader) error) error
	// Write puts a whole file, or leaves the old one.
	Write(name string, content []byte) error
	// Clash returns the one of the files read that writing to a name would
	// destroy, "" for none. stdin is what "-" stands for.
	Clash(output string, read []string, stdin io.Reader) string
}

// Clock is what the clock says: the instant of SOURCE_DATE_EPOCH, in seconds since 1970,
// where that is set (reproducible-builds.org/specs/source-date-epoch), so that what is
// stamped with a time can be made again to the byte.
func (p *Program) Clock() time.Time {
	if p.Now != nil {
		return p.Now()
	}
	if seconds, err := strconv.ParseInt(p.Env("SOURCE_DATE_EPOCH"), 10, 64); err == nil {
		return time.Unix(seconds, 0)
	}
	return time.Now()
}

// Today is the day by the clock, in Greenwich.
func (p *Program) Today() climate.Day {
	y, m, d := p.Clock().UTC().Date() // the answer must not depend on the time zone
	return climate.Date(y, m, d)
}

// Main runs the command line and returns the exit status.
func (p *Program) Main(ctx context.Context, args []string) int {
	if err := p.Run(ctx, args); err != nil {
		return p.Report(err)
	}
	return Answered
}

// Run runs the command line and returns its error, which it does not print.
func (p *Program) Run(ctx context.Context, args []string) error {
	p.ctx = ctx
	if len(args) == 0 {
		return &UsageError{
			"no command given",
			p.Name + " window FILE, or " + p.Name + " help for the list of commands",
		}
	}
	if versionAsked(args) {
		return p.Print([]byte(p.Name + " " + Version() + "\n"))
	}
	switch args[0] {
	case "help", "--help", "-h":
		return p.help(args[1:])
	}
	if x := p.extra(args[0]); x != nil {
		if x.Help != "" && slices.ContainsFunc(args[1:], func(a string) bool { return a == "--help" || a == "-h" }) {
			return p.Print([]byte(x.Help))
		}
		return x.Run(p, args[1:])
	}
	c := p.find(args[0])
	if c == nil {
		return p.unknownCommand(args[0])
	}
	flags, run := c.declare()
	switch err := flags.Parse(args[1:]); {
	case errors.Is(err, pflag.ErrHelp):
		return p.help(args[:1])
	case err != nil:
		return p.parseError(c, flags, err)
	}
	if err := p.keepInputs(flags); err != nil {
		return err
	}
	if err := check(flags); err != nil {
		return err
	}
	return run(ctx, p, flags.Args())
}

// versionAsked reports whether --version stands anywhere before a --.
func versionAsked(args []string) bool {
	flags := args
	if i := slices.Index(args, "--"); i >= 0 {
		flags = args[:i]
	}
	return args[0] == "version" || slices.Contains(flags, "--version")
}

// keepInputs refuses an output that is one of the files that the command line
// reads: it would be lost.
func (p *Program) keepInputs(flags *pflag.FlagSet) error {
	output := flags.Lookup("output")
	if output == nil || output.Value.String() == "" || output.Value.String() == "-" {
		return nil
	}
	read := flags.Args()
	if len(read) == 0 {
		read = []string{"-"} // a record may be piped in
	}
	flags.Visit(func(f *pflag.Flag) {
		if f.Annotations[readsFile] == nil {
			return
		}
		if list, ok := f.Value.(pflag.SliceValue); ok {
			read = append(read, list.GetSlice()...)
		} else {
			read = append(read, f.Value.String())
		}
	})
	if name := p.Files.Clash(output.Value.String(), read, p.Stdin); name != "" {
		return &UsageError{
			fmt.Sprintf("--output %s is a file that is read, %s: it would be lost", output.Value, name),
			"write to another file",
		}
	}
	return nil
}

func (p *Program) find(name string) *Command {
	for _, c := range p.Commands {
		if c.Name == name {
			return c
		}
	}
	return nil
}

// extra is the one of a name, nil for none.
func (p *Program) extra(name string) *Extra {
	for i := range p.Extras {
		if p.Extras[i].Name == name {
			return &p.Extras[i]
		}
	}
	return nil
}

func (p *Program) unknownCommand(name string) error {
	if strings.HasPrefix(name, "-") {
		return &UsageError{fmt.Sprintf("the command comes before the flags, not %q", name), p.Name + " window " + name}
	}
	var names []string
	for _, c := range p.Commands {
		names = append(names, c.Name)
	}
	names = append(names, "help")
	for _, x := range p.Extras {
		if x.Help != "" {
			names = append(names, x.Name)
		}
	}
	near := Match(name, names)
	if len(near) == 0 {
		near = Nearest(name, names)
	}
	if len(near) == 0 {
		near = names
	}
	return &UsageError{fmt.Sprintf("unknown command %q", name), p.Name + " " + Or(near)}
}

func (p *Program) help(args []string) error {
	switch len(args) {
	case 0:
		return p.Print([]byte(p.TopHelp()))
	case 1:
		if x := p.extra(args[0]); x != nil {
			return p.Print([]byte(x.Help))
		}
		c := p.find(args[0])
		if c == nil {
			return p.unknownCommand(args[0])
		}
		return p.Print([]byte(c.fullHelp(p.Name)))
	}
	return &UsageError{"help takes one command", p.Name + " help " + args[0]}
}

// TopHelp is the help of the program.
func (p *Program) TopHelp() string {
	var list strings.Builder
	for _, c := range p.Commands {
		fmt.Fprintf(&list, "  %-11s  %s\n", c.Name, c.Summary)
	}
	return fmt.Sprintf(p.Top, list.String())
}

// Version is that of the build.
func Version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(unknown)"
}

// Say writes a message of one line to standard error.
func (p *Program) Say(format string, args ...any) {
	fmt.Fprintf(p.Stderr, "%s: %s\n", p.Name, words.Harmless(fmt.Sprintf(format, args...)))
}

func (p *Program) hint(text string) { fmt.Fprintf(p.Stderr, "hint: %s\n", words.Harmless(text)) }

// Print writes to standard output.
func (p *Program) Print(text []byte) error {
	if _, err := p.Stdout.Write(text); err != nil {
		return Dataf("", "standard output cannot be written: %w", withoutPath(err))
	}
	return nil
}

// Existing is what an output file holds before it is replaced, nil where there is none that
// can be read; the answer then takes up nothing.
func (p *Program) Existing(name string) []byte {
	const most = 4 << 20
	if name == "" || name == "-" || strings.HasPrefix(name, "/dev/") {
		return nil
	}
	var content []byte
	if err := p.Files.Read(name, func(r io.Reader) (err error) {
		content, err = io.ReadAll(io.LimitReader(r, most))
		return err
	}); err != nil {
		return nil
	}
	return content
}

// Write puts an answer in a file, whole or not at all, or on standard output where
// the name is "" or "-".
func (p *Program) Write(name string, answer []byte) error {
	if name == "" || name == "-" {
		return p.Print(answer)
	}
	if err := p.Files.Write(name, answer); err != nil {
		return Dataf("", "%s cannot be written: %w", name, err)
	}
	return nil
}

func withoutPath(err error) error {
	var path *os.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}
