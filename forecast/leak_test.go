package forecast_test

import (
	"fmt"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast"
)

// On a real record too, the weather that a past season went on to have changes nothing of
// the forecast made of it. The
// record is of the US Climate Reference Network.
func TestNoLeakOnARealRecord(t *testing.T) {
	for _, year := range []int{2012, 2016, 2019} {
		asOf := climate.Date(year, time.October, 5)
		of := func(spoil bool) string {
			s := realStation(t, "GA_Watkinsville_5_SSE", 33.8)
			if spoil {
				for d := asOf + 1; d <= s.Calendar.Last(year); d++ {
					s.Record.TMaxC[s.Record.Index(d)] += 15
					s.Record.TMinC[s.Record.Index(d)] += 15
				}
			}
			e, err := s.Ensemble(forecast.Options{Season: year, Trend: forecast.TrendOff},
				forecast.EnsembleOptions{AsOf: &asOf, Past: []int{2006, 2007, 2008, 2009, 2010}})
			if err != nil {
				t.Fatal(err)
			}
			x, err := e.Outlook(forecast.Options{}, asOf)
			if err != nil {
				t.Fatal(err)
			}
			return fmt.Sprintf("%v %v %+v", x.Chance, x.Open, x.Stages)
		}
		if clean, spoiled := of(false), of(true); clean != spoiled {
			t.Errorf("%d: %s\n%s", year, clean, spoiled)
		}
	}
}
