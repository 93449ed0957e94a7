package recordfile

import (
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"

	"swardcast/climate"
)

// A dateForm is how the dates of a file are written.
type dateForm int

const (
	formUnknown   dateForm = iota
	formYearFirst          // 2004-05-01, 2004/5/1, 2004-May-01, with or without a time behind it
	formCompact            // 20040501
	formNamed              // 01-may-2004, 1 May 2004, May 1, 2004, 01MAY2004, with or without a weekday
	formDayMonth           // two numbers and a year; their order is found from the whole file
	formYearDay            // 2004122, the year and the day of the year
	formSerial             // 38108, the days of a spreadsheet
)

var formNames = map[dateForm]string{
	formUnknown:   "year, month and day in columns of their own",
	formYearFirst: "YYYY-MM-DD", formCompact: "YYYYMMDD", formNamed: "DD-MMM-YYYY",
	formDayMonth: "numbers with the year last", formYearDay: "YYYYDDD",
	formSerial: "serial days of a spreadsheet, counted from 1899-12-30",
}

// A date is a parsed date. Two numbers before the year can be read in two ways: day
// is with the month first, other with the day first. One of them may be no date.
type date struct {
	day, other           climate.Day
	dayValid, otherValid bool
	fixed                bool // written with the year first among others that have it last
	centuries            int8 // to be added, of a year of two digits; twoDigits before they are known
}

// twoDigits marks a date whose century is not known yet.
const twoDigits = math.MinInt8

// ofYear marks a date that is written with a year of two digits.
func (d date) ofYear(text string) date {
	if len(text) == 2 {
		d.centuries = twoDigits
	}
	return d
}

// parseDate reads a date in the given form, which it finds from the date where it is
// not known yet.
func parseDate(s string, form *dateForm) (date, bool) {
	s, _ = cutClock(strings.TrimSpace(s))
	if len(s) > 0 && (s[0] > '9' || s[len(s)-1] > '9' || s[len(s)-1] == ')') {
		s = withoutWeekday(s)
	}
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
		if !ok {
			a, b, c, ok = splitNamed(s)
		}
		if ok && a[0] > '9' {
			a, b = strings.TrimSuffix(b, ","), a // May 1, 2004
		}
		m, okM := monthOf(b)
		d, okD := digits(strings.TrimRight(a, ".stndrh")) // 1st, 2nd
		y, okY := yearOf(strings.TrimSpace(c))
		if !ok || !okM || !okD || !okY || !climate.ValidDate(y, m, d) {
			return date{}, false
		}
		return date{day: climate.Date(y, m, d), dayValid: true}.ofYear(c), true
	case formDayMonth:
		a, b, c, ok := split3(s)
		if !ok && len(s) == 8 {
			a, b, c, ok = s[:2], s[2:4], s[4:], true
		}
		if !ok {
			return date{}, false
		}
		p, okP := digits(a)
		q, okQ := digits(b)
		y, okY := yearOf(c)
		if !okP || !okQ || !okY {
			return date{}, false
		}
		d := date{}.ofYear(c)
		if d.dayValid = climate.ValidDate(y, time.Month(p), q); d.dayValid {
			d.day = climate.Date(y, time.Month(p), q)
		}
		if d.otherValid = climate.ValidDate(y, time.Month(q), p); d.otherValid {
			d.other = climate.Date(y, time.Month(q), p)
		}
		return d, d.dayValid || d.otherValid
	case formYearDay:
		if len(s) != 7 {
			return date{}, false
		}
		return yearDay(s[:4], strings.TrimLeft(s[4:], "0"))
	case formSerial:
		n, ok := serialDay(s)
		return date{day: n, dayValid: ok}, ok
	}
	return date{}, false
}

// serialZero is the day that spreadsheets count from, so that day 60 and later,
// from 1 March 1900 on, are right (their 29 February 1900 never was).
var serialZero = climate.Date(1899, time.December, 30)

// serialDay reads the days of a spreadsheet of five digits, 1927 to 2119 and a
// little more, whole or with a share of the day.
func serialDay(s string) (climate.Day, bool) {
	whole, fraction, _ := strings.Cut(s, ".")
	if len(whole) != 5 || strings.Trim(whole+fraction, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.Atoi(whole)
	if err != nil || n < 10000 || n > 80000 {
		return 0, false
	}
	return serialZero + climate.Day(n), true
}

// cutClock cuts off a time of day behind a blank, a T or the digits of the day, and
// returns both.
func cutClock(s string) (day, clock string) {
	if i := strings.IndexByte(s, ':'); i > 0 {
		if i == 8 && len(s) == 13 && strings.Trim(s[:8], "0123456789") == "" {
			return s[:8], s[9:] // YYYYMMDD:HHMM
		}
		if j := strings.LastIndexAny(s[:i], " T"); j > 0 {
			return strings.TrimRight(s[:j], ", "), s[j+1:]
		}
		return s, ""
	}
	switch len(s) {
	case 10, 12: // YYYYMMDDHH, YYYYMMDDHHMM
		if strings.Trim(s, "0123456789") == "" {
			return s[:8], s[8:]
		}
	case 13: // YYYY-MM-DDTHH, YYYYMMDDTHHMM
		if s[10] == ' ' || s[10] == 'T' {
			return s[:10], s[11:]
		}
		if s[8] == 'T' {
			return s[:8], s[9:]
		}
	}
	return s, ""
}

// clockOf reads a time of day in minutes, 0 to 1440, as 13:05, 13:05:00Z, 1:05 pm,
// 1305 or 13, and whether it says that it is in UTC.
func clockOf(s string) (minute int, utc, ok bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	half := strings.TrimRight(strings.TrimLeft(s, "0123456789: "), ".")
	afternoon, morning := half == "p" || half == "pm" || half == "p.m", half == "a" || half == "am" || half == "a.m"
	s = strings.TrimRight(s, " .apm")
	if i := strings.IndexAny(s, "+z"); i > 0 {
		utc = s[i] == 'z' || strings.Trim(s[i+1:], "0:") == ""
		s = s[:i]
	} else if i := strings.LastIndexByte(s, '-'); i > 0 {
		s = s[:i]
	}
	hour, rest, colon := strings.Cut(strings.TrimSpace(s), ":")
	minutes := "0"
	switch {
	case colon:
		minutes, _, _ = strings.Cut(rest, ":")
	case len(hour) > 2:
		hour, minutes = hour[:len(hour)-2], hour[len(hour)-2:]
	}
	h, okH := digits(hour)
	m, okM := digits(minutes)
	if !okH || !okM || h > 24 || m > 59 || h == 24 && m > 0 {
		return 0, false, false
	}
	switch {
	case afternoon && h < 12:
		h += 12
	case morning && h == 12:
		h = 0
	}
	return h*60 + m, utc, true
}

// formOf finds the form from one date.
func formOf(s string) dateForm {
	a, b, _, ok := split3(s)
	switch {
	case !ok && len(s) == 8 && strings.Trim(s, "0123456789") == "":
		if _, compact := ymd(s[:4], s[4:6], s[6:]); compact {
			return formCompact
		}
		return formDayMonth // 31122004
	case !ok && len(s) == 7 && strings.Trim(s, "0123456789") == "":
		return formYearDay
	case !ok:
		if _, serial := serialDay(s); serial {
			return formSerial
		}
		if _, _, _, named := splitNamed(s); named {
			return formNamed
		}
		return formUnknown
	case len(a) == 4 && strings.Trim(a, "0123456789") == "":
		return formYearFirst
	case a[0] > '9' || b[0] < '0' || b[0] > '9':
		return formNamed
	}
	return formDayMonth
}

// splitNamed takes apart 01MAY2004.
func splitNamed(s string) (day, month, year string, ok bool) {
	i := strings.IndexFunc(s, func(r rune) bool { return r > '9' })
	if i < 1 || i > 2 {
		return "", "", "", false
	}
	j := strings.IndexFunc(s[i:], func(r rune) bool { return '0' <= r && r <= '9' })
	if j < 3 {
		return "", "", "", false
	}
	return s[:i], s[i : i+j], s[i+j:], true
}

// monthNames are the beginnings of the names of months in English, French, German,
// Spanish, Portuguese, Italian, Dutch and the Nordic languages, without accents.
var monthNames = map[string]time.Month{
	"jan": 1, "gen": 1, "ene": 1, "feb": 2, "fev": 2, "mar": 3, "mrz": 3, "mrt": 3, "maa": 3, "apr": 4, "avr": 4,
	"abr": 4,
	"may": 5, "mai": 5, "maj": 5, "mei": 5, "mag": 5, "jun": 6, "juin": 6, "giu": 6, "jul": 7, "juil": 7, "lug": 7,
	"aug": 8, "aou": 8, "ago": 8, "sep": 9, "set": 9, "oct": 10, "okt": 10, "ott": 10, "out": 10, "nov": 11,
	"dec": 12, "dez": 12, "dic": 12, "des": 12,
}

// monthOf reads the name of a month, whole or cut.
func monthOf(s string) (time.Month, bool) {
	s = fold.Replace(strings.ToLower(strings.Trim(s, ".,")))
	for _, n := range []int{4, 3} {
		if len(s) >= n {
			if m, ok := monthNames[s[:n]]; ok {
				return m, true
			}
		}
	}
	return 0, false
}

// weekdays are the beginnings of their names, in the same languages.
var weekdays = map[string]bool{
	"mon": true, "tue": true, "wed": true, "thu": true, "fri": true, "sat": true, "sun": true,
	"lun": true, "mer": true, "jeu": true, "ven": true, "sam": true, "dim": true,
	"mo": true, "di": true, "mi": true, "do": true, "fr": true, "sa": true, "so": true,
	"mie": true, "jue": true, "vie": true, "sab": true, "dom": true, "gio": true,
	"seg": true, "ter": true, "qua": true, "qui": true, "sex": true,
	"din": true, "woe": true, "don": true, "vri": true, "zat": true, "zon": true,
	"man": true, "tir": true, "ons": true, "tor": true, "fre": true, "lor": true, "son": true,
}

// withoutWeekday takes a name of a weekday off either end of a date.
func withoutWeekday(s string) string {
	if i := strings.IndexAny(s, " ,"); i > 0 && isWeekday(s[:i]) {
		return strings.TrimLeft(s[i:], " ,.")
	}
	if i := strings.LastIndexAny(s, " ,("); i > 0 && isWeekday(strings.Trim(s[i+1:], "()")) {
		return strings.TrimRight(s[:i], " ,.(")
	}
	return s
}

func isWeekday(s string) bool {
	s = fold.Replace(strings.ToLower(strings.TrimRight(s, ".,")))
	if s == "" || strings.ContainsFunc(s, func(r rune) bool { return r <= '9' }) {
		return false
	}
	return weekdays[s[:min(3, len(s))]] || s == "mardi" || s == "martes" || s == "martedi" || s == "maandag"
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

// ymd reads a year, of two digits or four, a month by its number or name, and a day.
func ymd(ys, ms, ds string) (date, bool) {
	y, okY := yearOf(ys)
	m, okM := digits(ms)
	d, okD := digits(ds)
	if !okM && ms != "" && ms[0] > '9' {
		var named time.Month
		named, okM = monthOf(ms)
		m = int(named)
	}
	if !okY || !okM || !okD || !climate.ValidDate(y, time.Month(m), d) {
		return date{}, false
	}
	return date{day: climate.Date(y, time.Month(m), d), dayValid: true}.ofYear(ys), true
}

// yearDay reads a year and a day of it.
func yearDay(ys, ds string) (date, bool) {
	y, okY := yearOf(ys)
	n, okN := digits(ds)
	if !okY || !okN || n < 1 || n > 366 {
		return date{}, false
	}
	d := climate.Date(y, time.January, n)
	return date{day: d, dayValid: d.Year() == y}.ofYear(ys), d.Year() == y
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
// the twentieth century, 00 to 68 of this one. What stands before and behind a year
// of two digits goes before that; see century.
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
	text  [8]byte // year and month with what stands behind each, as in 2004-05-; zero for none
	first climate.Day
	days  int
}

// set stores the month of a date of ten characters with the year first.
func (m *monthMemo) set(s string, form dateForm, d date) {
	if form != formYearFirst || !d.dayValid || len(s) != 10 || isDigit(s[4]) || isDigit(s[7]) {
		*m = monthMemo{}
		return
	}
	year, month, _ := d.day.Date()
	m.hold([8]byte([]byte(s)), year, month)
}

func (m *monthMemo) hold(text [8]byte, year int, month time.Month) {
	m.text, m.first, m.days = text, climate.Date(year, month, 1), climate.DaysIn(year, month)
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// day returns a date of the stored month.
func (m *monthMemo) day(s string) (date, bool) {
	if len(s) != 10 || [8]byte([]byte(s)) != m.text {
		return date{}, false
	}
	n, ok := digits(s[8:])
	if !ok || n < 1 || n > m.days {
		return date{}, false
	}
	return date{day: m.first + climate.Day(n-1), dayValid: true}, true
}

// dayIn returns the day of a date that is written as that of the stored month, and stores
// its month. It is false for any other text.
func (m *monthMemo) dayIn(s [10]byte) (climate.Day, bool) {
	if [8]byte(s[:]) != m.text && !m.turn([8]byte(s[:])) {
		return 0, false
	}
	tens, ones := s[8]-'0', s[9]-'0'
	n := int(tens)*10 + int(ones)
	if tens > 9 || ones > 9 || n < 1 || n > m.days {
		return 0, false
	}
	return m.first + climate.Day(n-1), true
}

// turn stores another month, false where it is not written as the stored one.
func (m *monthMemo) turn(text [8]byte) bool {
	if m.days == 0 || text[4] != m.text[4] || text[7] != m.text[7] {
		return false
	}
	var n [8]int // digits
	for k, c := range text {
		if k != 4 && k != 7 && !isDigit(c) {
			return false
		}
		n[k] = int(c - '0')
	}
	year, month := 1000*n[0]+100*n[1]+10*n[2]+n[3], time.Month(10*n[5]+n[6])
	if !climate.ValidDate(year, month, 1) {
		return false
	}
	m.hold(text, year, month)
	return true
}

// inYear returns the date so many years later, false where it is none.
func (d date) inYear(years int) (date, bool) {
	move := func(day climate.Day, valid bool) (climate.Day, bool) {
		if !valid {
			return 0, false
		}
		y, m, n := day.Date()
		if !climate.ValidDate(y+years, m, n) {
			return 0, false
		}
		return climate.Date(y+years, m, n), true
	}
	d.day, d.dayValid = move(d.day, d.dayValid)
	d.other, d.otherValid = move(d.other, d.otherValid)
	return d, d.dayValid || d.otherValid
}

// either is the date by the reading that is one.
func (d date) either() climate.Day {
	if d.dayValid {
		return d.day
	}
	return d.other
}

const centuryDays = 36525 // nearly

// century returns how many centuries bring a date of a year of two digits nearest to
// the day before it, itself so moved.
func century(d date, before climate.Day) int {
	return int(math.Round(float64(before-d.either()) / centuryDays))
}

// noDate reports whether a cell where a date should stand is none at all: blank, a
// word such as Total, or a year. What looks like a date but is none is not meant.
func noDate(s string) bool {
	s = strings.TrimSpace(s)
	groups, inside, months := 0, false, 0
	for _, r := range s {
		digit := '0' <= r && r <= '9'
		if digit && !inside {
			groups++
		}
		inside = digit
	}
	words := strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) })
	for _, w := range words {
		if _, ok := monthOf(w); ok {
			months++
		}
	}
	switch {
	case groups == 0:
		return true
	case len(words) == 0:
		return groups == 1 && len(s) == 4 && (s[0] == '1' || s[0] == '2') // a year
	case months == 0:
		return len(words[0]) > 2 // not x004-05-01
	}
	return groups == 1 // May 2004
}
