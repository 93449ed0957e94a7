package forecast

import (
	"cmp"
	"math"
	"slices"

	"swardcast/forecast/turf"
)

// NoClearDifference reports whether the thermal time that two species need for a
// stage differs by less than that of seed lots within a species, at the level of
// IntervalPercent: then neither can be said to reach it sooner. It panics for a
// stage that is none of [turf.Stages].
//
//	|a − b| < z √(sa² + sb²)
func NoClearDifference(a, b *turf.Species, stage turf.Stage) bool {
	sd := math.Hypot(a.ThermalTimeSD(stage), b.ThermalTimeSD(stage))
	return math.Abs(a.ThermalTime(stage)-b.ThermalTime(stage)) < intervalZ*sd
}

// CompactLetters returns the compact letter display of species, in their order:
// two that share a letter have [NoClearDifference]. The species that needs least
// has the letter a. It panics for a stage that is none of [turf.Stages].
func CompactLetters(species []turf.Species, stage turf.Stage) []string {
	order := make([]int, len(species)) // by ascending need
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(species[a].ThermalTime(stage), species[b].ThermalTime(stage))
	})
	out := make([]string, len(species))
	letter, reach := 'a', -1
	for i := range order {
		j := i
		for j+1 < len(order) && NoClearDifference(&species[order[i]], &species[order[j+1]], stage) {
			j++
		}
		if j <= reach {
			continue // the group is part of the one before
		}
		for k := i; k <= j; k++ {
			out[order[k]] += string(letter)
		}
		letter++
		reach = j
	}
	return out
}
