package forecast_test

import (
	"errors"
	"math"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast"
)

// Of twelve past autumns three had no rain and nine had rain every day: a seedbed
// without irrigation is too dry in three of twelve possible outcomes, and the
// median need is none.
func TestDryShare(t *testing.T) {
	dry := map[int]bool{2003: true, 2007: true, 2008: true}
	first, last := climate.Date(2000, time.January, 1), climate.Date(2012, time.October, 10)
	rec := climate.NewRecord(climate.Place{Latitude: new(38.0)}, first, int(last-first)+1)
	rec.PrecipMM = make([]float64, rec.Len())
	for i := range rec.TMaxC {
		d := rec.Day(i)
		wave := math.Cos(2 * math.Pi * float64(d-climate.Date(d.Year(), time.July, 20)) / climate.TropicalYear)
		rec.TMaxC[i], rec.TMinC[i] = 20+12*wave, 8+12*wave
		if y, m, _ := d.Date(); !(dry[y] && m >= time.September) {
			rec.PrecipMM[i] = 12
		}
	}
	s, err := forecast.NewStation(rec)
	if err != nil {
		t.Fatal(err)
	}
	e, err := s.Ensemble(forecast.Options{Season: 2012}, forecast.EnsembleOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if len(e.Years) != 12 {
		t.Fatalf("past seasons %v", e.Years)
	}
	days, total, err := e.Water(last+1, 21)
	if err != nil {
		t.Fatal(err)
	}
	if len(days) != 21 || total != 0 {
		t.Errorf("%d days, %g mm in all", len(days), total)
	}
	for k, w := range days {
		if w.Day != last+1+climate.Day(k) || w.NeedMM != 0 {
			t.Errorf("%v: %g mm", w.Day, w.NeedMM)
		}
		// 4 mm last for a day or two of autumn.
		if k >= 5 && w.DryShare != 3.0/12 {
			t.Errorf("%v: too dry in %.3f of the outcomes, want 3 of 12", w.Day, w.DryShare)
		}
	}
	if days[0].DryShare != 0 {
		t.Errorf("after rain to the day before, too dry in %.3f of the outcomes", days[0].DryShare)
	}
	rec.PrecipMM = nil
	if s, err = forecast.NewStation(rec); err != nil {
		t.Fatal(err)
	}
	if e, err = s.Ensemble(forecast.Options{Season: 2012}, forecast.EnsembleOptions{}); err != nil {
		t.Fatal(err)
	}
	if _, _, err := e.Water(last+1, 21); !errors.Is(err, forecast.ErrNoRain) {
		t.Errorf("water of a record without rain: %v", err)
	}
}
