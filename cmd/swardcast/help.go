package main

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"
)

const helpTop = `Swardcast tells when a cool-season grass can be sown so that it establishes
before frost and dormancy, from the daily air temperatures of a weather station.

  swardcast COMMAND [FILE...] [flags]

A FILE is a station record (CSV); - is standard input. Without a FILE the
built-in demo station answers, whose place and weather are invented.

Commands:
%s
  swardcast help COMMAND        what a command answers, and its flags
  swardcast --version

Try:  swardcast window
      swardcast window my-station.csv --lat 33.8 --species tall-fescue

Exit status: 0 answered, 1 the data cannot answer, 2 the command line is wrong.
A forecast is not a guarantee: local extension service, local code and licensed
practice come first.
`

func (p *program) help(args []string) error {
	switch len(args) {
	case 0:
		var list strings.Builder
		for _, c := range commands() {
			fmt.Fprintf(&list, "  %-11s  %s\n", c.name, c.summary)
		}
		return p.print(fmt.Sprintf(helpTop, list.String()))
	case 1:
		c := find(args[0])
		if c == nil {
			return unknownCommand(args[0])
		}
		return p.print(c.fullHelp())
	}
	return &usageError{"help takes one command", "swardcast help"}
}

// fullHelp is the help of a command with its flags as they are.
func (c *command) fullHelp() string {
	flags := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	flags.SortFlags = false
	c.setup(flags)
	usage := "swardcast " + c.name
	if c.usage != "" {
		usage += " " + c.usage
	}
	return fmt.Sprintf("%s\n\n  %s [flags]\n\n%s\nFlags:\n%s", c.summary, usage, c.help, flags.FlagUsagesWrapped(textWidth))
}
