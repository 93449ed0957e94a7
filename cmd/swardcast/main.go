// Swardcast says until when turf can be sown, and how sure that is, from a station's
// daily air temperatures. Run "swardcast help".
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"

	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/compare"
	"swardcast/cmd/internal/fetch"
	"swardcast/cmd/internal/files"
	"swardcast/cmd/internal/freeze"
	"swardcast/cmd/internal/hindcast"
	"swardcast/cmd/internal/hint"
	"swardcast/cmd/internal/outlook"
	"swardcast/cmd/internal/plan"
	"swardcast/cmd/internal/record"
	"swardcast/cmd/internal/region"
	"swardcast/cmd/internal/secondpass"
	"swardcast/cmd/internal/seed"
	"swardcast/cmd/internal/services"
	"swardcast/cmd/internal/shell"
	"swardcast/cmd/internal/soil"
	"swardcast/cmd/internal/species"
	"swardcast/cmd/internal/spring"
	"swardcast/cmd/internal/station"
	"swardcast/cmd/internal/window"
)

// commands are the verbs in the order of the help.
var commands = []*cli.Command{
	window.Command, outlook.Command, secondpass.Command, compare.Command, spring.Command, plan.Command,
	region.Command, seed.Command, hindcast.Command, soil.Command, freeze.Command, record.Command, species.Command,
	station.Command, fetch.Command,
}

const top = `Swardcast says until when you can sow a cool-season grass so that it establishes
before the cold, and how sure that is. It needs the daily air temperatures of a
weather station near you.

  swardcast COMMAND [FILE...] [flags]

A FILE is a station record (CSV); - is standard input. Without a FILE the
built-in demo station answers. It is invented: its weather is drawn by chance,
its coordinates are arbitrary. With --near LAT,LON the station near a place
answers, whose record is fetched.

Commands:
%s
  swardcast help COMMAND        what a command answers, with examples and flags
  swardcast completion SHELL    completion for bash, zsh or fish
  swardcast man                 the manual page
  swardcast --version

Try:  swardcast window
      swardcast window --near 35.9,-78.8
      swardcast window my-station.csv --lat 33.8 --species tall-fescue

Exit status: 0 answered, 1 the data give no answer, 2 the command line is wrong.
A forecast is not a guarantee. Your local extension service, local code and
licensed practice come first.
`

// newProgram is the program on the streams and the disk of this process.
func newProgram() *cli.Program {
	return &cli.Program{Name: "swardcast", Top: top, Commands: commands, Extras: shell.Extras(), Hint: hint.For,
		Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr, Files: files.Disk{}, Online: services.Live{}}
}

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(200) // an answer leaves some MB behind; clearing them costs more than holding them
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the program at once
	os.Exit(newProgram().Main(ctx, os.Args[1:]))
}
