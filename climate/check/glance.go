package check

import (
	"math"

	"swardcast/climate"
)

// A glance is what one pass over a record sees of faults that most records are without.
// Each is true where a day, or a day and the one before it, leaves open that a test finds
// something; a test whose faults the glance does not see finds nothing, and need not run.
// It holds until a value is removed: without it others can stand side by side.
type glance struct {
	beyond  bool // what was never measured on Earth
	crossed bool // a highest temperature below the lowest
	zeros   bool // both temperatures zero
	jump    bool // of spikeC from one day to the next
	stuck   bool // stuckDays equal values
}

// glanceAt looks at every day of a record.
func glanceAt(r *climate.Record) *glance {
	g := &glance{}
	lo := r.TMinC[:len(r.TMaxC)]
	for i, a := range r.TMaxC {
		b := lo[i]
		g.crossed = g.crossed || a < b
		g.zeros = g.zeros || isZeroC(a) && isZeroC(b) || isZeroF(a) && isZeroF(b)
	}
	for _, s := range series(r) {
		before, known, run := math.NaN(), math.NaN(), 0 // the day before, the last known value, how often it came
		for _, v := range s.values {
			g.beyond = g.beyond || NeverMeasured(v)
			g.jump = g.jump || math.Abs(v-before) >= spikeC
			before = v
			if v == known {
				run++
				g.stuck = g.stuck || run >= stuckDays
			} else if !math.IsNaN(v) {
				known, run = v, 1
			}
		}
	}
	return g
}
