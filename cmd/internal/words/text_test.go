package words

import (
	"strings"
	"testing"
)

// The first letter of a name may be of several bytes.
func TestCapital(t *testing.T) {
	if got := Capital("élyme"); got != "Élyme" {
		t.Errorf("%q", got)
	}
}

// A wide character takes two cells of a terminal, a combining one none, the
// characters of bars one whatever the locale (Unicode Standard Annex 11).
func TestWidth(t *testing.T) {
	for s, want := range map[string]int{"": 0, "28 °F": 5, "芝生": 4, "e\u0301": 1, "█▒·–": 4} {
		if got := Width(s); got != want {
			t.Errorf("%q takes %d cells, want %d", s, got, want)
		}
	}
}

// Rounding leaves no -0.
func TestNoNegativeZero(t *testing.T) {
	for _, got := range []string{US.Temp(Celsius(-0.4)), Metric.Temp(-0.04), US.Difference(-0.01),
		Metric.Difference(-0.01)} {
		if strings.Contains(got, "-0") {
			t.Error(got)
		}
	}
}

// A text from a file is no formula, whichever sign a spreadsheet takes for one.
func TestCellIsNoFormula(t *testing.T) {
	for text, want := range map[string]string{"=1+1": "'=1+1", "+1": "'+1", "-1": "'-1", "@SUM(A1)": "'@SUM(A1)",
		"\t=1": "'\t=1", "\r=1": "'\r=1", "a@b": "a@b", "": ""} {
		if got := Cell(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
