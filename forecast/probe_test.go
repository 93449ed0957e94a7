package forecast_test

import (
	"math"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast"
	"swardcast/forecast/soil"
)

// readings are the estimate of a station plus as many °C, on every tenth day of a
// year up to a day.
func readings(s *forecast.Station, last climate.Day, off float64) []soil.Reading {
	var out []soil.Reading
	for d := last - 360; d <= last; d += 10 {
		out = append(out, soil.Reading{Day: d, DepthCM: 10, SoilC: s.Soil.Soil10C[s.Record.Index(d)] + off,
			Hour: math.NaN()})
	}
	return out
}

// A site that reads 2 °C warmer has warmer soil in the days to come too: a sowing
// is established sooner, and later where it reads colder.
func TestReadingsMoveTheDaysToCome(t *testing.T) {
	s := invented(t)
	asOf := climate.Date(2019, time.October, 10)
	established := func(s *forecast.Station) float64 {
		e, err := s.Ensemble(forecast.Options{}, forecast.EnsembleOptions{AsOf: &asOf})
		if err != nil {
			t.Fatal(err)
		}
		x, err := e.Outlook(forecast.Options{}, asOf+1)
		if err != nil {
			t.Fatal(err)
		}
		return x.Stages[2].Days.P50
	}
	days := map[float64]float64{0: established(s)}
	for _, off := range []float64{-2, 2} {
		c, _, err := s.Calibrate(readings(s, asOf, off))
		if err != nil {
			t.Fatal(err)
		}
		if moved := c.Site.Offset(asOf + 10); math.Abs(moved-off) > 0.5 {
			t.Errorf("readings %+g °C off move the soil by %+.1f °C ten days on", off, moved)
		}
		days[off] = established(c)
	}
	// 373 °C d take some 25 days of 15 °C; with 2 °C more or less a seventh of
	// them falls away or comes on top.
	if !(days[2] <= days[0]-2 && days[0] <= days[-2]-2) {
		t.Errorf("days to be established, by what the readings are off: %v", days)
	}
}

// Before a season begins nothing is known of it: the chances of its ensemble are
// those of the past seasons, with readings of a year long past as without.
func TestReadingsInAnEnsembleAreThoseOfTheWindow(t *testing.T) {
	s := invented(t)
	before := climate.Date(2019, time.June, 1)
	for _, off := range []float64{-2, 0, 2} {
		site := s
		if off != 0 {
			var err error
			if site, _, err = s.Calibrate(readings(s, climate.Date(2001, time.June, 1), off)); err != nil {
				t.Fatal(err)
			}
		}
		w, err := site.Window(forecast.Options{Season: 2019})
		if err != nil {
			t.Fatal(err)
		}
		e, err := site.Ensemble(forecast.Options{Season: 2019}, forecast.EnsembleOptions{AsOf: &before})
		if err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for _, d := range w.ByDate {
			if _, month, day := d.Sow.Date(); day != 1 && day != 15 || month < time.September ||
				month > time.November {
				continue
			}
			x, err := e.Outlook(forecast.Options{}, d.Sow)
			if err != nil {
				t.Fatal(err)
			}
			worst = math.Max(worst, math.Abs(x.Chance-d.Chance))
		}
		t.Logf("readings %+g °C off: up to %.1f points", off, 100*worst)
		if worst > 0.05 {
			t.Errorf("readings %+g °C off: the chances of window and ensemble differ by up to %.0f points", off,
				100*worst)
		}
	}
}
