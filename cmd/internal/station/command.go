// Package station lists weather stations near a place, the one that suits it best
// first, with why.
package station

import (
	"context"
	"math"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/climate/fetch"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
	"swardcast/cmd/internal/services"
)

// Command is swardcast station.
var Command = &cli.Command{
	Name:    "station",
	Summary: "Weather stations near a place, and which suits it best",
	Usage:   "[ID or part of a name]",
	Help: `Lists stations of GHCN-Daily that measured both temperatures for ten years or
more and still report: distance, elevation, years, and why a station suits: it
has thirty years, reports, is near, stands at a similar height.

The list of stations (about 40 MB) is fetched once, kept in a compact form, and
asked for again after a month. Nothing of the place is sent.
`,
	Examples: []cli.Example{
		{Line: `station --near 35.9,-78.8`},
		{Line: `station --near "35°54'N 78°47'W" --elevation 120`},
		{Line: `station hollow --silent`},
	},
	Epilogue: `Variables: SWARDCAST_CACHE names the folder of what was fetched, SWARDCAST_BASE
addresses as --base does.
`,
	Setup: func(f *pflag.FlagSet) cli.Run {
		var near ask.Position
		var reach ask.ReachFlags
		var of out.Flags
		f.Var(&near, "near", "place that a station is wanted for: 35.9,-78.8 or \"35°54'N 78°47'W\"")
		elevation := f.Float64("elevation", 0, "elevation of the place in `metres` (default as the stations about it)")
		silent := f.Bool("silent", false, "list stations too that have not reported for two years")
		limit := f.Int("limit", 10, "how many to list")
		reach.Declare(f)
		of.Declare(f, out.HasJSON|out.HasRows|out.HasDocument)
		return func(ctx context.Context, p *cli.Program, args []string) error {
			q := fetch.Query{Today: p.Today(), Silent: *silent, Limit: *limit}
			switch {
			case len(args) > 1:
				return cli.Usagef(
					"put quotation marks about a name of several words",
					"one ID or part of a name: %d given",
					len(args),
				)
			case len(args) == 0 && !near.Given:
				return cli.Usagef("--near 35.9,-78.8", "no place, ID or name given")
			case *limit < 1:
				return cli.Usagef("", "--limit %d is not above 0", *limit)
			}
			if near.Given {
				q.Near = &fetch.Position{Latitude: near.Latitude, Longitude: near.Longitude, ElevationM: math.NaN()}
				if f.Changed("elevation") {
					q.Near.ElevationM = *elevation
				}
			}
			c, err := services.Client(p, reach.Reach())
			if err != nil {
				return err
			}
			index, err := c.Index(ctx)
			if err != nil {
				return services.Fault(err)
			}
			if len(args) == 1 {
				q.Name = strings.TrimSpace(args[0])
				byID := q
				byID.Name, byID.ID, byID.Silent = "", q.Name, true
				if len(index.Search(byID)) > 0 {
					q = byID
				}
			}
			if index.Source.Stale != nil {
				p.Say("the list of stations was not refreshed: %v", index.Source.Stale)
			}
			a := New(index, q)
			if len(a.Found) == 0 {
				return cli.Dataf("--silent lists those that no longer report too", "no station was found")
			}
			return out.Give(p, &of, &out.Answer{JSON: a.JSON, Rows: a.Rows, Document: a.Document})
		}
	},
}
