package climate

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestDaysAtTheirLimits(t *testing.T) {
	if !ValidDate(1, time.January, 1) || !ValidDate(9999, time.December, 31) {
		t.Error("the first or the last day of the calendar is refused")
	}
	if d, err := ParseDay("0001-01-01"); err != nil || d != Date(1, time.January, 1) {
		t.Errorf("the first day: %v, %v", d, err)
	}
	var got struct{ On Day }
	text := `{"On":"2024-02-29"}`
	if err := json.Unmarshal([]byte(text), &got); err != nil || got.On != Date(2024, time.February, 29) {
		t.Errorf("%v, %v", got.On, err)
	}
	if back, err := json.Marshal(got); err != nil || string(back) != text {
		t.Errorf("%s, %v", back, err)
	}
	was := got
	if err := json.Unmarshal([]byte(`{"On":"2023-02-29"}`), &got); err == nil || got != was {
		t.Errorf("a day that is none: %v, %v", got.On, err)
	}
}

// By hand: (1·2 + 2·3) / ((1 + 4)/2 + (4 + 9)/2) = 8/9; of pairs alone that are known.
func TestLagOneCorrelation(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		anomaly []float64
		want    float64
	}{
		{[]float64{1, 2, 3}, 8.0 / 9}, {[]float64{1, 2, nan, 7, 2, nan, 1}, (2.0 + 14) / (2.5 + 26.5)},
		{[]float64{1, 1, 1}, 0.95}, {[]float64{1, -1, 1}, 0}, {[]float64{0, 0, 0}, 0}, {nil, 0}, {[]float64{5}, 0},
	} {
		if got := lagOneCorrelation(c.anomaly); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v: %g, want %g", c.anomaly, got, c.want)
		}
	}
	if got := bridge([]float64{nan, nan, 8}, -1, 0, 2, 0.5); got != 2 {
		t.Errorf("two days before the first known one: %g, want 0.5² · 8", got)
	}
}

// even is a record without a freeze.
func even(first, last Day) *Record {
	r := NewRecord(Place{}, first, int(last-first)+1)
	for i := range r.TMinC {
		r.TMaxC[i], r.TMinC[i] = 15, 5
	}
	return r
}

func tables(t *testing.T, r *Record, c Calendar, o FreezeOptions) (first, last *FreezeTable) {
	t.Helper()
	first, err := FirstFreezes(r, c, -2, o)
	if err != nil {
		t.Fatal(err)
	}
	if last, err = LastFreezes(r, c, -2, o); err != nil {
		t.Fatal(err)
	}
	return first, last
}

func cold(r *Record, days ...Day) *Record {
	for _, d := range days {
		r.TMinC[r.Index(d)] = -5
	}
	return r
}

// dates are those of a table by season, 0 where none came.
func dates(t *FreezeTable) map[int]Day {
	out := map[int]Day{}
	for _, d := range t.Dates {
		out[d.Season] = 0
		if d.Day != nil {
			out[d.Season] = *d.Day
		}
	}
	return out
}

func TestFreezesAtTheEndsOfSeasons(t *testing.T) {
	north, south := Calendar{}, Calendar{South: true}
	whole := func() *Record { return even(Date(2001, 1, 1), Date(2004, 12, 31)) }
	for name, c := range map[string]struct {
		r      *Record
		c      Calendar
		spring bool
		year   int
		want   Day
	}{
		"on the last day of a season":       {cold(whole(), Date(2003, 4, 30)), north, false, 2002, Date(2003, 4, 30)},
		"a day later":                       {cold(whole(), Date(2003, 5, 1)), north, false, 2002, 0},
		"on the first day of a season":      {cold(whole(), Date(2002, 7, 1)), north, false, 2002, Date(2002, 7, 1)},
		"that is no freeze of spring":       {cold(whole(), Date(2002, 7, 1)), north, true, 2002, 0},
		"on the last day of June":           {cold(whole(), Date(2002, 6, 30)), north, true, 2002, Date(2002, 6, 30)},
		"on the first day of the year":      {cold(whole(), Date(2002, 1, 1)), north, true, 2002, Date(2002, 1, 1)},
		"on the first day of the record":    {cold(whole(), Date(2001, 1, 1)), north, true, 2001, Date(2001, 1, 1)},
		"south, on the first of the record": {cold(whole(), Date(2001, 1, 1)), south, false, 2001, Date(2001, 1, 1)},
		"south, in spring":                  {cold(whole(), Date(2002, 10, 15)), south, true, 2002, Date(2002, 10, 15)},
		"south, on the last day of spring":  {cold(whole(), Date(2002, 12, 31)), south, true, 2002, Date(2002, 12, 31)},
		"south, after spring":               {cold(whole(), Date(2003, 1, 1)), south, true, 2002, 0},
		"south, before spring":              {cold(whole(), Date(2002, 6, 30)), south, true, 2002, 0},
	} {
		first, last := tables(t, c.r, c.c, FreezeOptions{})
		table := first
		if c.spring {
			table = last
		}
		if got, ok := dates(table)[c.year]; !ok || got != c.want {
			t.Errorf("%s: %v, %v, want %v", name, got, ok, c.want)
		}
	}
	if !Freezes(0.05, 0) || Freezes(0.051, 0) || Freezes(math.NaN(), 0) {
		t.Error("the slack of a threshold")
	}
}

// A season that the record touches is used or dropped with its reason.
func TestFreezesAtTheEndsOfTheRecord(t *testing.T) {
	reason := func(t *FreezeTable, year int) string {
		for _, d := range t.Dropped {
			if d.Season == year {
				return d.Reason
			}
		}
		return ""
	}
	first, _ := tables(t, even(Date(2001, 1, 1), Date(2002, 7, 1)), Calendar{}, FreezeOptions{})
	if got := reason(first, 2002); !strings.Contains(got, "still running: the record ends on 2002-07-01") {
		t.Errorf("the first day of a season: %q", got)
	}
	first, _ = tables(t, even(Date(2001, 12, 31), Date(2003, 12, 31)), Calendar{}, FreezeOptions{})
	if got := reason(first, 2001); !strings.Contains(got, "days without a lowest temperature") {
		t.Errorf("the last day of a season's first half: %q", got)
	}
	first, _ = tables(t, even(Date(2002, 1, 1), Date(2003, 12, 31)), Calendar{}, FreezeOptions{})
	if _, used := dates(first)[2001]; used || reason(first, 2001) != "" {
		t.Errorf("the second half alone: %q", reason(first, 2001))
	}
	first, _ = tables(t, even(Date(2001, 1, 1), Date(2003, 2, 10)), Calendar{}, FreezeOptions{})
	if got := reason(first, 2002); !strings.Contains(got, "the record ends on 2003-02-10, before the freeze") {
		t.Errorf("no freeze up to February: %q", got)
	}
	r := even(Date(2001, 1, 1), Date(2003, 4, 30))
	for i := range 20 {
		r.TMinC[r.Index(Date(2003, 3, 1))+i] = math.NaN()
	}
	first, _ = tables(t, r, Calendar{}, FreezeOptions{})
	if got := reason(first, 2002); !strings.Contains(got, "20 days without a lowest temperature") {
		t.Errorf("a record that ends with the season: %q", got)
	}
	_, last := tables(t, even(Date(2001, 1, 1), Date(2002, 5, 30)), Calendar{}, FreezeOptions{})
	if _, used := dates(last)[2002]; !used {
		t.Error("a spring without its June is not used")
	}
	_, last = tables(t, even(Date(2001, 1, 1), Date(2002, 5, 29)), Calendar{}, FreezeOptions{})
	if _, used := dates(last)[2002]; used {
		t.Error("a spring without the end of May is used")
	}
	_, last = tables(t, even(Date(2001, 1, 1), Date(2001, 12, 31)), Calendar{}, FreezeOptions{Completeness: Strict()})
	if _, used := dates(last)[2001]; !used {
		t.Error("the first day of the record counts as missing")
	}
}

// The rule asked for is used. Of more than thirty seasons the latest count, and of those
// dropped before them nothing is said.
func TestFreezeTableOptions(t *testing.T) {
	r := even(Date(1961, 1, 1), Date(2000, 12, 31))
	r.TMinC[r.Index(Date(1995, 10, 1))] = math.NaN()
	for i := range 60 {
		r.TMinC[r.Index(Date(1962, 10, 1))+i] = math.NaN()
	}
	first, _ := tables(t, r, Calendar{}, FreezeOptions{})
	if first.Seasons() != MaxSeasons || first.Dates[0].Season != 1970 || slices.ContainsFunc(first.Dropped,
		func(d DroppedSeason) bool { return d.Season == 1962 }) {
		t.Errorf("%d seasons from %d, dropped %v", first.Seasons(), first.Dates[0].Season, first.Dropped)
	}
	if _, used := dates(first)[1995]; !used {
		t.Error("a day missing drops a season by the usual rule")
	}
	first, _ = tables(t, r, Calendar{}, FreezeOptions{FirstSeason: 1961, Completeness: Strict()})
	if _, used := dates(first)[1995]; used || first.Seasons() < 35 {
		t.Errorf("a day missing is allowed by the strict rule, %d seasons", first.Seasons())
	}
	if len(first.Dropped) < 2 || first.Dropped[0].Season > 1962 {
		t.Errorf("dropped %v", first.Dropped)
	}
	// Of thirty seasons none is left out, and what was dropped before them is still said.
	r = even(Date(1961, 1, 1), Date(1993, 4, 30))
	for i := range 60 {
		r.TMinC[r.Index(Date(1961, 10, 1))+i] = math.NaN()
	}
	for i := range 60 {
		r.TMinC[r.Index(Date(1962, 10, 1))+i] = math.NaN()
	}
	first, _ = tables(t, r, Calendar{}, FreezeOptions{})
	if first.Seasons() != 30 || !slices.ContainsFunc(first.Dropped, func(d DroppedSeason) bool { return d.Season == 1962 }) {
		t.Errorf("%d seasons, dropped %v", first.Seasons(), first.Dropped)
	}
}

// Five seasons have a date, four have none. The trend, days a decade, is ten times that of
// the years with its interval.
func TestFreezeTableOfFewSeasons(t *testing.T) {
	for seasons, want := range map[int]bool{5: true, 4: false} {
		r := even(Date(2001, 7, 1), Date(2001+seasons, 4, 30))
		for k := range seasons {
			cold(r, Date(2001+k, 10, 10+[]int{3, 0, 9, 1, 14}[k]))
		}
		first, err := FirstFreezes(r, Calendar{}, -2, FreezeOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if _, ok := first.At(0.5, 2001); ok != want {
			t.Errorf("%d seasons have a date: %v", seasons, ok)
		}
		if seasons == 5 {
			of := TheilSen([]float64{0, 1, 2, 3, 4}, []float64{3, 0, 9, 1, 14}, TrendLevel)
			if got := first.Trend; math.Abs(got.Slope-10*of.Slope)+math.Abs(got.Low-10*of.Low)+math.Abs(got.High-10*of.High) > 1e-9 ||
				of.Low == of.High {
				t.Errorf("%+v, want ten times %+v", got, of)
			}
		}
	}
}

func TestMonthOfOneDay(t *testing.T) {
	months := WMO().Months(even(Date(2001, 1, 31), Date(2001, 3, 1)))
	if len(months) != 3 || months[0].Days != 1 || months[2] != (Month{2001, time.March, 1, 0, true}) {
		t.Errorf("%+v", months)
	}
}

// Of a course that is known its harmonics are found again, over days of any number, and with
// none its mean.
func TestFitNormalFindsTheCourse(t *testing.T) {
	course := Normal{Mean: 12, Cos: []float64{-9, 0.5}, Sin: []float64{-4, 1.25}}
	for _, n := range []int{1461, 1460, 64 * 23, 64*23 + 1, 64*23 - 1} {
		first := Date(1997, 3, 5)
		got, err := FitNormal(first, course.Series(first, n), 2)
		if err != nil {
			t.Fatal(err)
		}
		off := math.Abs(got.Mean - course.Mean)
		for h := range course.Cos {
			off += math.Abs(got.Cos[h]-course.Cos[h]) + math.Abs(got.Sin[h]-course.Sin[h])
		}
		if off > 1e-9 {
			t.Errorf("%d days: %+v", n, got)
		}
	}
	y := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}
	if got, err := FitNormal(0, y, 0); err != nil || math.Abs(got.Mean-5.5) > 1e-12 {
		t.Errorf("a mean alone: %+v, %v", got, err)
	}
	if _, err := FitNormal(0, y[:9], 0); !errors.Is(err, ErrTooShort) {
		t.Errorf("nine days: %v", err)
	}
	// Ten days a coefficient, spread over the year.
	for days, want := range map[int]bool{30: true, 29: false} {
		y := make([]float64, 365)
		for i := range y {
			y[i] = math.NaN()
		}
		for k := range days {
			y[k*12] = course.At(Day(k * 12))
		}
		if _, err := FitNormal(0, y, 1); (err == nil) != want {
			t.Errorf("%d days over the year: %v", days, err)
		}
	}
}

// atPeak is the course of one harmonic that is highest so many days after 1 January 2000.
func atPeak(days float64) Normal {
	sin, cos := math.Sincos(2 * math.Pi * days / TropicalYear)
	return Normal{Cos: []float64{cos}, Sin: []float64{sin}}
}

func TestPeakByHand(t *testing.T) {
	if got := atPeak(100).Peak(2000); got != Date(2000, 4, 10) {
		t.Errorf("100 days after 1 January: %v", got)
	}
	if got := atPeak(0).Peak(2000); got != Date(2000, 1, 1) {
		t.Errorf("on 1 January: %v", got)
	}
	for want, days := range map[bool][]Day{
		true:  {Date(2000, 5, 10), Date(2000, 7, 20), Date(2000, 10, 20)},
		false: {Date(2000, 4, 20), Date(2000, 11, 10), Date(2000, 1, 20)},
	} {
		for _, d := range days {
			if got := atPeak(float64(d - Date(2000, 1, 1))).WarmInNorthernSummer(); got != want {
				t.Errorf("warmest on %v: %v", d, got)
			}
		}
	}
	// The course of a peak on day 100 crosses its mean a quarter of a year before and after.
	c := atPeak(100)
	up, down := Date(2000, 1, 1)+9, Date(2000, 1, 1)+192 // 8.69 and 191.31, the day after
	for name, s := range map[string]struct {
		first, last Day
		want        []Crossing
	}{
		"both":        {up - 5, down + 5, []Crossing{{up, true}, {down, false}}},
		"at the ends": {up, down, []Crossing{{up, true}, {down, false}}},
		"one day":     {down, down, []Crossing{{down, false}}},
		"between":     {up + 1, down - 1, nil},
	} {
		if got := c.Crossings(0, s.first, s.last); !slices.Equal(got, s.want) {
			t.Errorf("%s: %v, want %v", name, got, s.want)
		}
	}
}

// Where (n + 1/3) p + 1/3 is the whole number k, the quantile is the k-th value, whatever its
// neighbours.
func TestQuantileOfAWholeRank(t *testing.T) {
	for n := 1; n <= 60; n++ {
		for k := 1; k <= n; k++ {
			x := make([]float64, n)
			for i := range x {
				x[i] = math.Inf(map[bool]int{true: 1, false: -1}[i >= k])
			}
			x[k-1] = 7
			if got := Quantile((float64(k)-1.0/3)/(float64(n)+1.0/3), x); got != 7 {
				t.Errorf("rank %d of %d: %g", k, n, got)
			}
		}
	}
	x := []float64{1, 2, 4}
	if a, b := Quantile(0, x), Quantile(1, x); a != 1 || b != 4 {
		t.Errorf("the ends: %g, %g", a, b)
	}
	for _, p := range []float64{-1e-9, 1.000001, math.NaN()} {
		if got := Quantile(p, x); !math.IsNaN(got) {
			t.Errorf("p = %g: %g", p, got)
		}
	}
}

// Nth is the value of the sorted list, larger ones behind it and smaller ones before.
func TestNthIsOfTheSortedList(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 9))
	for round := range 300 {
		x := make([]float64, 1+random.IntN(40))
		for i := range x {
			x[i] = float64(random.IntN(1 + round%20)) // with ties
		}
		sorted := slices.Sorted(slices.Values(x))
		k := random.IntN(len(x))
		if got := Nth(x, k); got != sorted[k] || x[k] != got {
			t.Fatalf("number %d of %v: %g", k, sorted, got)
		}
		for i, v := range x {
			if i < k && v > x[k] || i > k && v < x[k] {
				t.Fatalf("%v about number %d", x, k)
			}
		}
		if !slices.Equal(slices.Sorted(slices.Values(x)), sorted) {
			t.Fatal("values were lost")
		}
	}
}

func TestPlacesAtTheirLimits(t *testing.T) {
	for _, c := range [][2]float64{{90, 180}, {-90, -180}} {
		r := even(0, 9)
		r.Place.Latitude, r.Place.Longitude = &c[0], &c[1]
		r.TMaxC[3], r.TMinC[3] = math.MaxFloat64, -math.MaxFloat64
		if err := r.Validate(); err != nil {
			t.Errorf("%v: %v", c, err)
		}
	}
	if CalendarAt(0).South || !CalendarAt(-0.1).South {
		t.Error("the calendar of the equator")
	}
}

func TestSeasonHolding(t *testing.T) {
	for _, c := range []struct {
		south bool
		day   Day
		want  int
	}{
		{false, Date(2002, 2, 10), 2001}, {false, Date(2002, 4, 30), 2001}, {false, Date(2002, 5, 1), 2002},
		{false, Date(2002, 7, 1), 2002}, {false, Date(2002, 12, 31), 2002}, {false, Date(2003, 1, 1), 2002},
		{true, Date(2002, 1, 1), 2002}, {true, Date(2002, 7, 1), 2002}, {true, Date(2002, 10, 31), 2002},
		{true, Date(2002, 11, 1), 2003}, {true, Date(2002, 12, 31), 2003},
	} {
		if got := (Calendar{South: c.south}).SeasonHolding(c.day); got != c.want {
			t.Errorf("%v, south %v: %d, want %d", c.day, c.south, got, c.want)
		}
	}
}

// Of two longest runs of missing days the first is named.
func TestGapNamesTheFirstLongestRun(t *testing.T) {
	days := "#--#--#-#"
	g, ok := Loose().Gap(0, Day(len(days)-1), func(d Day) bool { return days[d] == '-' })
	if !ok || g != (Gap{Run: 2, Total: 5, RunEnd: 2}) {
		t.Errorf("%+v, %v", g, ok)
	}
}

// By hand: groups of two and three equal values give 2·1·9 + 3·2·11 = 84. The slopes of the
// three points are 1, 2 and 3.
func TestTheilSenByHand(t *testing.T) {
	if got := ties([]float64{2, 1, 2, 1, 2, 7}); got != 84 {
		t.Errorf("ties %g, want 84", got)
	}
	if got := TheilSen([]float64{0, 1, 2}, []float64{0, 1, 4}, 0.9); got.Slope != 2 {
		t.Errorf("three points: %+v", got)
	}
	// Slopes 1, 1.5, 3, 2, 4 and 6: the middle ones are 2 and 3.
	if got := TheilSen([]float64{0, 1, 2, 3}, []float64{0, 1, 3, 9}, 0.9); got.Slope != 2.5 {
		t.Errorf("four points: %+v", got)
	}
	if got := TheilSen([]float64{0, 0, 1}, []float64{0, 1, 4}, 0.9); !math.IsNaN(got.Slope) {
		t.Errorf("two slopes: %+v", got)
	}
	// Five pairs of equal x among ten points, no equal y: σ² = (2250 − 5·18)/18 = 120. Of 40
	// slopes, with z = 2.5758, the limits are number (40 − 28.217)/2 = 5.89, so 6, and
	// (40 + 28.217)/2 = 34.1, so 34 and one.
	var x, y, slopes []float64
	for i := range 10 {
		x, y = append(x, float64(i/2)), append(y, float64(i*i*7%31)+float64(i)/7)
	}
	for i := range x {
		for j := range i {
			if x[i] != x[j] {
				slopes = append(slopes, (y[i]-y[j])/(x[i]-x[j]))
			}
		}
	}
	slices.Sort(slopes)
	if got := TheilSen(x, y, 0.99); len(slopes) != 40 || got.Low != slopes[5] || got.High != slopes[34] {
		t.Errorf("%+v, want %g to %g", got, slopes[5], slopes[34])
	}
}
