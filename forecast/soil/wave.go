package soil

import "math"

// A Wave is the temperature of the ground under a surface whose temperature is a
// sine:
//
//	T(z, t) = Mean + Amplitude exp(−z/d) sin(ω (t − Start) − z/d),  d = √(2κ/ω)
//
// z in metres, t in seconds.
//
// Reference: van Wijk & de Vries 1963, in Physics of Plant Environment;
// Hillel 1982, Introduction to Soil Physics.
type Wave struct {
	Mean, Amplitude float64 // of the surface, °C
	Start           float64 // when the surface passes its mean on the way up, s
	Period          float64 // s
	Diffusivity     float64 // κ, m²/s
}

// Depth returns the damping depth d, m, at which the amplitude is 1/e of that of
// the surface.
func (w Wave) Depth() float64 { return math.Sqrt(w.Diffusivity * w.Period / math.Pi) }

// At returns the temperature at a depth and time, °C.
func (w Wave) At(z, t float64) float64 {
	x := z / w.Depth()
	return w.Mean + w.Amplitude*math.Exp(-x)*math.Sin(2*math.Pi/w.Period*(t-w.Start)-x)
}

// DailySwing returns half of the daily range of the ground under turf at a depth in m, °C,
// for a daily range of the air:
//
//	dailyShare × range / 2 × exp(−z/dailyDepthM)
//
// It is too large for frozen or snow-covered ground, whose range is smaller.
func DailySwing(airRangeC, depthM float64) float64 { return DailySwingAt(depthM)(airRangeC) }

// DailySwingAt returns [DailySwing] at a depth, for many days.
func DailySwingAt(depthM float64) func(airRangeC float64) float64 {
	faded := math.Exp(-depthM / dailyDepthM)
	return func(airRangeC float64) float64 { return dailyShare * airRangeC / 2 * faded }
}
