package soil

import (
	"fmt"
	"math"
	"time"

	"swardcast/climate"
)

// The columns of the transfer function. T is the daily mean air temperature,
// Tτ its exponential moving average of τ days ([EMA]), Ra the extraterrestrial radiation. Air
// warms the soil through these averages; the sun warms the ground beyond the air,
// more so while the ground is warm; freezing and snow hold it near 0 °C; and
// where weather is restless the soil stays cooler than the air alone tells.
// Columns are differences of neighbouring averages rather than the averages
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

// Terms returns the names of the columns of a [Row].
func Terms() [Columns]string { return terms }

var terms = [Columns]string{
	"1", "T-T1", "T1-T8", "T8-T60", "T60", "min(T,0)", "min(T3,0)", "min(T20,0)",
	"Ra-Ra40", "Ra40", "V-3.8", "(Ra-Ra40)(T20-12)/10",
}

// A Row holds the columns of the transfer function for one day.
type Row [Columns]float64

// Restlessness of the weather, V: the root mean square by which the air
// differs from its EMA of 8 days, °C. Stations in the humid United States
// lie between about 1.5 (south Florida) and 4.7 (the northern plains); beyond
// the limits the fit is not trusted to extrapolate. The usual value stands in
// for a record too short to tell.
const (
	usualRestlessness = 3.8
	minRestlessness   = 2.8
	maxRestlessness   = 4.6
	restlessDays      = 2 * 365 // days of air needed to tell
)

// spinUp is the days of normal weather that every average is run through before
// the record: over six time constants of the longest.
const spinUp = 400

// Design returns the columns of every day of a record without missing
// temperatures; known tells on which days they were measured, nil for all. It
// needs the latitude.
func Design(r *climate.Record, known func(day int) bool) ([]Row, error) {
	m, err := newState(r, known)
	if err != nil {
		return nil, err
	}
	rows := make([]Row, r.Len())
	for i := range rows {
		rows[i] = m.next(r.TMaxC[i], r.TMinC[i])
	}
	return rows, nil
}

// A state holds the averages after the days gone by.
type state struct {
	t1, t3, t8, t20, t60, ra40 float64
	restless                   float64
	day                        climate.Day // the next one
	ra                         *[367]float64
}

var (
	alpha1, alpha3, alpha8, alpha20, alpha60 = weight(1), weight(3), weight(8), weight(20), weight(60)
	alphaRa                                  = weight(40)
)

// newState returns the state before the first day of a record, after
// normal weather.
func newState(r *climate.Record, known func(day int) bool) (*state, error) {
	if err := r.Validate(); err != nil {
		return nil, err
	}
	if r.Place.Latitude == nil {
		return nil, climate.ErrNoLatitude
	}
	air := make([]float64, r.Len())
	for i := range air {
		air[i] = (r.TMaxC[i] + r.TMinC[i]) / 2
		if math.IsNaN(air[i]) {
			return nil, fmt.Errorf("%w: the air temperature of %s is missing", climate.ErrRecord, r.Day(i))
		}
	}
	normal, err := climate.FitNormal(r.First, air, climate.AirHarmonics)
	if err != nil {
		return nil, err
	}
	m := &state{day: r.First - spinUp, ra: radiation(*r.Place.Latitude)}
	before := normal.Series(m.day, spinUp)
	t, ra := before[0], m.ra[m.day.YearDay()]
	m.t1, m.t3, m.t8, m.t20, m.t60, m.ra40 = t, t, t, t, t, ra
	for _, t := range before {
		m.next(t, t)
	}
	m.restless = restlessness(r.First, air, EMA(air, 8, m.t8), known) - usualRestlessness
	return m, nil
}

// next takes in a day and returns its columns.
func (m *state) next(tmaxC, tminC float64) Row {
	t, ra := (tmaxC+tminC)/2, m.ra[m.day.YearDay()]
	m.day++
	m.t1 += alpha1 * (t - m.t1)
	m.t3 += alpha3 * (t - m.t3)
	m.t8 += alpha8 * (t - m.t8)
	m.t20 += alpha20 * (t - m.t20)
	m.t60 += alpha60 * (t - m.t60)
	m.ra40 += alphaRa * (ra - m.ra40)
	return Row{
		colOne:  1,
		colT0T1: t - m.t1, colT1T8: m.t1 - m.t8, colT8T60: m.t8 - m.t60, colT60: m.t60,
		colFrost0: math.Min(t, 0), colFrost3: math.Min(m.t3, 0), colFrost20: math.Min(m.t20, 0),
		colSun: ra - m.ra40, colSun40: m.ra40,
		colRestless: m.restless,
		colSunWarm:  (ra - m.ra40) * (m.t20 - 12) / 10,
	}
}

// radiation returns the extraterrestrial radiation by the day of the year, MJ
// m⁻² d⁻¹.
func radiation(latitude float64) *[367]float64 {
	var byYearDay [367]float64
	for j := range byYearDay {
		byYearDay[j] = climate.ExtraterrestrialRadiation(latitude, j)
	}
	return &byYearDay
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
	return math.Max(minRestlessness, math.Min(maxRestlessness, math.Sqrt(mean)))
}
