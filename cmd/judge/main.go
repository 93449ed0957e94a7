// Judge runs the hindcast over stations with buried sensors and prints the
// table of docs/validation.md: past forecasts against the season as modelled
// from the air, and against that of the sensor.
//
//	go run ./cmd/judge --data DIR --marine DIR2
//
// The directories are those of cmd/fitsoil.
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
	flags.Parse(os.Args[1:])
	if *data == "" || flags.NArg() > 0 {
		fmt.Fprintln(os.Stderr, "judge: usage: judge --data DIR [--marine DIR]")
		os.Exit(2)
	}
	if err := run(os.Stdout, *data, *marine); err != nil {
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
	humid, coast, unseen := newClass("humid", true), newClass("marine", true), newClass("marine, not fitted", false)
	for _, s := range stations {
		c := humid
		if s.marine {
			c = coast
		}
		c.stations = append(c.stations, s)
	}
	if marine != "" {
		if unseen.stations, err = load(marine, nil); err != nil {
			return err
		}
	}
	classes := []*class{humid, coast, unseen}
	for _, rule := range rules {
		var modelled, measured tally
		for _, c := range classes {
			for _, s := range c.stations {
				tallies := []*tally{c.measured[rule]}
				if c.fitted {
					if err := s.hindcast(rule, nil, &modelled); err != nil {
						return err
					}
					tallies = append(tallies, &measured)
				}
				if err := s.hindcast(rule, s.truth, tallies...); err != nil {
					return err
				}
			}
		}
		fmt.Fprintf(w, "### Cutoff: %s\n\n", rule)
		if err := modelled.print(w, "the season as modelled from the air"); err != nil {
			return err
		}
		if err := measured.print(w, "the season of the sensor"); err != nil {
			return err
		}
	}
	if err := printClasses(w, classes); err != nil {
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

func (t *tally) print(w io.Writer, truth string) error {
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
	fmt.Fprintln(w, "\n| chance told, on the eve of sowing | mean | came in | forecasts |\n| --- | --- | --- | --- |")
	for _, g := range h.Reliability(forecast.LeadSow) {
		fmt.Fprintf(w, "| %.0f–%.0f %% | %.0f %% | %.0f %% | %d |\n", 100*g.Low, 100*g.High, 100*g.Mean, 100*g.Observed, g.N)
	}
	printEnds(w, h.Cases)
	_, err := fmt.Fprintln(w)
	return err
}

// ends are the bounds of the ranges in which chances near 0 and 1 are told apart.
var ends = []float64{0, 0.01, 0.03, 0.1, 0.3, 0.7, 0.9, 0.97, 0.99, 1}

// printEnds tells how often chances came, near 0 and 1 in finer ranges, over every
// lead, and the mean logarithmic score, which chances too near 0 and 1 make worse.
func printEnds(w io.Writer, cases []forecast.Case) {
	groups := make([]struct{ n, told, came float64 }, len(ends)-1)
	score := 0.0
	for _, c := range cases {
		k := 0
		for k < len(groups)-1 && c.Chance > ends[k+1] {
			k++
		}
		g := &groups[k]
		g.n++
		g.told += c.Chance
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
		fmt.Fprintf(w, "| %g–%g %% | %.1f %% | %.1f %% | %.0f |\n", 100*ends[k], 100*ends[k+1], 100*g.told/g.n, 100*g.came/g.n, g.n)
	}
}

var leadWords = map[forecast.Lead]string{
	forecast.LeadSeason: "on the eve of the season", forecast.LeadSow: "on the eve of sowing",
	forecast.LeadWeek: "a week after sowing", forecast.LeadTwo: "two weeks after",
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v / float64(len(x))
	}
	return sum
}
