package sensors

import (
	"math"

	"swardcast/climate"
)

// A Climate sums up the mean year of a record.
type Climate struct {
	WarmestC, ColdestC float64 // mean air temperature of the warmest and the coldest calendar month, °C
	Continentality     float64 // Conrad's index
	RainMM             float64 // a year
}

// The marine class. A coldest month above 0 °C and a warmest below 22 °C are
// those of Köppen's temperate climates without a hot summer (Cfb and Csb); an
// index under 20 is the most oceanic of Conrad's classes (both limits from
// memory). The rain is that of the humid class. Soil plays no part.
const (
	marineMaxIndex    = 20.0
	marineMaxWarmestC = 22.0
	marineMinColdestC = 0.0
	marineMinRainMM   = 600.0
)

// Marine reports whether the climate is a wet, oceanic one without a hot summer
// and without a cold winter. Missing temperatures or rain make it false.
func (c Climate) Marine() bool {
	return c.Continentality < marineMaxIndex && c.RainMM > marineMinRainMM &&
		c.WarmestC < marineMaxWarmestC && c.ColdestC > marineMinColdestC
}

// Turf reports whether the soil of a station is like that of a watered lawn: the
// humid and the marine class, which the soil estimate is fitted to.
func Turf(s *Station) bool { return s.Class == Humid || s.Climate.Marine() }

// conrad returns Conrad's index of continentality from the difference of the
// warmest and the coldest month, °C, and the latitude, degrees:
//
//	1.7 range / sin(|latitude| + 10°) − 14
//
// Reference: Conrad 1946, Trans. Amer. Geophys. Union 27:663 (from memory).
func conrad(rangeC, latitude float64) float64 {
	return 1.7*rangeC/math.Sin((math.Abs(latitude)+10)*math.Pi/180) - 14
}

// climateOf returns the climate of a record. The means are over the days that
// have both temperatures, the rain over those that have it.
func climateOf(r *climate.Record) Climate {
	var sum, count [13]float64
	rain, rainDays := 0.0, 0.0
	for i := range r.TMaxC {
		_, month, _ := r.Day(i).Date()
		if t := (r.TMaxC[i] + r.TMinC[i]) / 2; !math.IsNaN(t) {
			sum[month] += t
			count[month]++
		}
		if mm := r.PrecipMM[i]; !math.IsNaN(mm) {
			rain += mm
			rainDays++
		}
	}
	c := Climate{WarmestC: math.Inf(-1), ColdestC: math.Inf(1), RainMM: rain / rainDays * climate.TropicalYear}
	for month := 1; month <= 12; month++ {
		mean := sum[month] / count[month] // NaN without a day, and so is all that follows
		c.WarmestC, c.ColdestC = math.Max(c.WarmestC, mean), math.Min(c.ColdestC, mean)
	}
	c.Continentality = conrad(c.WarmestC-c.ColdestC, *r.Place.Latitude)
	return c
}
