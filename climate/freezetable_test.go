package climate_test

import (
	"errors"
	"math"
	"testing"
	"time"

	"swardcast/climate"
)

// Nine autumns with a freeze on 2, 4, … 18 October, two days later each year, and
// springs with one on 20 April.
func TestFreezeTableByHand(t *testing.T) {
	cold := map[climate.Day]float64{}
	for k := range 9 {
		cold[climate.Date(2001+k, time.October, 2+2*k)] = -4
		cold[climate.Date(2001+k, time.April, 20)] = -4
	}
	r := nights(climate.Date(2001, 1, 1), climate.Date(2010, 6, 30), cold)
	first, err := climate.FirstFreezes(r, climate.Calendar{}, climate28F, climate.FreezeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if first.Seasons() != 9 || first.Came != 9 || first.Share() != 1 {
		t.Errorf("%d seasons, it came in %d, share %g", first.Seasons(), first.Came, first.Share())
	}
	// The middle one of nine is 10 October; 0.1 lies at rank (9 + 1/3) 0.1 + 1/3
	// = 1.27, on 2.53 October, and is rounded down.
	for p, want := range map[float64]climate.Day{0.5: climate.Date(2023, 10, 10), 0.1: climate.Date(2023, 10, 2)} {
		if got, ok := first.At(p, 2023); !ok || got != want {
			t.Errorf("first, %g: %v, want %v", p, got, want)
		}
	}
	// Two days a year are twenty a decade.
	if math.Abs(first.Trend.Slope-20) > 1e-9 {
		t.Errorf("trend %+v", first.Trend)
	}
	last, err := climate.LastFreezes(r, climate.Calendar{}, climate28F, climate.FreezeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	// The tenth spring, 2010, has none: as early as can be.
	if got, ok := last.At(0.5, 2024); last.Seasons() != 10 || last.Came != 9 || !ok ||
		got != climate.Date(2024, 4, 20) {
		t.Errorf("last: %d seasons, came in %d, %v", last.Seasons(), last.Came, got)
	}
	if _, ok := last.At(0.1, 2024); ok {
		t.Error("one spring of ten has no freeze, and yet 10 % has a date")
	}
}

func TestFreezeTableChoosesSeasons(t *testing.T) {
	r := nights(climate.Date(1961, 1, 1), climate.Date(2010, 6, 30), nil)
	for _, c := range []struct {
		asked            climate.FreezeOptions
		n, oldest, young int
	}{
		{climate.FreezeOptions{}, climate.MaxSeasons, 1980, 2009},
		{climate.FreezeOptions{FirstSeason: 2000}, 10, 2000, 2009},
		{climate.FreezeOptions{LastSeason: 1970}, 10, 1961, 1970}, // that of 1960 began before the record
		{climate.FreezeOptions{FirstSeason: 1971, LastSeason: 1973}, 3, 1971, 1973},
	} {
		got, err := climate.FirstFreezes(r, climate.Calendar{}, 0, c.asked)
		if err != nil {
			t.Fatal(err)
		}
		if got.Seasons() != c.n || got.Dates[0].Season != c.oldest || got.Dates[c.n-1].Season != c.young {
			t.Errorf("%+v: %d seasons, %v", c.asked, got.Seasons(), got.Dates)
		}
		if _, ok := got.At(0.5, 2020); ok {
			t.Errorf("%+v: a date of a freeze that never came", c.asked)
		}
	}
}

func TestFreezeTableRefuses(t *testing.T) {
	r := nights(climate.Date(2001, 1, 1), climate.Date(2010, 6, 30), nil)
	for _, threshold := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, first := climate.FirstFreezes(r, climate.Calendar{}, threshold, climate.FreezeOptions{})
		_, last := climate.LastFreezes(r, climate.Calendar{}, threshold, climate.FreezeOptions{})
		if !errors.Is(first, climate.ErrThreshold) || !errors.Is(last, climate.ErrThreshold) {
			t.Errorf("%g: %v, %v", threshold, first, last)
		}
	}
	few, err := climate.FirstFreezes(r.Until(climate.Date(2004, 12, 31)), climate.Calendar{}, 6,
		climate.FreezeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := few.At(0.5, 2020); ok || few.Seasons() >= climate.MinSeasons {
		t.Errorf("a date of %d seasons", few.Seasons())
	}
	r.TMinC = r.TMinC[1:]
	if _, err := climate.FirstFreezes(r, climate.Calendar{}, 0, climate.FreezeOptions{}); err == nil {
		t.Error("series of different lengths")
	}
}

// The calendar of a record is that of its warm season.
func TestRecordCalendar(t *testing.T) {
	warmIn := func(month time.Month, latitude *float64) *climate.Record {
		r := climate.NewRecord(climate.Place{Latitude: latitude}, climate.Date(2001, 1, 1), 3*365)
		for i := range r.TMaxC {
			apart := float64(r.Day(i) - climate.Date(2001, month, 15))
			r.TMaxC[i] = 20 + 10*math.Cos(2*math.Pi*apart/climate.TropicalYear)
			r.TMinC[i] = r.TMaxC[i] - 10
		}
		return r
	}
	for _, c := range []struct {
		month    time.Month
		latitude *float64
		south    bool
		err      error
	}{
		{time.July, new(40.0), false, nil},
		{time.July, nil, false, nil},
		{time.January, new(-40.0), true, nil},
		{time.January, nil, true, nil},
		{time.January, new(40.0), true, climate.ErrHemisphere},
		{time.July, new(-40.0), false, climate.ErrHemisphere},
	} {
		if got, err := warmIn(c.month, c.latitude).Calendar(); got.South != c.south || !errors.Is(err, c.err) {
			t.Errorf("warm in %v at %v: south %v, %v", c.month, climate.Place{Latitude: c.latitude}, got.South, err)
		}
	}
	short := warmIn(time.July, new(40.0)).Until(climate.Date(2001, 3, 1))
	if _, err := short.Calendar(); !errors.Is(err, climate.ErrTooShort) {
		t.Errorf("two months: %v", err)
	}
}
