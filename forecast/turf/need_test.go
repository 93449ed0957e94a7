package turf_test

import (
	"math"
	"testing"

	"swardcast/forecast/turf"
)

func need(t *testing.T) *turf.Need {
	t.Helper()
	sp, ok := turf.Find("perennial-ryegrass")
	if !ok {
		t.Fatal("no perennial ryegrass")
	}
	// 10 g/m² on 100 m² is a kilogram.
	return &turf.Need{Species: sp, Sowing: turf.Sowing{AreaM2: 100, RateGM2: 10}}
}

func TestNeedOfBagsByHand(t *testing.T) {
	n := need(t)
	n.BagG, n.Price, n.PerBag = 100, 7, true
	for weight, want := range map[float64]int{1000: 10, 1000.5: 11, 1: 1, 0: 0, 100: 1} {
		if got := n.Bags(weight); got != want {
			t.Errorf("%g g: %d bags, want %d", weight, got, want)
		}
		if got := n.Cost(weight); got != 7*float64(want) {
			t.Errorf("%g g in bags cost %g", weight, got)
		}
	}
	// Ten bags of a tenth are no eleven, however a tenth is stored.
	n.BagG = 0.1
	if got := n.Bags(0.1 + 0.1 + 0.1); got != 3 {
		t.Errorf("three bags are %d", got)
	}
	n.PerBag = false
	if got := n.Cost(250); got != 7*250 {
		t.Errorf("250 g at 7 a gram cost %g", got)
	}
}

func TestNeedOfSeedLeft(t *testing.T) {
	n := need(t)
	for _, c := range []struct {
		left *float64
		want float64
	}{{nil, 1000}, {new(0.0), 1000}, {new(400.0), 600}, {new(1000.0), 0}, {new(2000.0), 0}} {
		n.LeftG = c.left
		if got := n.ShortG(); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("left %v: %g g short, want %g", c.left, got, c.want)
		}
	}
}

// Of seed with a label the rate is of pure live seed: all of it lives.
func TestNeedOfPlants(t *testing.T) {
	bought := need(t)
	low, high := bought.Plants()
	labelled := need(t)
	labelled.Sowing.Purity, labelled.Sowing.Germination = 0.9, 0.8
	lowLive, highLive := labelled.Plants()
	if math.Abs(low-lowLive*turf.UsualViable) > 1e-9 || math.Abs(high-highLive*turf.UsualViable) > 1e-9 ||
		!(low < high) {
		t.Errorf("as bought %g to %g, live %g to %g", low, high, lowLive, highLive)
	}
	e := turf.FieldEmergence(labelled.Species.ID)
	if want := 10 * labelled.Species.SeedsPerGram.Value * e.High; math.Abs(highLive-want) > 1e-9 {
		t.Errorf("%g plants, want %g", highLive, want)
	}
	labelled.Species.SeedsPerGram.Value = 0
	if low, high := labelled.Plants(); low != 0 || high != 0 {
		t.Errorf("of unknown seed %g to %g plants", low, high)
	}
}
