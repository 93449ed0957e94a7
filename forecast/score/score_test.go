package score

import (
	"math"
	"testing"
)

// Worked out by hand (D): f .2 .2 .8 .8, o 0 1 1 1 → 0.19 = 0.065 − 0.0625 +
// 0.1875.
func TestBrier(t *testing.T) {
	b := NewBrier([]float64{.2, .2, .8, .8}, []bool{false, true, true, true}, 10)
	for _, c := range []struct {
		name      string
		got, want float64
	}{{"score", b.Score, 0.19}, {"reliability", b.Reliability, 0.065}, {"resolution", b.Resolution, 0.0625},
		{"uncertainty", b.Uncertainty, 0.1875}} {
		if math.Abs(c.got-c.want) > 1e-12 {
			t.Errorf("%s %g, want %g", c.name, c.got, c.want)
		}
	}
	if b := NewBrier(nil, nil, 10); !math.IsNaN(b.Score) {
		t.Errorf("no cases score %g", b.Score)
	}
}

func TestGroups(t *testing.T) {
	g := Groups([]float64{0, 0.05, 0.95, 1}, []bool{false, false, true, false}, 10)
	if len(g) != 2 || g[0].N != 2 || g[1].N != 2 || g[1].Observed != 0.5 || math.Abs(g[1].Mean-0.975) > 1e-12 ||
		g[1].High != 1 {
		t.Errorf("%+v", g)
	}
}

// N(0,1) at 0: 0.23369497725510913 (S); {1, 2, 4} at 3: 2/3 (D).
func TestCRPS(t *testing.T) {
	if got := CRPSNormal(0, 1, 0); math.Abs(got-0.23369497725510913) > 1e-15 {
		t.Errorf("normal: %.17g", got)
	}
	if got := CRPS([]float64{1, 2, 4}, 3); math.Abs(got-2.0/3) > 1e-15 {
		t.Errorf("ensemble: %.17g", got)
	}
	if got := CRPS([]float64{5}, 3); got != 2 {
		t.Errorf("one member: %g", got)
	}
}

func TestMisusePanics(t *testing.T) {
	for want, f := range map[string]func(){
		"score: 2 chances for 1 outcomes": func() { NewBrier([]float64{0, 1}, []bool{true}, 10) },
		"score: a chance of NaN":          func() { Groups([]float64{math.NaN()}, []bool{true}, 10) },
		"score: a chance of 1.5":          func() { NewBrier([]float64{1.5}, []bool{true}, 10) },
		"score: 0 ranges of chance":       func() { Groups([]float64{1}, []bool{true}, 0) },
	} {
		func() {
			defer func() {
				if got := recover(); got != want {
					t.Errorf("panic %v, want %q", got, want)
				}
			}()
			f()
		}()
	}
}
