package turf

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// The published worked examples: 92 % × 80 % → 0.736, 1.359 (Penn State prints
// 74 %, 1.4); 0.85 × 0.75 → 0.6375, 1.569 (TxDOT prints 0.64, 1.56, a digit cut
// off).
func ExamplePureLiveSeed() {
	for _, s := range [][2]float64{{0.92, 0.80}, {0.85, 0.75}} {
		pls := PureLiveSeed(s[0], s[1])
		fmt.Printf("%.4f %.3f; %.0f %%, %.1f\n", pls, 1/pls, 100*pls, 1/pls)
	}
	// Output:
	// 0.7360 1.359; 74 %, 1.4
	// 0.6375 1.569; 64 %, 1.6
}

// LSU: 20 000 ft² at 1 lb PLS a 1000 ft², 0.48 × 0.80 → 52.08 lb (LSU prints
// 52.6).
func ExampleSowing() {
	const pound, ft2 = 453.59237, 0.3048 * 0.3048
	s := Sowing{AreaM2: 20000 * ft2, RateGM2: pound / (1000 * ft2), Purity: 0.48, Germination: 0.80}
	fmt.Printf("%.2f lb\n", s.WeightG()/pound)
	// Output: 52.08 lb
}

func TestRates(t *testing.T) {
	for _, c := range []struct {
		species          string
		use              Use
		usual, low, high float64 // lb/1000 ft²
	}{
		{"perennial-ryegrass", HomeLawn, 7.5, 5, 10}, {"annual-ryegrass", SportsField, 10, 8, 12},
		{"perennial-ryegrass", Fairway, 14.3, 4.6, 20.7}, {"tall-fescue", NewLawn, 7, 6, 8},
		{"kentucky-bluegrass", NewLawn, 2, 1, 3}, {"rough-bluegrass", PuttingTurf, 11, 10, 12},
		{"perennial-ryegrass", PuttingTurf, 30, 29, 40}, {"perennial-ryegrass", FineTurf, 25, 25, 25},
		{"creeping-bentgrass", NewLawn, 0.75, 0.5, 1},
		{"red-fescue", NewLawn, 4, 3, 5}, {"rough-bluegrass", NewLawn, 2, 1, 3},
		{"perennial-ryegrass", NewLawn, 5, 4, 6},
	} {
		r, ok := RateFor(c.species, c.use)
		off := math.Abs(r.Usual/poundsPer1000-c.usual) + math.Abs(r.Low/poundsPer1000-c.low) +
			math.Abs(r.High/poundsPer1000-c.high)
		if !ok || off > 1e-9 {
			t.Errorf("%s, %s: %+v", c.species, c.use, r)
		}
		if r.Source == "" || r.Evidence.Meaning() == "" {
			t.Errorf("%s, %s: no source", c.species, c.use)
		}
	}
	if _, ok := RateFor("hard-fescue", Fairway); ok {
		t.Error("a rate that nobody published")
	}
	// One pound in a thousand square feet is 4.88 g/m².
	if math.Abs(poundsPer1000-4.8824) > 1e-4 {
		t.Errorf("%g g/m²", poundsPer1000)
	}
}

// More area never needs less seed, better seed never more, and the ways back
// agree.
func TestSowingProperties(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for range 2000 {
		s := Sowing{
			AreaM2:  1 + 5000*random.Float64(),
			RateGM2: 1 + 100*random.Float64(),
			Overlap: random.Float64() / 2,
			Loss:    random.Float64() * 0.9,
		}
		if random.IntN(2) == 0 {
			// (Purity and coating together stay under the whole.)
			s.Purity, s.Germination = 0.3+0.7*random.Float64(), 0.3+0.7*random.Float64()
		} else {
			s.Coating = 0.8 * random.Float64()
		}
		if err := s.Check(); err != nil {
			t.Fatal(err)
		}
		w := s.WeightG()
		larger, better := s, s
		larger.AreaM2 *= 1.5
		better.Purity, better.Germination, better.Coating = math.Min(1, s.Purity*1.1), math.Min(1, s.Germination*1.1),
			s.Coating*0.8
		if larger.WeightG() < w || better.WeightG() > w*(1+1e-12) {
			t.Fatalf("%+v: %g g, larger %g, better %g", s, w, larger.WeightG(), better.WeightG())
		}
		if math.Abs(s.RateFrom(w)-s.RateGM2) > 1e-9*s.RateGM2 || math.Abs(s.AreaFrom(w)-s.AreaM2) > 1e-9*s.AreaM2 {
			t.Fatalf("%+v: %g g give %g g/m², %g m²", s, w, s.RateFrom(w), s.AreaFrom(w))
		}
	}
}

// Purity on the label counts the coating as inert: it is not taken off twice.
func TestCoating(t *testing.T) {
	if got := Coated(100, 0.5); got != 200 {
		t.Errorf("100 g of seed are %g g with half coating", got)
	}
	s := Sowing{AreaM2: 100, RateGM2: 10, Purity: 0.49, Germination: 0.9, Coating: 0.5}
	bare := s
	bare.Coating = 0
	if s.WeightG() != bare.WeightG() {
		t.Error("coating counts beside the label's purity")
	}
}

func TestSowingRefused(t *testing.T) {
	good := Sowing{AreaM2: 100, RateGM2: 10}
	for name, change := range map[string]func(*Sowing){
		"no area": func(s *Sowing) { s.AreaM2 = 0 }, "no rate": func(s *Sowing) { s.RateGM2 = 0 },
		"purity over 100": func(s *Sowing) { s.Purity = 1.01 }, "all coating": func(s *Sowing) { s.Coating = 1 },
		"all lost": func(s *Sowing) { s.Loss = 1 }, "negative overlap": func(s *Sowing) { s.Overlap = -0.1 },
		"more than whole": func(s *Sowing) { s.Purity, s.Germination, s.Coating = 0.5, 0.9, 0.6 },
		"NaN":             func(s *Sowing) { s.Germination = math.NaN() },
		"endless":         func(s *Sowing) { s.AreaM2 = math.Inf(1) },
	} {
		s := good
		change(&s)
		if err := s.Check(); !errors.Is(err, ErrSowing) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestEmergenceAndDormancy(t *testing.T) {
	// Bellotti & Blair 1989 (S): perennial ryegrass 68–94 %, tall fescue 18–69 %.
	if a, b := FieldEmergence("perennial-ryegrass"), FieldEmergence("tall-fescue"); a.Low != 0.68 || a.High != 0.94 ||
		b.Low != 0.18 || b.High != 0.69 || a.Evidence != Seen || b.Evidence != Seen {
		t.Errorf("%+v, %+v", a, b)
	}
	if FieldEmergence("meadow-fescue").Evidence != Unverified {
		t.Error("a borrowed figure is upgraded")
	}
	for _, s := range All() {
		e := FieldEmergence(s.ID)
		if !(0 < e.Low && e.Low < e.High && e.High < 1) || e.Source == "" {
			t.Errorf("%s: %+v", s.ID, e)
		}
	}
	if DormantSeeding("perennial-ryegrass") || !DormantSeeding("kentucky-bluegrass") {
		t.Error("dormant seeding")
	}
}

// Ground sown twice takes its seed twice, and seed lost is sown besides:
// 100 m² × 10 g/m² × 1.5 is 1500 g, and 1500 g / 0.8 is 1875 g.
func TestOverlapAndLoss(t *testing.T) {
	s := Sowing{AreaM2: 100, RateGM2: 10, Overlap: 0.5}
	if got := s.WeightG(); math.Abs(got-1500) > 1e-9 {
		t.Errorf("half of the ground sown twice takes %g g", got)
	}
	if s.Loss = 0.2; math.Abs(s.WeightG()-1875) > 1e-9 {
		t.Errorf("with a fifth lost it takes %g g", s.WeightG())
	}
}
