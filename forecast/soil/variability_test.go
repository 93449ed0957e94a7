package soil

import (
	"math"
	"testing"

	"swardcast/climate"
)

// A sine of amplitude a and a period of p days departs from its exponential
// moving average by a sine too: a filter 1 − α / (1 − (1−α) e^(−iω)) of it.
func TestVariability(t *testing.T) {
	const amplitude, period = 4.0, 10.0
	r := climate.NewRecord(climate.Place{Latitude: new(50.0)}, climate.Date(2001, 1, 1), 2000)
	for i := range r.TMaxC {
		m := 10 + amplitude*math.Sin(2*math.Pi*float64(i)/period)
		r.TMaxC[i], r.TMinC[i] = m+5, m-5
	}
	v, ok, err := Variability(r, nil)
	if err != nil || !ok {
		t.Fatal(v, ok, err)
	}
	alpha, omega := 1-math.Exp(-1.0/8), 2*math.Pi/period
	re, im := 1-(1-alpha)*math.Cos(omega), (1-alpha)*math.Sin(omega)
	// |1 − α/(re + i im)|² = ((re − α)² + im²) / (re² + im²)
	gain := math.Sqrt(((re-alpha)*(re-alpha) + im*im) / (re*re + im*im))
	if want := amplitude / math.Sqrt2 * gain; math.Abs(v-want) > 0.01 {
		t.Errorf("variability %.4f °C, the filter gives %.4f", v, want)
	}
	// Days that were not measured do not count; too few of them tell nothing.
	if _, ok, err := Variability(r, func(i int) bool { return i < variabilityDays-1 }); ok || err != nil {
		t.Errorf("%d days tell the variability: %v", variabilityDays-1, err)
	}
	if _, ok, _ := Variability(r, func(i int) bool { _, m, _ := r.Day(i).Date(); return m != 5 }); ok {
		t.Error("a year without May tells the variability")
	}
	r.TMinC[7] = math.NaN()
	if _, _, err := Variability(r, nil); err == nil {
		t.Error("a record with a gap has a variability")
	}
}

// Air that is calmer than the limit gives the same soil: the column is not
// drawn on beyond the stations of the fit.
func TestCalmAir(t *testing.T) {
	row := func(amplitude float64) Row {
		r := climate.NewRecord(climate.Place{Latitude: new(50.0)}, climate.Date(2001, 1, 1), 2000)
		for i := range r.TMaxC {
			m := 10 + amplitude*math.Sin(2*math.Pi*float64(i)/10)
			r.TMaxC[i], r.TMinC[i] = m+5, m-5
		}
		rows, err := Design(r, nil)
		if err != nil {
			t.Fatal(err)
		}
		return rows[0]
	}
	calm, calmer, wild := row(4)[colVariability], row(1)[colVariability], row(20)[colVariability]
	low, high := minVariability-defaultVariability, maxVariability-defaultVariability
	if calm != calmer || math.Abs(calm-low) > 1e-12 || math.Abs(wild-high) > 1e-12 {
		t.Errorf("columns of calm, calmer and wild air: %g, %g, %g", calm, calmer, wild)
	}
}
