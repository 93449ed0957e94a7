package recordfile

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
)

// spoilt is what a spreadsheet that expects the month first makes of a date with the
// day first: days 1 to 12 are swapped, the rest is left.
func spoilt(d climate.Day) climate.Day { return swappedDay(d) }

// A spreadsheet that swapped day and month on days 1 to 12 is found out, and mended
// where it is told.
func TestSwappedBySpreadsheet(t *testing.T) {
	want, err := Read(strings.NewReader(days("date,tmax_c,tmin_c", 800, celsiusRow)), "x.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	iso := days("date,tmax_c,tmin_c", 800, func(d climate.Day, a, b float64) string {
		return fmt.Sprintf("%s,%g,%g", spoilt(d), a, b)
	})
	rows := strings.Split(strings.TrimSpace(iso), "\n")
	slices.Sort(rows[1:])
	for name, text := range map[string]string{
		"in the order of the original": iso,
		"sorted":                       strings.Join(rows, "\n") + "\n",
		"newest first":                 reversed(iso),
		"left as text": days("date,tmax_c,tmin_c", 800, func(d climate.Day, a, b float64) string {
			return fmt.Sprintf("%s,%g,%g", leftAsText(d), a, b)
		}),
		"serial days": days("date,tmax_c,tmin_c", 800, func(d climate.Day, a, b float64) string {
			if _, _, n := d.Date(); n > 12 {
				return fmt.Sprintf("%s,%g,%g", d.Format("02.01.2006"), a, b)
			}
			return fmt.Sprintf("%d,%g,%g", spoilt(d)-serialZero, a, b)
		}),
	} {
		_, err := Read(strings.NewReader(text), "x.csv", Options{})
		var e *Error
		if !errors.As(err, &e) || e.Kind != SwappedDates {
			t.Errorf("%s: %v", name, err)
			continue
		}
		f, err := Read(strings.NewReader(text), "x.csv", Options{DateOrder: DateSwapped})
		if err != nil {
			t.Errorf("%s, mended: %v", name, err)
			continue
		}
		if f.Record.First != want.Record.First || !slices.Equal(f.Record.TMaxC, want.Record.TMaxC) {
			t.Errorf("%s: not mended: %s, %v…", name, f.Record.First, f.Record.TMaxC[:3])
		}
	}
}

func leftAsText(d climate.Day) string {
	if _, _, n := d.Date(); n > 12 {
		return d.Format("02/01/2006")
	}
	return spoilt(d).String()
}

func reversed(text string) string {
	rows := strings.Split(strings.TrimSpace(text), "\n")
	slices.Reverse(rows[1:])
	return strings.Join(rows, "\n") + "\n"
}

// Records with gaps, of few rows, or of a place without seasons are not suspected.
func TestNotSwapped(t *testing.T) {
	for name, keep := range map[string]func(d climate.Day) bool{
		"whole":         func(climate.Day) bool { return true },
		"every second":  func(d climate.Day) bool { return d%2 == 0 },
		"weeks missing": func(d climate.Day) bool { return d/7%3 > 0 },
		"days 1 to 12":  func(d climate.Day) bool { _, _, n := d.Date(); return n <= 12 },
	} {
		var b strings.Builder
		b.WriteString("date,tmax_c,tmin_c\n")
		for _, row := range strings.Split(days("", 800, celsiusRow), "\n")[1:801] {
			if d, _ := climate.ParseDay(row[:10]); keep(d) {
				b.WriteString(row + "\n")
			}
		}
		if _, err := Read(strings.NewReader(b.String()), "x.csv", Options{}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// What cannot be told is settled by the option.
func TestDateOrder(t *testing.T) {
	text := "date,tmax_c,tmin_c\n01/02/2019,10,2\n03/04/2019,11,3\n"
	for order, want := range map[DateOrder]climate.Day{
		DayFirst: climate.Date(2019, 2, 1), MonthFirst: climate.Date(2019, 1, 2),
	} {
		f, err := Read(strings.NewReader(text), "x.csv", Options{DateOrder: order})
		if err != nil || f.Record.First != want {
			t.Errorf("%s: %v, %v", order, f, err)
		}
	}
	for text, order := range map[string]DateOrder{
		text: DateAuto, "date,tmax_c,tmin_c\n13/02/2019,10,2\n": MonthFirst,
	} {
		var e *Error
		if _, err := Read(strings.NewReader(text), "x.csv", Options{DateOrder: order}); !errors.As(err, &e) ||
			e.Kind != DateOrderOpen || e.Line != 2 {
			t.Errorf("%s: %v", order, err)
		}
	}
}

// Forms in which dates are written.
func TestDateForms(t *testing.T) {
	want := date{day: climate.Date(2005, time.May, 17), dayValid: true}
	for _, s := range []string{"2005-05-17", "2005/5/17", "2005.05.17", "20050517", "17-may-2005", "17 May 2005",
		"May 17, 2005", "17MAY2005", "17may05", "Tue 2005-05-17", "Tuesday, May 17, 2005", "Tue May 17 2005",
		"2005-May-17", "2005-05-17T00:00:00Z", "2005-05-17 13:05", "17 mai 2005", "17-Mai-2005", "17 maj 2005",
		"17 mag 2005", "2005051712", "200505171230", "2005137", "38489", "38489.5", "17th May 2005",
		"mardi 17 mai 2005",
		"Di 2005-05-17", "2005-05-17 (Tue)"} {
		form := formUnknown
		if got, ok := parseDate(s, &form); !ok || got.day != want.day || !got.dayValid {
			t.Errorf("%q: %v %v, %s", s, got, ok, formNames[form])
		}
	}
	for _, s := range []string{"17/05/2005", "05/17/2005", "17052005", "05172005", "17.5.05", "5/17/2005 1:05 PM",
		"17/05/2005 24:00"} {
		form := formUnknown
		if got, ok := parseDate(s, &form); !ok || got.either() != want.day {
			t.Errorf("%q: %v %v", s, got, ok)
		}
	}
	for s, want := range map[string]bool{"": true, "Total": true, "Average 2001-2010": true, "May 2004": true,
		"2004":       true,
		"2019-02-29": false, "20000-01-01": false, "x004-05-01": false, "1": false, "29 Feb 2019": false, "-": true,
		"32.01.2019": false} {
		if noDate(s) != want {
			t.Errorf("%q holds no date: %v", s, !want)
		}
	}
}

// Years of two digits follow from each other, also in a column of their own, and are
// never in the future.
func TestYearsOfTwoDigits(t *testing.T) {
	today := climate.Date(2026, time.July, 1)
	for name, c := range map[string]struct {
		header      string
		row         string // layout of package time
		first, last climate.Day
	}{
		"dates":     {"date,tmax_c,tmin_c", "01/02/06", climate.Date(1948, 1, 1), climate.Date(2025, 3, 1)},
		"named":     {"date,tmax_c,tmin_c", "02-Jan-06", climate.Date(1899, 1, 1), climate.Date(1975, 3, 1)},
		"columns":   {"yr,mo,dy,tmax_c,tmin_c", "06,01,02", climate.Date(1930, 1, 1), climate.Date(2020, 3, 1)},
		"of a long": {"year,month,day,tmax_c,tmin_c", "06,1,2", climate.Date(1870, 1, 1), climate.Date(2012, 3, 1)},
	} {
		var b strings.Builder
		b.WriteString(c.header + "\n")
		for d := c.first; d <= c.last; d++ {
			fmt.Fprintf(&b, "%s,%d,%d\n", d.Format(c.row), 10+d%9, 2+d%7)
		}
		f, err := Read(strings.NewReader(b.String()), "x.csv", Options{Today: &today})
		if err != nil || f.Record.First != c.first || f.Record.Last() != c.last {
			t.Errorf("%s: %v, %v", name, f, err)
		}
	}
}
