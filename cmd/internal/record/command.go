// Package record answers whether a station's record is good enough for a forecast,
// and how it was understood.
package record

import (
	"context"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
)

// Command is swardcast record.
var Command = &cli.Command{
	Name:    "record",
	Summary: "Whether a station record is usable, and how it was understood",
	Usage:   "[FILE]",
	Help: `Says whether a station record is usable and, if not, what to do. It reads the
record as every other command does, and shows what each column was taken for, in
which unit, what is missing, which values are suspect and why, and which autumns
are complete enough.
`,
	Examples: []cli.Example{
		{Line: "record my-station.csv --lat 33.8"},
		{Line: "record several.csv"},
		{Line: "record several.csv --station ALDER-3"},
		{Line: "record odd.csv --columns date=Day,tmax=High,tmin=Low --temp-unit F"},
		{Line: "record", Hidden: true},
		{Line: "record gridded.csv", Hidden: true},
		{Line: "record suspect.csv", Hidden: true},
		{Line: "record --as-of 2015-03-01", Hidden: true},
		{Line: "record --completeness strict", Hidden: true},
	},
	Setup: func(f *pflag.FlagSet) cli.Run {
		var st ask.StationFlags
		var of out.Flags
		rule := ask.DeclareCompleteness(f)
		st.Declare(f)
		of.Declare(f, out.HasJSON|out.HasDocument)
		return func(_ context.Context, p *cli.Program, args []string) error {
			in, err := ask.OpenRecord(p, args, &st)
			if err != nil {
				if list, ok := stationsOf(err); ok {
					return out.Give(p, &of, &out.Answer{JSON: list.JSON, Document: list.Document})
				}
				return err
			}
			a := New(in, ask.CompletenessOf(rule.Value))
			return out.Give(p, &of, &out.Answer{JSON: a.JSON, Document: a.Document})
		}
	},
}
