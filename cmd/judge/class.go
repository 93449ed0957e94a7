package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"

	"swardcast/climate"
	"swardcast/cmd/internal/sensors"
	"swardcast/forecast"
)

// rules are the cutoffs that are judged.
var rules = []forecast.CutoffRule{forecast.CutoffFreeze, forecast.CutoffEarliest}

// A class is a kind of climate with what came of its stations against their
// sensors.
type class struct {
	name     string
	fitted   bool // the soil estimate was fitted to its stations
	stations []*station
	measured map[forecast.CutoffRule]*tally
}

func newClass(name string, fitted bool) *class {
	c := &class{name: name, fitted: fitted, measured: map[forecast.CutoffRule]*tally{}}
	for _, rule := range rules {
		c.measured[rule] = &tally{}
	}
	return c
}

// A station is one made ready from its air, and the same with the soil of its
// sensors.
type station struct {
	*forecast.Station
	name   string
	marine bool
	truth  *forecast.Station
}

// classesOf sorts the stations that were fitted by their climate, and adds those
// that were not.
func classesOf(fitted, notFitted []*station) []*class {
	humid, coast, unseen := newClass("humid", true), newClass("marine", true), newClass("marine, not fitted", false)
	for _, s := range fitted {
		c := humid
		if s.marine {
			c = coast
		}
		c.stations = append(c.stations, s)
	}
	unseen.stations = notFitted
	return []*class{humid, coast, unseen}
}

func load(dir string, keep func(*sensors.Station) bool) ([]*station, error) {
	list, err := sensors.Load(dir, keep)
	if err != nil {
		return nil, err
	}
	var out []*station
	for _, x := range list {
		s, err := forecast.NewStation(x.Record)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", x.Name, err)
		}
		truth, err := s.WithSoil(at5cm(x, s), x.Soil10C)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", x.Name, err)
		}
		out = append(out, &station{s, x.Name, x.Climate.Marine(), truth})
	}
	return out, nil
}

// at5cm returns the soil of the sensor at 5 cm; of a station that has none at
// that depth the estimate there plus the error of the estimate at 10 cm, which
// is nearly the same.
func at5cm(x *sensors.Station, s *forecast.Station) []float64 {
	out := make([]float64, len(x.Soil5C))
	for i, v := range x.Soil5C {
		if !math.IsNaN(v) {
			return x.Soil5C
		}
		out[i] = s.Soil.Soil5C[i] + x.Soil10C[i] - s.Soil.Soil10C[i]
	}
	return out
}

// hindcast adds the hindcast of a station to tallies. A record too short to judge
// by adds nothing.
func (s *station) hindcast(o forecast.HindcastOptions, tallies ...*tally) error {
	h, err := s.Hindcast(context.Background(), o)
	switch {
	case errors.Is(err, forecast.ErrFewSeasons) || errors.Is(err, forecast.ErrNoSeasons):
		return nil
	case err != nil:
		return fmt.Errorf("%s: %w", s.name, err)
	}
	for _, t := range tallies {
		t.add(h)
	}
	return nil
}

// misses returns by how many days the openings and the dormancy dates of the
// estimate miss those of the sensor, positive where they come late. Openings
// count in seasons in which either soil has a week above the threshold, dormancy
// in those in which both have one below it.
func (s *station) misses() (opens, dormancy []float64, err error) {
	a, err := s.Window(forecast.Options{})
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", s.name, err)
	}
	b, err := s.truth.Window(forecast.Options{})
	if errors.Is(err, forecast.ErrFewSeasons) || errors.Is(err, forecast.ErrNoSeasons) {
		return nil, nil, nil
	}
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", s.name, err)
	}
	truth := map[int]forecast.Season{}
	for _, se := range b.Seasons {
		truth[se.Year] = se
	}
	days := func(a, b climate.Day) float64 { return float64(a - b) }
	for _, se := range a.Seasons {
		came, ok := truth[se.Year]
		if !ok {
			continue
		}
		if se.Opens > se.First || came.Opens > came.First {
			opens = append(opens, days(se.Opens, came.Opens))
		}
		if se.Dormancy != nil && came.Dormancy != nil {
			dormancy = append(dormancy, days(*se.Dormancy, *came.Dormancy))
		}
	}
	return opens, dormancy, nil
}

// printClasses prints how the forecasts hold by class of climate.
func printClasses(w io.Writer, classes []*class, from string) {
	fmt.Fprintf(
		w,
		"### Classes of climate, %s\n\nAgainst the season of the sensor. Days are mean absolute errors, with their mean "+
			"(later than the sensor's is positive) and the number of seasons.\n\n",
		from,
	)
	fmt.Fprintln(
		w,
		"| class | stations | cutoff | last safe date at 80 % held in | interval | at 90 % | latest date misses by |"+
			" Brier on the day before sowing | of climatology |",
	)
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	for _, c := range classes {
		for _, rule := range rules {
			h := &c.measured[rule].hindcast
			if len(h.Seasons) == 0 {
				continue
			}
			fmt.Fprintf(w, "| %s | %d | %s |", c.name, c.measured[rule].stations, rule)
			for _, l := range h.Levels {
				share, low, high := l.Share()
				switch l.Confidence {
				case 80:
					fmt.Fprintf(w, " %.1f %% of %d | %.0f–%.0f |", 100*share, l.N, 100*low, 100*high)
				case 90:
					fmt.Fprintf(w, " %.1f %% |", 100*share)
				}
			}
			f, climatology := h.Brier(forecast.LeadSow)
			fmt.Fprintf(w, " %s | %.4f | %.4f |\n", miss(h.SoilError), f.Score, climatology.Score)
		}
	}
	fmt.Fprintln(w)
}

// printMisses prints how far dates read from the soil are off, by class of climate.
func printMisses(w io.Writer, classes []*class) error {
	fmt.Fprintln(w, "| class | opening misses by | dormancy misses by |\n| --- | --- | --- |")
	for _, c := range classes {
		var opens, dormancy []float64
		for _, s := range c.stations {
			o, d, err := s.misses()
			if err != nil {
				return err
			}
			opens, dormancy = append(opens, o...), append(dormancy, d...)
		}
		if len(c.stations) > 0 {
			fmt.Fprintf(w, "| %s | %s | %s |\n", c.name, miss(opens), miss(dormancy))
		}
	}
	_, err := fmt.Fprintln(w)
	return err
}

// miss is a cell of errors in days.
func miss(days []float64) string {
	if len(days) == 0 {
		return "no season"
	}
	return fmt.Sprintf("%.1f (%+.1f, %d)", forecast.MeanAbsolute(days), mean(days), len(days))
}
