package words

import (
	"strings"
	"testing"
)

func TestCut(t *testing.T) {
	for _, c := range []struct {
		text string
		n    int
		want string
	}{{"fescue", 6, "fescue"}, {"fescues", 6, "fescu…"}, {"日本語", 6, "日本語"}, {"日本語文", 6, "日本…"}, {"", 3, ""}} {
		if got := Cut(c.text, c.n); got != c.want || Width(got) > c.n {
			t.Errorf("%q in %d cells: %q, want %q", c.text, c.n, got, c.want)
		}
	}
}

func TestLines(t *testing.T) {
	for _, c := range []struct {
		text string
		n    int
		want string
	}{{"last safe, 80 %", 5, "last|safe,|80 %"}, {"last safe, 80 %", 10, "last safe,|80 %"}, {"established", 4, "established"}, {"", 4, ""}} {
		if got := strings.Join(Lines(c.text, c.n), "|"); got != c.want {
			t.Errorf("%q in %d cells: %q, want %q", c.text, c.n, got, c.want)
		}
	}
}

// The international inch is 25.4 mm: a square metre has 1550.0031 of its squares.
func TestPerArea(t *testing.T) {
	if us, si := US.PerArea(1550.0031), Metric.PerArea(1550.0031); us != "1" || si != "1550" {
		t.Errorf("%s, %s", us, si)
	}
}

func TestText(t *testing.T) {
	for text, want := range map[Text]string{"=1+1": "'=1+1", "-": "'-", "Home": "Home", "": ""} {
		if got, err := text.MarshalCSV(); got != want || err != nil {
			t.Errorf("%q: %q, %v", text, got, err)
		}
	}
}
