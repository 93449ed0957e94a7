package forecast

import (
	"math"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// ColdEnds reports whether cold ends sowing here: whether a freeze or dormancy came before
// the last day of the season in at least half of the seasons, as the rule of the options has
// it. Where it does not, no date is the last: see [Station.Use].
func (w *Window) ColdEnds() bool { return 2*w.WithCutoff() >= len(w.Adjusted) }

// WithCutoff returns the number of seasons in which a cutoff came.
func (w *Window) WithCutoff() int {
	n := 0
	for i := range w.Adjusted {
		if w.Adjusted[i].Cutoff != nil {
			n++
		}
	}
	return n
}

// A Use is how long the turf of a sowing can be used before the spring transition.
type Use struct {
	Sow climate.Day
	// From is the day of the first cut, To that on which the host wakes
	// ([turf.WakeSoilC]), medians of the seasons; nil where fewer than half have it.
	From, To *climate.Day
	Days     Spread // between the two; 0 where the host wakes first
}

// Use returns how many days of use a sowing of the season of a window has: from its first cut
// to the day on which the host wakes, the first day after the coldest of winter on which the
// trailing week of soil at 10 cm is at or above [turf.WakeSoilC]. Seasons whose spring the
// record does not hold are left out.
func (s *Station) Use(w *Window, sow climate.Day) Use {
	u := Use{Sow: sow}
	s = s.inClimate(w.Trend)
	g := s.growth(&w.Options)
	need := w.Options.Species.ThermalTime(turf.Mow)
	x := int(s.offset(w.Season, sow))
	var from, to, days []float64
	for k := range w.Adjusted {
		year := w.Adjusted[k].Year
		first := s.Calendar.Day(year, x)
		i := s.Record.Index(first)
		wake, ok := s.wakes(year)
		if i < 0 || !ok {
			continue
		}
		j := g.reach(i, need)
		if j >= s.Record.Len() {
			continue
		}
		from = append(from, float64(j-i))
		to = append(to, float64(wake-first))
		days = append(days, math.Max(0, float64(int(wake-first)-(j-i))))
	}
	u.Days = quantiles(days)
	at := func(v []float64) *climate.Day {
		if q := quantiles(v).P50; !math.IsNaN(q) && !math.IsInf(q, 0) {
			return new(sow + climate.Day(math.Round(q)))
		}
		return nil
	}
	u.From, u.To = at(from), at(to)
	return u
}
