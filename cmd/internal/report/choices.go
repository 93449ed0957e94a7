package report

import (
	"math"

	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// wholeDays are days as a page's script reads them.
func wholeDays(d float64) *int {
	switch {
	case math.IsNaN(d):
		return nil
	case math.IsInf(d, 1):
		return new(-1)
	}
	return new(int(math.Round(d)))
}

// NumbersOf are the numbers of a species for a page's script.
func NumbersOf(sp turf.Species, answer string, opens, cutoff forecast.Dates, list []Chance, days func(i int) [3]float64) Species {
	a := Species{ID: sp.ID, Name: sp.Name, Answer: answer, Opens: MedianOf(opens), Cutoff: MedianOf(cutoff)}
	for i, c := range list {
		d := days(i)
		// With a decimal more than JSON has, so that the script seldom rounds to
		// another percent than the program.
		a.Chance = append(a.Chance, words.RoundTo(c.Mid, 5))
		a.Low, a.High = append(a.Low, words.RoundTo(c.Low, 5)), append(a.High, words.RoundTo(c.High, 5))
		a.Up, a.Mow, a.Till = append(a.Up, wholeDays(d[0])), append(a.Mow, wholeDays(d[1])), append(a.Till, wholeDays(d[2]))
	}
	return a
}
