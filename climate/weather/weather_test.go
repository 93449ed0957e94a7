package weather

import (
	"math"
	"testing"

	"swardcast/climate"
)

func TestGenerate(t *testing.T) {
	c := Piedmont()
	first, last := climate.Date(1970, 1, 1), climate.Date(2029, 12, 31)
	r := Generate(c, 1, first, last)
	if again := Generate(c, 1, first, last); again.TMaxC[9000] != r.TMaxC[9000] ||
		again.PrecipMM[9001] != r.PrecipMM[9001] {
		t.Error("the same seed gives another record")
	}
	if other := Generate(c, 2, first, last); other.TMaxC[9000] == r.TMaxC[9000] && other.TMaxC[9001] == r.TMaxC[9001] {
		t.Error("another seed gives the same record")
	}
	wet, sum := 0, 0.0
	air := make([]float64, r.Len())
	for i := range air {
		if !(r.TMaxC[i] > r.TMinC[i]) {
			t.Fatalf("%v: highest %g, lowest %g", r.Day(i), r.TMaxC[i], r.TMinC[i])
		}
		air[i] = (r.TMaxC[i] + r.TMinC[i]) / 2
		if r.PrecipMM[i] > 0 {
			wet++
			sum += r.PrecipMM[i]
		}
	}
	n, err := climate.FitNormal(first, air, 1)
	if err != nil {
		t.Fatal(err)
	}
	// Outbreaks, 4 a year of 7 °C fading by 0.68 a day, take 88 degree days:
	// 0.24 °C off the mean.
	if math.Abs(n.Mean-(c.Mean-0.24)) > 0.3 {
		t.Errorf("mean %.2f °C", n.Mean)
	}
	if math.Abs(n.Amplitude()-c.Amplitude) > 0.5 {
		t.Errorf("amplitude %.2f °C", n.Amplitude())
	}
	if share := float64(wet) / float64(len(air)); math.Abs(share-c.WetShare) > 0.02 {
		t.Errorf("%.3f of the days are wet", share)
	}
	if mm := sum / float64(wet); math.Abs(mm-c.WetMM) > 0.7 {
		t.Errorf("%.2f mm a wet day", mm)
	}
}
