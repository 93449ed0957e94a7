package turf

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// Perennial ryegrass grown at 12 °C was killed at −7.0 °C, at 6 °C at −17.3 (seen in a copy
// of the paper, authors not shown, S2). Unhardened seedlings are killed near −6 °C (Eagles et
// al. 1993, S), hardened ones at −12.9 to −20.8 °C (Goslee 2017, S).
func TestKillTemp(t *testing.T) {
	s, _ := Find("perennial-ryegrass")
	at := func(soilC float64) float64 {
		v, _, ok := s.KillTemp(Hardening(soilC), 1)
		if !ok {
			t.Fatal("no figures")
		}
		return v
	}
	if v := at(12); math.Abs(v+7.0) > 1.5 {
		t.Errorf("grown at 12 °C killed at %.1f, published -7.0", v)
	}
	if v := at(6); math.Abs(v+17.3) > 2 || v > -12.9 || v < -20.8 {
		t.Errorf("grown at 6 °C killed at %.1f, published -17.3", v)
	}
	if v, _, _ := s.KillTemp(1, 0); v != s.Unhardened.Value {
		t.Errorf("a seedling just up is hardened to %.1f", v)
	}
}

// At −12 °C most meadow fescue lived, some tall fescue and few perennial ryegrasses (Abe
// 1980, S): the order of their figures, and the handbooks' order of the others (M).
func TestHardinessOrder(t *testing.T) {
	order := []string{"annual-ryegrass", "intermediate-ryegrass", "perennial-ryegrass", "tall-fescue", "meadow-fescue",
		"red-fescue", "kentucky-bluegrass", "creeping-bentgrass"}
	for i := range order[1:] {
		a, _ := Find(order[i])
		b, _ := Find(order[i+1])
		if a.Hardened.Value <= b.Hardened.Value {
			t.Errorf("%s, %g °C, is not less hardy than %s, %g", a.ID, a.Hardened.Value, b.ID, b.Hardened.Value)
		}
	}
}

func TestKillTempProperties(t *testing.T) {
	for _, s := range All() {
		before := math.Inf(1)
		for k := range 11 {
			v, sd, ok := s.KillTemp(float64(k)/10, 1)
			if !ok || v > before || sd <= 0 {
				t.Fatalf("%s: %g ± %g after %g", s.ID, v, sd, before)
			}
			before = v
		}
		if s.MatureShare(0) != 0 || s.MatureShare(s.Mature.Value) != 1 || s.MatureShare(1e6) != 1 {
			t.Errorf("%s: growth %g to %g", s.ID, s.MatureShare(0), s.MatureShare(s.Mature.Value))
		}
	}
	own := Species{}
	if _, _, ok := own.KillTemp(1, 1); ok || own.MatureShare(5) != 1 {
		t.Error("a species without figures has some")
	}
	if Hardening(20) != 0 || Hardening(9) != 0.5 || Hardening(-5) != 1 {
		t.Error("hardening")
	}
}

// A stage of cover is offered where a figure was published: tall fescue, 1000 °C d (Zhang
// 2012, S; base inferred).
func TestCovered(t *testing.T) {
	for _, s := range All() {
		if s.Has(Covered) != (s.ID == "tall-fescue") || !s.Has(Tillered) || s.Has("ripe") {
			t.Errorf("%s: covered %v", s.ID, s.Has(Covered))
		}
	}
	s, _ := Find("tall-fescue")
	if s.ThermalTime(Covered) != 1000 || s.Covered.Evidence != Derived || s.ThermalTimeSD(Covered) <= 0 {
		t.Errorf("%+v", s.Covered)
	}
}

// The emergence of a species is its source's: the middle of the range is the mean, the range
// about the middle 80 %.
func TestEmergenceBeta(t *testing.T) {
	for _, s := range All() {
		e := FieldEmergence(s.ID)
		a, b := e.Beta()
		d := distuv.Beta{Alpha: a, Beta: b}
		if math.Abs(d.Mean()-(e.Low+e.High)/2) > 1e-12 {
			t.Errorf("%s: mean %g", s.ID, d.Mean())
		}
		if low, high := d.Quantile(0.1), d.Quantile(0.9); math.Abs(low-e.Low) > 0.03 || math.Abs(high-e.High) > 0.03 {
			t.Errorf("%s: 80 %% of %.2f to %.2f, published %.2f to %.2f", s.ID, low, high, e.Low, e.High)
		}
	}
}

// To thicken a stand takes no more than bare soil, and says that it is practice.
func TestThicken(t *testing.T) {
	for _, id := range []string{"tall-fescue", "red-fescue", "kentucky-bluegrass", "creeping-bentgrass", "perennial-ryegrass"} {
		bare, _ := RateFor(id, NewLawn)
		r, ok := RateFor(id, Thicken)
		ordered := r.Low <= r.Usual && r.Usual <= r.High
		if !ok || r.Evidence != Practice || r.High != bare.High || !ordered || r.Usual >= bare.Usual {
			t.Errorf("%s: %+v", id, r)
		}
	}
	if _, ok := RateFor("annual-ryegrass", Thicken); ok {
		t.Error("a rate without a source")
	}
}
