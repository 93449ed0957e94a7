// Package spring answers what is left for spring: seed put into cold soil, the days to sow on
// before summer heat, and when an overseeded host is to have its ground back.
package spring

import (
	"context"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
)

// Command is swardcast spring.
var Command = &cli.Command{
	Name:    "spring",
	Summary: "Dormant seeding, the spring window, when the host takes over",
	Usage:   "[FILE]",
	Help: `Says what is left where autumn is over. Without a host: from which day on seed
can be put into cold soil to come up in spring, between which days to sow in
spring, and with what chance that establishes before summer heat (five days of
nights over 68 °F with days over 85 °F, on average). With a host: when it wakes,
and by when the cool-season grass should be gone so that the host has its ground
for a hundred days. Past winters and springs of the station are the evidence.
`,
	Examples: []cli.Example{
		{Line: "spring my-station.csv --lat 41.5 --host none --species tall-fescue"},
		{Line: "spring my-station.csv --lat 41.5 --host none --species tall-fescue \\\n--stage covered"},
		{Line: "spring my-station.csv --lat 33.8"},
		{Line: "spring my-station.csv --lat 41.5 --host none --format csv -o spring.csv"},
		{Line: "spring", Hidden: true},
		{Line: "spring --host none --as-of 2019-12-15 --units metric", Hidden: true},
		{Line: "spring --host none --species kentucky-bluegrass,tall-fescue", Hidden: true},
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
		of.Declare(f, out.HasJSON|out.HasRows|out.HasDocument)
		return func(_ context.Context, p *cli.Program, args []string) error {
			options, err := tf.Options(p)
			if err != nil {
				return err
			}
			in, err := ask.OpenStation(p, args, &st)
			if err != nil {
				return err
			}
			a, err := New(in, options)
			if err != nil {
				return err
			}
			return out.Give(p, &of, &out.Answer{JSON: a.JSON, Rows: a.Rows, Station: in.DisplayName(), Document: a.Document})
		}
	},
}
