package main

import (
	"math"
	"slices"
	"time"
)

// A variant is a form of the model that was tried.
type variant struct {
	name    string
	columns func(s *station, i int) []float64 // of day i; the first is 1
	weight  func(m time.Month) float64        // of a day in the fit; nil: 1
	ridge   float64                           // share of each column's own sum of squares added to it
}

// chosenVariant is the index of the form that package soil uses.
const chosenVariant = 0

func autumnOnly(m time.Month) float64 {
	if inAutumn(m) {
		return 1
	}
	return 0
}

func untilJanuary(m time.Month) float64 {
	if m >= time.July || m == time.January {
		return 1
	}
	return 0.3
}

var variants = []variant{
	{name: "**the form in use**", columns: inUse},
	{name: "in use, without day-to-day variability", columns: without(10)},
	{name: "in use, variability from 2.8 °C", columns: variabilityWithin(2.8, 4.6)},
	{name: "in use, variability from 3.2 °C", columns: variabilityWithin(3.2, 4.6)},
	{name: "in use, variability from 3.8 °C", columns: variabilityWithin(3.8, 4.6)},
	{name: "in use, variability without limits", columns: variabilityWithin(0, math.Inf(1))},
	{name: "in use, interdiurnal variability in its place, 2.3 to 3.2 °C", columns: and(without(10), interdiurnal)},
	{name: "in use, annual range of the air in its place", columns: and(without(10), annualRange)},
	{name: "in use, the station's daily range in its place", columns: and(without(10), dailyRange)},
	{name: "in use, with the station's daily range", columns: and(inUse, dailyRange)},
	{name: "in use, with variability × Ra40", columns: and(inUse, variabilityTimes(9))},
	{name: "in use, with variability × (T1-T8)", columns: and(inUse, variabilityTimes(2))},
	{name: "in use, without sun on warm ground", columns: without(11)},
	{name: "in use, without the freezing branch", columns: without(5, 6, 7)},
	{name: "in use, without the sun", columns: without(8, 9, 11)},
	{name: "in use, fitted to August–November alone", columns: inUse, weight: autumnOnly},
	{name: "in use, July–January weighing three times the rest", columns: inUse, weight: untilJanuary},
	{name: "in use, ridge 0.1 %", columns: inUse, ridge: 1e-3},
	{name: "in use, with EMAs of 3 and 20 days of log rain", columns: and(inUse, rain)},
	{name: "in use, with latitude", columns: and(inUse, latitude)},
	{name: "in use, with the station's mean air", columns: and(inUse, meanAir)},
	{
		name:    "in use, with an EMA of 120 days",
		columns: and(inUse, func(s *station, i int) []float64 { return []float64{s.days[i].ema[120]} }),
	},
	{name: "basis: six EMAs, clipped at 0 °C too, Ra and two EMAs", columns: basis},
	{name: "basis, fitted to August–November alone", columns: basis, weight: autumnOnly},
	{name: "basis, July–January weighing three times the rest", columns: basis, weight: untilJanuary},
	{name: "basis, with twelve EMAs", columns: and(basis, moreEMAs)},
	{name: "basis, with the EMAs × season", columns: and(basis, season)},
	{name: "basis, with squares of the EMAs", columns: and(basis, squares)},
	{name: "basis, with the day's swing and its EMA", columns: and(basis, swing)},
	{name: "basis, with latitude", columns: and(basis, latitude)},
	{name: "basis, with day-to-day variability", columns: and(basis, only(10))},
	{name: "basis, with sun on warm ground", columns: and(basis, only(11))},
	{
		name:    "the air's EMA of 8 days alone",
		columns: func(s *station, i int) []float64 { return []float64{1, s.days[i].ema[8]} },
	},
	{
		name:    "the air of the day alone",
		columns: func(s *station, i int) []float64 { return []float64{1, s.days[i].ema[0]} },
	},
}

func inUse(s *station, i int) []float64 { return s.rows[i][:] }

func without(drop ...int) func(*station, int) []float64 {
	return func(s *station, i int) []float64 {
		var x []float64
		for k, v := range s.rows[i] {
			keep := true
			for _, d := range drop {
				keep = keep && k != d
			}
			if keep {
				x = append(x, v)
			}
		}
		return x
	}
}

// variabilityWithin is the form in use with other limits of the variability.
func variabilityWithin(low, high float64) func(*station, int) []float64 {
	return func(s *station, i int) []float64 {
		x := slices.Clone(s.rows[i][:])
		x[10] = clip(s.mean.variability, low, high) - 3.8
		return x
	}
}

// variabilityTimes is the product of the variability and another column.
func variabilityTimes(k int) func(*station, int) []float64 {
	return func(s *station, i int) []float64 { return []float64{s.rows[i][10] * s.rows[i][k]} }
}

func interdiurnal(s *station, _ int) []float64 { return []float64{clip(s.mean.interdiurnal, 2.3, 3.2)} }

func annualRange(s *station, _ int) []float64 { return []float64{s.mean.annualRange - 20} }

func dailyRange(s *station, _ int) []float64 { return []float64{s.mean.dailyRange - 11} }

func clip(x, low, high float64) float64 { return math.Max(low, math.Min(high, x)) }

func only(k int) func(*station, int) []float64 {
	return func(s *station, i int) []float64 { return []float64{s.rows[i][k]} }
}

func and(a, b func(*station, int) []float64) func(*station, int) []float64 {
	return func(s *station, i int) []float64 {
		x := a(s, i)
		return append(x[:len(x):len(x)], b(s, i)...)
	}
}

// basis is the plain form: EMAs, the same clipped at freezing, the sun.
func basis(s *station, i int) []float64 {
	d := &s.days[i]
	x := []float64{1, d.ra, d.ra10, d.ra40}
	for _, tau := range []float64{0, 1, 3, 8, 20, 60} {
		x = append(x, d.ema[tau], math.Min(d.ema[tau], 0))
	}
	return x
}

func moreEMAs(s *station, i int) []float64 {
	m := s.days[i].ema
	return []float64{m[0.5], m[2], m[5], m[12], m[30], m[120]}
}

func season(s *station, i int) []float64 {
	d := &s.days[i]
	sin, cos := math.Sincos(d.phase)
	x := []float64{sin, cos}
	for _, tau := range []float64{0, 1, 3, 8, 20, 60} {
		x = append(x, sin*d.ema[tau], cos*d.ema[tau])
	}
	return x
}

func squares(s *station, i int) []float64 {
	var x []float64
	for _, tau := range []float64{0, 1, 3, 8, 20, 60} {
		m := s.days[i].ema[tau]
		x = append(x, m*m/10)
	}
	return x
}

func swing(s *station, i int) []float64 { return []float64{s.days[i].swing, s.days[i].swing8} }

func latitude(s *station, i int) []float64 { return []float64{s.days[i].latitude - 38} }

func meanAir(s *station, i int) []float64 { return []float64{s.days[i].meanAir - 12} }

func rain(s *station, i int) []float64 {
	d := &s.days[i]
	return []float64{d.rain3, d.rain20, d.rain3 * d.ra / 10, d.rain20 * d.ra / 10}
}
