package sensors

import (
	"math"
	"slices"
	"testing"

	"swardcast/climate/recordstest"
)

func TestConrad(t *testing.T) {
	// By hand: 1.7 × 10 / sin 62° − 14 = 17 / 0.88295 − 14, the same south of the
	// equator; 1.7 × 30 / sin 55° − 14 = 51 / 0.81915 − 14.
	for _, c := range []struct{ rangeC, latitude, want float64 }{{10, 52, 5.254}, {10, -52, 5.254}, {30, 45, 48.260}} {
		if got := conrad(c.rangeC, c.latitude); math.Abs(got-c.want) > 0.001 {
			t.Errorf("range %g °C at %g°: %.3f, by hand %.3f", c.rangeC, c.latitude, got, c.want)
		}
	}
}

func TestMarine(t *testing.T) {
	mild := Climate{WarmestC: 15, ColdestC: 5, Continentality: 5, RainMM: 1000}
	if !mild.Marine() {
		t.Error("a mild, wet, oceanic climate is not marine")
	}
	for name, change := range map[string]func(*Climate){
		"hot summer":      func(c *Climate) { c.WarmestC = 22 },
		"cold winter":     func(c *Climate) { c.ColdestC = 0 },
		"continental":     func(c *Climate) { c.Continentality = 20 },
		"dry":             func(c *Climate) { c.RainMM = 600 },
		"unknown rain":    func(c *Climate) { c.RainMM = math.NaN() },
		"a month missing": func(c *Climate) { c.WarmestC = math.NaN() },
	} {
		c := mild
		change(&c)
		if c.Marine() {
			t.Errorf("%s: marine", name)
		}
	}
}

// The classes of the records at hand.
func TestClasses(t *testing.T) {
	stations, err := Load(recordstest.Path(t, "soil"), Turf)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, s := range stations {
		if s.Climate.Marine() {
			names = append(names, s.Name)
		}
	}
	want := []string{"OR_Corvallis_10_SSW", "WA_Darrington_21_NNE", "WA_Quinault_4_NE"}
	if len(stations) != 41 || !slices.Equal(names, want) {
		t.Errorf("%d stations, marine %v", len(stations), names)
	}
	irish, err := Load(recordstest.Path(t, "marine"), nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range irish {
		if !s.Climate.Marine() {
			t.Errorf("%s is not marine: %+v", s.Name, s.Climate)
		}
	}
}
