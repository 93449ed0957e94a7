// Package seed answers how much seed an area needs, what stand it makes and what it
// costs.
package seed

import (
	"context"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
)

// Command is swardcast seed.
var Command = &cli.Command{
	Name:    "seed",
	Summary: "How much seed to buy for an area: rate, label, bags, cost",
	Help: `Says how much seed to buy for an area, in bags where you give their size. The
rate is the published one for the use, or your own. You need more where the
label's purity and germination are given (the rate is then of pure live seed),
where the seed is coated, passes overlap or some will be lost. Purity on a
label already counts the coating. Seed at hand is taken off first.

Where no rate is published for a species and a use, the answer says so and uses
the species' new-lawn rate, or the seeds that make a stand.
`,
	Examples: []cli.Example{
		{Line: "seed --area 5000ft2 --use home-lawn"},
		{
			Line: "seed --rectangle 60ftx40ft --circle 18ft --use sports-field \\\n" +
				"--purity 98 --germination 90 --bag 50lb --price 95/bag",
		},
		{Line: "seed --area 0.4ha --species tall-fescue --rate 35g/m2 --coating 50"},
		{Line: "seed --area 1920ft2 --use home-lawn --seed-left 14lb"},
		{Line: "seed --area 2ac --use sports-field --bag 50lb"},
		{Line: "seed --area 5000ft2 --bag 50lb --price 95/bag --seed-left 3lb", Hidden: true},
		{Line: "seed --area 0.5ac --use fairway --species tall-fescue --bag 50lb --seed-left 200lb", Hidden: true},
		{Line: "seed --area 200m2 --use putting-green --species rough-bluegrass --overlap 10 --loss 5", Hidden: true},
	},
	Setup: func(f *pflag.FlagSet) cli.Run {
		var sf ask.SeedFlags
		var of out.Flags
		species := f.String("species", "perennial-ryegrass", "species sown, by the names of swardcast species")
		cli.MarkInput(f, "species")
		cli.MarkWords(f, "species", ask.SpeciesIDs()...)
		sf.Declare(f)
		of.Declare(f, out.HasJSON|out.HasDocument)
		return func(_ context.Context, p *cli.Program, args []string) error {
			if len(args) > 0 {
				return cli.Usagef("leave the FILE out: a seeding rate needs no weather", "seed takes no FILE")
			}
			list, err := ask.FindSpecies(p, *species)
			if err != nil {
				return err
			}
			need, err := sf.Need(list[0], 1)
			if err != nil {
				return err
			}
			a := &Answer{Need: need, Wide: sf.Wide()}
			return out.Give(p, &of, &out.Answer{JSON: a.JSON, Document: a.Document})
		}
	},
}
