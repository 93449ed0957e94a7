package soil

import (
	"fmt"
	"math"
	"time"

	"swardcast/climate"
)

// The columns of the transfer function. T is the daily mean air temperature,
// Tτ its exponential moving average of τ days ([EMA]), Ra the extraterrestrial
// radiation. Air warms the soil through these averages; the sun warms the ground
// beyond the air, more so while the ground is warm; freezing and snow hold it near
// 0 °C; and where the air varies much from day to day the soil stays cooler.
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
	colVariability
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

// The column of the day-to-day variability of the air, V ([Variability]), holds
// V within limits, less the default, which stands in for a record too short to
// tell. Among 41 humid and marine stations the soil is cooler the more V exceeds
// about 3.5 °C, up to 4.9 (north-east Wyoming). Below, down to 2.2 (south Florida,
// the coast of Washington), it does not get warmer: with the limit at 3.3 to 3.8
// the error at stations left out is least and alike.
const (
	defaultVariability = 3.8
	minVariability     = 3.5
	maxVariability     = 4.6
	variabilityDays    = 2 * 365 // days of air needed to tell
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
		m.next(r.TMaxC[i], r.TMinC[i], &rows[i])
	}
	return rows, nil
}

// A state holds the averages after the days gone by.
type state struct {
	t1, t3, t8, t20, t60, ra40 float64
	variability                float64     // within its limits, less the default
	day                        climate.Day // the next one
	yearDay                    int         // of it
	ra                         *[367]float64
}

var (
	alpha1, alpha3, alpha8, alpha20, alpha60 = weight(1), weight(3), weight(8), weight(20), weight(60)
	alphaRa                                  = weight(40)
)

// newState returns the state before the first day of a record.
func newState(r *climate.Record, known func(day int) bool) (*state, error) {
	m, air, err := spunUp(r)
	if err != nil {
		return nil, err
	}
	v, ok := variability(r.First, air, m.t8, known)
	if !ok {
		v = defaultVariability
	}
	m.variability = math.Max(minVariability, math.Min(maxVariability, v)) - defaultVariability
	return m, nil
}

// spunUp returns the state after normal weather up to the day before a record,
// its variability not set, and the daily mean air temperature of the record.
func spunUp(r *climate.Record) (*state, []float64, error) {
	if err := r.Validate(); err != nil {
		return nil, nil, err
	}
	if r.Place.Latitude == nil {
		return nil, nil, climate.ErrNoLatitude
	}
	air := make([]float64, r.Len())
	for i := range air {
		air[i] = (r.TMaxC[i] + r.TMinC[i]) / 2
		if math.IsNaN(air[i]) {
			return nil, nil, fmt.Errorf("%w: the air temperature of %s is missing", climate.ErrRecord, r.Day(i))
		}
	}
	normal, err := climate.FitNormal(r.First, air, climate.AirHarmonics)
	if err != nil {
		return nil, nil, err
	}
	start := r.First - spinUp
	ra := climate.ExtraterrestrialRadiationOfYear(*r.Place.Latitude)
	m := &state{day: start, yearDay: start.YearDay(), ra: &ra}
	before := normal.Series(m.day, spinUp)
	t := before[0]
	m.t1, m.t3, m.t8, m.t20, m.t60, m.ra40 = t, t, t, t, t, ra[m.yearDay]
	var row Row
	for _, t := range before {
		m.next(t, t, &row)
	}
	return m, air, nil
}

// next takes in a day and sets its columns.
func (m *state) next(tmaxC, tminC float64, row *Row) {
	t, ra := (tmaxC+tminC)/2, m.ra[m.yearDay]
	m.day++
	if m.yearDay++; m.yearDay > 365 {
		m.yearDay = m.day.YearDay()
	}
	m.t1 += alpha1 * (t - m.t1)
	m.t3 += alpha3 * (t - m.t3)
	m.t8 += alpha8 * (t - m.t8)
	m.t20 += alpha20 * (t - m.t20)
	m.t60 += alpha60 * (t - m.t60)
	m.ra40 += alphaRa * (ra - m.ra40)
	row[colOne] = 1
	row[colT0T1], row[colT1T8], row[colT8T60], row[colT60] = t-m.t1, m.t1-m.t8, m.t8-m.t60, m.t60
	row[colFrost0], row[colFrost3], row[colFrost20] = frost(t), frost(m.t3), frost(m.t20)
	row[colSun], row[colSun40] = ra-m.ra40, m.ra40
	row[colVariability] = m.variability
	row[colSunWarm] = (ra - m.ra40) * (m.t20 - 12) / 10
}

// frost is a temperature below 0 °C, else 0.
func frost(t float64) float64 {
	if t > 0 {
		return 0
	}
	return t
}

// Variability returns the day-to-day variability of the air temperature, °C, and
// whether the record is long enough to tell it: two years of measured days, with
// some in every calendar month. It is the root mean square departure of the daily
// mean T from its exponential moving average T8 of 8 days,
//
//	V = √(mean over the calendar months of the mean of (T − T8)²)
//
// and grows with the fronts that pass. It is about 1.5 times the interdiurnal
// variability, the mean absolute difference of successive days, and depends less
// on the hour at which the thermometers are read. The arguments are those of
// [Design].
func Variability(r *climate.Record, known func(day int) bool) (v float64, ok bool, err error) {
	m, air, err := spunUp(r)
	if err != nil {
		return math.NaN(), false, err
	}
	v, ok = variability(r.First, air, m.t8, known)
	return v, ok, nil
}

// variability starts from the average of 8 days before the first.
func variability(first climate.Day, air []float64, t8 float64, known func(int) bool) (v float64, ok bool) {
	var sum [13]float64
	var count [13]int
	total := 0
	for i := 0; i < len(air); {
		year, month, _ := (first + climate.Day(i)).Date()
		end := min(int(climate.Date(year, month+1, 1)-first), len(air))
		square, n := sum[month], 0
		for ; i < end; i++ {
			t := air[i]
			t8 += alpha8 * (t - t8)
			if known == nil || known(i) {
				d := t - t8
				square += d * d
				n++
			}
		}
		sum[month] = square
		count[month] += n
		total += n
	}
	mean := 0.0
	for m := time.January; m <= time.December; m++ {
		if count[m] == 0 {
			return math.NaN(), false
		}
		mean += sum[m] / float64(count[m]) / 12
	}
	return math.Sqrt(mean), total >= variabilityDays
}
