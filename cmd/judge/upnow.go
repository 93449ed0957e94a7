package main

import (
	"fmt"
	"io"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"swardcast/climate"
	"swardcast/cmd/internal/sensors"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// lots is how many seed lots, from slow to fast, are sown in every season.
const lots = 20

// lookWeeks are when what is up is looked at, weeks after sowing.
var lookWeeks = []int{1, 2, 3, 4}

// printUpNow sows on the median latest date of every season and holds the
// interval of what is up now, worked out from the air, against what lots of seed
// do in the soil of the sensor. The lots are drawn from the spread that is assumed
// between lots; the soil is measured.
func printUpNow(w io.Writer, stations []*sensors.Station) error {
	type tally struct{ n, in, below float64 }
	var all [4][3]tally
	for _, x := range stations {
		s, err := forecast.NewStation(x.Record)
		if err != nil {
			return err
		}
		window, err := s.Dates(forecast.Options{Cutoff: forecast.CutoffFreeze})
		if err != nil {
			continue // too short to judge by
		}
		species := window.Options.Species
		for _, season := range window.Seasons {
			if season.Latest == nil {
				continue
			}
			o := forecast.Options{Season: season.Year}
			for k, weeks := range lookWeeks {
				sow := *season.Latest
				asOf := sow + climate.Day(7*weeks) - 1
				had, ok := degreeDays(x, &species, sow, asOf)
				if !ok {
					continue
				}
				e, err := s.Ensemble(
					o,
					forecast.EnsembleOptions{AsOf: &asOf, Past: others(window.Years(), season.Year)},
				)
				if err != nil {
					return err
				}
				out, err := e.Outlook(o, sow)
				if err != nil {
					return err
				}
				for stage, st := range out.Stages {
					later := species.ThermalTime(st.Stage) - species.Emerged.Value
					for lot := range lots {
						// Lots differ in emergence and, on their own, in leaves.
						up, leaf := normal(lot), normal(7*lot%lots)
						share := species.EmergedShare(
							(had - later*math.Exp(turf.LeafIntervalLogSD*leaf)) / math.Exp(turf.LotLogSD*up),
						)
						if st.ReachedNow < 0.01 || st.ReachedNow > 0.99 {
							continue // a matter of course
						}
						c := &all[k][stage]
						c.n++
						switch {
						case share < st.Low:
							c.below++
						case share <= st.High:
							c.in++
						}
					}
				}
			}
		}
	}
	fmt.Fprintln(
		w,
		"| weeks after sowing | up | below | third leaf | below | tillered | below |\n| --- | --- | --- | --- | --- | --- | --- |",
	)
	for k, weeks := range lookWeeks {
		fmt.Fprintf(w, "| %d |", weeks)
		for _, c := range all[k] {
			if c.n < 1000 {
				fmt.Fprint(w, " – | – |")
				continue
			}
			fmt.Fprintf(w, " %.0f %% of %.0f | %.0f %% |", 100*c.in/c.n, c.n, 100*c.below/c.n)
		}
		fmt.Fprintln(w)
	}
	_, err := fmt.Fprintln(w)
	return err
}

// normal is the quantile of the standard normal distribution at the middle of one
// of lots parts.
func normal(k int) float64 { return distuv.UnitNormal.Quantile((float64(k) + 0.5) / lots) }

// degreeDays is the thermal time of the sensor's soil over some days, false where
// one is missing.
func degreeDays(x *sensors.Station, species *turf.Species, from, to climate.Day) (float64, bool) {
	response := species.Growth()
	sum := 0.0
	for i := x.Record.Index(from); i <= x.Record.Index(to); i++ {
		if i < 0 || i >= len(x.Soil5C) {
			return 0, false
		}
		sum += response.DegreeDays(x.Soil5C[i])
	}
	return sum, !math.IsNaN(sum)
}

func others(years []int, but int) []int {
	var out []int
	for _, y := range years {
		if y != but {
			out = append(out, y)
		}
	}
	return out
}
