// Judge runs the hindcast over stations with buried sensors and prints the
// table of docs/validation.md: past forecasts against the season as modelled
// from the air, and against that of the sensor.
//
//	go run ./cmd/judge --data DIR --marine DIR2
//	go run ./cmd/judge --trend ALL
//	go run ./cmd/judge --rows DIR
//
// DIR and DIR2 are those of cmd/fitsoil; ALL holds them as soil and marine, beside
// the directory long of records over decades. With --trend the table of what the
// trend does, with --rows that of what forecast rows do.
package main

import (
	"fmt"
	"io"
	"math"
	"os"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/sensors"
	"swardcast/forecast"
)

func main() {
	flags := pflag.NewFlagSet("judge", pflag.ExitOnError)
	data := flags.String("data", "", "directory of the station files")
	marine := flags.String("marine", "", "directory of marine stations that were not fitted")
	trend := flags.String("trend", "", "directory with soil, marine and long: judge what the trend does")
	dates := flags.String(
		"dates",
		"",
		"directory with soil, marine and long: judge what last safe dates are read from",
	)
	rows := flags.String("rows", "", "directory of the station files: judge what forecast rows do")
	field := flags.String("field", "", "directory of the station files: openings, cutoffs and winters against the field")
	flags.Parse(os.Args[1:])
	var err error
	switch alone := flags.NFlag() == 1; {
	case *data != "" && *trend == "" && *rows == "" && flags.NArg() == 0:
		err = run(os.Stdout, *data, *marine)
	case *trend != "" && alone && flags.NArg() == 0:
		err = trendTable(os.Stdout, *trend)
	case *dates != "" && alone && flags.NArg() == 0:
		err = datesTable(os.Stdout, *dates)
	case *rows != "" && alone && flags.NArg() == 0:
		err = rowsTable(os.Stdout, *rows)
	case *field != "" && alone && flags.NArg() == 0:
		err = printField(os.Stdout, *field)
	default:
		fmt.Fprintln(os.Stderr, "judge: usage: judge --data DIR [--marine DIR], --trend ALL, --rows DIR or --field DIR")
		os.Exit(2)
	}
	if err != nil {
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

func run(w io.Writer, data, marine string) error {
	stations, err := load(data, sensors.Turf)
	if err != nil {
		return err
	}
	var notFitted []*station
	if marine != "" {
		if notFitted, err = load(marine, nil); err != nil {
			return err
		}
	}
	for _, leaveOneOut := range []bool{false, true} {
		classes := classesOf(stations, notFitted)
		if err := judgeClasses(w, classes, leaveOneOut); err != nil {
			return err
		}
		printClasses(w, classes, fromWords[leaveOneOut])
	}
	if err := printMisses(w, classesOf(stations, notFitted)); err != nil {
		return err
	}
	withSensor, err := sensors.Load(data, sensors.Turf)
	if err != nil {
		return err
	}
	fmt.Fprint(w, "### Opening and dormancy, by definition\n\n")
	if err := printDefinitions(w, withSensor); err != nil {
		return err
	}
	fmt.Fprint(w, "### Up now: how often the 80 % interval holds\n\n")
	return printUpNow(w, withSensor)
}

// fromWords say which seasons each is forecast from.
var fromWords = map[bool]string{
	false: "each season from the seasons before it",
	true:  "each season from all the others",
}

// judgeClasses judges the stations of every class by every rule, and prints what
// comes of those that were fitted.
func judgeClasses(w io.Writer, classes []*class, leaveOneOut bool) error {
	for _, rule := range rules {
		var modelled, measured tally
		o := forecast.HindcastOptions{Options: forecast.Options{Cutoff: rule}, LeaveOneOut: leaveOneOut}
		for _, c := range classes {
			for _, s := range c.stations {
				tallies := []*tally{c.measured[rule]}
				o.Truth = nil
				if c.fitted {
					if err := s.hindcast(o, &modelled); err != nil {
						return err
					}
					tallies = append(tallies, &measured)
				}
				o.Truth = s.truth
				if err := s.hindcast(o, tallies...); err != nil {
					return err
				}
			}
		}
		fmt.Fprintf(w, "### Cutoff %s, %s\n\n", rule, fromWords[leaveOneOut])
		modelled.print(w, "the season as modelled from the air")
		measured.print(w, "the season of the sensor")
	}
	return nil
}

func (t *tally) print(w io.Writer, truth string) {
	h := &t.hindcast
	fmt.Fprintf(
		w,
		"Against %s: %d stations, %d seasons, %d forecasts.\n\n",
		truth,
		t.stations,
		len(h.Seasons),
		len(h.Cases),
	)
	fmt.Fprintln(w, "| last safe date at | held in | interval |\n| --- | --- | --- |")
	for _, l := range h.Levels {
		share, low, high := l.Share()
		fmt.Fprintf(w, "| %g %% | %.1f %% of %d | %.1f–%.1f |\n", l.Confidence, 100*share, l.N, 100*low, 100*high)
	}
	fmt.Fprintf(
		w,
		"\nThe latest date from the air alone misses that of the truth by %.2f days on average (bias %+.2f).\n",
		forecast.MeanAbsolute(h.SoilError),
		mean(h.SoilError),
	)
	fmt.Fprintln(
		w,
		"\n| forecast made | Brier | of climatology | reliability | resolution | uncertainty | median latest date misses by, days |\n| --- | --- | --- | --- | --- | --- | --- |",
	)
	for _, lead := range forecast.Leads() {
		f, c := h.Brier(lead)
		fmt.Fprintf(
			w,
			"| %s | %.4f | %.4f | %.4f | %.4f | %.4f | %.1f |\n",
			leadWords[lead],
			f.Score,
			c.Score,
			f.Reliability,
			f.Resolution,
			f.Uncertainty,
			forecast.MeanAbsolute(h.LatestError[lead]),
		)
	}
	fmt.Fprintln(w, "\n| chance, on the day before sowing | mean | came in | forecasts |\n| --- | --- | --- | --- |")
	for _, g := range h.Reliability(forecast.LeadSow) {
		fmt.Fprintf(
			w,
			"| %.0f–%.0f %% | %.0f %% | %.0f %% | %d |\n",
			100*g.Low,
			100*g.High,
			100*g.Mean,
			100*g.Observed,
			g.N,
		)
	}
	printEnds(w, h.Cases)
	fmt.Fprintln(w)
}

// ends are the bounds of the ranges in which chances near 0 and 1 fall.
var ends = []float64{0, 0.01, 0.03, 0.1, 0.3, 0.7, 0.9, 0.97, 0.99, 1}

// printEnds prints how often chances came, near 0 and 1 in finer ranges, over every
// lead, and the mean logarithmic score, which chances too near 0 and 1 make worse.
func printEnds(w io.Writer, cases []forecast.Case) {
	groups := make([]struct{ n, sum, came float64 }, len(ends)-1)
	score := 0.0
	for _, c := range cases {
		k := 0
		for k < len(groups)-1 && c.Chance > ends[k+1] {
			k++
		}
		g := &groups[k]
		g.n++
		g.sum += c.Chance
		right := 1 - c.Chance
		if c.Made {
			g.came++
			right = c.Chance
		}
		score -= math.Log(math.Max(right, 1e-4))
	}
	fmt.Fprintf(w, "\nEvery lead, logarithmic score %.4f:\n\n", score/float64(len(cases)))
	fmt.Fprintln(w, "| chance | mean | came in | forecasts |\n| --- | --- | --- | --- |")
	for k, g := range groups {
		fmt.Fprintf(
			w,
			"| %g–%g %% | %.1f %% | %.1f %% | %.0f |\n",
			100*ends[k],
			100*ends[k+1],
			100*g.sum/g.n,
			100*g.came/g.n,
			g.n,
		)
	}
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
