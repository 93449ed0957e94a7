package climate

import "math"

// SineDegreeDays returns the degree days of one day, °C d, between a lower
// threshold and a horizontal upper cutoff, for a temperature that runs as a
// sine between the day's lowest and highest value. upper may be +Inf. It
// returns NaN where a temperature is NaN or tmax < tmin.
//
//	DD(L, U) = D(L) − D(U),  D(x) = ∫ max(0, m + a sin t − x) dt / 2π
//
// Reference: Baskerville & Emin 1969, Ecology 50:514–517 (single sine).
func SineDegreeDays(tmin, tmax, lower, upper float64) float64 {
	if !(tmax >= tmin) {
		return math.NaN()
	}
	dd := sineAbove(tmin, tmax, lower)
	if !math.IsInf(upper, 1) {
		dd -= sineAbove(tmin, tmax, upper)
	}
	return dd
}

// sineAbove is the daily mean of what a sine between tmin and tmax exceeds x by.
func sineAbove(tmin, tmax, x float64) float64 {
	mean, amplitude := (tmax+tmin)/2, (tmax-tmin)/2
	switch {
	case tmin >= x:
		return mean - x
	case tmax <= x:
		return 0
	}
	theta := math.Asin((x - mean) / amplitude)
	return ((mean-x)*(math.Pi/2-theta) + amplitude*math.Cos(theta)) / math.Pi
}
