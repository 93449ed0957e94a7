package report

import (
	"math"

	"swardcast/climate"
	"swardcast/cmd/internal/chart"
	"swardcast/forecast"
)

// A Chance is that of a sow date, with its interval; all 0 to 1.
type Chance struct {
	Day            climate.Day
	Mid, Low, High float64
	In             float64 // neither too early nor too late; NaN where it is not known
	Early          bool    // more likely than not before the opening
}

// WindowChances are the chances of a window's sow dates.
func WindowChances(w *forecast.Window) []Chance {
	out := make([]Chance, len(w.ByDate))
	for i, d := range w.ByDate {
		out[i] = Chance{d.Sow, d.Chance, d.Low, d.High, d.InWindow, d.BeforeOpening()}
	}
	return out
}

// OutlookChances are the chances of outlooks, one a sow date.
func OutlookChances(list []*forecast.Outlook) []Chance {
	out := make([]Chance, len(list))
	for i, x := range list {
		out[i] = Chance{x.Sow, x.Chance, x.Low, x.High, math.NaN(), false}
	}
	return out
}

// A Span is the part of a season that its charts show.
type Span struct{ First, Last climate.Day }

// SpanOf is the part in which the chances of all the lists fall, with the other
// days that a chart should show and some room on either side.
func SpanOf(lists [][]Chance, also ...climate.Day) Span {
	const room = 5
	season := Span{lists[0][0].Day, lists[0][len(lists[0])-1].Day}
	s := Span{season.Last, season.First}
	for _, list := range lists {
		for _, c := range list {
			if c.Mid < 0.98 {
				s.First = min(s.First, c.Day)
				break
			}
		}
		for _, c := range list {
			if c.Mid > 0.1 {
				s.Last = max(s.Last, c.Day)
			}
		}
	}
	const far = 45 // days off the fall of the chances, which are not worth squeezing it
	low, high := s.First-far, s.Last+far
	for _, d := range also {
		if d >= max(season.First, low) && d <= min(season.Last, high) {
			s.First, s.Last = min(s.First, d), max(s.Last, d)
		}
	}
	s.First, s.Last = max(season.First, min(s.First, s.Last)-room), min(season.Last, s.Last+room)
	if s.Last-s.First < 2*room {
		s.Last = min(season.Last, s.First+2*room)
	}
	return s
}

// Axis is the axis of a chart over the span.
func (s Span) Axis(label string) chart.Axis {
	a := chart.Dates(s.First, s.Last)
	a.Label = label
	return a
}

// Sown is the axis of a chart by sow date.
func (s Span) Sown(label string) chart.Axis {
	a := s.Axis(label)
	a.IsSown = true
	return a
}
