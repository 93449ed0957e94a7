package report

import (
	"fmt"
	"math"

	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// WinterJSON is what winter makes of a sowing.
type WinterJSON struct {
	Risk     string       `json:"risk"`
	Alive    words.Number `json:"alive"`
	Low      words.Number `json:"alive_low"`
	High     words.Number `json:"alive_high"`
	ColdestC words.Number `json:"coldest_soil_c"`
	KillsC   words.Number `json:"kills_half_c"`
	Open     string       `json:"open"`
}

// WinterOf is a winter for scripts; nil for none.
func WinterOf(w *forecast.Winter) *WinterJSON {
	if w == nil {
		return nil
	}
	return &WinterJSON{string(w.Risk), words.Number(w.Alive), words.Number(w.Low), words.Number(w.High),
		words.Number(w.Coldest.P50), words.Number(w.Kills.P50), string(w.Open)}
}

// winterCauses say what leaves the risk of winter open.
var winterCauses = map[forecast.WinterCause]string{
	forecast.WinterSnow:     "snow may shelter it, or not",
	forecast.WinterDry:      "soil of dry climates freezes deeper than the estimate",
	forecast.WinterNoRain:   "the record has no rain to show how dry the climate is",
	forecast.WinterNoFigure: "no figure of its hardiness is known",
	forecast.WinterSeed:     "much of the seed would wait for spring, and whether it lives is disputed",
	forecast.WinterFigures:  "the figures of its hardiness are rough",
}

// WinterText says what winter makes of a sowing, in a sentence; "" where nothing is known.
func WinterText(u words.System, w *forecast.Winter) string {
	if w == nil || math.IsNaN(w.Alive) {
		return ""
	}
	s := fmt.Sprintf("Winter risk %s; ", w.Risk)
	if w.Risk == forecast.WinterUnknown {
		s += fmt.Sprintf("%s of the stand may live", words.Interval(w.Low, w.High))
	} else {
		s += fmt.Sprintf("%s of the stand should live (%s)", words.Percent(w.Alive), words.Interval(w.Low, w.High))
	}
	if !math.IsNaN(w.Coldest.P50) {
		s += fmt.Sprintf(", with soil down to %s in a typical winter", u.Temp(w.Coldest.P50))
	}
	if cause := winterCauses[w.Open]; cause != "" && w.Risk != forecast.WinterLow {
		s += "; " + cause
	}
	return s + "."
}
