package recordfile

import (
	"strings"
	"time"

	"swardcast/climate"
)

// A dateForm is how the dates of a file are written.
type dateForm int

const (
	formUnknown   dateForm = iota
	formYearFirst          // 2004-05-01, 2004/5/1, with or without a time behind it
	formCompact            // 20040501
	formNamed              // 01-may-2004, 1 May 2004
	formDayMonth           // two numbers and a year; their order is found from the whole file
)

var formNames = map[dateForm]string{
	formUnknown:   "year, month and day in columns of their own",
	formYearFirst: "YYYY-MM-DD", formCompact: "YYYYMMDD", formNamed: "DD-MMM-YYYY",
	formDayMonth: "numbers with the year last",
}

// A date is a parsed date. Two numbers before the year can be read in two ways: day
// is with the month first, other with the day first. One of them may be no date.
type date struct {
	day, other           climate.Day
	dayValid, otherValid bool
}

// parseDate reads a date in the given form, which it finds from the date where it is
// not known yet.
func parseDate(s string, form *dateForm) (date, bool) {
	s = withoutTime(strings.TrimSpace(s))
	if *form == formUnknown {
		*form = formOf(s)
	}
	switch *form {
	case formCompact:
		if len(s) != 8 {
			return date{}, false
		}
		return ymd(s[:4], s[4:6], s[6:])
	case formYearFirst:
		a, b, c, ok := split3(s)
		if !ok || len(a) != 4 {
			return date{}, false
		}
		return ymd(a, b, c)
	case formNamed:
		a, b, c, ok := split3(s)
		if ok && a[0] > '9' {
			a, b = strings.TrimSuffix(b, ","), a // May 1, 2004
		}
		if !ok || len(b) < 3 {
			return date{}, false
		}
		t, err := time.Parse("Jan", strings.ToUpper(b[:1])+strings.ToLower(b[1:3]))
		d, okD := digits(a)
		y, okY := yearOf(c)
		if err != nil || !okD || !okY || !climate.ValidDate(y, t.Month(), d) {
			return date{}, false
		}
		return date{day: climate.Date(y, t.Month(), d), dayValid: true}, true
	case formDayMonth:
		a, b, c, ok := split3(s)
		if !ok {
			return date{}, false
		}
		p, okP := digits(a)
		q, okQ := digits(b)
		y, okY := yearOf(c)
		if !okP || !okQ || !okY {
			return date{}, false
		}
		var d date
		if d.dayValid = climate.ValidDate(y, time.Month(p), q); d.dayValid {
			d.day = climate.Date(y, time.Month(p), q)
		}
		if d.otherValid = climate.ValidDate(y, time.Month(q), p); d.otherValid {
			d.other = climate.Date(y, time.Month(q), p)
		}
		return d, d.dayValid || d.otherValid
	}
	return date{}, false
}

// withoutTime cuts off a time of day behind a blank or a T.
func withoutTime(s string) string {
	if i := strings.IndexByte(s, ':'); i > 0 {
		if j := strings.LastIndexAny(s[:i], " T"); j > 0 {
			return s[:j]
		}
	}
	return s
}

func formOf(s string) dateForm {
	a, b, _, ok := split3(s)
	switch {
	case !ok && len(s) == 8:
		return formCompact
	case !ok:
		return formUnknown
	case len(a) == 4:
		return formYearFirst
	case a[0] > '9' || b[0] < '0' || b[0] > '9':
		return formNamed
	}
	return formDayMonth
}

// split3 takes apart three parts between -, /, . or blanks.
func split3(s string) (a, b, c string, ok bool) {
	isSep := func(x byte) bool { return x == '-' || x == '/' || x == '.' || x == ' ' }
	i := 0
	for i < len(s) && !isSep(s[i]) {
		i++
	}
	j := i + 1
	for j < len(s) && !isSep(s[j]) {
		j++
	}
	if i == 0 || j >= len(s)-1 || j == i+1 {
		return "", "", "", false
	}
	return s[:i], s[i+1 : j], s[j+1:], true
}

func ymd(ys, ms, ds string) (date, bool) {
	y, okY := digits(ys)
	m, okM := digits(ms)
	d, okD := digits(ds)
	if !okY || !okM || !okD || !climate.ValidDate(y, time.Month(m), d) {
		return date{}, false
	}
	return date{day: climate.Date(y, time.Month(m), d), dayValid: true}, true
}

// yearDay reads a year and a day of it.
func yearDay(ys, ds string) (date, bool) {
	y, okY := digits(ys)
	n, okN := digits(ds)
	if !okY || !okN || len(ys) != 4 || n < 1 || n > 366 {
		return date{}, false
	}
	d := climate.Date(y, time.January, n)
	return date{day: d, dayValid: d.Year() == y}, d.Year() == y
}

// digits reads one to four decimal digits.
func digits(s string) (int, bool) {
	if len(s) == 0 || len(s) > 4 {
		return 0, false
	}
	n := 0
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		n = n*10 + int(s[i]-'0')
	}
	return n, true
}

// yearOf reads a year of four digits, or of two as POSIX does: 69 to 99 are of
// the twentieth century, 00 to 68 of this one.
func yearOf(s string) (int, bool) {
	y, ok := digits(s)
	switch {
	case !ok || len(s) != 4 && len(s) != 2:
		return 0, false
	case len(s) == 4:
		return y, true
	case y >= 69:
		return 1900 + y, true
	}
	return 2000 + y, true
}

// A monthMemo holds the month of the row before: most often the next date has the
// same text up to its last two digits.
type monthMemo struct {
	text  string // year and month with what stands behind each, as in 2004-05-
	first climate.Day
	days  int
}

// set stores the month of a date of ten characters with the year first.
func (m *monthMemo) set(s string, form dateForm, d date) {
	isDigit := func(c byte) bool { return '0' <= c && c <= '9' }
	if form != formYearFirst || !d.dayValid || len(s) != 10 || isDigit(s[4]) || isDigit(s[7]) {
		m.text = ""
		return
	}
	year, month, _ := d.day.Date()
	m.text, m.first = s[:8], climate.Date(year, month, 1)
	m.days = int(climate.Date(year, month+1, 1) - m.first)
}

// day returns a date of the stored month.
func (m *monthMemo) day(s string) (date, bool) {
	if len(s) != 10 || s[:8] != m.text {
		return date{}, false
	}
	n, ok := digits(s[8:])
	if !ok || n < 1 || n > m.days {
		return date{}, false
	}
	return date{day: m.first + climate.Day(n-1), dayValid: true}, true
}
