// Package soil answers how warm the soil of a station is, in the past year and
// normally, and when it crosses temperatures that matter.
package soil

import (
	"context"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast/soil"
)

// Command is swardcast soil.
var Command = &cli.Command{
	Name:    "soil",
	Summary: "How warm the soil is, and when it crosses a temperature",
	Usage:   "[FILE]",
	Help: `Says whether the soil suits seed today, and when it crosses temperatures that
matter, in a normal year and in the past one. The daily mean under grass at 2
and 4 in. (5 and 10 cm) is estimated from the air. Soil readings of your own
(--probe) bring the estimate nearer to your ground.
`,
	Examples: []cli.Example{
		{Line: "soil my-station.csv --lat 33.8"},
		{Line: "soil my-station.csv --lat 33.8 --threshold 75F,50F --depth 5"},
		{Line: "soil my-station.csv --lat 33.8 --format csv -o soil.csv"},
		{Line: "soil --probe my-readings.csv", Hidden: true},
	},
	Setup: func(f *pflag.FlagSet) cli.Run {
		var st ask.StationFlags
		var of out.Flags
		thresholds := ask.DeclareThresholds(
			f,
			"soil temperatures to find the crossings of, with F or C",
			"75F",
			"65F",
			"55F",
			"50F",
			"40F",
		)
		depth := ask.NewChoice("10", "5", "10")
		f.Var(depth, "depth", "depth in cm that the crossings are of")
		st.Declare(f)
		st.DeclareProbe(f)
		of.Declare(f, out.HasJSON|out.HasRows|out.HasDocument|out.HasCharts, charts...)
		return func(_ context.Context, p *cli.Program, args []string) error {
			limits, err := thresholds.Celsius()
			if err != nil {
				return err
			}
			at := soil.Depth10
			if depth.Value == "5" {
				at = soil.Depth5
			}
			in, err := ask.OpenStation(p, args, &st)
			if err != nil {
				return err
			}
			a, err := New(in, at, limits)
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
