package check

import (
	"fmt"
	"math"

	"swardcast/climate"
)

const (
	outlierWindow = 7   // days of the calendar to either side: 15 in all
	outlierValues = 100 // values the window needs
	outlierZ      = 6   // robust standard deviations
	supportZ      = 3   // of a neighbouring day, from which on it supports a value
	beyondZ       = 9   // from which on it is a fault itself
)

// Outlier finds values at least six robust standard deviations off the mean
// of the 15 days of the calendar around them, over all years, where the window
// has at least 100 values. Mean and standard deviation are the biweight ones
// (Lanzante 1996, Int. J. Climatol. 16:1197–1226; the constant from memory), the
// deviation that of the side on which the value lies. A value is believed where the day
// before or after it lies off by three to nine on the same side: heat and cold last
// longer than a day, though six days of fifteen so far off are a sensor that fails. Durre
// et al. ask stations near by, which one record does not have. The side and the neighbouring days are our own. On
// the records of 96 stations, 1.7
// million values, they took the alarms that look false to the eye from about 42 to 4, and
// missed two of some thirty faults.
func Outlier(r *climate.Record) []Suspect {
	slots := calendarSlotsOf(r)
	var suspect []Suspect
	for _, s := range series(r) {
		byDay := newCalendar(s.values, slots)
		z := func(i int) (z, mean float64) {
			if i < 0 || i >= len(s.values) || math.IsNaN(s.values[i]) {
				return 0, 0
			}
			m, sd, ok := byDay.robust(int(slots[i]), s.values[i])
			if !ok {
				return 0, 0
			}
			return (s.values[i] - m) / sd, m
		}
		supports := func(z, off float64) bool {
			return z*off > 0 && math.Abs(z) >= supportZ && math.Abs(z) < beyondZ
		}
		var days []int // with a value that far off
		for i, v := range s.values {
			if math.IsNaN(v) || !byDay.far(int(slots[i]), v) {
				continue
			}
			if off, _ := z(i); math.Abs(off) >= outlierZ {
				days = append(days, i)
			}
		}
		for k, i := range days {
			off, mean := z(i)
			before, _ := z(i - 1)
			after, _ := z(i + 1)
			if (supports(before, off) || supports(after, off)) && near(days, k) < stretchBad {
				continue
			}
			suspect = append(suspect, Suspect{Series: s.name, First: r.Day(i), Last: r.Day(i),
				Reason: fmt.Sprintf("the %s temperature, %.1f °C, stands %.1f standard deviations off "+
					"what the days around it had in other years, %.1f °C in the mean",
					s.word, tenth(s.values[i]), off, tenth(mean))})
		}
	}
	return suspect
}

// near counts the days of a list within a stretch about its k-th, itself too.
func near(days []int, k int) int {
	from, to := k, k
	for from > 0 && days[k]-days[from-1] <= stretchDays/2 {
		from--
	}
	for to+1 < len(days) && days[to+1]-days[k] <= stretchDays/2 {
		to++
	}
	return to - from + 1
}

// calendarSlots are the days of a leap year, so that the same date of every year
// falls in one slot.
const calendarSlots = 366

// calendarSlotsOf returns the slot of each day of a record.
func calendarSlotsOf(r *climate.Record) []uint16 {
	slots := make([]uint16, r.Len())
	for i := 0; i < len(slots); {
		year, month, day := r.Day(i).Date()
		slot, next := uint16(climate.Date(2000, month, day).YearDay()-1), r.Index(climate.Date(year, month+1, 1))
		for ; i < min(next, len(slots)); i++ {
			slots[i] = slot
			slot++
		}
	}
	return slots
}

// A calendar holds the values of a series by the day of the year.
type calendar struct {
	// Values by slot: those of slot k lie from start[k] up to start[k+1]. They stand as
	// levels where they are few enough to be counted.
	start      [calendarSlots + 1]int32
	levels     *levels
	byDay      []uint16
	values     []float64
	mean, far3 [calendarSlots]float64                              // of the window; three plain standard deviations
	biweight   [calendarSlots]struct{ mean, below, above float64 } // of the window; 0 where not yet asked for
	buffer     []float64
	counts     []counted
}

func newCalendar(values []float64, slots []uint16) *calendar {
	c := &calendar{}
	var sums [calendarSlots]struct{ n, sum, square float64 }
	for i, v := range values {
		if !math.IsNaN(v) {
			x := &sums[slots[i]]
			x.n++
			x.sum += v
			x.square += v * v
		}
	}
	var next [calendarSlots]int32
	for k := range calendarSlots {
		next[k] = c.start[k]
		c.start[k+1] = c.start[k] + int32(sums[k].n)
	}
	// The days of the calendar in order: their levels, or their values.
	var of []uint16
	if c.levels, of = newLevels(values); c.levels != nil {
		c.byDay = make([]uint16, c.start[calendarSlots])
	} else {
		c.values = make([]float64, c.start[calendarSlots])
	}
	for i, v := range values {
		if math.IsNaN(v) {
			continue
		}
		at := &next[slots[i]]
		if c.levels != nil {
			c.byDay[*at] = of[i]
		} else {
			c.values[*at] = v
		}
		*at++
	}
	for k := range calendarSlots {
		var wn, ws, wq float64
		for _, j := range around(k) {
			wn += sums[j].n
			ws += sums[j].sum
			wq += sums[j].square
		}
		c.mean[k] = ws / wn
		c.far3[k] = 3 * math.Sqrt(math.Max(0, wq/wn-c.mean[k]*c.mean[k]))
	}
	return c
}

// window returns where those of the window about a slot lie: in two parts, since
// the year goes on at its end.
func (c *calendar) window(slot int) (parts [2][2]int32) {
	from, to := slot-outlierWindow, slot+outlierWindow+1
	if from < 0 {
		parts[1] = [2]int32{c.start[from+calendarSlots], c.start[calendarSlots]}
		from = 0
	}
	if to > calendarSlots {
		parts[1] = [2]int32{0, c.start[to-calendarSlots]}
		to = calendarSlots
	}
	parts[0] = [2]int32{c.start[from], c.start[to]}
	return parts
}

// around are the slots of the window about k.
func around(k int) []int { return slotsAround[k : k+2*outlierWindow+1] }

// slotsAround are the slots of a year with those of the years before and after it that a
// window reaches.
var slotsAround = func() (out [calendarSlots + 2*outlierWindow]int) {
	for i := range out {
		out[i] = (i - outlierWindow + calendarSlots) % calendarSlots
	}
	return out
}()

// far reports whether a value is beyond three plain standard deviations, so that
// the robust ones need to be worked out. A value beyond six robust ones is, unless
// more than a ninth of the window is as far out.
func (c *calendar) far(slot int, v float64) bool { return math.Abs(v-c.mean[slot]) > c.far3[slot] }

// robust returns the biweight mean of the window, and the biweight standard deviation
// of the side of it on which a value lies: warm spells of a cool coast, and cold ones of
// a hot plain, reach much farther than the other side does. It is false where the window
// has too few values.
func (c *calendar) robust(slot int, v float64) (mean, sd float64, ok bool) {
	b := &c.biweight[slot]
	if b.below == 0 {
		parts := c.window(slot)
		n := parts[0][1] - parts[0][0] + parts[1][1] - parts[1][0]
		if n < outlierValues {
			return 0, 0, false
		}
		if c.levels != nil {
			c.counts = c.levels.counted(c.counts[:0],
				c.byDay[parts[0][0]:parts[0][1]], c.byDay[parts[1][0]:parts[1][1]])
		} else {
			c.buffer = append(c.buffer[:0], c.values[parts[0][0]:parts[0][1]]...)
			c.buffer = append(c.buffer, c.values[parts[1][0]:parts[1][1]]...)
			c.counts = ordered(c.buffer, c.counts[:0])
		}
		b.mean, b.below, b.above = biweights(c.counts, float64(n))
	}
	if v < b.mean {
		return b.mean, b.below, true
	}
	return b.mean, b.above, true
}

// biweightReach is how many median absolute deviations off the median a value
// loses all weight.
const biweightReach = 7.5

// biweights returns the biweight mean of n values in ascending order, and the biweight
// standard deviations of the values below and above their median.
func biweights(x []counted, n float64) (mean, below, above float64) {
	m, at := median(x, n)
	mean = m
	if mad := medianOff(x, n, m, at); mad != 0 {
		var sumW, sumWX float64
		for _, c := range x {
			u := (c.value - m) / (biweightReach * mad)
			if math.Abs(u) >= 1 {
				continue
			}
			w := (1 - u*u) * (1 - u*u) * c.n
			sumW += w
			sumWX += w * (c.value - m)
		}
		mean = m + sumWX/sumW
	}
	to := at // past the values that are not above the median
	if at < len(x) && x[at].value == m {
		to++
	}
	return mean, sideDeviation(x[:to], m, -1), sideDeviation(x[at:], m, 1)
}

// sideDeviation returns the biweight standard deviation about the median of the values
// on one side of it, in ascending order, each with its mirror image on the other; infinite
// where half of them are the median.
func sideDeviation(x []counted, m float64, side int) float64 {
	n := total(x)
	at := 0 // where the side begins for what is taken outwards
	if side < 0 {
		at = len(x)
	}
	mad := medianOff(x, n, m, at)
	if mad == 0 {
		return math.Inf(1) // nothing is an outlier
	}
	var top, bottom float64
	for i := range x {
		c := x[i]
		if side < 0 {
			c = x[len(x)-1-i]
		}
		d := math.Abs(c.value - m)
		u := d / (biweightReach * mad)
		if u >= 1 {
			break
		}
		w := (1 - u*u) * (1 - u*u)
		top += d * d * w * w * c.n
		bottom += (1 - u*u) * (1 - 5*u*u) * c.n
	}
	// Of n values on the side and their images: the square root of 2n times twice
	// the top, by twice the bottom.
	return math.Sqrt(n*top) / math.Abs(bottom)
}
