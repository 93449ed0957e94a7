package window

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/report"
	"swardcast/forecast"
)

// An Answer has the windows of the species asked for.
type Answer struct {
	In      *ask.Station
	Windows []*forecast.Window

	all  []*forecast.Window // those asked for first, then of every other species; nil until needed
	span report.Span        // that charts show
}

// New works out a window for each of the options. Without a season it is the one at
// or after today.
func New(in *ask.Station, options []forecast.Options) (*Answer, error) {
	a := &Answer{In: in}
	for _, o := range options {
		if o.Season == 0 {
			o.Season = in.Calendar.SeasonFor(in.AsOf)
		}
		w, err := in.Window(o)
		if err != nil {
			return nil, in.SeasonsError(err)
		}
		a.Windows = append(a.Windows, w)
	}
	return a, nil
}

func seasonHint(in *ask.Station) string {
	return fmt.Sprintf("--season %d", in.Calendar.SeasonFor(in.AsOf))
}

// others works out the windows of the other species, but for a terminal.
func (a *Answer) others(on report.Medium) error {
	if len(a.all) > len(a.Windows) || a.all != nil && on == report.Terminal {
		return nil
	}
	var options []forecast.Options
	for _, w := range a.Windows {
		options = append(options, w.Options)
	}
	all := a.Windows[:len(a.Windows):len(a.Windows)]
	more := report.WithOthers(options)[len(all):]
	if on == report.Terminal {
		more = nil
	}
	for _, o := range more {
		w, err := a.In.Window(o)
		if err != nil {
			return a.In.SeasonsError(err)
		}
		all = append(all, w)
	}
	var lists [][]report.Chance
	for _, w := range a.Windows {
		lists = append(lists, report.WindowChances(w))
	}
	var also []climate.Day
	if opens, ok := a.Windows[0].Opens.At(0.2); ok {
		also = append(also, opens)
	}
	if a.In.AsOf > a.Windows[0].ByDate[0].Sow {
		also = append(also, a.In.AsOf)
	}
	a.all, a.span = all, report.SpanOf(lists, also...)
	return nil
}

// chanceOn is the chance of a sow date, or of the season's day next to it.
func chanceOn(w *forecast.Window, d climate.Day) float64 {
	return w.ByDate[min(max(0, int(d-w.ByDate[0].Sow)), len(w.ByDate)-1)].Chance
}
