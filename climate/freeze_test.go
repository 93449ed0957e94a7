package climate_test

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/climate/recordfile"
	"swardcast/climate/recordstest"
)

// A record of 5 °C nights with a few cold ones, by hand.
func nights(first, last climate.Day, cold map[climate.Day]float64) *climate.Record {
	r := climate.NewRecord(climate.Place{Latitude: new(40.0)}, first, int(last-first)+1)
	for i := range r.TMinC {
		r.TMaxC[i], r.TMinC[i] = 15, 5
	}
	for d, v := range cold {
		r.TMinC[r.Index(d)] = v
	}
	return r
}

func firstFreezes(
	t *testing.T,
	r *climate.Record,
	c climate.Calendar,
) ([]climate.FreezeDate, []climate.DroppedSeason) {
	t.Helper()
	table, err := climate.FirstFreezes(r, c, climate28F, climate.FreezeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return table.Dates, table.Dropped
}

func TestFreezesByHand(t *testing.T) {
	day := climate.Date
	nan := math.NaN()
	cold := map[climate.Day]float64{
		day(2001, 4, 20): -1, day(2001, 5, 2): -2.2, // spring 2001
		day(2001, 10, 5): -2.1, day(2001, 10, 9): -2.2, day(2001, 12, 1): -9, // autumn 2001
		day(2002, 3, 3): -5, // winter of 2001, spring 2002
		// autumn 2002: none
		day(2003, 10, 30): -4,
		day(2004, 8, 1):   -3,
	}
	r := nights(day(2001, 1, 1), day(2004, 12, 31), cold)
	for i := range 7 { // a week without values before the freeze of 2003
		r.TMinC[r.Index(day(2003, 10, 1))+i] = nan
	}
	for i := range 20 { // July and what comes after the freeze do not matter
		r.TMinC[r.Index(day(2001, 7, 5))+i] = nan
		r.TMinC[r.Index(day(2001, 11, 5))+i] = nan
	}
	first, dropped := firstFreezes(t, r, climate.Calendar{})
	want := map[int]climate.Day{2001: day(2001, 10, 9), 2002: 0, 2004: day(2004, 8, 1)}
	if len(first) != len(want) {
		t.Errorf("seasons %v", first)
	}
	for _, f := range first {
		switch d, ok := want[f.Season]; {
		case !ok, (d == 0) != (f.Day == nil), f.Day != nil && *f.Day != d:
			t.Errorf("season %d: %v, want %v", f.Season, f.Day, d)
		}
	}
	if len(dropped) != 1 || dropped[0].Season != 2003 ||
		!strings.Contains(dropped[0].Reason, "7 days without a lowest temperature") {
		t.Errorf("dropped %v", dropped)
	}
	spring, err := climate.LastFreezes(r, climate.Calendar{}, climate28F, climate.FreezeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	last := spring.Dates
	wantLast := []climate.Day{day(2001, 5, 2), day(2002, 3, 3), 0, 0}
	if len(last) != 4 {
		t.Fatalf("springs %v", last)
	}
	for i, f := range last {
		if (wantLast[i] == 0) != (f.Day == nil) || f.Day != nil && *f.Day != wantLast[i] {
			t.Errorf("spring %d: %v, want %v", f.Season, f.Day, wantLast[i])
		}
	}
	// The same weather in the south: its autumn of 2002 begins in January.
	south, _ := firstFreezes(t, r, climate.Calendar{South: true})
	if south[0].Season != 2001 || *south[0].Day != day(2001, 5, 2) || *south[1].Day != day(2002, 3, 3) {
		t.Errorf("south: %v", south)
	}
}

const climate28F = (28 - 32) / 1.8

// A season that is still running is left out whether it has frozen or not.
func TestRecordThatEndsEarly(t *testing.T) {
	r := nights(climate.Date(2001, 1, 1), climate.Date(2002, 11, 10),
		map[climate.Day]float64{climate.Date(2001, 11, 1): -3})
	first, dropped := firstFreezes(t, r, climate.Calendar{})
	if len(first) != 1 || len(dropped) != 1 || !strings.Contains(dropped[0].Reason, "the record ends on 2002-11-10") {
		t.Errorf("%v, %v", first, dropped)
	}
	r = nights(climate.Date(2001, 1, 1), climate.Date(2002, 11, 10),
		map[climate.Day]float64{climate.Date(2001, 11, 1): -3, climate.Date(2002, 10, 1): -3})
	if first, _ = firstFreezes(t, r, climate.Calendar{}); len(first) != 1 {
		t.Errorf("a running season that froze early is taken: %v", first)
	}
}

func TestCalendar(t *testing.T) {
	for _, south := range []bool{false, true} {
		c := climate.Calendar{South: south}
		for season := 1999; season < 2006; season++ {
			for d := c.First(season); d <= c.Last(season); d++ {
				n := c.Offset(season, d)
				back := c.Day(season, n)
				_, m, day := d.Date()
				if m == time.February && day == 29 {
					if back != d-1 {
						t.Fatalf("%v comes back as %v", d, back)
					}
				} else if back != d {
					t.Fatalf("%v comes back as %v", d, back)
				}
				// The same date of any other season is as far from its first.
				other := c.Day(season+1, n)
				if _, m2, day2 := other.Date(); m2 != m || day2 != day && !(m == time.February && day == 29) {
					t.Fatalf("%v is %v in the next season", d, other)
				}
			}
			if c.SeasonFor(c.First(season)) != season || c.SeasonFor(c.Half(season)) != season ||
				c.SeasonFor(c.Half(season)+1) != season+1 {
				t.Errorf("season %d, south %v: bounds", season, south)
			}
		}
	}
}

func TestCompleteness(t *testing.T) {
	missing := func(days string) func(climate.Day) bool {
		return func(d climate.Day) bool { return days[d] == '-' }
	}
	for _, c := range []struct {
		rule climate.Completeness
		days string
		ok   bool
	}{
		{climate.WMO(), "####----####", true},
		{climate.WMO(), "###-----####", false},
		{climate.WMO(), "--#--#--#--#--#", true},   // ten in all
		{climate.WMO(), "--#--#--#--#--#-", false}, // eleven
		{climate.Strict(), "####-###", false},
		{climate.Loose(), "---------------#", true},
	} {
		if g, ok := c.rule.Gap(0, climate.Day(len(c.days)-1), missing(c.days)); ok != c.ok {
			t.Errorf("%s, %s: %v, %+v", c.rule.Name, c.days, ok, g)
		}
	}
}

// Check values from SciPy 1.10.1, scipy.stats.theilslopes(y, x, alpha).
func TestTheilSen(t *testing.T) {
	y := []float64{0, 8, 17, 25, 4, 12, 21, 29, 8, 17, 25, 4, 13, 21, 29, 8, 17, 25, 33, 13, 21, 29, 9, 17, 25, 34, 13,
		21, 29, 9}
	x := make([]float64, len(y))
	for i := range x {
		x[i] = float64(1990 + i)
	}
	for level, want := range map[float64]climate.Trend{
		0.9: {Slope: 0.36363636363636365, Low: 0, High: 1},
		0.8: {Slope: 0.36363636363636365, Low: 0.047619047619047616, High: 0.6842105263157895},
	} {
		got := climate.TheilSen(x, y, level)
		if math.Abs(got.Slope-want.Slope)+math.Abs(got.Low-want.Low)+math.Abs(got.High-want.High) > 1e-12 {
			t.Errorf("%g: %v, SciPy gives %v", level, got, want)
		}
	}
	if got := climate.TheilSen(x[:2], y[:2], 0.9); !math.IsNaN(got.Slope) {
		t.Errorf("two points have the slope %g", got.Slope)
	}
}

// First freezes of autumn as published (S2) against the nearest record at hand,
// to two weeks: the published places are city airports, warmer than the
// countryside, their periods are older or end earlier, and the stations lie 30
// to 200 km off.
func TestPublishedFreezes(t *testing.T) {
	const tolerance = 14
	for _, c := range []struct {
		place, station string
		tempF          float64
		dates          map[float64]string // probability, month and day
		exception      string
	}{
		{"Des Moines IA", "IA_Des_Moines_17_E", 32, map[float64]string{.1: "09-26", .5: "10-12", .9: "10-27"}, ""},
		{"Des Moines IA", "IA_Des_Moines_17_E", 28, map[float64]string{.1: "10-09", .5: "10-25", .9: "11-11"}, ""},
		{"Raleigh NC", "NC_Asheville_13_S", 32, map[float64]string{.1: "10-14", .5: "10-28", .9: "11-12"}, ""},
		{"Raleigh NC", "NC_Asheville_13_S", 28, map[float64]string{.1: "10-23", .5: "11-08", .9: "11-23"}, ""},
		{"Olathe KS", "KS_Manhattan_6_SSW", 28, map[float64]string{.1: "10-16", .5: "11-04", .9: "11-24"},
			"90 % only: 15 days; 130 km west, in open country"},
		{"Hillsboro OH", "OH_Coshocton_8_NNE", 28, map[float64]string{.1: "10-15", .5: "11-03", .9: "11-21"}, ""},
		{"Albany NY", "NY_Millbrook_3_W", 32, map[float64]string{.1: "10-03", .5: "10-15", .9: "11-01"}, ""},
		{"Albany NY", "NY_Millbrook_3_W", 28, map[float64]string{.1: "10-11", .5: "10-28", .9: "11-10"}, ""},
		{"Atlanta", "GA_Watkinsville_5_SSE", 32, map[float64]string{.5: "11-20"}, ""},
		{"Atlanta", "GA_Watkinsville_5_SSE", 28, map[float64]string{.5: "12-05"}, ""},
		{"Dallas–Fort Worth", "TX_Palestine_6_WNW", 32, map[float64]string{.5: "11-24"}, ""},
		{"Dallas–Fort Worth", "TX_Palestine_6_WNW", 28, map[float64]string{.5: "12-07"}, ""},
		{"Charlotte", "NC_Asheville_13_S", 32, map[float64]string{.5: "11-03"}, ""},
		{"Charlotte", "NC_Asheville_13_S", 28, map[float64]string{.5: "11-14"}, ""},
		{"Louisville", "KY_Versailles_3_NNW", 32, map[float64]string{.5: "11-07"}, ""},
		{"Louisville", "KY_Versailles_3_NNW", 28, map[float64]string{.5: "11-17"}, ""},
		{"Denver", "CO_Nunn_7_NNE", 32, map[float64]string{.5: "10-08"}, ""},
		{"Denver", "CO_Nunn_7_NNE", 28, map[float64]string{.5: "10-18"}, ""},
		{"Minneapolis", "MN_Sandstone_6_W", 32, map[float64]string{.5: "10-18"},
			"a city against low country 120 km north of it"},
		{"Minneapolis", "MN_Sandstone_6_W", 28, map[float64]string{.5: "10-29"}, "the same"},
		{"Chicago O'Hare", "IL_Shabbona_5_NNE", 32, map[float64]string{.5: "10-28"},
			"a city near the lake against fields 80 km inland"},
		{"Chicago O'Hare", "IL_Shabbona_5_NNE", 28, map[float64]string{.5: "11-07"}, "the same"},
		{"Boston", "RI_Kingston_1_NW", 32, map[float64]string{.5: "11-09"},
			"an airport in the harbour against inland ground"},
		{"Boston", "RI_Kingston_1_NW", 28, map[float64]string{.5: "11-21"}, "the same"},
		{"Seattle", "WA_Quinault_4_NE", 32, map[float64]string{.5: "11-23"}, ""},
		{"Seattle", "WA_Quinault_4_NE", 28, map[float64]string{.5: "12-10"}, ""},
	} {
		f, err := os.Open(recordstest.Path(t, "soil", c.station+".csv"))
		if err != nil {
			t.Fatal(err)
		}
		file, err := recordfile.Read(f, c.station, recordfile.Options{})
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		rec, _, err := check.Clean(file.Record)
		if err != nil {
			t.Fatal(err)
		}
		calendar := climate.Calendar{}
		table, err := climate.FirstFreezes(rec, calendar, (c.tempF-32)/1.8, climate.FreezeOptions{FirstSeason: 1})
		if err != nil {
			t.Fatal(err)
		}
		var offsets []float64
		for _, d := range table.Dates {
			at := math.Inf(1)
			if d.Day != nil {
				at = float64(calendar.Offset(d.Season, *d.Day))
			}
			offsets = append(offsets, at)
		}
		slices.Sort(offsets)
		worst := 0.0
		for p, date := range c.dates {
			want, err := climate.ParseDay("2023-" + date)
			if err != nil {
				t.Fatal(err)
			}
			got := climate.Quantile(p, offsets)
			off := got - float64(calendar.Offset(2023, want))
			worst = math.Max(worst, math.Abs(off))
			t.Logf("%-18s %g °F, %2.0f %%: %s, published %s, %+.0f days", c.place, c.tempF, 100*p,
				calendar.Day(2023, int(math.Round(got))).Format("2 Jan"), want.Format("2 Jan"), off)
		}
		if held := worst <= tolerance; held == (c.exception != "") {
			t.Errorf("%s, %g °F: %.1f days off, exception %q", c.place, c.tempF, worst, c.exception)
		}
	}
}

// Missing days of the summer month count against no last freeze of spring, nor does a
// record that ends within it; those of the month before do.
func TestQuietMonthOfLastFreezes(t *testing.T) {
	frost := climate.Date(2000, time.April, 10)
	spring := func(last climate.Day, missing time.Month) *climate.FreezeTable {
		t.Helper()
		r := nights(climate.Date(1999, time.July, 1), last, map[climate.Day]float64{frost: -3})
		for i := range r.TMinC {
			if y, m, _ := r.Day(i).Date(); y == 2000 && m == missing {
				r.TMinC[i] = math.NaN()
			}
		}
		table, err := climate.LastFreezes(r, climate.Calendar{}, 0, climate.FreezeOptions{})
		if err != nil {
			t.Fatal(err)
		}
		return table
	}
	for _, last := range []climate.Day{climate.Date(2000, time.June, 5), climate.Date(2000, time.June, 30)} {
		if got := spring(last, time.June); len(got.Dates) != 1 || *got.Dates[0].Day != frost {
			t.Errorf("to %s, without June: %+v", last, got)
		}
		if got := spring(last, time.May); len(got.Dates) != 0 || len(got.Dropped) != 1 {
			t.Errorf("to %s, without May: %+v", last, got)
		}
	}
}

// Equal values narrow the interval. Worked by hand from the equation: 45 slopes, the
// variance 114 with three ties of three in place of 125, so that the bounds are the 14th
// and the 32nd slope, 7/8 and 3/2; without the ties it would reach down to 4/5.
func TestTiesNarrowTheTrend(t *testing.T) {
	x := []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}
	y := []float64{0, 0, 0, 3, 3, 3, 7, 7, 7, 12}
	if got := climate.TheilSen(x, y, 0.9); got.Low != 0.875 || got.High != 1.5 {
		t.Errorf("%+v", got)
	}
}
