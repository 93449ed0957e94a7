package soil

import (
	"fmt"
	"math"
	"time"

	"swardcast/climate"
)

// The columns of the transfer function. T is the daily mean air temperature,
// Tτ its memory of τ days ([Memory]), Ra the extraterrestrial radiation. Air
// warms the soil through its memories; the sun warms the ground beyond the air,
// more so while the ground is warm; freezing and snow hold it near 0 °C; and
// where weather is restless the soil stays cooler than the air alone tells.
// Columns are differences of neighbouring memories rather than the memories
// themselves: the fit is the same and its condition better.
const (
	colOne = iota
	colT0T1
	colT1T8
	colT8T60
	colT60
	colFrost0
	colFrost3
	colFrost20
	colSun
	colSun40
	colRestless
	colSunWarm
	Columns
)

// Terms names the columns of a [Row].
var Terms = [Columns]string{
	"1", "T-T1", "T1-T8", "T8-T60", "T60", "min(T,0)", "min(T3,0)", "min(T20,0)",
	"Ra-Ra40", "Ra40", "V-3.8", "(Ra-Ra40)(T20-12)/10",
}

// A Row holds the columns of the transfer function for one day.
type Row [Columns]float64

// Restlessness of the weather, V: the root mean square by which the air
// differs from its memory of 8 days, °C. Stations in the humid United States
// lie between about 1.5 (south Florida) and 4.7 (the northern plains); beyond
// the limits the fit is not trusted to extrapolate. The usual value stands in
// for a record too short to tell.
const (
	usualRestlessness = 3.8
	leastRestlessness = 2.8
	mostRestlessness  = 4.6
	restlessDays      = 2 * 365 // days of air needed to tell
)

// spinUp is the days of normal weather that every memory is run through before
// the record: over six time constants of the longest.
const spinUp = 400

// Design returns the columns of every day of a record without missing
// temperatures; known tells on which days they were measured, nil for all. It
// needs the latitude.
func Design(r *climate.Record, known func(day int) bool) ([]Row, error) {
	n := r.Len()
	air := make([]float64, n)
	for i := range air {
		air[i] = (r.TMaxC[i] + r.TMinC[i]) / 2
		if math.IsNaN(air[i]) {
			return nil, fmt.Errorf("soil: the air temperature of %s is missing", r.Day(i))
		}
	}
	normal, err := climate.FitNormal(r.First, air, climate.AirHarmonics)
	if err != nil {
		return nil, err
	}
	from := r.First - spinUp
	t := append(normal.Series(from, spinUp), air...)
	memory := func(tau float64) []float64 { return Memory(t, tau, t[0])[spinUp:] }
	t1, t3, t8, t20, t60 := memory(1), memory(3), memory(8), memory(20), memory(60)
	ra := radiation(r.Place.Latitude, from, len(t))
	ra40 := Memory(ra, 40, ra[0])[spinUp:]
	ra = ra[spinUp:]
	v := restlessness(r.First, air, t8, known)

	rows := make([]Row, n)
	for i := range rows {
		rows[i] = Row{
			colOne:  1,
			colT0T1: air[i] - t1[i], colT1T8: t1[i] - t8[i], colT8T60: t8[i] - t60[i], colT60: t60[i],
			colFrost0: math.Min(air[i], 0), colFrost3: math.Min(t3[i], 0), colFrost20: math.Min(t20[i], 0),
			colSun: ra[i] - ra40[i], colSun40: ra40[i],
			colRestless: v - usualRestlessness,
			colSunWarm:  (ra[i] - ra40[i]) * (t20[i] - 12) / 10,
		}
	}
	return rows, nil
}

// radiation returns the extraterrestrial radiation of n days, MJ m⁻² d⁻¹.
func radiation(latitude float64, from climate.Day, n int) []float64 {
	var byYearDay [367]float64
	for j := range byYearDay {
		byYearDay[j] = climate.ExtraterrestrialRadiation(latitude, j)
	}
	out := make([]float64, n)
	j := from.YearDay()
	for i := range out {
		out[i] = byYearDay[j]
		// The day after 31 December is found in the calendar, not counted.
		if j++; j > 365 {
			j = (from + climate.Day(i+1)).YearDay()
		}
	}
	return out
}

// restlessness is V of the measured days, every calendar month weighing the
// same, within its limits.
func restlessness(first climate.Day, air, t8 []float64, known func(int) bool) float64 {
	var sum [13]float64
	var count [13]int
	total := 0
	_, month, dayOfMonth := first.Date()
	for i := range air {
		if known == nil || known(i) {
			d := air[i] - t8[i]
			sum[month] += d * d
			count[month]++
			total++
		}
		if dayOfMonth++; dayOfMonth > 28 {
			_, month, dayOfMonth = (first + climate.Day(i+1)).Date()
		}
	}
	mean := 0.0
	for m := time.January; m <= time.December; m++ {
		if count[m] == 0 {
			return usualRestlessness
		}
		mean += sum[m] / float64(count[m]) / 12
	}
	if total < restlessDays {
		return usualRestlessness
	}
	return math.Max(leastRestlessness, math.Min(mostRestlessness, math.Sqrt(mean)))
}
