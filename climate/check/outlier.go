package check

import (
	"fmt"
	"math"
	"slices"

	"swardcast/climate"
)

const (
	outlierWindow = 7   // days of the calendar to either side: 15 in all
	outlierValues = 100 // values the window needs
	outlierZ      = 6   // robust standard deviations
)

// Outlier finds values at least six robust standard deviations off the mean
// of the 15 days of the calendar around them, over all years, where the window
// has at least 100 values. Mean and standard deviation are the biweight ones
// (Lanzante 1996, Int. J. Climatol. 16:1197–1226; the constant from memory).
func Outlier(r *climate.Record) []Suspect {
	slots := calendarSlotsOf(r)
	var suspect []Suspect
	for _, s := range series(r) {
		byDay := newCalendar(s.values, slots)
		for i, v := range s.values {
			if math.IsNaN(v) || !byDay.far(slots[i], v) {
				continue
			}
			m, sd, ok := byDay.robust(slots[i])
			if !ok {
				continue
			}
			if z := (v - m) / sd; math.Abs(z) >= outlierZ {
				suspect = append(suspect, Suspect{Series: s.name, First: r.Day(i), Last: r.Day(i),
					Reason: fmt.Sprintf("the %s temperature, %.1f °C, stands %.1f standard deviations off "+
						"what the days around it had in other years, %.1f °C in the mean",
						s.word, tenth(v), z, tenth(m))})
			}
		}
	}
	return suspect
}

// calendarSlots are the days of a leap year, so that the same date of every year
// falls in one slot.
const calendarSlots = 366

// calendarSlotsOf returns the slot of each day of a record.
func calendarSlotsOf(r *climate.Record) []int {
	slots := make([]int, r.Len())
	for i := 0; i < len(slots); {
		year, month, day := r.Day(i).Date()
		slot, next := climate.Date(2000, month, day).YearDay()-1, r.Index(climate.Date(year, month+1, 1))
		for ; i < min(next, len(slots)); i++ {
			slots[i] = slot
			slot++
		}
	}
	return slots
}

// A calendar holds the values of a series by the day of the year.
type calendar struct {
	values     [calendarSlots][]float64
	mean, far3 [calendarSlots]float64                    // of the window; three plain standard deviations
	biweight   [calendarSlots]struct{ mean, sd float64 } // of the window; 0 where not yet asked for
	buffer     []float64
}

func newCalendar(values []float64, slots []int) *calendar {
	c := &calendar{}
	years := len(values)/365 + 2 // that a slot can have
	all := make([]float64, calendarSlots*years)
	for k := range c.values {
		c.values[k] = all[k*years : k*years : (k+1)*years]
	}
	var n, sum, square [calendarSlots]float64
	for i, v := range values {
		if !math.IsNaN(v) {
			k := slots[i]
			c.values[k] = append(c.values[k], v)
			n[k]++
			sum[k] += v
			square[k] += v * v
		}
	}
	for k := range calendarSlots {
		var wn, ws, wq float64
		for _, j := range around(k) {
			wn += n[j]
			ws += sum[j]
			wq += square[j]
		}
		c.mean[k] = ws / wn
		c.far3[k] = 3 * math.Sqrt(math.Max(0, wq/wn-c.mean[k]*c.mean[k]))
	}
	return c
}

// around are the slots of the window about k.
func around(k int) [2*outlierWindow + 1]int {
	var out [2*outlierWindow + 1]int
	for i := range out {
		out[i] = (k - outlierWindow + i + calendarSlots) % calendarSlots
	}
	return out
}

// far reports whether a value is beyond three plain standard deviations, so that
// the robust ones need to be worked out. A value beyond six robust ones is, unless
// more than a ninth of the window is as far out.
func (c *calendar) far(slot int, v float64) bool { return math.Abs(v-c.mean[slot]) > c.far3[slot] }

// robust returns the biweight mean and standard deviation of the window, false
// where it has too few values.
func (c *calendar) robust(slot int) (mean, sd float64, ok bool) {
	b := &c.biweight[slot]
	if b.sd == 0 {
		c.buffer = c.buffer[:0]
		for _, j := range around(slot) {
			c.buffer = append(c.buffer, c.values[j]...)
		}
		if len(c.buffer) < outlierValues {
			return 0, 0, false
		}
		b.mean, b.sd = biweight(c.buffer)
	}
	return b.mean, b.sd, true
}

// biweightReach is how many median absolute deviations off the median a value
// loses all weight.
const biweightReach = 7.5

// biweight returns the biweight mean and standard deviation of values, whose
// order it changes.
func biweight(x []float64) (mean, sd float64) {
	m := median(x)
	off := make([]float64, len(x))
	for i, v := range x {
		off[i] = math.Abs(v - m)
	}
	mad := median(off)
	if mad == 0 {
		return m, math.Inf(1) // half the values are the same: nothing is an outlier
	}
	var sumW, sumWX, top, bottom float64
	for _, v := range x {
		u := (v - m) / (biweightReach * mad)
		if math.Abs(u) >= 1 {
			continue
		}
		w := (1 - u*u) * (1 - u*u)
		sumW += w
		sumWX += w * (v - m)
		top += (v - m) * (v - m) * w * w
		bottom += (1 - u*u) * (1 - 5*u*u)
	}
	return m + sumWX/sumW, math.Sqrt(float64(len(x))*top) / math.Abs(bottom)
}

// median returns the 0.5 quantile ([climate.Quantile]) of values, whose order it
// changes. It does not sort them all.
func median(x []float64) float64 {
	k := len(x) / 2
	upper := climate.Nth(x, k)
	if len(x)%2 == 1 {
		return upper
	}
	return climate.Quantile(0.5, []float64{slices.Max(x[:k]), upper})
}
