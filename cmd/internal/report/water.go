package report

import (
	"errors"
	"fmt"
	"strings"

	"swardcast/climate"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// waterDays is how many days ahead the water is told for, at most.
const waterDays = 21

// A WaterNeed is what keeps a seedbed moist until seed is up.
type WaterNeed struct {
	days    []forecast.Water
	totalMM float64 // over those days, in the middle of what may come
	noRain  bool    // the record cannot tell
}

// NewWaterNeed tells the water from the day after one until a sowing is up, as
// far as its date is known.
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

// Lines are what is told of the water, none where none is needed.
func (n *WaterNeed) Lines(u words.System) []string {
	switch {
	case n.noRain:
		return []string{"the record has no rain, or too little of it, so that the water needed is not known: keep the seedbed moist, not wet, until it is up. " + waterRules}
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
		byDay = append(byDay, u.Date(w.Day)+" "+strings.TrimSuffix(strings.TrimSuffix(u.Water(w.NeedMM), " in."), " mm")+mark)
	}
	unit := "in."
	if u == words.Metric {
		unit = "mm"
	}
	return []string{fmt.Sprintf("an estimate: about %s a day, beside what falls, keeps the seedbed moist until it is up (%s in the %s to %s, little and often). %s",
		u.Water(n.totalMM/float64(k)), u.Water(n.totalMM), words.Days(float64(k)), u.Date(n.days[k-1].Day), waterRules),
		fmt.Sprintf("By day, %s: %s. On %d of them (*) seed that nobody waters would stall in the middle of what may come.", unit, strings.Join(byDay, ", "), dry)}
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
