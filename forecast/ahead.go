package forecast

import (
	"fmt"
	"math"

	"swardcast/climate"
)

// RowSD returns the standard error of a daily temperature forecast so many days
// ahead, °C, where the forecast does not say it: 1 on the first day, 4 from the
// fourteenth on, in a straight line between (common practice, no source).
func RowSD(leadDays float64) float64 {
	share := (leadDays - 1) / (rowLastLead - 1)
	return rowFirstSD + (rowLastSD-rowFirstSD)*math.Max(0, math.Min(1, share))
}

const (
	rowFirstSD  = 1.0 // °C, one day ahead
	rowLastSD   = 4.0 // °C, rowLastLead days ahead and more
	rowLastLead = 14  // days
)

// rowsAhead are forecast rows as the members of an ensemble take them: each keeps
// the departure of its own year from the other years, scaled to the error that
// the row has.
type rowsAhead struct {
	record     *climate.Record
	tmax, tmin []departure
}

// A departure makes the temperature of a day in a member from that of the same
// date in the member's year:
//
//	centre + share × (temperature − mean)
type departure struct{ centre, mean, share float64 }

func (d *departure) at(tempC float64) float64 { return d.centre + d.share*(tempC-d.mean) }

// newRowsAhead works out the departures on the days that members take from the rows. sdC is
// the standard error of each, °C, NaN or nil for [RowSD] of its days from the
// first row after AsOf.
//
// A row of error e is drawn towards the normal m of the day, and the departures
// a of past years, of standard deviation σ, are scaled:
//
//	row' = m + (row − m) σ²/(σ² + e²),  member = row' + a min(1, e/σ)
//
// The first is right for a row that is what comes plus an error, the second for one
// that is the mean of the possible outcomes. Which of the two a file holds is not known;
// together they do for both.
func (e *Ensemble) newRowsAhead(record *climate.Record, sdC []float64, past []int) (*rowsAhead, error) {
	if record == nil {
		return nil, nil
	}
	if sdC != nil && len(sdC) != record.Len() {
		return nil, fmt.Errorf("%w: %d errors of %d forecast rows", ErrOptions, len(sdC), record.Len())
	}
	errorC := make([]float64, record.Len())
	first := 0 // the first row after today; those before it are as sure as that
	for first < record.Len() && (record.Day(first) <= e.AsOf || record.Missing(first)) {
		first++
	}
	for j := range errorC {
		errorC[j] = RowSD(float64(j - first + 1))
		if sdC != nil && sdC[j] < 0 {
			return nil, fmt.Errorf("%w: the forecast row of %s has an error of %g °C",
				ErrOptions, record.Day(j), sdC[j])
		}
		if sdC != nil && !math.IsNaN(sdC[j]) {
			errorC[j] = sdC[j]
		}
	}
	air := e.station.Record
	normals, err := climate.FitNormals(air.First, climate.AirHarmonics, air.TMaxC, air.TMinC)
	if err != nil {
		return nil, err
	}
	return &rowsAhead{record,
		e.departures(record, record.TMaxC, air.TMaxC, normals[0], errorC, past),
		e.departures(record, record.TMinC, air.TMinC, normals[1], errorC, past)}, nil
}

// departures are those of one of the two temperatures.
func (e *Ensemble) departures(record *climate.Record, row, air []float64, normal climate.Normal,
	errorC []float64, past []int) []departure {
	out := make([]departure, len(row))
	var squares, freedom, anomaly, values float64
	for j := range row {
		d := record.Day(j)
		if d <= e.Known || d <= e.AsOf && e.station.observed(d) || aheadIndex(record, d) < 0 {
			continue // a day that no member takes from the rows
		}
		var n, sum, sum2 float64
		for _, year := range past {
			if i := e.station.Record.Index(sameDate(d, year-e.Season)); i >= 0 && i < len(air) {
				v := air[i] + e.Trend.warmingC(year)
				n++
				sum += v
				sum2 += v * v
				anomaly += v - normal.At(d)
				values++
			}
		}
		out[j].mean = sum / n
		if n > 1 {
			squares += sum2 - sum*sum/n
			freedom += n - 1
		}
	}
	sigma := math.Sqrt(squares / freedom)
	for j := range out {
		m := normal.At(record.Day(j)) + anomaly/values
		out[j].centre = row[j]
		if sigma > 0 {
			w := sigma * sigma / (sigma*sigma + errorC[j]*errorC[j])
			out[j].centre = m + w*(row[j]-m)
			out[j].share = math.Min(1, errorC[j]/sigma)
		}
	}
	return out
}

// index is the index of a day in the rows that has both its temperatures, or -1.
func (r *rowsAhead) index(d climate.Day) int {
	if r == nil {
		return -1
	}
	return aheadIndex(r.record, d)
}

// at is what a member has on the day of row j, whose date in the member's year is
// at index i of the station's record; without such a day it is the row's centre.
func (r *rowsAhead) at(j int, air *climate.Record, i int, warmingC float64) (tmaxC, tminC float64) {
	tmaxC, tminC = r.tmax[j].centre, r.tmin[j].centre
	if i >= 0 && i < air.Len() {
		tmaxC, tminC = r.tmax[j].at(air.TMaxC[i]+warmingC), r.tmin[j].at(air.TMinC[i]+warmingC)
	}
	return math.Max(tmaxC, tminC), tminC
}
