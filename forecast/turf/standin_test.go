package turf

import (
	"math"
	"testing"
)

// No built-in species is left without a rate for any use, and what is published goes
// before what stands in.
func TestRateOrStandIn(t *testing.T) {
	for _, sp := range All() {
		for _, use := range Uses() {
			r, basis, ok := RateOrStandIn(&sp, use)
			if !ok || !(0 < r.Low && r.Low <= r.Usual && r.Usual <= r.High) || r.Source == "" {
				t.Errorf("%s, %s: %+v, %v", sp.ID, use, r, ok)
			}
			published, known := RateFor(sp.ID, use)
			if known != (basis == RatePublished) || known && r != published {
				t.Errorf("%s, %s: %s, published %v", sp.ID, use, basis, known)
			}
			if !known && r.Evidence == Seen && basis != RateNewLawn {
				t.Errorf("%s, %s: a rate that stands in is called published", sp.ID, use)
			}
		}
	}
}

// By hand, from the seeds in a pound of 7 CFR 201.46: the seeds on an area are those of
// the related species.
func TestRateOfRelative(t *testing.T) {
	annual, _ := Find("annual-ryegrass")
	perennial, _ := Find("perennial-ryegrass")
	r, basis, _ := RateOrStandIn(&annual, NewLawn)
	a, b := r.Usual*annual.SeedsPerGram.Value, 5*poundsPer1000*perennial.SeedsPerGram.Value
	if basis != RateRelative || math.Abs(a-b) > 1e-6*b {
		t.Errorf("%s: %g seeds, want %g", basis, a, b)
	}
}

// The seeds that make a stand give, for the species with a published new-lawn rate, a
// rate within a factor of two of it (Cornell, S): the arithmetic is good for no more.
func TestRateOfStand(t *testing.T) {
	for _, id := range []string{"perennial-ryegrass", "tall-fescue", "kentucky-bluegrass"} {
		sp, _ := Find(id)
		published, _ := RateFor(id, NewLawn)
		own := sp
		own.ID = "my-own"
		r, basis, ok := RateOrStandIn(&own, NewLawn)
		if q := r.Usual / published.Usual; !ok || basis != RateStand || q < 0.5 || q > 2 {
			t.Errorf("%s: %s, %g of the published rate", id, basis, q)
		}
		own.SeedsPerGram.Value = 0
		if _, _, ok := RateOrStandIn(&own, NewLawn); ok {
			t.Errorf("%s: a rate of nothing", id)
		}
	}
}

// Ratios of the rates that TestRates checks: 7.5, 10, 14.3, 25 and 30 to 5.
func TestUseFactor(t *testing.T) {
	for use, want := range map[Use]float64{
		NewLawn: 1, HomeLawn: 1.5, SportsField: 2, Fairway: 2.86, FineTurf: 5, PuttingTurf: 6,
	} {
		if got := UseFactor(use); math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %g, want %g", use, got, want)
		}
	}
}
