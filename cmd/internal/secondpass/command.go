// Package secondpass decides what to do about a first sowing that came up thin: sow
// again, wait, leave it, or stop, by when and with how much seed.
package secondpass

import (
	"context"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// Command is swardcast second-pass.
var Command = &cli.Command{
	Name:    "second-pass",
	Summary: "The first sowing is thin: sow again, wait, or leave it?",
	Usage:   "[FILE]",
	Help: `Decides what to do about a thin first sowing: sow again today, buy seed, wait
until a day and look again, leave it, or stop because it is too late, and then
what instead. Each choice comes with the cover to expect and the odds of new
seed. The decision weighs what should be up by now against the cover you see,
what may still come, the falling odds of later dates, and the seed at hand.

Cover is the share of the stand you want that is up: 30 where three plants stand
for ten. Digging helps: say with --seed-found whether seed lies in the ground.
The seed at hand (--seed-left) counts; an area or a rate is not needed.
`,
	Examples: []cli.Example{
		{
			Line: "second-pass my-station.csv --lat 33.8 --first 2026-10-01 \\\n--as-of 2026-10-12 --cover 30 --seed-found no",
		},
		{Line: "second-pass my-station.csv --lat 33.8 --first 2026-10-01 \\\n" +
			"--cover 40 --seed-found no --area 3200ft2 --seed-left 14lb"},
		{
			Line: "second-pass my-station.csv --lat 33.8 --first 2026-10-01 \\\n--cover 30 --format html -o second-pass.html",
		},
		{Line: "second-pass --first 2019-10-01 --as-of 2019-10-12 --cover 20 --seed-found few" +
			" --area 5000ft2 --bag 50lb --price 95/bag --seed-left 3lb --probe my-readings.csv", Hidden: true},
		{
			Line:   "second-pass --first 2019-10-01 --as-of 2019-10-15 --cover 20 --species kentucky-bluegrass",
			Hidden: true,
		},
		{Line: "second-pass --first 2019-10-01 --as-of 2019-10-02 --cover 0", Hidden: true},
		{Line: "second-pass --first 2019-10-01 --as-of 2019-11-12 --cover 20 --units metric", Hidden: true},
		{Line: "second-pass --first 2019-10-01 --as-of 2019-10-25 --cover 95 --host none", Hidden: true},
		{
			Line:   "second-pass --first 2019-10-05 --as-of 2019-10-19 --cover 40 --area 3200ft2 --seed-left 0lb --bag 15lb",
			Hidden: true,
		},
		{Line: "second-pass --first 2019-10-11 --as-of 2019-10-12 --cover 95", Hidden: true},
	},
	Setup: func(f *pflag.FlagSet) cli.Run {
		var st ask.StationFlags
		var tf ask.TurfFlags
		var sf ask.SeedFlags
		var of out.Flags
		var lf lookFlags
		lf.declare(f)
		ahead := ask.DeclareAhead(f)
		sf.Declare(f)
		tf.Declare(f)
		tf.DeclareConfidence(f)
		st.Declare(f)
		st.DeclareProbe(f)
		of.Declare(f, out.HasJSON|out.HasDocument|out.HasCharts|out.HasCalendar, charts...)
		return func(_ context.Context, p *cli.Program, args []string) error {
			stand, err := lf.stand()
			if err != nil {
				return err
			}
			options, err := tf.Options(p)
			if err != nil {
				return err
			}
			if len(options) > 1 {
				return cli.Usagef("--species "+options[0].Species.ID, "a second sowing is of one species")
			}
			o := options[0]
			ground, err := groundOf(&sf, o.Species, 1-stand.Cover)
			if err != nil {
				return err
			}
			in, err := ask.OpenStation(p, args, &st)
			if err != nil {
				return err
			}
			in.TodayFor(&lf.first)
			lf.first.Past(p, in.AsOf)
			first := lf.first.Day
			if first > in.AsOf {
				return cli.Usagef("--as-of a day after it, with a record that reaches it",
					"the first sowing, on %s, lies after the day of the look, %s", first, in.AsOf)
			}
			e, err := ask.SeasonAtHand(p, in, o, in.Calendar.SeasonHolding(first), *ahead)
			if err != nil {
				return err
			}
			if last := in.Calendar.Last(e.Season); in.AsOf > last {
				return cli.Usagef("--as-of DATE",
					"the season of that sowing ended on %s; look at it as of a day within it", last)
			}
			a, err := New(in, e, o, first, stand, ground)
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

// lookFlags are what was sown first, and how it looks.
type lookFlags struct {
	first       ask.Date
	cover, bare float64 // percent
	found       *ask.Choice
	flags       *pflag.FlagSet
}

func (l *lookFlags) declare(f *pflag.FlagSet) {
	l.flags = f
	f.Var(&l.first, "first", "day of the first sowing")
	ask.DeclarePercent(f, &l.cover, "cover", 0, 100, "share of the stand you want that is up",
		"`percent` of the stand you want that is up")
	ask.DeclarePercent(f, &l.bare, "bare", 0, 100, "share of the stand you want that is missing",
		"`percent` of it that is missing, in place of --cover")
	l.found = ask.NewChoice("", "no", "few", "yes")
	f.Var(l.found, "seed-found", "whether digging shows seed that has not come up")
}

// stand is the first sowing as it looks.
func (l *lookFlags) stand() (forecast.Stand, error) {
	stand := forecast.Stand{Cover: l.cover / 100, Found: forecast.SeedFound(l.found.Value)}
	cover, bare := l.flags.Changed("cover"), l.flags.Changed("bare")
	if bare {
		stand.Cover = 1 - l.bare/100
	}
	switch {
	case !l.first.Given:
		return stand, cli.Usagef("--first 2026-10-01", "the day of the first sowing is not given")
	case cover && bare:
		return stand, cli.Usagef("", "give --cover or --bare, not both")
	case !cover && !bare:
		return stand, cli.Usagef("--cover 30", "how much of the stand is up is not given")
	}
	return stand, nil
}

// groundOf is the seed for the bare share of the ground, nil where nothing is bare.
func groundOf(sf *ask.SeedFlags, sp turf.Species, bare float64) (*ask.Ground, error) {
	if bare == 0 {
		return nil, nil
	}
	return sf.Ground(sp, bare)
}
