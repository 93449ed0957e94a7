package words

import (
	"strings"
	"testing"

	"swardcast/climate"
)

func TestDate(t *testing.T) {
	d := climate.Date(2026, 10, 4)
	for got, want := range map[string]string{
		US.Date(d): "Oct 4", Metric.Date(d): "4 Oct", US.LongDate(d): "Oct 4, 2026", Metric.LongDate(d): "4 Oct 2026",
		US.DateOr(nil): "–", Metric.DateOr(&d): "4 Oct",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Dates, ranges and numbers with their units stay on one line, other words do not.
func TestUnbroken(t *testing.T) {
	for text, want := range map[string]string{
		"Sow between Sep 26 and Oct 12.":      "Sow between Sep~26 and Oct~12.",
		"by 11 Oct 2026: 8 of 10":             "by 11~Oct~2026: 8 of 10",
		"on Oct 4, 2026 in 2026":              "on Oct~4,~2026 in 2026",
		"(Oct 4, 2026)":                       "(Oct~4,~2026)",
		"Oct 18–23, 76 % (62–87), 1996–2025":  "Oct~18–^23, 76~% (62–^87), 1996–^2025",
		"75 °F at 4 in. by 5 days":            "75~°F at 4~in. by 5~days",
		"7.3 lb/1000 ft², 14 lb, 3 bags":      "7.3~lb/1000~ft², 14~lb, 3 bags",
		"May it come, in Mayo and 3 Maytrees": "May it come, in Mayo and 3 Maytrees",
		"a – b, –2.2 °C, – for none, 0–":      "a – b, –2.2~°C, – for none, 0–",
		"it may or may not; Dec. Oct Octagon": "it may or may not; Dec. Oct Octagon",
		"–2–3 °C":                             "–2–^3~°C",
		"":                                    "",
	} {
		want = strings.NewReplacer("~", noBreakSpace, "^", wordJoiner).Replace(want)
		if got := Unbroken(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	for _, line := range strings.Split(Wrap("", strings.Repeat("x ", 37)+"Oct 14, 2026 and so on"), "\n") {
		if strings.HasSuffix(line, "Oct") || strings.HasSuffix(line, "14,") {
			t.Errorf("a date is broken: %q", line)
		}
	}
}
