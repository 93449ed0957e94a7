package main

import (
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"swardcast/climate"
	flaghint "swardcast/cmd/internal/hint"
)

// Exit statuses.
const (
	statusAnswered = 0 // an unfavourable answer is an answer
	statusNoAnswer = 1 // the data cannot answer
	statusUsage    = 2 // the command line is wrong
)

// A program is swardcast with its streams, so that tests run it in process.
type program struct {
	Stdin          io.Reader
	Stdout, Stderr io.Writer
	Now            func() time.Time     // nil: the clock; it serves only to refuse records from the future
	Getenv         func(string) string  // nil: the environment
	Terminal       func(io.Writer) bool // whether a stream is a terminal; nil: as it is
}

// today is the day by the clock, in Greenwich.
func (p *program) today() climate.Day {
	now := time.Now
	if p.Now != nil {
		now = p.Now
	}
	y, m, d := now().UTC().Date() // the answer must not hang on the time zone
	return climate.Date(y, m, d)
}

// A command is one verb.
type command struct {
	name    string
	summary string // one line, as in the list of commands
	usage   string // arguments behind the name
	help    string // what it answers, with an example to copy
	// setup declares the flags and returns what runs once they are parsed.
	setup func(*pflag.FlagSet) func(p *program, args []string) error
}

// commands lists every verb in the order of the help.
func commands() []*command {
	return []*command{windowCommand, outlookCommand, secondPassCommand, compareCommand, regionCommand, seedCommand, hindcastCommand, soilCommand, freezeCommand, recordCommand, speciesCommand}
}

// A usageError is a fault of the command line.
type usageError struct{ message, hint string }

func (e *usageError) Error() string { return e.message }

// A dataError is a fault of the data that has a remedy.
type dataError struct {
	err  error
	hint string
}

func (e *dataError) Error() string { return e.err.Error() }
func (e *dataError) Unwrap() error { return e.err }

// Main runs the command line and returns the exit status.
func (p program) Main(args []string) int {
	err := p.run(args)
	if err == nil {
		return statusAnswered
	}
	return p.report(err)
}

// report prints an error with its hint and returns the status it gives.
func (p *program) report(err error) int {
	hint, status := "", statusNoAnswer
	var usage *usageError
	var data *dataError
	switch {
	case errors.As(err, &usage):
		hint, status = usage.hint, statusUsage
	case errors.As(err, &data):
		hint = data.hint
	default:
		hint = flaghint.For(err)
	}
	p.say("%v", err)
	if hint != "" {
		fmt.Fprintf(p.Stderr, "hint: %s\n", harmless(hint))
	}
	return status
}

func (p *program) run(args []string) error {
	if len(args) == 0 {
		return &usageError{"no command given", "swardcast help"}
	}
	switch args[0] {
	case "help", "--help", "-h":
		return p.help(args[1:])
	case "--version", "version":
		return p.print("swardcast " + version() + "\n")
	}
	c := find(args[0])
	if c == nil {
		return unknownCommand(args[0])
	}
	flags := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	flags.SortFlags = false
	flags.Usage = func() {}
	run := c.setup(flags)
	switch err := flags.Parse(args[1:]); {
	case errors.Is(err, pflag.ErrHelp):
		return p.help(args[:1])
	case err != nil:
		return &usageError{err.Error(), "swardcast help " + c.name}
	}
	if err := notItsInput(flags, p.Stdin); err != nil {
		return err
	}
	return run(p, flags.Args())
}

func find(name string) *command {
	for _, c := range commands() {
		if c.name == name {
			return c
		}
	}
	return nil
}

func unknownCommand(name string) error {
	if strings.HasPrefix(name, "-") {
		return &usageError{fmt.Sprintf("the command comes before the flags, not %q", name), "swardcast help"}
	}
	return &usageError{fmt.Sprintf("unknown command %q", name), "swardcast help"}
}

func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(unknown)"
}
