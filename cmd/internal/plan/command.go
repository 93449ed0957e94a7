// Package plan answers what a sowing asks for, dated from before it to the end of spring: the
// ground, the seed, water by week, mowing, feeding, what to look for and when.
package plan

import (
	"context"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
	"swardcast/forecast/turf"
)

// Command is swardcast plan.
var Command = &cli.Command{
	Name:    "plan",
	Summary: "Everything dated for a sowing, from preparing to spring",
	Usage:   "[FILE]",
	Help: `Dates a sowing from preparing the ground to the end of spring, on one page: what
to do, when, and on whose word. Days that depend on the weather have their
range of 8 in 10. With --area or one --part for each area it says how much seed
to order, in bags and at what cost. Several areas are sown on one day with one
species; make a plan for each day. The form ics is a calendar of the steps.
`,
	Examples: []cli.Example{
		{Line: "plan my-station.csv --lat 33.8 --sow 2026-10-05 --area 5000ft2 \\\n--use sports-field --bag 50lb --price 95/bag"},
		{Line: "plan my-station.csv --lat 33.8 --sow 2026-10-05 \\\n--part 'greens: 12000ft2, putting-green' --part 'tees: 0.2ac, fairway' \\\n--bag 50lb --format html -o plan.html"},
		{Line: "plan my-station.csv --lat 40.9 --sow 2026-09-05 --host none \\\n--species tall-fescue --area 8000ft2 --use new-lawn"},
		{Line: "plan my-station.csv --lat 33.8 --sow 2026-10-05 --format ics \\\n-o plan.ics"},
		{Line: "plan --sow 2019-10-05 --as-of 2019-09-10 --area 5000ft2", Hidden: true},
		{Line: "plan --sow 2019-09-05 --as-of 2019-08-20 --host none --species tall-fescue --units metric", Hidden: true},
		{Line: "plan --sow 2019-10-05 --as-of 2019-10-25", Hidden: true},
	},
	Epilogue: `The calendar file (RFC 5545) has a step a day; imported again after a later
look, its events move.
`,
	Setup: func(f *pflag.FlagSet) cli.Run {
		var st ask.StationFlags
		var tf ask.TurfFlags
		var sf ask.SeedFlags
		var of out.Flags
		var sow ask.Date
		f.Var(&sow, "sow", "day of sowing (default the as-of day)")
		parts := ask.DeclareParts(f)
		sf.Declare(f)
		ahead := ask.DeclareAhead(f)
		tf.Declare(f)
		tf.DeclareConfidence(f)
		st.Declare(f)
		st.DeclareProbe(f)
		of.Declare(f, out.HasJSON|out.HasRows|out.HasDocument|out.HasCalendar)
		return func(_ context.Context, p *cli.Program, args []string) error {
			options, err := tf.Options(p)
			if err != nil {
				return err
			}
			if len(options) > 1 {
				return cli.Usagef("--species "+options[0].Species.ID, "a plan is for one species")
			}
			areas, err := needs(options[0].Species, &sf, *parts)
			if err != nil {
				return err
			}
			in, err := ask.OpenStation(p, args, &st)
			if err != nil {
				return err
			}
			in.TodayFor(&sow)
			if !sow.Given {
				sow.Day = in.AsOf
			}
			sow.InSeason(p, in)
			e, err := ask.SeasonAtHand(p, in, options[0], in.Calendar.SeasonHolding(sow.Day), *ahead)
			if err != nil {
				return err
			}
			a, err := New(in, e, options[0], sow.Day, areas)
			if err != nil {
				return err
			}
			return out.Give(p, &of, &out.Answer{JSON: a.JSON, Rows: a.Rows, Station: in.DisplayName(),
				Document: a.Document, Calendar: a.Calendar})
		}
	},
}

// needs are the areas with the seed that each takes; none where no area is given.
func needs(sp turf.Species, sf *ask.SeedFlags, parts ask.Parts) ([]Area, error) {
	var areas []Area
	if sf.HasArea() {
		if len(parts) > 0 {
			return nil, cli.Usagef("give every area with --part", "--area and --part do not go together")
		}
		n, err := sf.Need(sp, 1)
		if err != nil {
			return nil, err
		}
		return []Area{{Need: n}}, nil
	}
	for i := range parts {
		n, err := sf.NeedOf(sp, &parts[i])
		if err != nil {
			return nil, err
		}
		areas = append(areas, Area{parts[i].Name, n})
	}
	if len(areas) == 0 && sf.Given() {
		return nil, cli.Usagef("--area 5000ft2", "seed is asked for, but no area is given")
	}
	return areas, nil
}
