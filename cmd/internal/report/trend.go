package report

import (
	"fmt"
	"math"
	"strings"

	"swardcast/climate"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// TrendFact says how the dates moved over the past seasons and by how much they are
// shifted for it.
func TrendFact(t *forecast.Trend, rule forecast.TrendRule, u words.System) Item {
	return Item{"trend", trendWords(t, rule, u)}
}

func trendWords(t *forecast.Trend, rule forecast.TrendRule, u words.System) string {
	if math.IsNaN(t.Air.Slope) {
		return fmt.Sprintf(
			"not known: the air has fewer than %d whole years; dates are not shifted",
			forecast.FewSeasons,
		)
	}
	var moved []string
	for _, x := range []struct {
		what string
		days float64
	}{{"first freezes moved ", t.Freeze.Slope}, {"latest sow dates ", t.Latest.Slope}} {
		if !math.IsNaN(x.days) {
			moved = append(moved, x.what+later(x.days))
		}
	}
	text := strings.Join(append(moved, "the air "+u.Difference(t.Air.Slope)), ", ") + " a decade; "
	switch {
	case rule == forecast.TrendOff:
		return text + "dates are not shifted (--trend off)"
	case t.AppliedC == 0:
		return text + "the trend of the air is not clear, so dates are not shifted"
	}
	return text + "dates are shifted " + later(t.ShiftDays)
}

// later is a number of days, negative for earlier.
func later(days float64) string {
	if days = words.RoundTo(days, 1); days < 0 {
		return fmt.Sprintf("%.1f days earlier", -days)
	}
	return fmt.Sprintf("%.1f days later", days)
}

// A ClimateJSON is how the climate moved over past seasons and what was made of it.
type ClimateJSON struct {
	Air struct {
		Slope words.Number `json:"c_per_decade"`
		Low   words.Number `json:"low"`
		High  words.Number `json:"high"`
	} `json:"air"`
	Freeze  TrendJSON    `json:"freeze"`
	Latest  TrendJSON    `json:"latest"`
	Applied words.Number `json:"applied_c_per_decade"`
	To      int          `json:"to_season"`
	Shift   words.Number `json:"shift_days"`
}

// Climate is a trend over past seasons as JSON.
func Climate(t *forecast.Trend) ClimateJSON {
	out := ClimateJSON{
		Freeze: Trend(t.Freeze), Latest: Trend(t.Latest),
		Applied: words.Number(t.AppliedC), To: t.To, Shift: words.Number(t.ShiftDays),
	}
	air := &out.Air
	air.Slope, air.Low, air.High = words.Number(t.Air.Slope), words.Number(t.Air.Low), words.Number(t.Air.High)
	return out
}

// A TrendJSON is a trend of dates with its interval.
type TrendJSON struct {
	Days words.Number `json:"days_per_decade"`
	Low  words.Number `json:"low"`
	High words.Number `json:"high"`
}

// Trend is a trend of dates as JSON.
func Trend(t climate.Trend) TrendJSON {
	return TrendJSON{words.Number(t.Slope), words.Number(t.Low), words.Number(t.High)}
}
