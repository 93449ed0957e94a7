// Package check is the quality control of a station record. It finds suspect
// values by the tests of Durre, Menne, Gleason, Houston & Vose 2010, J. Appl.
// Meteor. Climatol. 49:1615–1633, that need the temperatures of one station
// alone, and faults of whole stretches, such as swapped columns. The thresholds
// are from a second-hand restatement (S2). On GHCN-Daily these tests, with others
// that need neighbouring stations, flagged 0.24 % of the values, 1–2 % of them
// wrongly (S).
//
// Start with [Clean]. The single tests take a record whose series are as long as
// each other.
package check

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"swardcast/climate"
)

// A Series names the temperatures that a suspect value is of.
type Series string

// The series.
const (
	Highest Series = "tmax"
	Lowest  Series = "tmin"
	Both    Series = "both"
)

// A Suspect is a suspect value, or a stretch of them.
type Suspect struct {
	Test        string // name of the test
	Series      Series
	First, Last climate.Day
	Values      int    // how many values are suspect
	Reason      string // in words, with the value
}

// A Test is one check of a record. Run must not change the record.
type Test struct {
	Name      string
	Reference string
	Run       func(*climate.Record) []Suspect

	seen func(*glance) bool // whether a glance leaves open that it finds something; nil: always
}

const durre = "Durre et al. 2010, J. Appl. Meteor. Climatol. 49:1615-1633"

// Tests returns every test in the order in which they are run: faults of whole
// stretches first, since single values would hide them.
func Tests() []Test {
	return []Test{
		{"swapped", "own test: a run of the internal consistency of " + durre, Swapped,
			func(g *glance) bool { return g.crossed }},
		{"range", durre + ", world records", Range, func(g *glance) bool { return g.beyond }},
		{"repeated", durre + ", duplicate months", RepeatedMonths, nil},
		{"stuck", durre + ", streaks", Stuck, func(g *glance) bool { return g.stuck }},
		{"zeros", durre + ", erroneous zeros", Zeros, func(g *glance) bool { return g.zeros }},
		{"consistency", durre + ", internal consistency", Consistency, func(g *glance) bool { return g.crossed }},
		{"spike", durre + ", spike", Spike, func(g *glance) bool { return g.jump }},
		{"outlier", durre + ", climatological outlier", Outlier, nil},
	}
}

// ErrUnitChange is the error of a record whose unit changes within it. Which part
// is in the right unit is not known.
var ErrUnitChange = errors.New("the unit of the temperatures changes within the record")

// Clean runs every test on what those before it left, and returns a copy of the
// record in which suspect values are missing, and the suspect values. Where there are none
// the copy has the series of r. It returns
// [climate.ErrRecord] for series that [climate.Record.Validate] refuses, and
// [ErrUnitChange] where [UnitChange] finds one, and [ErrColumns] where [Columns] does.
// The place does not matter; [Place] looks at that.
func Clean(r *climate.Record) (*climate.Record, []Suspect, error) {
	if r == nil {
		return nil, nil, r.Validate()
	}
	placeless := *r
	placeless.Place = climate.Place{}
	if err := placeless.Validate(); err != nil {
		return nil, nil, err
	}
	if d, ok := UnitChange(r); ok {
		return nil, []Suspect{d}, fmt.Errorf("%w: %s", ErrUnitChange, d.Reason)
	}
	if err := Columns(r); err != nil {
		return nil, nil, err
	}
	out := *r
	suspect := runTests(&out, glanceAt(&out))
	for _, d := range slices.Concat(ZerosForMissing(r, suspect), Stretches(&out, suspect)) {
		if remove(&out, &d); d.Values > 0 || d.Test != zeroTest {
			suspect = append(suspect, d)
		}
	}
	return &out, suspect, nil
}

// runTests runs every test on what those before it left, and removes what they find from
// copies of the series. Until then those that find nothing by a glance are left out; with
// none every test runs.
func runTests(r *climate.Record, g *glance) []Suspect {
	var suspect []Suspect
	for _, t := range Tests() {
		if g != nil && len(suspect) == 0 && t.seen != nil && !t.seen(g) {
			continue
		}
		found := t.Run(r)
		if len(found) > 0 && len(suspect) == 0 {
			r.TMaxC, r.TMinC = slices.Clone(r.TMaxC), slices.Clone(r.TMinC)
		}
		for i := range found {
			found[i].Test = t.Name
			remove(r, &found[i])
		}
		suspect = append(suspect, found...)
	}
	return suspect
}

const (
	stretchDays = 15 // of a window
	stretchBad  = 6  // days of it that are suspect, for the rest to go as well
)

// Stretches finds the other values of any fifteen days of which six or more are
// suspect. A sensor that fails, or a unit that changes for a while, gives
// plausible values among the suspect ones. The test is our own.
func Stretches(r *climate.Record, suspect []Suspect) []Suspect {
	days := make([]int, 0, len(suspect))
	for _, d := range suspect {
		switch d.Test {
		case "range", "spike", "outlier", "consistency":
			days = append(days, r.Index(d.First))
		}
	}
	if len(days) < stretchBad {
		return nil
	}
	bad := make([]bool, r.Len())
	for _, i := range days {
		bad[i] = true
	}
	in := make([]bool, r.Len()) // a window of suspect days
	count := 0
	for i := range bad {
		if bad[i] {
			count++
		}
		if i >= stretchDays && bad[i-stretchDays] {
			count--
		}
		if count >= stretchBad {
			for k := max(0, i-stretchDays+1); k <= i; k++ {
				in[k] = true
			}
		}
	}
	var out []Suspect
	stretches(r.Len(), func(i int) bool { return in[i] }, 1, func(i, j int) {
		// From the first suspect day to the last, or to the end of the record
		// where the fault goes on to it.
		for !bad[i] {
			i++
		}
		for j < r.Len() && !bad[j-1] {
			j--
		}
		n := 0
		for k := i; k < j; k++ {
			if bad[k] {
				n++
			}
		}
		out = append(out, Suspect{Test: "stretch", Series: Both, First: r.Day(i), Last: r.Day(j - 1),
			Reason: fmt.Sprintf("%d of these %d days are suspect: a sensor that fails, or another unit; "+
				"the rest goes too", n, j-i)})
	})
	return out
}

// remove sets suspect values missing and counts them.
func remove(r *climate.Record, d *Suspect) {
	for _, s := range series(r) {
		if d.Series != Both && d.Series != s.name {
			continue
		}
		for i := r.Index(d.First); i <= r.Index(d.Last); i++ {
			if !math.IsNaN(s.values[i]) {
				s.values[i] = math.NaN()
				d.Values++
			}
		}
	}
}

type namedSeries struct {
	name   Series
	word   string
	values []float64
}

func series(r *climate.Record) []namedSeries {
	return []namedSeries{{Highest, "highest", r.TMaxC}, {Lowest, "lowest", r.TMinC}}
}

// The lowest and highest air temperature ever measured, °C.
const (
	LowestEver  = -89.4
	HighestEver = 57.7
)

// NeverMeasured reports whether a temperature was never measured on Earth, °C; false for NaN.
func NeverMeasured(tempC float64) bool { return tempC < LowestEver || tempC > HighestEver }

// tenth rounds to tenths for printing; there is no -0.
func tenth(v float64) float64 { return math.Round(v*10)/10 + 0 }

// Range finds temperatures that were never measured on Earth: below −89.4 or
// above 57.7 °C.
func Range(r *climate.Record) []Suspect {
	var suspect []Suspect
	for _, s := range series(r) {
		for i, v := range s.values {
			if NeverMeasured(v) {
				suspect = append(suspect, Suspect{Series: s.name, First: r.Day(i), Last: r.Day(i),
					Reason: fmt.Sprintf("the %s temperature, %.1f °C, was never measured on Earth", s.word, tenth(v))})
			}
		}
	}
	return suspect
}

// swappedDays is how many days in a row make a stretch.
const swappedDays = 5

// Swapped finds stretches of five days and more on each of which the highest
// temperature lies below the lowest: the columns are swapped there.
func Swapped(r *climate.Record) []Suspect {
	var suspect []Suspect
	stretches(r.Len(), func(i int) bool { return r.TMaxC[i] < r.TMinC[i] }, swappedDays, func(i, j int) {
		suspect = append(suspect, Suspect{Series: Both, First: r.Day(i), Last: r.Day(j - 1),
			Reason: fmt.Sprintf("the highest temperature lies below the lowest on %d days in a row: "+
				"the two seem swapped", j-i)})
	})
	return suspect
}

// stretches calls found with each longest run i to j-1 of at least n indices
// for which is holds.
func stretches(count int, is func(int) bool, n int, found func(i, j int)) {
	for i := 0; i < count; {
		if !is(i) {
			i++
			continue
		}
		j := i
		for j < count && is(j) {
			j++
		}
		if j-i >= n {
			found(i, j)
		}
		i = j
	}
}

// Consistency finds both temperatures of a day whose highest lies more than
// 1 °C below its lowest.
func Consistency(r *climate.Record) []Suspect {
	var suspect []Suspect
	for i := range r.TMaxC {
		if r.TMaxC[i] < r.TMinC[i]-1 {
			suspect = append(suspect, Suspect{Series: Both, First: r.Day(i), Last: r.Day(i),
				Reason: fmt.Sprintf("the highest temperature, %.1f °C, lies below the lowest, %.1f °C",
					tenth(r.TMaxC[i]), tenth(r.TMinC[i]))})
		}
	}
	return suspect
}

// Zeros finds days on which both temperatures are exactly 0 °C, or exactly
// 0 °F: a missing value written as zero.
func Zeros(r *climate.Record) []Suspect {
	var suspect []Suspect
	for i := range r.TMaxC {
		a, b := r.TMaxC[i], r.TMinC[i]
		if isZeroC(a) && isZeroC(b) || isZeroF(a) && isZeroF(b) {
			suspect = append(suspect, Suspect{Series: Both, First: r.Day(i), Last: r.Day(i),
				Reason: "both temperatures are exactly zero, as where a missing value was written as 0"})
		}
	}
	return suspect
}

func isZeroC(v float64) bool { return v == 0 }
func isZeroF(v float64) bool { return math.Abs(v+17.8) < 0.05 } // −17.78 in tenths or not

// stuckDays is how many equal values in a row the weather does not give.
const stuckDays = 20

// Stuck finds twenty and more equal values in a row, not counting missing days
// between them: the sensor is stuck.
func Stuck(r *climate.Record) []Suspect {
	var suspect []Suspect
	for _, s := range series(r) {
		run, first, last := 0, 0, 0
		flush := func() {
			if run >= stuckDays {
				suspect = append(suspect, Suspect{Series: s.name, First: r.Day(first), Last: r.Day(last),
					Reason: fmt.Sprintf("the %s temperature is %.1f °C on %d days in a row: the sensor seems stuck",
						s.word, tenth(s.values[first]), run)})
			}
		}
		for i, v := range s.values {
			switch {
			case math.IsNaN(v):
			case run > 0 && v == s.values[last]:
				run++
				last = i
			default:
				flush()
				run, first, last = 1, i, i
			}
		}
		flush()
	}
	return suspect
}

// spikeC is the difference from both neighbours that makes a spike, °C.
const spikeC = 25

// Spike finds values at least 25 °C above, or below, both the day before and the
// day after.
func Spike(r *climate.Record) []Suspect {
	var suspect []Suspect
	for _, s := range series(r) {
		for i := 1; i < len(s.values)-1; i++ {
			before, after := s.values[i]-s.values[i-1], s.values[i]-s.values[i+1]
			if before >= spikeC && after >= spikeC || before <= -spikeC && after <= -spikeC {
				suspect = append(suspect, Suspect{Series: s.name, First: r.Day(i), Last: r.Day(i),
					Reason: fmt.Sprintf("the %s temperature, %.1f °C, stands %.0f and %.0f °C off "+
						"the days before and after it",
						s.word, tenth(s.values[i]), math.Abs(before), math.Abs(after))})
			}
		}
	}
	return suspect
}

// repeatedDays is how many days a month needs to be compared.
const repeatedDays = 20

// RepeatedMonths finds months whose values are those of another month of the
// record, in the same order. One is a copy; which is not known, so both are
// suspect.
func RepeatedMonths(r *climate.Record) []Suspect {
	type month struct{ from, to int }
	var suspect []Suspect
	// Months without a gap, counted from 1: the last with the same first values, and before
	// each the one with its own. Those are compared whole.
	var whole []month
	last, before := make(map[[2]float64]int, r.Len()/28), []int{0}
	listed := map[month]bool{}
	report := func(m, other month) {
		if listed[m] {
			return
		}
		listed[m] = true
		suspect = append(suspect, Suspect{Series: Both, First: r.Day(m.from), Last: r.Day(m.to - 1),
			Reason: fmt.Sprintf("every temperature of %s stands in %s too", r.Day(m.from).Format("January 2006"),
				r.Day(other.from).Format("January 2006"))})
	}
	for i := 0; i < r.Len(); {
		y, mo, _ := r.Day(i).Date()
		m := month{i, min(r.Index(climate.Date(y, mo+1, 1)), r.Len())}
		i = m.to
		var key [2]float64
		gapless := m.to-m.from >= repeatedDays
		for k := m.from; k < m.to && gapless; k++ {
			gapless = !r.Missing(k)
		}
		if !gapless {
			continue
		}
		for k := range key {
			key[k] = r.TMaxC[m.from+k]
		}
		var others []month
		for k := last[key]; k > 0; k = before[k] {
			others = append(others, whole[k-1])
		}
		slices.Reverse(others)
		for _, other := range others {
			n := min(m.to-m.from, other.to-other.from)
			if slices.Equal(r.TMaxC[m.from:m.from+n], r.TMaxC[other.from:other.from+n]) &&
				slices.Equal(r.TMinC[m.from:m.from+n], r.TMinC[other.from:other.from+n]) {
				report(other, m)
				report(m, other)
			}
		}
		whole, before = append(whole, m), append(before, last[key])
		last[key] = len(whole)
	}
	return suspect
}
