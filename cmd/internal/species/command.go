// Package species lists the figures that a forecast of a species rests on.
package species

import (
	"context"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
	"swardcast/forecast/turf"
)

// Command is swardcast species.
var Command = &cli.Command{
	Name:    "species",
	Summary: "Every figure of every species with unit, source and standing",
	Usage:   "[ID...]",
	Help: `Lists the figures a forecast of a species stands on, and how far each can be
trusted: S seen in the source, S2 seen restated, D worked out from seen figures,
M from memory, CP common practice without a source, U the user's own.

The CSV form is also a parameter file: change it and give it to --species. A
file may name only the figures that it changes in a built-in species.
`,
	Examples: []cli.Example{
		{Line: "species tall-fescue"},
		{Line: "species tall-fescue --format csv -o mine.csv"},
		{Line: "window my-station.csv --lat 38.9 --species mine.csv"},
		{Line: "species", Hidden: true},
	},
	Setup: func(f *pflag.FlagSet) cli.Run {
		var of out.Flags
		of.Declare(f, out.HasJSON|out.HasRows|out.HasDocument)
		return func(_ context.Context, p *cli.Program, args []string) error {
			list := turf.All()
			if len(args) > 0 {
				list = nil
			}
			for _, name := range args {
				found, err := ask.NamedSpecies(p, name)
				if err != nil {
					return err
				}
				list = append(list, found...)
			}
			a := &Answer{list}
			return out.Give(p, &of, &out.Answer{JSON: a.JSON, Rows: a.Rows, Document: a.Document})
		}
	},
}
