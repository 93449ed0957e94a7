package climate

import (
	"fmt"
	"math"
	"testing"
)

// Worked out from the equation (D): Tmax 38, Tmin 28, Tmean 35, Ra 38.937: 6.10 mm.
func ExampleHargreavesET0() {
	fmt.Printf("%.2f\n", HargreavesET0(35, 38-28, 38.937))
	// Output: 6.10
}

func TestHargreavesLimits(t *testing.T) {
	if got := HargreavesET0(-35, 10, 5); got != 0 {
		t.Errorf("in deep cold %g", got)
	}
	if got := HargreavesET0(10, -5, 20); got != 0 {
		t.Errorf("with the highest below the lowest %g", got)
	}
	if !math.IsNaN(HargreavesET0(math.NaN(), 5, 20)) {
		t.Error("NaN is lost")
	}
}

func TestSeedbed(t *testing.T) {
	r := NewRecord(Place{Latitude: new(35.0)}, Date(2020, 9, 1), 12)
	r.PrecipMM = make([]float64, 12)
	for i := range r.TMaxC {
		r.TMaxC[i], r.TMinC[i] = 30, 18
	}
	r.PrecipMM[7] = 10
	moist, need, err := Topsoil().Moist(r)
	if err != nil {
		t.Fatal(err)
	}
	if !moist[0] {
		t.Error("a full seedbed is dry after a day")
	}
	if moist[6] {
		t.Error("a week without rain at 30 °C leaves the seedbed moist")
	}
	if !moist[7] || need[7] != 0 {
		t.Errorf("a day of rain: moist %v, need %g mm", moist[7], need[7])
	}
	et := HargreavesET0(24, 12, ExtraterrestrialRadiation(35, r.First.YearDay()))
	if math.Abs(need[0]-et) > 1e-12 || et < 3 || et > 7 {
		t.Errorf("need on a dry day %g mm, evaporation %g", need[0], et)
	}
	// By hand: about 4.5 mm evaporate from 4 mm: a third is left, over the
	// quarter that a seed needs; a ninth after the second day.
	if left := math.Exp(-et / 4); left < 0.25 || left*left > 0.25 || moist[1] {
		t.Errorf("%.2f left after a day, moist %v after two", left, moist[1])
	}
	// More rain never dries the bed.
	r.PrecipMM[3] = 5
	wetter, _, err := Topsoil().Moist(r)
	if err != nil {
		t.Fatal(err)
	}
	for i := range moist {
		if moist[i] && !wetter[i] {
			t.Errorf("day %d is drier after more rain", i)
		}
	}
}
