package check

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
)

// plain is a record of n days that stay at 20 and 10 °C but for a slow drift, so that no
// two months are the same.
func plain(first climate.Day, n int) *climate.Record {
	r := climate.NewRecord(climate.Place{}, first, n)
	for i := range n {
		r.TMaxC[i] = 20 + float64(i%1009)/100
		r.TMinC[i] = 10 + float64(i%997)/100
	}
	return r
}

// The nights follow their own day and the next one, or the second before, with weights of 1
// and c. Of days without memory the correlations are as 1 to c: those that differ by less
// than 0.02, or 0.2, show nothing.
func TestDayApartNeedsADifference(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	const n = 40000
	hi := make([]float64, n)
	for i := range hi {
		hi[i] = random.NormFloat64()
	}
	for _, c := range []struct {
		row    int
		weight float64
		want   string
	}{{1, 1, ""}, {1, 1.1, "the highest late"}, {-2, 1, ""}, {-2, 1.2, ""}, {-2, 1.5, "the lowest late"}} {
		r := climate.NewRecord(climate.Place{}, 0, n)
		r.TMaxC = hi
		for i := range n {
			if k := i + c.row; k >= 0 && k < n {
				r.TMinC[i] = hi[i] + c.weight*hi[k]
			}
		}
		if s, ok := DayApart(r); ok != (c.want != "") || !strings.Contains(s, c.want) {
			t.Errorf("row %d, weight %g: %q", c.row, c.weight, s)
		}
	}
}

// A stretch is made of the days of windows that hold six suspect ones. A suspect day two days
// before such a window is none of it.
func TestStretchBeginsWithItsWindow(t *testing.T) {
	r := record(2)
	var suspect []Suspect
	for _, i := range []int{100, 102, 112, 113, 114, 115, 116} {
		suspect = append(suspect, Suspect{Test: "outlier", Series: Lowest, First: r.Day(i), Last: r.Day(i)})
	}
	if got := Stretches(r, suspect); len(got) != 1 || got[0].First != r.Day(102) || got[0].Last != r.Day(116) {
		t.Errorf("%+v", got)
	}
}

// Five days in a row are swapped, four or days with both temperatures the same are not.
func TestSwappedNeedsFiveDays(t *testing.T) {
	for days, want := range map[int]int{4: 0, 5: 1} {
		r := plain(0, 100)
		for i := 50; i < 50+days; i++ {
			r.TMaxC[i], r.TMinC[i] = r.TMinC[i], r.TMaxC[i]
		}
		if got := Swapped(r); len(got) != want {
			t.Errorf("%d days: %+v", days, got)
		}
	}
	r := plain(0, 100)
	copy(r.TMinC[50:60], r.TMaxC[50:60])
	if got := Swapped(r); len(got) != 0 {
		t.Errorf("equal temperatures are swapped: %+v", got)
	}
}

// A value 25 °C off both neighbours is a spike, to either side; less off one is none.
func TestSpikeAtItsLimit(t *testing.T) {
	for _, c := range []struct {
		before, after float64
		want          int
	}{{25, 25, 1}, {25, 30, 1}, {30, 25, 1}, {24.5, 30, 0}, {30, 24.5, 0}, {30, -30, 0}} {
		for _, sign := range []float64{1, -1} {
			r := climate.NewRecord(climate.Place{}, 0, 3)
			r.TMaxC[0], r.TMaxC[1], r.TMaxC[2] = 0, sign*c.before, sign*(c.before-c.after)
			if got := Spike(r); len(got) != c.want {
				t.Errorf("%g °C above the day before, %g above the next, sign %g: %+v", c.before, c.after, sign, got)
			}
		}
	}
}

// A reason has no minus zero.
func TestReasonsHaveNoMinusZero(t *testing.T) {
	r := plain(0, 100)
	for i := range 30 {
		r.TMinC[i] = -0.04
	}
	if got := Stuck(r); len(got) != 1 || !strings.Contains(got[0].Reason, "is 0.0 °C on 30 days") {
		t.Errorf("%+v", got)
	}
}

// Months are compared over the days that both have, from 20 days on, and only where no
// day is missing.
func TestRepeatedMonthsOfDifferentLengths(t *testing.T) {
	first := climate.Date(2001, time.January, 12) // 20 days of January
	copied := func(r *climate.Record, from, to climate.Day, n int) {
		a, b := r.Index(from), r.Index(to)
		copy(r.TMaxC[b:b+n], r.TMaxC[a:a+n])
		copy(r.TMinC[b:b+n], r.TMinC[a:a+n])
	}
	february, march := climate.Date(2001, time.February, 1), climate.Date(2001, time.March, 1)
	for name, c := range map[string]struct {
		spoil func(r *climate.Record)
		want  int
	}{
		"none":                  {func(*climate.Record) {}, 0},
		"the shorter one first": {func(r *climate.Record) { copied(r, february, march, 28) }, 2},
		"the longer one first": {func(r *climate.Record) {
			copied(r, march, climate.Date(2001, time.April, 1), 30)
		}, 2},
		"a day less than the shorter one": {func(r *climate.Record) { copied(r, february, march, 27) }, 0},
		"a day missing": {func(r *climate.Record) {
			copied(r, february, march, 28)
			r.TMinC[r.Index(climate.Date(2001, time.March, 30))] = math.NaN()
		}, 0},
		"20 days": {func(r *climate.Record) { copied(r, first, march, 20) }, 2},
		"19 days": {func(r *climate.Record) {
			r.First++ // of the days that are left the first 19 are in January
			copied(r, r.First, climate.Date(2001, time.May, 1), 19)
		}, 0},
		"19 days of the last month": {func(r *climate.Record) { copied(r, february, climate.Date(2001, time.June, 1), 19) }, 0},
	} {
		r := plain(first, 140+19) // to 19 June
		c.spoil(r)
		if got := RepeatedMonths(r); len(got) != c.want {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// A year of daily means is refused, a day less is not judged; so is a highest less than
// 1 °C above the lowest on half of the days, and the message has by how much.
func TestColumnsAtTheirLimits(t *testing.T) {
	for _, c := range []struct {
		days  int
		apart float64
		want  string
	}{
		{365, 0, "less than 0.1 °C"}, {364, 0, ""}, {400, 0.25, "less than 0.4 °C"}, {400, 1, ""}, {400, 0.875, "less than 1.0 °C"},
	} {
		r := climate.NewRecord(climate.Place{}, 0, c.days)
		for i := range c.days {
			r.TMinC[i] = 10 + 8*math.Round(8*math.Sin(float64(i)*2*math.Pi/365))/8
			r.TMaxC[i] = r.TMinC[i] + c.apart
		}
		err := Columns(r)
		if (c.want != "") != errors.Is(err, ErrColumns) || c.want != "" && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%d days, %g °C apart: %v", c.days, c.apart, err)
		}
	}
}

// Zeros stand for missing values where they are at least five, and half, of the values
// that the tests of single values found. Other tests do not count, and of the inconsistent
// values the zeros alone.
func TestZerosForMissingAreTheRule(t *testing.T) {
	type found struct {
		test   string
		series Series
		value  float64
		n      int
	}
	for name, c := range map[string]struct {
		found []found
		want  bool
	}{
		"five outliers":                {[]found{{"outlier", Lowest, 0, 5}}, true},
		"five spikes":                  {[]found{{"spike", Lowest, 0, 5}}, true},
		"five inconsistent":            {[]found{{"consistency", Both, 0, 5}}, true},
		"four":                         {[]found{{"outlier", Lowest, 0, 4}}, false},
		"of the other series":          {[]found{{"outlier", Highest, 0, 5}}, false},
		"half of the outliers":         {[]found{{"outlier", Lowest, 0, 5}, {"outlier", Lowest, -30, 5}}, true},
		"less than half":               {[]found{{"outlier", Lowest, 0, 5}, {"outlier", Lowest, -30, 6}}, false},
		"beside other tests":           {[]found{{"outlier", Lowest, 0, 5}, {"range", Lowest, -99, 6}}, true},
		"other tests alone":            {[]found{{"stuck", Lowest, 0, 5}}, false},
		"beside inconsistent values":   {[]found{{"outlier", Lowest, 0, 5}, {"consistency", Both, 25, 6}}, true},
		"zeros of the Fahrenheit":      {[]found{{"outlier", Lowest, -17.78, 5}}, true},
		"of either scale, too few":     {[]found{{"outlier", Lowest, 0, 3}, {"outlier", Lowest, -17.78, 3}}, false},
		"just above zero is no zero":   {[]found{{"outlier", Lowest, 0.1, 5}}, false},
		"outliers of the other series": {[]found{{"outlier", Lowest, 0, 5}, {"outlier", Highest, 50, 9}}, true},
	} {
		r := plain(0, 200)
		var suspect []Suspect
		day := 0
		for _, f := range c.found {
			for range f.n {
				if f.series != Highest {
					r.TMinC[day] = f.value
				}
				suspect = append(
					suspect,
					Suspect{Test: f.test, Series: f.series, First: r.Day(day), Last: r.Day(day)},
				)
				day += 3
			}
		}
		if got := ZerosForMissing(r, suspect); (len(got) > 0) != c.want {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// From 25° on the sun sets the warmest day. The reason has on which side of the longest day
// it lies.
func TestPlaceByLatitudeAndLag(t *testing.T) {
	at := func(latitude float64, days int) (string, error) {
		r := record(5)
		r.First += climate.Day(days)
		r.Place.Latitude = &latitude
		doubts, err := Place(r)
		return strings.Join(doubts, " "), err
	}
	if _, err := at(25, 91); !errors.Is(err, ErrCourse) || !strings.Contains(err.Error(), "after the longest day") {
		t.Errorf("25°, a season late: %v", err)
	}
	if _, err := at(25, -91); !errors.Is(err, ErrCourse) || !strings.Contains(err.Error(), "before the longest day") {
		t.Errorf("25°, a season early: %v", err)
	}
	if _, err := at(24.9, 91); err != nil {
		t.Errorf("24.9°: %v", err)
	}
}

// window is a record of some years of which only the 15 days of the calendar about a date
// have values: spread evenly over some °C below and above 20 °C.
func window(years int, below, above float64) (r *climate.Record, centre func(year int) int) {
	first := climate.Date(2001, time.January, 1)
	r = climate.NewRecord(climate.Place{}, first, int(climate.Date(2001+years, time.January, 1)-first))
	centre = func(year int) int { return r.Index(climate.Date(2001+year, time.June, 15)) }
	n := 0
	for y := range years {
		for k := -7; k <= 7; k++ {
			// Multiples of the golden ratio are spread evenly, whatever their number.
			u := math.Mod(float64(n)*0.6180339887, 1)*2 - 1
			r.TMaxC[centre(y)+k] = 20 + u*map[bool]float64{true: below, false: above}[u < 0]
			n++
		}
	}
	return r, centre
}

// A value is judged by the 15 days of the calendar about it, where they have at least 100
// values.
func TestOutlierNeedsAHundredValues(t *testing.T) {
	for missing, want := range map[int]int{0: 1, 5: 1, 6: 0} {
		r, centre := window(7, 2, 2) // 105 values
		r.TMaxC[centre(3)] = -20     // as far below zero as the others are above it
		for k := range missing {
			r.TMaxC[centre(5)-7+k] = math.NaN()
		}
		if got := Outlier(r); len(got) != want || want > 0 && got[0].First != r.Day(centre(3)) {
			t.Errorf("of 105 values %d missing: %+v", missing, got)
		}
	}
}

// The deviation is that of the side: 8 °C are much where the others reach half a degree,
// and little where they reach five.
func TestOutlierIsOfItsSide(t *testing.T) {
	for _, c := range []struct {
		below, above, off float64
		want              int
	}{{0.5, 5, -8, 1}, {0.5, 5, 8, 0}, {5, 0.5, 8, 1}, {5, 0.5, -8, 0}, {0.3, 0.3, 2, 1}, {0.3, 0.3, -2, 1}} {
		r, centre := window(8, c.below, c.above)
		r.TMaxC[centre(3)] = 20 + c.off
		if got := Outlier(r); len(got) != c.want {
			t.Errorf("%+v: %+v", c, got)
		}
	}
}

// A day far off is believed beside another on the same side, whichever of the two is first;
// the other side, or one that is a fault itself, is no support.
func TestOutlierIsSupportedByEitherDay(t *testing.T) {
	for _, c := range []struct {
		before, after float64 // off the mean, in robust standard deviations
		want          bool    // the day is suspect
	}{{0, 0, true}, {5, 0, false}, {0, 5, false}, {-5, 0, true}, {0, -5, true}, {2, 0, true}, {20, 0, true}} {
		r, centre := window(12, 2, 2)
		i := centre(5)
		byDay := newCalendar(r.TMaxC, calendarSlotsOf(r))
		mean, sd, ok := byDay.robust(int(calendarSlotsOf(r)[i]), 30)
		if !ok {
			t.Fatal("too few values")
		}
		r.TMaxC[i-1], r.TMaxC[i], r.TMaxC[i+1] = mean+c.before*sd, mean+8*sd, mean+c.after*sd
		suspect := slices.ContainsFunc(Outlier(r), func(s Suspect) bool { return s.First == r.Day(i) })
		if suspect != c.want {
			t.Errorf("%+v: suspect %v", c, suspect)
		}
	}
}

// The first and the last day of a record are judged as others are, and a value that never
// changes is no outlier.
func TestOutlierAtTheEnds(t *testing.T) {
	r := record(8)
	r.TMinC[0], r.TMaxC[r.Len()-1] = -40, 50
	got := Outlier(r)
	for _, d := range []climate.Day{r.First, r.Last()} {
		if !slices.ContainsFunc(got, func(s Suspect) bool { return s.First == d }) {
			t.Errorf("%s is believed", d)
		}
	}
	same := climate.NewRecord(climate.Place{}, 0, 4000)
	for i := range same.TMaxC {
		same.TMaxC[i], same.TMinC[i] = 20, 10
	}
	if got := Outlier(same); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}

// Days within seven of another are near it, itself too.
func TestNear(t *testing.T) {
	for _, c := range []struct {
		days    []int
		k, want int
	}{{[]int{0, 7, 14}, 1, 3}, {[]int{0, 8, 16}, 1, 1}, {[]int{0, 100, 101}, 1, 2}, {[]int{0, 1, 2, 3}, 3, 4}} {
		if got := near(c.days, c.k); got != c.want {
			t.Errorf("%v about the %d.: %d, want %d", c.days, c.k, got, c.want)
		}
	}
}

// The levels of a series count a part of it as its values would be ordered.
func TestCountedOfAPart(t *testing.T) {
	levels, of := newLevels([]float64{1, 2, 3, 4, 5, 6})
	for _, part := range [][]float64{{2, 5, 5}, {1}, {6, 6}, {1, 6}} {
		var list []uint16
		for _, v := range part {
			list = append(list, of[int(v)-1])
		}
		if got, want := levels.counted(nil, list), ordered(slices.Clone(part), nil); !slices.Equal(got, want) {
			t.Errorf("%v: %v, want %v", part, got, want)
		}
	}
}

// A change of the unit is found from six months of the calendar on, December too; the months
// at the rarer level are named, and the two units.
func TestUnitChangeIsNamed(t *testing.T) {
	toF := func(c float64) float64 { return c*1.8 + 32 }
	tenths := func(c float64) float64 { return c * 10 }
	spoil := func(change func(float64) float64, in func(d climate.Day) bool) *climate.Record {
		r := record(12) // 1990 to 2001
		for i := range r.TMaxC {
			if in(r.Day(i)) {
				r.TMaxC[i], r.TMinC[i] = change(r.TMaxC[i]), change(r.TMinC[i])
			}
		}
		return r
	}
	months := func(first time.Month) func(climate.Day) bool {
		return func(d climate.Day) bool {
			y, m, _ := d.Date()
			return y < 1995 && m >= first
		}
	}
	day := climate.Date
	for name, c := range map[string]struct {
		r           *climate.Record
		words       string
		first, last climate.Day
	}{
		"six months of five years": {spoil(toF, months(time.July)), "between °F and °C; the 30 months",
			day(1990, 7, 1), day(1994, 12, 31)},
		"five months": {spoil(toF, months(time.August)), "", 0, 0},
		"the first years": {spoil(toF, func(d climate.Day) bool { return d < day(1993, 1, 1) }),
			"between °F and °C; the 36 months", day(1990, 1, 1), day(1992, 12, 31)},
		"the greater part": {spoil(toF, func(d climate.Day) bool { return d >= day(1993, 1, 1) }),
			"between °F and °C; the 36 months", day(1990, 1, 1), day(1992, 12, 31)},
		"tenths": {spoil(tenths, func(d climate.Day) bool { return d >= day(1999, 1, 1) }),
			"between tenths of °C and °C", day(1999, 4, 1), day(2001, 11, 30)},
		"20 °C warmer": {spoil(func(c float64) float64 { return c + 20 },
			func(d climate.Day) bool { return d < day(1993, 1, 1) }), "", 0, 0},
	} {
		got, ok := UnitChange(c.r)
		if ok != (c.words != "") || !strings.Contains(got.Reason, c.words) {
			t.Errorf("%s: %v, %v", name, got, ok)
			continue
		}
		if name != "tenths" && ok && (got.First != c.first || got.Last != c.last) {
			t.Errorf("%s: %s to %s, want %s to %s", name, got.First, got.Last, c.first, c.last)
		}
	}
}

// A month counts from 15 days on.
func TestUnitChangeNeedsHalfAMonth(t *testing.T) {
	for days, want := range map[int]bool{15: true, 14: false} {
		r := record(12)
		for i := range r.TMaxC {
			if y, _, d := r.Day(i).Date(); y >= 1998 {
				if d > days {
					r.TMaxC[i] = math.NaN()
				} else {
					r.TMaxC[i], r.TMinC[i] = r.TMaxC[i]*1.8+32, r.TMinC[i]*1.8+32
				}
			}
		}
		if got, ok := UnitChange(r); ok != want {
			t.Errorf("%d days of each month: %v, %v", days, got, fmt.Sprint(ok))
		}
	}
}
