package recordfile

import "testing"

// A month remembered gives what parsing gives, or nothing.
func TestMonthMemo(t *testing.T) {
	texts := []string{"2004-05-01", "2004-05-31", "2004-05-32", "2004-05-00", "2004-05-1x", "2004/05/09", "2004-5-110",
		"2004-5-1", "2004-5-1 9", "2004.02.29",
		"2003-02-29", "2004-02-29", "2004-02-30", "20040501", "2004-05-011", "01-05-2004", " 2004-05-1", "2004-05-+1",
		"2004 05 07", "x004-05-01"}
	hits := 0
	for _, before := range texts {
		form := formUnknown
		d, ok := parseDate(before, &form)
		var m monthMemo
		if m.set(before, form, d); !ok && m.text != "" {
			t.Errorf("%q is remembered", before)
		}
		for _, s := range texts {
			got, ok := m.day(s)
			if !ok {
				continue
			}
			hits++
			if want, ok := parseDate(s, &form); !ok || got != want {
				t.Errorf("%q behind %q: %v, want %v, %v", s, before, got.day, want.day, ok)
			}
		}
	}
	if hits == 0 {
		t.Error("nothing is remembered")
	}
}
