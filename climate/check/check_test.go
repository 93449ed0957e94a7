package check

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/weather"
)

func record(years int) *climate.Record {
	return weather.Generate(weather.Piedmont(), 11, climate.Date(1990, time.January, 1),
		climate.Date(1990+years, time.January, 1)-1)
}

// Each fault is put into a good record; the test of its name, and no other,
// must find it, and just it.
func TestFaultsAreFound(t *testing.T) {
	day := climate.Date(1995, time.March, 10)
	for _, c := range []struct {
		test   string
		spoil  func(r *climate.Record, i int)
		values int
		reason string
	}{
		{"range", func(r *climate.Record, i int) { r.TMaxC[i] = 58 }, 1, "58.0 °C, was never measured"},
		{"range", func(r *climate.Record, i int) { r.TMinC[i] = -99 }, 1, "-99.0 °C"},
		{"swapped", func(r *climate.Record, i int) {
			for k := i; k < i+9; k++ {
				r.TMaxC[k], r.TMinC[k] = r.TMinC[k], r.TMaxC[k]
			}
		}, 18, "9 days in a row: the two seem swapped"},
		{"consistency", func(r *climate.Record, i int) { r.TMaxC[i] = r.TMinC[i] - 1.2 }, 2, "lies below the lowest"},
		{"zeros", func(r *climate.Record, i int) { r.TMaxC[i], r.TMinC[i] = 0, 0 }, 2, "exactly zero"},
		{"zeros", func(r *climate.Record, i int) { r.TMaxC[i], r.TMinC[i] = -17.8, -17.8 }, 2, "exactly zero"},
		{"stuck", func(r *climate.Record, i int) {
			for k := i; k < i+20; k++ {
				r.TMinC[k] = 1.3
			}
		}, 20, "1.3 °C on 20 days in a row"},
		{"repeated", func(r *climate.Record, i int) {
			from := r.Index(climate.Date(1996, time.March, 1))
			for k := range 31 {
				to := r.Index(climate.Date(1995, time.March, 1)) + k
				r.TMaxC[to], r.TMinC[to] = r.TMaxC[from+k], r.TMinC[from+k]
			}
		}, 124, "stands in March 199"},
		{"spike", func(r *climate.Record, i int) {
			r.TMinC[i-1], r.TMinC[i], r.TMinC[i+1] = 1, -25, 2
		}, 1, "26 and 27 °C off"},
		{"outlier", func(r *climate.Record, i int) {
			// In midsummer, with warm neighbours: no spike.
			k := r.Index(climate.Date(1995, time.July, 20))
			r.TMinC[k-1], r.TMinC[k], r.TMinC[k+1] = 16, 1, 16
		}, 1, "standard deviations off"},
	} {
		r := record(12)
		c.spoil(r, r.Index(day))
		_, suspect, err := Clean(r)
		if err != nil {
			t.Fatal(err)
		}
		values := 0
		for _, d := range suspect {
			values += d.Values
			if d.Test != c.test || !strings.Contains(d.Reason, c.reason) {
				t.Errorf("%s: found by %s: %s", c.test, d.Test, d.Reason)
			}
		}
		if values != c.values {
			t.Errorf("%s: %d values suspect, want %d: %v", c.test, values, c.values, suspect)
		}
	}
}

// A value that just keeps within a threshold is believed.
func TestLimits(t *testing.T) {
	r := record(12)
	i := r.Index(climate.Date(1995, time.March, 10))
	r.TMaxC[i] = r.TMinC[i] - 1 // a degree of rounding
	for k := i + 100; k < i+119; k++ {
		r.TMaxC[k] = 33.5 // nineteen
	}
	r.TMaxC[i+300], r.TMinC[i+300] = 0, -0.1
	if _, suspect, err := Clean(r); err != nil || len(suspect) != 0 {
		t.Errorf("%v, %v", suspect, err)
	}
}

func TestGoodRecordIsBelieved(t *testing.T) {
	for seed := range uint64(5) {
		r := weather.Generate(weather.Piedmont(), seed, climate.Date(1990, 1, 1), climate.Date(2019, 12, 31))
		clean, suspect, err := Clean(r)
		// The outbreaks of the generator are deep; a few in 22 000 values may
		// go. The published rate of false alarms is of all tests together.
		if err != nil || len(suspect) > 6 {
			t.Errorf("seed %d: %d suspect, %v", seed, len(suspect), err)
		}
		for i := range clean.TMaxC {
			if !math.IsNaN(clean.TMaxC[i]) && clean.TMaxC[i] != r.TMaxC[i] {
				t.Fatal("a value was changed")
			}
		}
	}
}

// A month in °F in a record in °C: the cold values that could be °C go with the
// rest.
func TestStretchOfAnotherUnit(t *testing.T) {
	r := record(12)
	last := r.Len()
	for i := last - 36; i < last; i++ {
		r.TMaxC[i], r.TMinC[i] = r.TMaxC[i]*1.8+32, r.TMinC[i]*1.8+32
	}
	clean, suspect, err := Clean(r)
	if err != nil {
		t.Fatal(err)
	}
	left := 0
	for i := last - 36; i < last; i++ {
		if !math.IsNaN(clean.TMaxC[i]) {
			left++
		}
	}
	if left > 4 {
		t.Errorf("%d of 36 days in the wrong unit are left", left)
	}
	if d := suspect[len(suspect)-1]; d.Test != "stretch" {
		t.Errorf("the last doubt is %+v", d)
	}
}

func TestCleanLeavesTheRecordAlone(t *testing.T) {
	r := record(3)
	r.TMaxC[500] = 99
	clean, suspect, err := Clean(r)
	if err != nil || r.TMaxC[500] != 99 || !math.IsNaN(clean.TMaxC[500]) || len(suspect) != 1 ||
		suspect[0].First != r.Day(500) {
		t.Errorf("%v, %v", suspect, err)
	}
}

func TestUnitChange(t *testing.T) {
	spoil := func(from, to int, convert func(float64) float64) *climate.Record {
		r := record(12)
		for i := from; i < to; i++ {
			r.TMaxC[i], r.TMinC[i] = convert(r.TMaxC[i]), convert(r.TMinC[i])
		}
		return r
	}
	toF := func(c float64) float64 { return c*1.8 + 32 }
	asF := func(c float64) float64 { return (c - 32) / 1.8 }
	tenths := func(c float64) float64 { return c * 10 }
	for name, r := range map[string]*climate.Record{
		"°F in °C, the last third":   spoil(2900, 4383, toF),
		"°F in °C, the greater part": spoil(1000, 4383, toF),
		"°C read as °F":              spoil(1500, 4383, asF),
		"tenths":                     spoil(1500, 4383, tenths),
	} {
		if _, suspect, err := Clean(r); !errors.Is(err, ErrUnitChange) || len(suspect) != 1 {
			t.Errorf("%s: %v, %v", name, suspect, err)
		}
	}
	// Years that differ by 8 °C are odd, no unit.
	if d, ok := UnitChange(spoil(1500, 4383, func(c float64) float64 { return c + 8 })); ok {
		t.Errorf("warm years: %v", d)
	}
}

// Against the definition, on numbers small enough to do by hand: median 3, MAD
// 1, so that 100 has no weight; the others have u = −2/7.5, −1/7.5, 0, 1/7.5. Below the
// median stand 1, 2 and 3, which with their images have a MAD of 1 too.
func TestBiweight(t *testing.T) {
	x := ordered([]float64{1, 2, 3, 4, 100}, nil)
	mean, below, _ := biweights(x, 5)
	middle, _ := median(x, 5)
	var w, wx float64
	for _, u := range []float64{-2 / 7.5, -1 / 7.5, 0, 1 / 7.5} {
		g := (1 - u*u) * (1 - u*u)
		w += g
		wx += g * u * 7.5
	}
	if want := 3 + wx/w; math.Abs(mean-want) > 1e-12 || middle != 3 {
		t.Errorf("mean %g, median %g; want %g, 3", mean, middle, want)
	}
	var top, bottom float64
	for _, u := range []float64{-2 / 7.5, -1 / 7.5, 0, 0, 1 / 7.5, 2 / 7.5} {
		top += u * 7.5 * u * 7.5 * math.Pow(1-u*u, 4)
		bottom += (1 - u*u) * (1 - 5*u*u)
	}
	if want := math.Sqrt(6*top) / bottom; math.Abs(below-want) > 1e-12 {
		t.Errorf("standard deviation below %g, want %g", below, want)
	}
}

// A heat wave of a cool coast is believed, and so are its single days; a day out of
// all order is not.
func TestHeatWave(t *testing.T) {
	r := record(20)
	i := r.Index(climate.Date(2001, time.July, 20))
	for k, up := range []float64{6, 11, 13, 12, 7} {
		r.TMaxC[i+k] = 31 + up
	}
	j := r.Index(climate.Date(2004, time.July, 8))
	r.TMinC[j] = 0
	_, suspect, err := Clean(r)
	if err != nil || len(suspect) != 1 || suspect[0].First != r.Day(j) {
		t.Errorf("%v, %v", suspect, err)
	}
}

func BenchmarkClean(b *testing.B) {
	r := record(30)
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Clean(r); err != nil {
			b.Fatal(err)
		}
	}
}

// A stretch ends with its last suspect day, and not with the window that finds it,
// unless the fault goes on to the end of the record.
func TestStretchEndsWithItsFault(t *testing.T) {
	r := record(2)
	at := func(first int) (suspect []Suspect) {
		for k := range 6 {
			d := r.Day(first + 2*k)
			suspect = append(suspect, Suspect{Test: "outlier", Series: Lowest, First: d, Last: d})
		}
		return suspect
	}
	if got := Stretches(r, at(100)); len(got) != 1 || got[0].First != r.Day(100) || got[0].Last != r.Day(110) ||
		!strings.HasPrefix(got[0].Reason, "6 of these 11 days") {
		t.Errorf("%+v", got)
	}
	if got := Stretches(r, at(3)); len(got) != 1 || got[0].First != r.Day(3) || got[0].Last != r.Day(13) {
		t.Errorf("%+v", got)
	}
	five := at(100)[:5]
	if got := Stretches(r, five); len(got) != 0 {
		t.Errorf("five are a stretch: %+v", got)
	}
	apart := append(five, Suspect{Test: "outlier", Series: Lowest, First: r.Day(115), Last: r.Day(115)})
	if got := Stretches(r, apart); len(got) != 0 {
		t.Errorf("six in sixteen days are a stretch: %+v", got)
	}
	if got := Stretches(r, at(r.Len()-12)); len(got) != 1 || got[0].Last != r.Last() {
		t.Errorf("%+v", got)
	}
}

// The windows of the first days are no longer than others, and the records of the Earth
// themselves are believed.
func TestLimitsOfStretchesAndRange(t *testing.T) {
	r := record(2)
	var suspect []Suspect
	for _, i := range []int{0, 2, 4, 6, 8, 15} {
		suspect = append(suspect, Suspect{Test: "outlier", Series: Lowest, First: r.Day(i), Last: r.Day(i)})
	}
	if got := Stretches(r, suspect); len(got) != 0 {
		t.Errorf("six in the first sixteen days are a stretch: %+v", got)
	}
	r.TMaxC[3], r.TMinC[3] = HighestEver, LowestEver
	if got := Range(r); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}
