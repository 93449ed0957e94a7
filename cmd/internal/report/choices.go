package report

import (
	"encoding/json"
	"math"

	"swardcast/forecast/turf"
)

// Runs are numbers of which many in a row are alike. In JSON each run is its number and
// then its length.
type Runs []int

// MarshalJSON writes the runs.
func (r Runs) MarshalJSON() ([]byte, error) {
	out := []int{}
	for i := 0; i < len(r); {
		end := i
		for end < len(r) && r[end] == r[i] {
			end++
		}
		out = append(out, r[i], end-i)
		i = end
	}
	return json.Marshal(out)
}

// Days that are no number.
const (
	Never   = -1 // the season ends before
	Unknown = -2 // too few seasons are known
)

// wholePercent is a share in whole percent, as the interval of a chance is written.
func wholePercent(share float64) int { return int(math.RoundToEven(100 * share)) }

// wholeChance is a chance in whole percent, 0 only under one and 100 only over 99.
func wholeChance(share float64) int {
	switch {
	case share > 0.995:
		return 100
	case share < 0.005:
		return 0
	}
	return min(99, wholePercent(share))
}

// wholeDays are days as a page's script reads them.
func wholeDays(d float64) int {
	switch {
	case math.IsNaN(d):
		return Unknown
	case math.IsInf(d, 1):
		return Never
	}
	return int(math.Round(d))
}

// NumbersOf are the numbers of a species for a page's script.
func NumbersOf(
	sp turf.Species,
	answer string,
	opens, cutoff string, // days, "" for none
	list []Chance,
	days func(i int) [3]float64,
) Species {
	a := Species{ID: sp.ID, Name: sp.Name, Answer: answer, Opens: opens, Cutoff: cutoff}
	for i, c := range list {
		d := days(i)
		a.Chance, a.Low, a.High = append(
			a.Chance,
			wholeChance(c.Mid),
		), append(
			a.Low,
			wholePercent(c.Low),
		), append(
			a.High,
			wholePercent(c.High),
		)
		a.Up, a.Mow, a.Till = append(
			a.Up,
			wholeDays(d[0]),
		), append(
			a.Mow,
			wholeDays(d[1]),
		), append(
			a.Till,
			wholeDays(d[2]),
		)
	}
	return a
}
