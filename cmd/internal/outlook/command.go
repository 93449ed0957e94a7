// Package outlook answers how one sowing of the season at hand does: when it is up,
// can be cut and is established, with what chance in time, and what other dates and
// species would give.
package outlook

import (
	"context"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// Command is swardcast outlook.
var Command = &cli.Command{
	Name:    "outlook",
	Summary: "Sown on this date: when is it up, mowed, established in time?",
	Usage:   "[FILE]",
	Help: `Says whether a sowing is on track, when it is up, mowed and established, and
what other sow dates or species would give. It takes the season so far from the
record, then the rows of a forecast where there are some, then the weather of
each past season as a possible outcome. Where the record already holds the
outcome, the answer is in hindsight and no forecast. Dates before the opening or
after the cold are answered too.
`,
	Examples: []cli.Example{
		{Line: "outlook my-station.csv --lat 33.8 --sow 2026-10-05"},
		{Line: "outlook my-station.csv --lat 33.8 --sow 2026-10-05 \\\n--as-of 2026-10-12"},
		{Line: "outlook my-station.csv --lat 33.8 --sow 2026-10-05 \\\n--ahead next-days.csv --probe my-readings.csv"},
		{Line: "outlook my-station.csv --lat 33.8 --sow 2026-10-05 \\\n--format ics -o sowing.ics"},
		{Line: "outlook --near 35.9,-78.8 --sow 2026-10-05"},
		{Line: `outlook my-station.csv --lat 33.8 --sow "Oct 5" --ahead warm:21`},
		{Line: "outlook --sow 2019-10-05 --as-of 2019-10-05 --probe my-readings.csv", Hidden: true},
		{Line: "outlook --sow 2019-10-05 --as-of 2019-10-15 --units metric", Hidden: true},
		{
			Line:   "outlook --sow 2019-11-25 --as-of 2020-02-15 --host none --species tall-fescue --stage mow",
			Hidden: true,
		},
		{Line: "outlook --sow 2019-06-10 --as-of 2019-06-15 --unwatered", Hidden: true},
		{Line: "outlook --sow 2019-10-05 --as-of 2019-10-15 --years 2001-2003", Hidden: true},
	},
	Epilogue: `The calendar file (RFC 5545) has the days of the sowing, each with its range;
imported again after a later look, its events move.
`,
	Setup: func(f *pflag.FlagSet) cli.Run {
		var st ask.StationFlags
		var tf ask.TurfFlags
		var of out.Flags
		var sow ask.Date
		f.Var(&sow, "sow", "day of sowing, past or to come (default the as-of day)")
		ahead := ask.DeclareAhead(f)
		tf.Declare(f)
		st.Declare(f)
		st.DeclareProbe(f)
		of.Declare(f, out.HasJSON|out.HasDocument|out.HasCharts|out.HasCalendar, charts...)
		return func(_ context.Context, p *cli.Program, args []string) error {
			options, err := tf.Options(p)
			if err != nil {
				return err
			}
			if len(options) > 1 {
				return cli.Usagef("--species "+options[0].Species.ID, "an outlook is for one species")
			}
			in, err := ask.OpenStation(p, args, &st)
			if err != nil {
				return err
			}
			if !sow.Given && of.Format() == out.ICS.Name {
				return cli.Usagef("--sow "+in.AsOf.String(), "a calendar is of one sowing, and its day is not given")
			}
			if !sow.Given {
				sow.Day = in.AsOf
			}
			sow.InSeason(p, in)
			e, err := ask.SeasonAtHand(p, in, options[0], in.Calendar.SeasonHolding(sow.Day), *ahead)
			if err != nil {
				return err
			}
			a, err := New(in, e, options[0], sow.Day)
			if err != nil {
				return err
			}
			return out.Give(p, &of, &out.Answer{
				JSON: a.JSON, Document: a.Document, Chart: a.Chart, Calendar: a.Calendar,
				About: func(u words.System) string { return report.About(in.Input, e.Season, u) },
			})
		}
	},
}
