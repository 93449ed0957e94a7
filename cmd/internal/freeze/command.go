// Package freeze answers when the first freeze of autumn and the last of spring come
// at a station.
package freeze

import (
	"context"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
)

// Command is swardcast freeze.
var Command = &cli.Command{
	Name:    "freeze",
	Summary: "When the first and last freezes come, 10 to 90 %, and their trend",
	Usage:   "[FILE]",
	Help: `Says when to expect the first killing freeze of autumn, and when the last one of
spring is over. For each threshold it gives the date by which the first day at
or below it had come in 10 to 90 percent of past autumns, and the last was over
in as many springs. A season without such a day counts as later than every date,
so that a date is missing where it comes too seldom. The trend is the median
slope with its 90 % interval. The CSV form has a row a threshold and season.
`,
	Examples: []cli.Example{
		{Line: "freeze my-station.csv --lat 33.8"},
		{Line: "freeze my-station.csv --lat 33.8 --threshold 24F --years 1995-2024"},
		{Line: "freeze", Hidden: true},
		{Line: "freeze --as-of 2019-10-15 --years 2010-2019", Hidden: true},
		{Line: "freeze --threshold 0F --completeness loose --season 2025", Hidden: true},
	},
	Setup: func(f *pflag.FlagSet) cli.Run {
		var st ask.StationFlags
		var of out.Flags
		var years ask.Years
		season := f.Int("season", 0, "season that the dates are for (default the one at or after the last day)")
		thresholds := ask.DeclareThresholds(f, "air temperatures, with F or C", "36F", "32F", "28F").OfFreezes()
		f.Var(&years, "years", "seasons to use, by the year in which they begin (default the latest 30 usable)")
		rule := ask.DeclareCompleteness(f)
		st.Declare(f)
		of.Declare(f, out.HasJSON|out.HasRows|out.HasDocument)
		return func(_ context.Context, p *cli.Program, args []string) error {
			limits, err := thresholds.Celsius()
			if err != nil {
				return err
			}
			in, err := ask.OpenRecord(p, args, &st)
			if err != nil {
				return err
			}
			if err := in.Refusal(); err != nil {
				return err
			}
			if calendar, err := in.Checked.Calendar(); err == nil {
				if err := in.CheckSeason(calendar, *season, in.AsOf); err != nil {
					return err
				}
			}
			if len(limits) == 0 {
				return cli.Usagef("--threshold 28F", "no threshold given")
			}
			a, err := New(in, limits, *season, climate.FreezeOptions{
				FirstSeason: years.First, LastSeason: years.Last, Completeness: ask.CompletenessOf(rule.Value)})
			if err != nil {
				return err
			}
			return out.Give(p, &of, &out.Answer{JSON: a.JSON, Rows: a.Rows, Station: in.DisplayName(), Document: a.Document})
		}
	},
}
