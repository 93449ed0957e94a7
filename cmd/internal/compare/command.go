// Package compare answers which species still establish when they are sown on one
// day, at one station or several.
package compare

import (
	"context"
	"path/filepath"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// Command is swardcast compare.
var Command = &cli.Command{
	Name:    "compare",
	Summary: "Which species to sow on a day, at one station or several",
	Usage:   "[FILE...]",
	Help: `Says which species to sow on a day and which are too late for it. Each has its
chance to establish in time, its last safe date, the day of the first mow, and
its seeding rate; the most likely one comes first. Species whose need of heat
differs less than seed lots of one species do are named as having no clear
difference.

With several FILEs there is one decision a station, and a table of the species
by station; the page is that of region, with a map. A table stations.csv beside
the records gives their names and latitudes, as for region; flags come before
it.
`,
	Examples: []cli.Example{
		{Line: "compare my-station.csv --lat 33.8 --sow 2026-10-05"},
		{Line: "compare my-station.csv --lat 40.9 --host none --use new-lawn"},
		{Line: "compare north.csv south.csv --lat 46.1,33.8 --format csv"},
		{Line: "compare --sow 2026-10-10", Hidden: true},
		{
			Line:   "compare --sow 2026-10-10 --unwatered --species tall-fescue,perennial-ryegrass --use sports-field",
			Hidden: true,
		},
		{Line: "compare my-station.csv my-station.csv --lat 40.9,33.8 --sow 2026-10-05", Hidden: true},
		{Line: "compare --as-of 2019-10-20 --sow 2019-11-10", Hidden: true},
		{Line: "compare --as-of 2019-12-20 --sow 2019-10-05", Hidden: true},
	},
	Setup: func(f *pflag.FlagSet) cli.Run {
		var st ask.StationFlags
		var tf ask.TurfFlags
		var of out.Flags
		var sow ask.Date
		f.Var(&sow, "sow", "day of sowing (default the as-of day, or the last of the best days before the opening)")
		use := ask.NewChoice(string(turf.HomeLawn), ask.Names(turf.Uses())...)
		f.Var(use, "use", "what the stand is for, which sets the seeding rate")
		tf.Declare(f)
		tf.DeclareConfidence(f)
		tf.Species = nil
		for _, sp := range turf.All() {
			tf.Species = append(tf.Species, sp.ID)
		}
		f.Lookup("species").DefValue = "all"
		st.Declare(f)
		st.DeclareProbe(f)
		of.Declare(f, out.HasJSON|out.HasRows|out.HasDocument|out.HasCharts, charts...)
		return func(_ context.Context, p *cli.Program, args []string) error {
			options, err := tf.Options(p)
			if err != nil {
				return err
			}
			var day *climate.Day
			if sow.Given {
				day = &sow.Day
			}
			if err := keepTables(p, args, of.Output); err != nil {
				return err
			}
			a := &Answer{}
			err = eachStation(p, args, &st, func(in *ask.Station) error {
				in.TodayFor(&sow)
				sow.InSeason(p, in)
				return a.Add(in, forecast.CompareOptions{Options: options, AsOf: &in.AsOf, Sow: day},
					turf.Use(use.Value))
			})
			if err != nil {
				return err
			}
			return out.Give(p, &of,
				&out.Answer{JSON: a.JSON, Rows: a.Rows, Document: a.Document, Chart: a.Chart, About: a.About,
					Matrix: a.Matrix})
		}
	},
}

// keepTables refuses an output that is a table of places which is read.
func keepTables(p *cli.Program, args []string, output string) error {
	var tables []string
	for _, file := range args {
		tables = append(tables, filepath.Join(filepath.Dir(file), ask.PlacesName))
	}
	if output == "" || output == "-" {
		return nil
	}
	if name := p.Files.Clash(output, tables, p.Stdin); name != "" {
		return cli.Usagef(
			"write to another file",
			"--output %s is a file that is read, %s: it would be lost",
			output,
			name,
		)
	}
	return nil
}

// eachStation opens the stations that the arguments name, one after the other.
func eachStation(p *cli.Program, args []string, st *ask.StationFlags, do func(*ask.Station) error) error {
	stations := [][]string{args}
	if len(args) > 1 {
		stations = nil
		for _, a := range args {
			stations = append(stations, []string{a})
		}
	}
	if err := st.CheckSeveral(len(stations)); err != nil {
		return err
	}
	lats := st.Lats
	places := ask.NewPlaceFinder(p, "")
	progress := p.Progress("stations", len(stations))
	defer progress.Clear()
	for i, station := range stations {
		if len(lats) > 1 {
			st.Lats = lats[i : i+1]
		}
		st.Table = nil
		if len(station) == 1 && station[0] != "-" {
			var err error
			if st.Table, err = places.Of(station[0]); err != nil {
				return err
			}
		}
		in, err := ask.OpenStation(p, station, st)
		if err != nil {
			return err
		}
		if err := do(in); err != nil {
			return err
		}
		progress.Step()
	}
	return nil
}
