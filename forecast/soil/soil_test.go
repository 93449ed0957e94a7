package soil

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/weather"
)

// By hand from the equation, mean 15 °C, amplitude 5, coldest at the surface on day 0 of 365,
// κ = 0.5 mm²/s: d = √(0.5e-6 × 31 536 000 / π) = 2.240 m. At the surface 15 − 5 = 10 on day 0
// and 15 + 5 = 20 half a year later. At one damping depth the swing is 5/e = 1.84 and the
// coldest day a radian later, 365/2π = 58.1 days: 15 − 1.84 = 13.16.
func ExampleWave() {
	const day = 86400
	w := Wave{Mean: 15, Amplitude: 5, Start: 365 * day / 4, Period: 365 * day, Diffusivity: 0.5e-6}
	fmt.Printf("%.3f m\n", w.Depth())
	fmt.Printf("%.2f %.2f %.2f\n", w.At(0, 0), w.At(0, 182.5*day), w.At(w.Depth(), 365*day/(2*math.Pi)))
	// Output:
	// 2.240 m
	// 10.00 20.00 13.16
}

// Damping depths from 27 years of Dutch grassland: 1.80 m annual, 0.10 m daily
// (Jacobs et al. 2011, Agric. For. Meteorol. 151:774, S). One diffusivity makes
// their ratio √365.25 = 19.1; measured, it is 18.
func TestDampingDepth(t *testing.T) {
	const day = 86400
	daily := Wave{Period: day, Diffusivity: math.Pi * 0.10 * 0.10 / day}
	annual := Wave{Period: 365.25 * day, Diffusivity: daily.Diffusivity}
	if math.Abs(daily.Depth()-0.10) > 1e-12 {
		t.Errorf("daily damping depth %.3f m", daily.Depth())
	}
	// The published depths are given to two digits: 0.095 to 0.105 m a day.
	if ratio := annual.Depth() / 1.80; ratio < 0.95 || ratio > 1.12 {
		t.Errorf("annual damping depth %.2f m, measured 1.80", annual.Depth())
	}
	// The diffusivity this asks for is one of a moist loam: between those of
	// moist clay and moist sand (Moene & van Dam, Table 2.2, S).
	if k := daily.Diffusivity * 1e6; k < 0.16 || k > 0.99 {
		t.Errorf("diffusivity %.2f mm²/s", k)
	}
}

func TestEMA(t *testing.T) {
	// A step of 1 is 1 − 1/e away after τ days.
	x := make([]float64, 21)
	for i := range x {
		x[i] = 1
	}
	if got := EMA(x, 20, 0)[19]; math.Abs(got-(1-1/math.E)) > 1e-12 {
		t.Errorf("after τ days a step is followed by %.6f", got)
	}
	if got := EMA([]float64{5, 5}, 3, 5); got[1] != 5 {
		t.Errorf("a steady series moves: %v", got)
	}
}

func TestMeanVariance(t *testing.T) {
	for _, n := range []int{1, 2, 7, 40} {
		for _, tau := range []float64{0.5, 2, 20} {
			sum := 0.0
			for i := range n {
				for j := range n {
					sum += math.Exp(-math.Abs(float64(i-j)) / tau)
				}
			}
			if got, want := meanVariance(n, tau), sum/float64(n*n); math.Abs(got-want) > 1e-9 {
				t.Errorf("mean of %d, τ %g: %.9f, term by term %.9f", n, tau, got, want)
			}
		}
	}
}

// Equal weights are a plain mean.
func TestWeightedMeanSD(t *testing.T) {
	for _, r := range []Residual{residual5, residual10} {
		for _, n := range []int{1, 7, 30} {
			weights := slices.Repeat([]float64{1 / float64(n)}, n)
			if got, want := r.WeightedMeanSD(weights), r.MeanSD(n); !(math.Abs(got-want) <= 1e-12) {
				t.Errorf("%d days: %g, mean %g", n, got, want)
			}
		}
	}
}

func TestResidual(t *testing.T) {
	for _, r := range []*Residual{&residual5, &residual10} {
		if !(r.MeanSD(1) > r.MeanSD(7) && r.MeanSD(7) > r.MeanSD(30) && r.MeanSD(30) >= r.SeasonSD) {
			t.Errorf("a longer mean is not surer: %g, %g, %g", r.MeanSD(1), r.MeanSD(7), r.MeanSD(30))
		}
		if r.Site(time.July, false) != r.Site(time.January, true) || r.Site(time.December, true) != r.SiteSD[5] {
			t.Error("the southern year is not shifted by six months")
		}
	}
}

func generated(t testing.TB, latitude float64) *climate.Record {
	c := weather.Piedmont()
	c.Place.Latitude = &latitude
	return weather.Generate(c, 1, climate.Date(2001, 1, 1), climate.Date(2006, 12, 31))
}

func TestEstimate(t *testing.T) {
	r := generated(t, 36)
	curve, err := Turf().Estimate(r, nil)
	if err != nil {
		t.Fatal(err)
	}
	at5, at10, err := curve.Normals()
	if err != nil {
		t.Fatal(err)
	}
	// Deeper soil swings less and peaks later, and all soil swings less than
	// the air: common knowledge of soil physics, the damped wave says so.
	air, err := climate.FitNormal(r.First, mean(r), 1)
	if err != nil {
		t.Fatal(err)
	}
	if !(at10.Amplitude() < at5.Amplitude() && at5.Amplitude() < air.Amplitude()*1.02) {
		t.Errorf("annual swings: air %.2f, 5 cm %.2f, 10 cm %.2f", air.Amplitude(), at5.Amplitude(), at10.Amplitude())
	}
	if lag := at5.Peak(2003) - air.Peak(2003); lag < -3 || lag > 15 {
		t.Errorf("the soil peaks %d days after the air", lag)
	}
	if spread(curve.Soil10C) >= spread(curve.Soil5C) {
		t.Error("10 cm jumps more from day to day than 5 cm")
	}
}

// A warmer record never has colder soil: every response to a lasting change of
// the air is positive.
func TestWarmerAirWarmerSoil(t *testing.T) {
	for _, latitude := range []float64{26, 36, 46, 56} {
		for _, shift := range []float64{-25, -12, 0, 8} {
			a := generated(t, latitude)
			b := generated(t, latitude)
			for i := range a.TMaxC {
				a.TMaxC[i] += shift
				a.TMinC[i] += shift
				b.TMaxC[i] = a.TMaxC[i] + 1
				b.TMinC[i] = a.TMinC[i] + 1
			}
			x, errX := Turf().Estimate(a, nil)
			y, errY := Turf().Estimate(b, nil)
			if errX != nil || errY != nil {
				t.Fatal(errX, errY)
			}
			for i := range x.Soil5C {
				if y.Soil5C[i] < x.Soil5C[i] || y.Soil10C[i] < x.Soil10C[i] {
					t.Fatalf("latitude %g, shift %g, %v: %.2f °C in 1 °C warmer air, %.2f before", latitude, shift,
						a.Day(i), y.Soil5C[i], x.Soil5C[i])
				}
			}
		}
	}
}

// Far from where the model was fitted it must stay sane.
func TestEstimateExtremes(t *testing.T) {
	for _, latitude := range []float64{25, 40, 60, -45} {
		for _, shift := range []float64{-45, 25} {
			r := generated(t, latitude)
			for i := range r.TMaxC {
				r.TMaxC[i] += shift
				r.TMinC[i] += shift
			}
			curve, err := Turf().Estimate(r, nil)
			if err != nil {
				t.Fatal(err)
			}
			for i, v := range curve.Soil5C {
				if !(v > -12 && v < 55) {
					t.Fatalf("latitude %g, air %.0f to %.0f °C: soil %.1f °C", latitude, r.TMinC[i], r.TMaxC[i], v)
				}
			}
		}
	}
}

func TestEstimateNeedsAir(t *testing.T) {
	r := generated(t, 36)
	r.TMaxC[100] = math.NaN()
	if _, err := Turf().Estimate(r, nil); err == nil {
		t.Error("a record with a gap is estimated")
	}
	if _, err := Turf().Estimate(generated(t, 36).Until(climate.Date(2001, 2, 9)), nil); err == nil {
		t.Error("forty days are estimated")
	}
}

func mean(r *climate.Record) []float64 {
	m := make([]float64, r.Len())
	for i := range m {
		m[i] = (r.TMaxC[i] + r.TMinC[i]) / 2
	}
	return m
}

// spread is the root mean square change from day to day.
func spread(y []float64) float64 {
	sum := 0.0
	for i := 1; i < len(y); i++ {
		sum += (y[i] - y[i-1]) * (y[i] - y[i-1])
	}
	return math.Sqrt(sum / float64(len(y)-1))
}
