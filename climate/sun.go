package climate

import (
	"math"
	"sync"
	"sync/atomic"
)

// The equations and coefficients of this file are those of FAO Irrigation and
// Drainage Paper 56 (Allen, Pereira, Raes & Smith 1998), chapter 3.

// SolarConstant is the radiation on a plane facing the sun outside the
// atmosphere, MJ m⁻² min⁻¹ (FAO-56, eq. 21).
const SolarConstant = 0.0820

// SunDistance returns the inverse relative distance between Earth and Sun, a
// pure number near 1:
//
//	dr = 1 + 0.033 cos(2π J / 365)
//
// Reference: FAO-56 eq. 23.
func SunDistance(yearDay int) float64 {
	return 1 + 0.033*math.Cos(2*math.Pi*float64(yearDay)/365)
}

// SolarDeclination returns the declination of the sun in radians:
//
//	δ = 0.409 sin(2π J / 365 − 1.39)
//
// Reference: FAO-56 eq. 24.
func SolarDeclination(yearDay int) float64 {
	return 0.409 * math.Sin(2*math.Pi*float64(yearDay)/365-1.39)
}

// SunsetHourAngle returns the hour angle of sunset in radians: 0 in polar
// night, π under the midnight sun. Latitude is in degrees.
//
//	ωs = arccos(−tan φ tan δ)
//
// Reference: FAO-56 eq. 25; the limits beyond the polar circles are its own
// geometry.
func SunsetHourAngle(latitude float64, yearDay int) float64 {
	return sunset(math.Tan(radians(latitude)), math.Tan(SolarDeclination(yearDay)))
}

// sunset is the hour angle of sunset of the tangents of latitude and declination.
func sunset(tanPhi, tanDelta float64) float64 {
	return math.Acos(math.Max(-1, math.Min(1, -tanPhi*tanDelta)))
}

// ExtraterrestrialRadiation returns the radiation Ra of a day on a horizontal
// plane outside the atmosphere, MJ m⁻² d⁻¹. Latitude is in degrees; NaN gives
// NaN.
//
//	Ra = (24·60/π) Gsc dr (ωs sin φ sin δ + cos φ cos δ sin ωs)
//
// Reference: FAO-56 eq. 21.
func ExtraterrestrialRadiation(latitude float64, yearDay int) float64 {
	phi, delta, ws := radians(latitude), SolarDeclination(yearDay), SunsetHourAngle(latitude, yearDay)
	sin, cos := math.Sincos(phi)
	sun := sunOfDay{sin: math.Sin(delta), cos: math.Cos(delta), distance: SunDistance(yearDay)}
	return sun.radiation(sin, cos, ws)
}

// ExtraterrestrialRadiationOfYear returns [ExtraterrestrialRadiation] of every day of a
// year, by the day of the year from 0 to 366.
func ExtraterrestrialRadiationOfYear(latitude float64) [366 + 1]float64 {
	if last := lastYear.Load(); last != nil && last.latitude == latitude {
		return last.ra
	}
	var ra [366 + 1]float64
	sin, cos := math.Sincos(radians(latitude))
	tan := math.Tan(radians(latitude))
	for j, sun := range sunsOfYear() {
		ra[j] = sun.radiation(sin, cos, sunset(tan, sun.tan))
	}
	lastYear.Store(&yearOfSun{latitude, ra})
	return ra
}

// lastYear is the year that was asked for last: most are of the same station.
var lastYear atomic.Pointer[yearOfSun]

type yearOfSun struct {
	latitude float64
	ra       [366 + 1]float64
}

// A sunOfDay is where the sun stands on a day, by its declination, and how far.
type sunOfDay struct{ sin, cos, tan, distance float64 }

var sunsOfYear = sync.OnceValue(func() *[366 + 1]sunOfDay {
	var suns [366 + 1]sunOfDay
	for j := range suns {
		delta := SolarDeclination(j)
		suns[j] = sunOfDay{math.Sin(delta), math.Cos(delta), math.Tan(delta), SunDistance(j)}
	}
	return &suns
})

// radiation is Ra, of the sine and cosine of the latitude and the hour angle of sunset.
func (s *sunOfDay) radiation(sin, cos, sunset float64) float64 {
	ra := 24 * 60 / math.Pi * SolarConstant * s.distance * (sunset*sin*s.sin + cos*s.cos*math.Sin(sunset))
	return math.Max(0, ra) // rounding leaves -1e-16 in polar night
}

// DaylightHours returns the greatest possible duration of sunshine, h.
//
//	N = 24 ωs / π
//
// Reference: FAO-56 eq. 34.
func DaylightHours(latitude float64, yearDay int) float64 {
	return 24 / math.Pi * SunsetHourAngle(latitude, yearDay)
}

func radians(degrees float64) float64 { return degrees * math.Pi / 180 }
