package climate

import (
	"math"
	"slices"
)

// AirHarmonics is the number of harmonics of the normal course of air
// temperature: the annual one and the half-annual one that makes the year
// lopsided.
const AirHarmonics = 2

// Fill returns the record without missing temperatures, and which days were missing
// either of them. A series that lacks none is that of r, not a copy. A missing value is the normal of its day
// plus what the known values before and after the gap say of the anomaly,
// taken to fade by a factor ρ a day, the lag-one correlation of the station:
//
//	a(i) = [ρ^i (1 − ρ^2j) L + ρ^j (1 − ρ^2i) R] / (1 − ρ^2(i+j))
//
// for a day i after the last known anomaly L and j before the next one R, which
// is the conditional mean of a first-order autoregressive process. In a long
// gap it is the normal. It returns [ErrRecord] for a record that
// [Record.Validate] refuses, and [ErrTooShort] where it does not hold enough of
// the year to know the normal.
func Fill(r *Record) (*Record, []bool, error) {
	if err := r.Validate(); err != nil {
		return nil, nil, err
	}
	filled := make([]bool, r.Len())
	gaps := false
	for i := range filled {
		filled[i] = r.Missing(i)
		gaps = gaps || filled[i]
	}
	out := *r
	if !gaps {
		if err := covers(r.First, r.Len(), AirHarmonics); err != nil {
			return nil, nil, err
		}
		return &out, filled, nil
	}
	normals, err := FitNormals(r.First, AirHarmonics, r.TMaxC, r.TMinC)
	if err != nil {
		return nil, nil, err
	}
	out.TMaxC, out.TMinC = fillSeries(r.First, r.TMaxC, normals[0]), fillSeries(r.First, r.TMinC, normals[1])
	return &out, filled, nil
}

func fillSeries(first Day, values []float64, normal Normal) []float64 {
	if !slices.ContainsFunc(values, math.IsNaN) {
		return values
	}
	n := len(values)
	y := normal.Series(first, n)
	anomaly := make([]float64, n)
	for i, v := range values {
		anomaly[i] = v - y[i]
	}
	rho := lagOneCorrelation(anomaly)
	// left is the index of the last known value before the current gap.
	for left := -1; left < n; {
		i := left + 1
		for i < n && math.IsNaN(values[i]) {
			i++
		}
		for k := left + 1; k < i; k++ {
			y[k] += bridge(anomaly, left, k, i, rho)
		}
		if i < n {
			y[i] = values[i]
		}
		left = i
	}
	return y
}

// bridge is the expected anomaly at k between the known ones at left and
// right, either of which may lie outside the series.
func bridge(anomaly []float64, left, k, right int, rho float64) float64 {
	hasLeft, hasRight := left >= 0, right < len(anomaly)
	i, j := float64(k-left), float64(right-k)
	switch {
	case hasLeft && hasRight:
		wl := math.Pow(rho, i) * (1 - math.Pow(rho, 2*j))
		wr := math.Pow(rho, j) * (1 - math.Pow(rho, 2*i))
		return (wl*anomaly[left] + wr*anomaly[right]) / (1 - math.Pow(rho, 2*(i+j)))
	case hasLeft:
		return math.Pow(rho, i) * anomaly[left]
	case hasRight:
		return math.Pow(rho, j) * anomaly[right]
	}
	return 0
}

// lagOneCorrelation is the correlation of successive anomalies, kept between
// 0 and 0.95 so that an anomaly fades within a long gap.
func lagOneCorrelation(anomaly []float64) float64 {
	var sxy, sxx float64
	for i := 1; i < len(anomaly); i++ {
		a, b := anomaly[i-1], anomaly[i]
		if math.IsNaN(a) || math.IsNaN(b) {
			continue
		}
		sxy += a * b
		sxx += (a*a + b*b) / 2
	}
	if sxx == 0 {
		return 0
	}
	return math.Max(0, math.Min(0.95, sxy/sxx))
}
