package report

import (
	"math"
	"testing"

	"swardcast/climate"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// What the climate did is said in days and degrees of the units, and what was made
// of it, or why nothing was.
func TestTrendWords(t *testing.T) {
	nan := climate.Trend{Slope: math.NaN(), Low: math.NaN(), High: math.NaN()}
	slope := func(v float64) climate.Trend { return climate.Trend{Slope: v, Low: v - 1, High: v + 1} }
	clear := forecast.Trend{
		Air:       slope(0.5),
		Freeze:    slope(1.2),
		Latest:    slope(-0.44),
		AppliedC:  0.2,
		To:        2026,
		ShiftDays: 1.8,
	}
	unclear := clear
	unclear.AppliedC, unclear.ShiftDays, unclear.Freeze = 0, 0, nan
	for _, c := range []struct {
		trend forecast.Trend
		rule  forecast.TrendRule
		u     words.System
		want  string
	}{
		{clear, forecast.TrendOn, words.Metric,
			"first freezes moved 1.2 days later, latest sow dates 0.4 days earlier, the air +0.5 °C a decade; dates are shifted 1.8 days later"},
		{clear, forecast.TrendOn, words.US,
			"first freezes moved 1.2 days later, latest sow dates 0.4 days earlier, the air +0.9 °F a decade; dates are shifted 1.8 days later"},
		{unclear, forecast.TrendOn, words.Metric,
			"latest sow dates 0.4 days earlier, the air +0.5 °C a decade; the trend of the air is not clear, so dates are not shifted"},
		{unclear, forecast.TrendOff, words.Metric,
			"latest sow dates 0.4 days earlier, the air +0.5 °C a decade; dates are not shifted (--trend off)"},
		{forecast.Trend{Air: nan, Freeze: nan, Latest: nan}, forecast.TrendOn, words.Metric,
			"not known: the air has fewer than 10 whole years; dates are not shifted"},
	} {
		if got := TrendFact(&c.trend, c.rule, c.u); got.Label != "trend" || got.Text != c.want {
			t.Errorf("%s: %s\nwant %s", got.Label, got.Text, c.want)
		}
	}
}
