// Package species lists the figures that a forecast of a species is based on.
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
	Summary: "How long each species takes, and every figure with its source",
	Usage:   "[ID...]",

	Arguments: ask.SpeciesIDs(),
	Help: `Says how many days a species takes from sowing to up, first mow and established,
and lists the figures behind its forecasts, each with its unit, its source and
how far it can be trusted: published (S), published second-hand (S2), derived
from published figures (D), unverified (M), common practice (CP), your own (U).

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
