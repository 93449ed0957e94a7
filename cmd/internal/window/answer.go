package window

import (
	"cmp"
	"fmt"
	"slices"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/report"
	"swardcast/forecast"
)

// An Answer has the windows of the species asked for.
type Answer struct {
	In       *ask.Station
	Today    climate.Day // as of which the answer is; the clock's where the record ended long ago
	Windows  []*forecast.Window
	Warnings []forecast.Warning // about the record alone

	decisions []*decision        // of Windows, in their order
	all       []*forecast.Window // those asked for first, then of every other species; nil until needed
	also      []*decision        // of all
	span      report.Span        // that charts show
}

// New works out a window for each of the options. Without a season it is the one at
// or after today.
func New(in *ask.Station, options []forecast.Options) (*Answer, error) {
	a := &Answer{In: in}
	var ended bool
	a.Today, ended = today(in)
	if ended {
		x, _ := in.RecordEnded(a.Today)
		a.Warnings = append(a.Warnings, x)
	}
	windows, err := a.windows(options)
	if err != nil {
		return nil, in.SeasonsError(err)
	}
	for _, w := range windows {
		d, err := a.decide(w)
		if err == nil {
			err = a.sense(w, d)
		}
		if err != nil {
			return nil, in.SeasonsError(err)
		}
		a.Windows, a.decisions = append(a.Windows, w), append(a.decisions, d)
	}
	return a, nil
}

// windows works out the windows of the season asked for, or of the one at or after
// today. A record that ended long ago says nothing of this season: once that is too
// late for every species, the next is planned.
func (a *Answer) windows(options []forecast.Options) ([]*forecast.Window, error) {
	season := a.In.Calendar.SeasonFor(a.Today)
	windows, err := a.windowsOf(season, options)
	possible := func(w *forecast.Window) bool { return w.Options.Season != season || a.plain(w) != tooLate }
	if err == nil && len(a.Warnings) > 0 && !slices.ContainsFunc(windows, possible) {
		return a.windowsOf(season+1, options)
	}
	return windows, err
}

// windowsOf works out the windows of a season, unless the options name another.
func (a *Answer) windowsOf(season int, options []forecast.Options) ([]*forecast.Window, error) {
	var windows []*forecast.Window
	for _, o := range options {
		o.Season = cmp.Or(o.Season, season)
		w, err := a.In.Window(o)
		if err != nil {
			return nil, err
		}
		windows = append(windows, w)
	}
	return windows, nil
}

// today is the day that is planned from: the as-of day, or the clock's where the
// record ended so long before it that its season is over.
func today(in *ask.Station) (day climate.Day, ended bool) {
	return in.PlanFrom()
}

func seasonHint(in *ask.Station) string {
	day, _ := today(in)
	return fmt.Sprintf("--season %d", in.Calendar.SeasonFor(day))
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
	all, also := a.Windows[:len(a.Windows):len(a.Windows)], a.decisions[:len(a.Windows):len(a.Windows)]
	more := report.WithOthers(options)[len(all):]
	if on == report.Terminal {
		more = nil
	}
	for _, o := range more {
		w, err := a.In.Window(o)
		if err != nil {
			return a.In.SeasonsError(err)
		}
		d, err := a.decide(w)
		if err != nil {
			return a.In.SeasonsError(err)
		}
		all, also = append(all, w), append(also, d)
	}
	var lists [][]report.Chance
	for _, w := range a.Windows {
		lists = append(lists, report.WindowChances(w))
	}
	var days []climate.Day
	if opens, ok := a.Windows[0].Opens.At(0.2); ok {
		days = append(days, opens)
	}
	if a.Today > a.Windows[0].ByDate[0].Sow {
		days = append(days, a.Today)
	}
	a.all, a.also, a.span = all, also, report.SpanOf(lists, days...)
	return nil
}

// chanceOn is the chance of a sow date, or of the season's day next to it.
func chanceOn(w *forecast.Window, d climate.Day) float64 {
	return w.ByDate[min(max(0, int(d-w.ByDate[0].Sow)), len(w.ByDate)-1)].Chance
}
