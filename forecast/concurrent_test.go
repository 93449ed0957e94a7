package forecast

import (
	"context"
	"reflect"
	"sync"
	"testing"

	"swardcast/climate"
	"swardcast/forecast/soil"
)

// One station answers several goroutines at once, each as if it were alone. The
// race detector holds it to its word.
func TestConcurrentUse(t *testing.T) {
	s := station(t, 3, 0, 12)
	season := s.Calendar.SeasonFor(s.Record.Last()) - 1
	asOf := s.Calendar.First(season) + 110
	var readings []soil.Reading
	for k := range 12 {
		readings = append(readings, soil.Reading{Day: asOf - climate.Day(5*k), DepthCM: 10, SoilC: 18 + float64(k)/2,
			Hour: 9})
	}
	ask := func() []any {
		fail := func(err error) {
			if err != nil {
				t.Error(err)
			}
		}
		w, err := s.Window(Options{})
		fail(err)
		var past []int
		for _, year := range w.Years() {
			if year != season {
				past = append(past, year)
			}
		}
		e, err := s.Ensemble(Options{Season: season}, EnsembleOptions{AsOf: new(asOf), Past: past})
		fail(err)
		x, err := e.Outlook(Options{}, asOf-10)
		fail(err)
		report, err := e.Judge(x, Stand{Cover: 0.3, Found: NoSeed})
		fail(err)
		h, err := s.Hindcast(context.Background(), HindcastOptions{})
		fail(err)
		c, _, err := s.Calibrate(readings)
		fail(err)
		own, err := c.Dates(Options{})
		fail(err)
		return []any{w.ByDate, w.Seasons, x.Chance, x.Stages, *report, h.Cases, own.Seasons}
	}
	alone := ask()
	var running sync.WaitGroup
	for range 4 {
		running.Go(func() {
			if got := ask(); !reflect.DeepEqual(got, alone) {
				t.Error("the answer differs beside others")
			}
		})
	}
	running.Wait()
}
