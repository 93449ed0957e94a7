package words

import (
	"time"

	"swardcast/climate"
)

// Date prints a day of a season whose year is known: "Oct 14" in US units,
// "14 Oct" in metric ones.
func (u System) Date(d climate.Day) string {
	if u == Metric {
		return d.Format("2 Jan")
	}
	return d.Format("Jan 2")
}

// LongDate prints a day with its year: "Oct 14, 2026" in US units, "14 Oct 2026"
// in metric ones.
func (u System) LongDate(d climate.Day) string {
	if u == Metric {
		return d.Format("2 Jan 2006")
	}
	return d.Format("Jan 2, 2006")
}

// Moment prints an instant, in UTC, as "Oct 14, 2026 06:30 UTC" or "14 Oct 2026 06:30 UTC".
func (u System) Moment(t time.Time) string {
	if u == Metric {
		return t.UTC().Format("2 Jan 2006 15:04 UTC")
	}
	return t.UTC().Format("Jan 2, 2006 15:04 UTC")
}

// DateOr prints a day, or a dash where there is none.
func (u System) DateOr(d *climate.Day) string {
	if d == nil {
		return "–"
	}
	return u.Date(*d)
}

// isMonth reports whether a word is a month as Date prints it.
func isMonth(word string) bool {
	if len(word) != len("Jan") {
		return false
	}
	_, err := time.Parse("Jan", word)
	return err == nil
}
