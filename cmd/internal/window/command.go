// Package window answers when the seeding window of a station opens and closes, and
// with what chance seed sown on each date establishes in time.
package window

import (
	"context"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// Command is swardcast window.
var Command = &cli.Command{
	Name:    "window",
	Summary: "When the seeding window opens and closes, the chance of each date",
	Usage:   "[FILE]",
	Help: `Goes through the past autumns of the station. In each it finds the day sowing
opens (the soil has cooled below the opening temperature for good), the cutoff
(the first killing freeze or dormancy, whichever comes first) and the latest
date from which the seed still reaches the stage by the cutoff. From these it
gives the days to sow on, the last safe date at 50, 80 and 90 percent, what
would change it, and the chance of every sow date, with an interval that
widens where the seasons are few. A record that ended months ago plans the
next season.
`,
	Examples: []cli.Example{
		{Line: "window --near 35.9,-78.8"},
		{Line: "window my-station.csv --lat 33.8"},
		{Line: "window my-station.csv --lat 40.9 --host none --species tall-fescue"},
		{Line: "window my-station.csv --lat 33.8 --format csv -o chances.csv"},
		{Line: "window my-station.csv --lat 33.8 --format html -o window.html"},
		{Line: "window my-station.csv --lat 33.8 --format png --chart seasons \\\n-o seasons.png"},
		{Line: "window --species perennial-ryegrass --probe my-readings.csv", Hidden: true},
		{Line: "window --as-of 2019-10-15", Hidden: true},
		{Line: "window warm.csv", Hidden: true},
		{
			Line:   "window --unwatered --confidence 99 --host none --species tall-fescue,kentucky-bluegrass",
			Hidden: true,
		},
	},
	Setup: func(f *pflag.FlagSet) cli.Run {
		var st ask.StationFlags
		var tf ask.TurfFlags
		var of out.Flags
		tf.Declare(f)
		tf.DeclareConfidence(f)
		tf.DeclareSeason(f)
		st.Declare(f)
		st.DeclareProbe(f)
		of.Declare(f, out.HasJSON|out.HasRows|out.HasDocument|out.HasCharts, charts...)
		return func(_ context.Context, p *cli.Program, args []string) error {
			options, err := tf.Options(p)
			if err != nil {
				return err
			}
			in, err := ask.OpenStation(p, args, &st)
			if err != nil {
				return err
			}
			day, _ := today(in)
			if err := in.CheckSeason(in.Calendar, tf.Season, day); err != nil {
				return err
			}
			a, err := New(in, options)
			if err != nil {
				return err
			}
			return out.Give(p, &of, &out.Answer{
				JSON: a.JSON, Rows: a.Rows, Station: in.DisplayName(), Document: a.Document, Chart: a.Chart,
				About: func(u words.System) string { return report.About(in.Input, a.Windows[0].Season, u) },
			})
		}
	},
}
