package forecast

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"swardcast/forecast/turf"
)

// NoClearDifference reports whether the thermal time that two species need for a stage differs
// by less than seed lots of the species do: then neither can be said to make it
// sooner. The level is IntervalPercent.
//
//	|a − b| < z √(sa² + sb²)
func NoClearDifference(a, b *turf.Species, stage turf.Stage) bool {
	z := distuv.UnitNormal.Quantile(0.5 + IntervalPercent/200.0)
	return math.Abs(a.ThermalTime(stage)-b.ThermalTime(stage)) < z*math.Hypot(a.ThermalTimeSD(stage), b.ThermalTimeSD(stage))
}

// CompactLetters marks species, in an order of ascending need, with a compact letter display: two that
// share a letter have [NoClearDifference].
func CompactLetters(species []turf.Species, stage turf.Stage) []string {
	out := make([]string, len(species))
	letter, reach := 'a', -1
	for i := range species {
		j := i
		for j+1 < len(species) && NoClearDifference(&species[i], &species[j+1], stage) {
			j++
		}
		if j <= reach {
			continue // the group is part of the one before
		}
		for k := i; k <= j; k++ {
			out[k] += string(letter)
		}
		letter++
		reach = j
	}
	return out
}
