package main

import (
	"errors"
	"fmt"
	"strings"

	"swardcast/climate"
	"swardcast/forecast"
)

// waterDays is how many days ahead the water is told for, at most.
const waterDays = 21

// A waterNeed is what keeps a seedbed moist until seed is up.
type waterNeed struct {
	days    []forecast.Water
	totalMM float64 // over those days, in the middle of what may come
	noRain  bool    // the record cannot tell
}

// newWaterNeed tells the water from the day after one until a sowing is up, as
// far as its date is known.
func newWaterNeed(e *forecast.Ensemble, up forecast.StageOutlook, after climate.Day) (n waterNeed, err error) {
	if up.P90 == nil || *up.P90 <= after {
		return n, nil
	}
	n.days, n.totalMM, err = e.Water(after+1, min(waterDays, int(*up.P90-after)))
	if errors.Is(err, forecast.ErrNoRain) {
		return waterNeed{noRain: true}, nil
	}
	return n, err
}

const waterRules = "Local water rules come first."

func (n *waterNeed) text(u unitSystem) string {
	text := ""
	for i, l := range n.lines(u) {
		text += wrap([]string{"  water     ", "            "}[i], l)
	}
	return text
}

// lines are what is told of the water, none where none is needed.
func (n *waterNeed) lines(u unitSystem) []string {
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
		byDay = append(byDay, shortDate(w.Day)+" "+strings.TrimSuffix(strings.TrimSuffix(u.water(w.NeedMM), " in."), " mm")+mark)
	}
	unit := "in."
	if u == metric {
		unit = "mm"
	}
	return []string{fmt.Sprintf("an estimate: about %s a day, beside what falls, keeps the seedbed moist until it is up (%s in the %s to %s, little and often). %s",
		u.water(n.totalMM/float64(k)), u.water(n.totalMM), days(float64(k)), shortDate(n.days[k-1].Day), waterRules),
		fmt.Sprintf("By day, %s: %s. On %d of them (*) seed that nobody waters would stall in the middle of what may come.", unit, strings.Join(byDay, ", "), dry)}
}

type waterOut struct {
	Date     climate.Day `json:"date"`
	NeedMM   number      `json:"need_mm"`
	DryShare number      `json:"unwatered_dry_share"`
}

// json is null where the water is not known, and empty where none is needed.
func (n *waterNeed) json() []waterOut {
	if n.noRain {
		return nil
	}
	out := []waterOut{}
	for _, w := range n.days {
		out = append(out, waterOut{w.Day, number(w.NeedMM), number(w.DryShare)})
	}
	return out
}
