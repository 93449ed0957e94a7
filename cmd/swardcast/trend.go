package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/forecast"
)

// declareTrend declares the flag of what a moving climate does to past seasons.
func declareTrend(f *pflag.FlagSet) *choice {
	c := newChoice(string(forecast.TrendOn), words(forecast.TrendRules())...)
	f.Var(c, "trend", "bring past seasons to the climate of the season forecast, where their trend is clear")
	return c
}

// trendFact says how the dates moved over the past seasons and by how much they are
// shifted for it.
func trendFact(t *forecast.Trend, rule forecast.TrendRule, u unitSystem) fact {
	if math.IsNaN(t.Air.Slope) {
		return fact{"trend",
			fmt.Sprintf("not known: the air has fewer than %d whole years; dates are not shifted", forecast.FewSeasons)}
	}
	var moved []string
	for _, x := range []struct {
		what string
		days float64
	}{{"first freezes moved ", t.Freeze.Slope}, {"latest sow dates ", t.Latest.Slope}} {
		if !math.IsNaN(x.days) {
			moved = append(moved, x.what+laterText(x.days))
		}
	}
	text := strings.Join(append(moved, "the air "+u.difference(t.Air.Slope)), ", ") + " a decade; "
	switch {
	case rule == forecast.TrendOff:
		text += "dates are not shifted (--trend off)"
	case t.AppliedC == 0:
		text += "the trend of the air is not clear, so dates are not shifted"
	default:
		text += "dates are shifted " + laterText(t.ShiftDays)
	}
	return fact{"trend", text}
}

// laterText is a number of days, negative for earlier.
func laterText(days float64) string {
	if days = roundTo(days, 1); days < 0 {
		return fmt.Sprintf("%.1f days earlier", -days)
	}
	return fmt.Sprintf("%.1f days later", days)
}

type climateOut struct {
	Air     airTrendOut `json:"air"`
	Freeze  trendOut    `json:"freeze"`
	Latest  trendOut    `json:"latest"`
	Applied number      `json:"applied_c_per_decade"`
	To      int         `json:"to_season"`
	Shift   number      `json:"shift_days"`
}

type airTrendOut struct {
	Slope number `json:"c_per_decade"`
	Low   number `json:"low"`
	High  number `json:"high"`
}

func trendJSON(t *forecast.Trend) climateOut {
	return climateOut{
		airTrendOut{number(t.Air.Slope), number(t.Air.Low), number(t.Air.High)},
		trendOut{number(t.Freeze.Slope), number(t.Freeze.Low), number(t.Freeze.High)},
		trendOut{number(t.Latest.Slope), number(t.Latest.Low), number(t.Latest.High)},
		number(t.AppliedC), t.To, number(t.ShiftDays),
	}
}
