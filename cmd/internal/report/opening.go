package report

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// Opening is the day by which sowing has opened in most years, as every part of an answer
// gives it: in four of five, or in half of them (median) where that is too near the last
// safe date, or after it. It is false where the day is not known.
func Opening(w *forecast.Window) (day climate.Day, median, ok bool) {
	late, ok := w.Opens.At(0.8)
	if !ok || len(w.ByDate) > 0 && late == w.ByDate[0].Sow || w.Aim != nil && w.Aim.Bound != forecast.AimMedian {
		return late, false, ok
	}
	day, ok = w.Opens.At(0.5)
	return day, true, ok
}

// OpenState is what has come once sowing is open, by the rule of the options: "soil below
// 75 °F at 4 in."
func OpenState(u words.System, o *forecast.Options) string {
	switch o.Opening {
	case forecast.OpeningAir:
		return fmt.Sprintf("days no hotter than %s", u.Temp(turf.OpenDayC))
	case forecast.OpeningHeat:
		return fmt.Sprintf("no more nights over %s with days over %s", u.Temp(turf.HeatNightC), u.Temp(turf.HeatDayC))
	}
	return fmt.Sprintf("soil below %s at %s", u.Temp(o.Host.Open.TempC), u.Depth(o.Host.Open.Depth))
}

// OpenWhen is what to wait for: "the soil stays below 75 °F".
func OpenWhen(u words.System, o *forecast.Options) string {
	switch o.Opening {
	case forecast.OpeningAir:
		return fmt.Sprintf("days stay under %s", u.Temp(turf.OpenDayC))
	case forecast.OpeningHeat:
		return "the summer heat is over"
	}
	return fmt.Sprintf("the soil stays below %s", u.Temp(o.Host.Open.TempC))
}

// StillTooWarm is what is against a sowing before the opening: "the soil is still too warm".
func StillTooWarm(o *forecast.Options) string {
	switch o.Opening {
	case forecast.OpeningAir:
		return "days are still too hot"
	case forecast.OpeningHeat:
		return "heat still favors seedling disease"
	}
	return "the ground is still too warm for seedlings"
}
