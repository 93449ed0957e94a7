package forecast

import (
	"swardcast/climate"
)

// A SoilState is what the soil is for the seed of cool-season grass.
type SoilState string

// The states.
const (
	SoilTooWarm SoilState = "too-warm" // at or above the temperature at which sowing opens
	SoilRight   SoilState = "right"
	SoilTooCold SoilState = "too-cold" // below SpringSoilC, or normally so on that day: a mild spell does not last
)

// State returns what the soil is for seed on the last day of the year, and when the
// normal year next passes the temperature that ends that state: openC, °C, or
// SpringSoilC. The crossing is nil where the normal year passes neither.
func (y *SoilYear) State(openC float64) (SoilState, *SoilCrossing) {
	const year = 366
	next := func(c float64) []climate.Crossing { return y.Normal.Crossings(c, y.To+1, y.To+year) }
	first := func(thresholds ...float64) *SoilCrossing {
		var out *SoilCrossing
		for _, c := range thresholds {
			for _, x := range next(c) {
				ends := x.Rising == (c == openC) // leaves the range that is right
				if y.NowC >= openC || y.cold() {
					ends = !ends // comes back to it
				}
				if ends && (out == nil || x.Day < *out.Normal) {
					out = &SoilCrossing{ThresholdC: c, Rising: x.Rising, Normal: &x.Day}
				}
			}
		}
		return out
	}
	switch {
	case y.NowC >= openC:
		return SoilTooWarm, first(openC)
	case y.cold():
		return SoilTooCold, first(SpringSoilC)
	}
	return SoilRight, first(openC, SpringSoilC)
}

// cold reports whether the soil is too cold for seed to grow on.
func (y *SoilYear) cold() bool { return min(y.NowC, y.Normal.At(y.To)) < SpringSoilC }
