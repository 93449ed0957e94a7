package recordfile

import "testing"

// A month remembered gives what parsing gives, or nothing.
func TestMonthMemo(t *testing.T) {
	texts := []string{"2004-05-01", "2004-05-31", "2004-05-32", "2004-05-00", "2004-05-1x", "2004/05/09", "2004-5-110",
		"2004-5-1", "2004-5-1 9", "2004.02.29",
		"2003-02-29", "2004-02-29", "2004-02-30", "20040501", "2004-05-011", "01-05-2004", " 2004-05-1", "2004-05-+1",
		"2004 05 07", "x004-05-01"}
	hits, turns := 0, 0
	for _, before := range texts {
		form := formUnknown
		d, ok := parseDate(before, &form)
		var m monthMemo
		if m.set(before, form, d); !ok && m != (monthMemo{}) {
			t.Errorf("%q is remembered", before)
		}
		for _, s := range texts {
			if got, ok := m.day(s); ok {
				hits++
				if want, ok := parseDate(s, &form); !ok || got != want {
					t.Errorf("%q behind %q: %v, want %v, %v", s, before, got.day, want.day, ok)
				}
			}
			if len(s) != 10 {
				continue
			}
			turned := m
			if got, ok := turned.dayIn([10]byte([]byte(s))); ok {
				turns++
				if want, ok := parseDate(s, &form); !ok || got != want.day {
					t.Errorf("%q behind %q: %v, want %v, %v", s, before, got, want.day, ok)
				}
			}
		}
	}
	if hits == 0 || turns <= hits {
		t.Errorf("%d dates of a month remembered, %d of that or another", hits, turns)
	}
}
