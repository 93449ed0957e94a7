// Judge runs the hindcast over stations with buried sensors and prints the
// table of docs/validation.md: past forecasts against the season as modelled
// from the air, and against that of the sensor.
//
//	go run ./cmd/judge --data DIR
//	go run ./cmd/judge --trend ALL
//	go run ./cmd/judge --rows DIR
//
// DIR is that of cmd/fitsoil; ALL holds it as soil, beside the directories marine
// and long of records over decades. With --trend the table of what the trend does,
// with --rows that of what forecast rows do.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/sensors"
	"swardcast/forecast"
)

func main() {
	flags := pflag.NewFlagSet("judge", pflag.ExitOnError)
	data := flags.String("data", "", "directory of the station files")
	trend := flags.String("trend", "", "directory with soil, marine and long: judge what the trend does")
	rows := flags.String("rows", "", "directory of the station files: judge what forecast rows do")
	flags.Parse(os.Args[1:])
	if flags.NFlag() != 1 || flags.NArg() > 0 {
		fmt.Fprintln(os.Stderr, "judge: usage: judge --data DIR, --trend ALL or --rows DIR")
		os.Exit(2)
	}
	report, dir := run, *data
	switch {
	case *trend != "":
		report, dir = trendTable, *trend
	case *rows != "":
		report, dir = rowsTable, *rows
	}
	if err := report(os.Stdout, dir); err != nil {
		fmt.Fprintln(os.Stderr, "judge:", err)
		os.Exit(1)
	}
}

// A tally adds up the hindcasts of stations.
type tally struct {
	hindcast forecast.Hindcast
	stations int
}

func (t *tally) add(h *forecast.Hindcast) {
	t.stations++
	all := &t.hindcast
	if all.LatestError == nil {
		all.LatestError = map[forecast.Lead][]float64{}
		all.Levels = make([]forecast.Held, len(h.Levels))
	}
	all.Seasons = append(all.Seasons, h.Seasons...)
	all.Cases = append(all.Cases, h.Cases...)
	all.SoilError = append(all.SoilError, h.SoilError...)
	all.Shift = append(all.Shift, h.Shift...)
	for k, l := range h.Levels {
		all.Levels[k].Confidence = l.Confidence
		all.Levels[k].N += l.N
		all.Levels[k].Count += l.Count
	}
	for lead, e := range h.LatestError {
		all.LatestError[lead] = append(all.LatestError[lead], e...)
	}
}

func run(w io.Writer, data string) error {
	stations, err := sensors.Load(data, sensors.Humid)
	if err != nil {
		return err
	}
	for _, leaveOneOut := range []bool{false, true} {
		for _, rule := range []forecast.CutoffRule{forecast.CutoffFreeze, forecast.CutoffEarliest} {
			var modelled, measured tally
			o := forecast.HindcastOptions{Options: forecast.Options{Cutoff: rule}, LeaveOneOut: leaveOneOut}
			for _, s := range stations {
				if err := judge(s, o, &modelled, &measured); err != nil {
					return fmt.Errorf("%s: %w", s.Name, err)
				}
			}
			from := "each season from the seasons before it"
			if leaveOneOut {
				from = "each season from all the others"
			}
			fmt.Fprintf(w, "### Cutoff %s, %s\n\n", rule, from)
			modelled.print(w, "the season as modelled from the air")
			measured.print(w, "the season of the sensor")
		}
	}
	return nil
}

func judge(x *sensors.Station, o forecast.HindcastOptions, modelled, measured *tally) error {
	s, err := forecast.NewStation(x.Record)
	if err != nil {
		return err
	}
	truth, err := s.WithSoil(x.Soil5C, x.Soil10C)
	if err != nil {
		return err
	}
	for _, c := range []struct {
		truth *forecast.Station
		to    *tally
	}{{nil, modelled}, {truth, measured}} {
		o.Truth = c.truth
		h, err := s.Hindcast(context.Background(), o)
		if errors.Is(err, forecast.ErrFewSeasons) || errors.Is(err, forecast.ErrNoSeasons) {
			continue // too short to judge by
		}
		if err != nil {
			return err
		}
		c.to.add(h)
	}
	return nil
}

func (t *tally) print(w io.Writer, truth string) {
	h := &t.hindcast
	fmt.Fprintf(w, "Against %s: %d stations, %d seasons, %d forecasts.\n\n", truth, t.stations, len(h.Seasons), len(h.Cases))
	fmt.Fprintln(w, "| last safe date at | held in | interval |\n| --- | --- | --- |")
	for _, l := range h.Levels {
		share, low, high := l.Share()
		fmt.Fprintf(w, "| %g %% | %.1f %% of %d | %.1f–%.1f |\n", l.Confidence, 100*share, l.N, 100*low, 100*high)
	}
	fmt.Fprintf(w, "\nThe latest date from the air alone misses that of the truth by %.2f days on average (bias %+.2f).\n", forecast.MeanAbsolute(h.SoilError), mean(h.SoilError))
	fmt.Fprintln(w, "\n| forecast made | Brier | of climatology | reliability | resolution | uncertainty | median latest date misses by, days |\n| --- | --- | --- | --- | --- | --- | --- |")
	for _, lead := range forecast.Leads() {
		f, c := h.Brier(lead)
		fmt.Fprintf(w, "| %s | %.4f | %.4f | %.4f | %.4f | %.4f | %.1f |\n", leadWords[lead], f.Score, c.Score, f.Reliability, f.Resolution, f.Uncertainty, forecast.MeanAbsolute(h.LatestError[lead]))
	}
	fmt.Fprintln(w, "\n| chance, on the day before sowing | mean | came in | forecasts |\n| --- | --- | --- | --- |")
	for _, g := range h.Reliability(forecast.LeadSow) {
		fmt.Fprintf(w, "| %.0f–%.0f %% | %.0f %% | %.0f %% | %d |\n", 100*g.Low, 100*g.High, 100*g.Mean, 100*g.Observed, g.N)
	}
	fmt.Fprintln(w)
}

var leadWords = map[forecast.Lead]string{
	forecast.LeadSeason: "before the season", forecast.LeadSow: "on the day before sowing",
	forecast.LeadWeek: "a week after sowing", forecast.LeadTwo: "two weeks after",
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v / float64(len(x))
	}
	return sum
}
