package climate

import (
	"testing"
	"time"
)

func TestDayRoundTrip(t *testing.T) {
	for d := Date(1599, 1, 1); d < Date(2401, 1, 1); d += 13 {
		y, m, dd := d.Date()
		if got := Date(y, m, dd); got != d || !ValidDate(y, m, dd) {
			t.Fatalf("day %d is %v, which is day %d, valid %v", d, d, got, ValidDate(y, m, dd))
		}
		if got, err := ParseDay(d.String()); err != nil || got != d {
			t.Fatalf("%v parses as %v, %v", d, got, err)
		}
	}
	if Date(1970, 1, 1) != 0 || Date(2000, 3, 1)-Date(2000, 2, 28) != 2 || Date(1900, 3, 1)-Date(1900, 2, 28) != 1 {
		t.Error("the calendar is off by a day")
	}
}

func TestValidDate(t *testing.T) {
	for _, c := range []struct {
		y, m, d int
		want    bool
	}{
		{2024, 2, 29, true}, {2023, 2, 29, false}, {1900, 2, 29, false}, {2000, 2, 29, true},
		{2023, 4, 31, false}, {2023, 13, 1, false}, {0, 1, 1, false}, {10000, 1, 1, false}, {2023, 1, 0, false},
	} {
		if got := ValidDate(c.y, time.Month(c.m), c.d); got != c.want {
			t.Errorf("ValidDate(%d, %d, %d) = %v", c.y, c.m, c.d, got)
		}
	}
}

func TestParseDayRefuses(t *testing.T) {
	for _, s := range []string{"", "2023-2-1", "2023-02-30", "0000-01-01", "20000-01-01", "2023-01-01 ", "01-01-2023"} {
		if d, err := ParseDay(s); err == nil {
			t.Errorf("%q parses as %v", s, d)
		}
	}
}

// The days of a season at once are those one by one.
func TestDaysOfASeason(t *testing.T) {
	for _, c := range []Calendar{{}, {South: true}} {
		for season := 1899; season < 2005; season++ {
			for offset, d := range c.Days(season, 304) {
				if want := c.Day(season, offset); d != want {
					t.Fatalf("%+v: day %d of %d is %s, want %s", c, offset, season, d, want)
				}
			}
		}
	}
}
