package soil

import (
	"fmt"
	"math"
)

// EMA returns the exponential moving average of a daily series. It starts from
// the given value before its first day:
//
//	m(i) = m(i−1) + α (x(i) − m(i−1)),  α = 1 − exp(−1/τ)
//
// with τ in days. A body with one heat store of that time constant follows the air
// around it so. After a NaN in x all values are NaN. It panics where τ is not above 0.
func EMA(x []float64, tau, start float64) []float64 {
	if !(tau > 0) {
		panic(fmt.Sprintf("soil: an average with a time constant of %g days", tau))
	}
	alpha := weight(tau)
	out := make([]float64, len(x))
	m := start
	for i, v := range x {
		m += alpha * (v - m)
		out[i] = m
	}
	return out
}

// weight is the weight of a new day in an average of time constant tau.
func weight(tau float64) float64 { return 1 - math.Exp(-1/tau) }
