package recordfile

import (
	"strings"
	"testing"

	"swardcast/climate"
)

// FuzzDate reads a date in the form that it shows and in every other, by both
// readings.
func FuzzDate(f *testing.F) {
	for _, s := range []string{"2004-05-01", "20040501", "2004/5/1 12:00", "01-may-2004", "May 1, 2004", "1/5/04",
		"29.02.2023", "31/12/9999", "2004-05-01T00:00", "0/0/0", "2024-366", "2023-366"} {
		f.Add(s)
	}
	valid := func(d climate.Day) bool {
		y, m, day := d.Date()
		return climate.ValidDate(y, m, day) && climate.Date(y, m, day) == d
	}
	f.Fuzz(func(t *testing.T, s string) {
		for first := formUnknown; first <= formDayMonth; first++ {
			form := first
			d, ok := parseDate(s, &form)
			if !ok {
				continue
			}
			if !d.dayValid && !d.otherValid || d.dayValid && !valid(d.day) || d.otherValid && !valid(d.other) {
				t.Fatalf("%q as %s is %+v", s, formNames[form], d)
			}
			if form != formDayMonth && !d.dayValid {
				t.Fatalf("%q as %s has no day", s, formNames[form])
			}
		}
		year, day, _ := strings.Cut(s, "-")
		if d, ok := yearDay(year, day); ok && (!d.dayValid || !valid(d.day)) {
			t.Fatalf("%q is %+v", s, d)
		}
	})
}
