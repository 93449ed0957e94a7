package report

import (
	"errors"
	"fmt"
	"strings"

	"swardcast/climate"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// waterDays is the maximum number of days ahead that the water is given for.
const waterDays = 21

// A WaterNeed is what keeps a seedbed moist until seed is up.
type WaterNeed struct {
	days    []forecast.Water
	totalMM float64 // over those days, median of the possible outcomes
	noRain  bool    // the record has too little rain
}

// NewWaterNeed returns the water needed from the day after one until a sowing is up,
// as far as its date is known.
func NewWaterNeed(e *forecast.Ensemble, up forecast.StageOutlook, after climate.Day) (n WaterNeed, err error) {
	if up.P90 == nil || *up.P90 <= after {
		return n, nil
	}
	n.days, n.totalMM, err = e.Water(after+1, min(waterDays, int(*up.P90-after)))
	if errors.Is(err, forecast.ErrNoRain) {
		return WaterNeed{noRain: true}, nil
	}
	return n, err
}

const waterRules = "Local water rules come first."

// Lines describe the water needed, none where none is.
func (n *WaterNeed) Lines(u words.System) []string {
	switch {
	case n.noRain:
		return []string{
			"keep the seedbed moist, not wet, until it is up. The record has no rain, or too little, so the amount isn't known. " + waterRules,
		}
	case len(n.days) == 0:
		return nil
	}
	dry, k := 0, len(n.days)
	var byDay []string
	for _, w := range n.days {
		mark := ""
		if w.DryShare >= 0.5 {
			dry++
			mark = "*"
		}
		byDay = append(
			byDay,
			u.Date(w.Day)+" "+strings.TrimSuffix(strings.TrimSuffix(u.Water(w.NeedMM), " in."), " mm")+mark,
		)
	}
	unit := "in."
	if u == words.Metric {
		unit = "mm"
	}
	return []string{
		fmt.Sprintf(
			"about %s a day on top of rain keeps the seedbed moist until it is up (%s over the %s to %s, little and often; an estimate). %s",
			u.Water(
				n.totalMM/float64(k),
			),
			u.Water(n.totalMM),
			words.Days(float64(k)),
			u.Date(n.days[k-1].Day),
			waterRules,
		),
		fmt.Sprintf(
			"By day, %s: %s. On %d of them (*) seed without irrigation would stall in half of the possible outcomes.",
			unit,
			strings.Join(byDay, ", "),
			dry,
		),
	}
}

// Items are the lines as items of a document.
func (n *WaterNeed) Items(u words.System) []Item {
	var out []Item
	label := "water"
	for _, l := range n.Lines(u) {
		out = append(out, Item{label, l})
		label = ""
	}
	return out
}

type WaterJSON struct {
	Date     climate.Day  `json:"date"`
	NeedMM   words.Number `json:"need_mm"`
	DryShare words.Number `json:"unwatered_dry_share"`
}

// JSON is null where the water is not known, and empty where none is needed.
func (n *WaterNeed) JSON() []WaterJSON {
	if n.noRain {
		return nil
	}
	out := []WaterJSON{}
	for _, w := range n.days {
		out = append(out, WaterJSON{w.Day, words.Number(w.NeedMM), words.Number(w.DryShare)})
	}
	return out
}
