// Package hindcast answers how far the last safe dates and chances at a station can be
// trusted: past autumns forecast and compared with their outcome.
package hindcast

import (
	"context"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// Command is swardcast hindcast.
var Command = &cli.Command{
	Name:    "hindcast",
	Summary: "How far to trust it: past autumns forecast and checked",
	Usage:   "[FILE]",
	Help: `Says how far to trust the last safe dates at a station. It forecasts each past
autumn from the autumns before it, ten or more: before the season, on five
sowing days around the median latest date, and one and two weeks after each.
Then it counts how often the last safe dates held, and how often sowings with a
given chance made it. Of a long record the latest thirty autumns are judged,
unless --years names others. The Brier score is the mean square of chance less
outcome, 0 at best; climatology is the plain share of the earlier autumns. The
CSV form has a row a forecast.
`,
	Examples: []cli.Example{
		{Line: "hindcast my-station.csv --lat 33.8"},
		{Line: "hindcast my-station.csv --lat 33.8 --species tall-fescue"},
		{Line: "hindcast --years 2010-2025 --host none", Hidden: true},
	},
	Setup: func(f *pflag.FlagSet) cli.Run {
		var st ask.StationFlags
		var tf ask.TurfFlags
		var of out.Flags
		tf.Declare(f)
		st.Declare(f)
		of.Declare(f, out.HasJSON|out.HasRows|out.HasDocument|out.HasCharts, charts...)
		return func(ctx context.Context, p *cli.Program, args []string) error {
			options, err := tf.Options(p)
			if err != nil {
				return err
			}
			if len(options) > 1 {
				return cli.Usagef("--species "+options[0].Species.ID, "a hindcast is for one species")
			}
			in, err := ask.OpenStation(p, args, &st)
			if err != nil {
				return err
			}
			progress := p.Progress("seasons", 0)
			a, err := New(ctx, in, options[0], func(_, all int) { progress.SetTotal(all); progress.Step() })
			progress.Clear()
			if err != nil {
				return err
			}
			return out.Give(p, &of, &out.Answer{
				JSON: a.JSON, Rows: a.Rows, Station: in.DisplayName(), Document: a.Document, Chart: a.Chart,
				About: func(u words.System) string { return report.About(in.Input, 0, u) },
			})
		}
	},
}
