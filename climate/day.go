package climate

import (
	"fmt"
	"time"
)

// A Day is a civil date of the proleptic Gregorian calendar, counted in days
// from 1970-01-01 (day 0). It is not an instant: it has no time zone, and
// subtracting two Days gives the number of days between them.
type Day int32

const secondsPerDay = 24 * 60 * 60

// Date returns the Day of a calendar date. Values outside their usual range
// are normalised as by [time.Date]; use [ValidDate] to refuse them.
func Date(year int, month time.Month, day int) Day {
	return Day(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / secondsPerDay)
}

// ValidDate reports whether the date stands in the calendar, in the years
// 1 to 9999.
func ValidDate(year int, month time.Month, day int) bool {
	if year < 1 || year > 9999 || month < time.January || month > time.December || day < 1 {
		return false
	}
	return day <= DaysIn(year, month)
}

// DaysIn returns the number of days of a month.
func DaysIn(year int, month time.Month) int {
	switch month {
	case time.April, time.June, time.September, time.November:
		return 30
	case time.February:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	}
	return 31
}

// ParseDay reads an ISO 8601 calendar date, YYYY-MM-DD.
func ParseDay(s string) (Day, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil || t.Year() < 1 {
		return 0, fmt.Errorf("%q is not a date YYYY-MM-DD", s)
	}
	return Day(t.Unix() / secondsPerDay), nil
}

func (d Day) time() time.Time { return time.Unix(int64(d)*secondsPerDay, 0).UTC() }

// Date returns the calendar date.
func (d Day) Date() (year int, month time.Month, day int) { return d.time().Date() }

// Year returns the calendar year.
func (d Day) Year() int { return d.time().Year() }

// YearDay returns the day of the year, 1 on 1 January to 365 or 366.
func (d Day) YearDay() int { return d.time().YearDay() }

// String returns the date as YYYY-MM-DD.
func (d Day) String() string { return d.time().Format(time.DateOnly) }

// Format returns the date in a layout of package time.
func (d Day) Format(layout string) string { return d.time().Format(layout) }

// MarshalText writes the date as YYYY-MM-DD.
func (d Day) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads a date YYYY-MM-DD.
func (d *Day) UnmarshalText(text []byte) error {
	v, err := ParseDay(string(text))
	if err != nil {
		return err
	}
	*d = v
	return nil
}
