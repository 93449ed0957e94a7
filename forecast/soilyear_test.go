package forecast_test

import (
	"errors"
	"math"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast"
	"swardcast/forecast/soil"
)

// sensors returns a station of twenty years whose soil is a sine: 15 °C in the
// mean, 10 °C either side, warmest on 15 July; the last year is as many degrees
// warmer as asked.
func sensors(t *testing.T, warmer float64) *forecast.Station {
	t.Helper()
	rec := climate.NewRecord(climate.Place{Latitude: new(40.0)}, climate.Date(2001, 1, 1), 20*365)
	at5, at10 := make([]float64, rec.Len()), make([]float64, rec.Len())
	for i := range at5 {
		d := rec.Day(i)
		wave := math.Cos(2 * math.Pi * float64(d-climate.Date(d.Year(), time.July, 15)) / climate.TropicalYear)
		rec.TMaxC[i], rec.TMinC[i] = 21+12*wave, 9+12*wave
		at5[i], at10[i] = 15+11*wave, 15+10*wave
		if d > rec.Last()-365 {
			at5[i], at10[i] = at5[i]+warmer, at10[i]+warmer
		}
	}
	s, err := forecast.NewStation(rec)
	if err != nil {
		t.Fatal(err)
	}
	if s, err = s.WithSoil(at5, at10); err != nil {
		t.Fatal(err)
	}
	return s
}

// 20 °C lies half an amplitude above the mean: the sine passes it a sixth of a
// year, 60.9 days, either side of 15 July; three degrees more move it on by
// acos(0.2)/2π − 1/6 of a year, 18.8 days, and the trailing week by three.
func TestSoilYearByHand(t *testing.T) {
	s := sensors(t, 3)
	y, err := s.SoilYear(soil.Depth10, []float64{20, 60})
	if err != nil {
		t.Fatal(err)
	}
	last := s.Record.Last()
	if y.To != last || y.From != last-365 { // with 29 February
		t.Errorf("the year runs from %v to %v", y.From, y.To)
	}
	peak := climate.Date(2020, time.July, 15)
	near := func(what string, got *climate.Day, want float64) {
		t.Helper()
		if got == nil || math.Abs(float64(*got-peak)-want) > 2 {
			t.Errorf("%s: %v, want %.1f days from 15 July", what, got, want)
		}
	}
	if math.Abs(y.Warmest.TempC-25.15) > 0.1 || math.Abs(y.Coldest.TempC-5.15) > 0.1 {
		t.Errorf("warmest %+v, coldest %+v", y.Warmest, y.Coldest) // a twentieth of 3 °C above the sine
	}
	near("warmest", &y.Warmest.Day, 0)
	if len(y.Crossings) != 2 {
		t.Fatalf("crossings %+v: 60 °C is never reached", y.Crossings)
	}
	falling, rising := y.Crossings[0], y.Crossings[1]
	if falling.Rising || !rising.Rising || falling.ThresholdC != 20 {
		t.Errorf("crossings %+v", y.Crossings)
	}
	near("falling, normal", falling.Normal, 61)
	near("rising, normal", rising.Normal, -61)
	near("falling, past year", falling.PastYear, 60.9+18.8+3)
	near("rising, past year", rising.PastYear, -60.9-18.8+3)

	days := s.SoilDays(y.From, y.To)
	if len(days) != 366 || days[365].Day != last || days[365].Soil10C != y.NowC ||
		math.Abs(days[0].Normal10C-y.Normal.At(y.From)) > 1e-9 {
		t.Errorf("%d days, the last %+v, %g now", len(days), days[len(days)-1], y.NowC)
	}
	if days[0].Soil5C == days[0].Soil10C || days[0].Filled {
		t.Errorf("day %+v", days[0])
	}
	if got := s.SoilDays(last+1, last+9); len(got) != 0 {
		t.Errorf("days after the record: %v", got)
	}
}

func TestSoilDepths(t *testing.T) {
	s := sensors(t, 0)
	at5, err := s.SoilYear(soil.Depth5, nil)
	if err != nil {
		t.Fatal(err)
	}
	at10, err := s.SoilYear(soil.Depth10, nil)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(at5.Normal.Amplitude()-11) > 0.05 || math.Abs(at10.Normal.Amplitude()-10) > 0.05 {
		t.Errorf("amplitudes %g and %g, want 11 and 10", at5.Normal.Amplitude(), at10.Normal.Amplitude())
	}
	for _, d := range []soil.Depth{0, 20, -5} {
		if _, err := s.SoilYear(d, nil); !errors.Is(err, soil.ErrDepth) {
			t.Errorf("year at %d cm: %v", d, err)
		}
		if _, err := s.SoilSpread(d, s.Record.First, s.Record.First); !errors.Is(err, soil.ErrDepth) {
			t.Errorf("spread at %d cm: %v", d, err)
		}
	}
	for _, c := range []float64{math.NaN(), math.Inf(1)} {
		if _, err := s.SoilYear(soil.Depth5, []float64{c}); !errors.Is(err, climate.ErrThreshold) {
			t.Errorf("threshold %g: %v", c, err)
		}
	}
}
