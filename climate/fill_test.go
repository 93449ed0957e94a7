package climate

import (
	"errors"
	"math"
	"testing"
)

func TestBridge(t *testing.T) {
	nan := math.NaN()
	anomaly := []float64{4, nan, nan, nan, 2}
	const rho = 0.5
	// The middle of three, by hand: two days from both sides,
	// (ρ²(1−ρ⁴)·4 + ρ²(1−ρ⁴)·2) / (1−ρ⁸) = 0.25·0.9375·6/0.99609375.
	if got, want := bridge(anomaly, 0, 2, 4, rho), 0.25*0.9375*6/0.99609375; math.Abs(got-want) > 1e-12 {
		t.Errorf("middle of the gap: %g, want %g", got, want)
	}
	// The conditional mean solves a(k) = ρ/(1+ρ²) (a(k−1) + a(k+1)), the
	// equation of a first-order process between its neighbours.
	a := []float64{4, bridge(anomaly, 0, 1, 4, rho), bridge(anomaly, 0, 2, 4, rho), bridge(anomaly, 0, 3, 4, rho), 2}
	for k := 1; k <= 3; k++ {
		if want := rho / (1 + rho*rho) * (a[k-1] + a[k+1]); math.Abs(a[k]-want) > 1e-12 {
			t.Errorf("day %d: %g, neighbours ask for %g", k, a[k], want)
		}
	}
	if got := bridge(anomaly, 4, 6, 9, rho); got != 2*0.25 {
		t.Errorf("beyond the end: %g", got)
	}
	if got := bridge(anomaly, -1, 2, 5, rho); got != 0 {
		t.Errorf("nothing known: %g", got)
	}
}

func TestFill(t *testing.T) {
	r := NewRecord(Place{}, Date(2001, 1, 1), 3*365)
	for i := range r.TMaxC {
		wave := 10 * math.Sin(2*math.Pi*float64(i)/TropicalYear)
		r.TMaxC[i], r.TMinC[i] = 20+wave+3*math.Sin(float64(i)/3), 8+wave
	}
	whole := r.TMaxC[500]
	r.TMaxC[500] = math.NaN()
	for i := 700; i < 800; i++ {
		r.TMinC[i] = math.NaN()
	}
	out, filled, err := Fill(r)
	if err != nil {
		t.Fatal(err)
	}
	if !math.IsNaN(r.TMaxC[500]) {
		t.Error("the record given was changed")
	}
	n := 0
	for i := range filled {
		if out.Missing(i) {
			t.Fatalf("day %d is still missing", i)
		}
		if filled[i] {
			n++
		} else if out.TMaxC[i] != r.TMaxC[i] || out.TMinC[i] != r.TMinC[i] {
			t.Fatalf("day %d was not missing and is changed", i)
		}
	}
	if n != 101 {
		t.Errorf("%d days marked as filled, want 101", n)
	}
	if d := math.Abs(out.TMaxC[500] - whole); d > 1 {
		t.Errorf("one missing day is filled %.1f °C off, among neighbours that swing by 3", d)
	}
	wave := 8 + 10*math.Sin(2*math.Pi*750/TropicalYear)
	if d := math.Abs(out.TMinC[750] - wave); d > 0.3 {
		t.Errorf("the middle of a long gap is %.2f °C off the normal", d)
	}
	if _, _, err := Fill(r.Until(r.First + 39)); !errors.Is(err, ErrTooShort) {
		t.Errorf("forty days: %v", err)
	}
}

func TestRecordUntil(t *testing.T) {
	r := NewRecord(Place{}, Date(2001, 1, 1), 10)
	r.PrecipMM = missing(10)
	for _, c := range []struct {
		last Day
		n    int
	}{{Date(2001, 1, 4), 4}, {Date(2002, 1, 1), 10}, {Date(2000, 1, 1), 0}} {
		if part := r.Until(c.last); part.Len() != c.n || len(part.PrecipMM) != c.n || part.Validate() != nil {
			t.Errorf("until %v: %d days", c.last, part.Len())
		}
	}
	r.Place.Latitude = new(95.0)
	if r.Validate() == nil {
		t.Error("latitude 95 is valid")
	}
}
