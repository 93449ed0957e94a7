package window

import (
	"fmt"
	"math"
	"slices"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// Document puts the answer in words. On a page the first species is chosen at first
// and any other can be; a terminal shows each that was asked for.
func (a *Answer) Document(u words.System, on report.Medium) (*report.Document, error) {
	if err := a.others(on); err != nil {
		return nil, err
	}
	w := a.Windows[0]
	d := report.New(a.In.Input, "Seeding window", sentence(u, a.In, w), u)
	if few(w) {
		d.Notes = []string{fmt.Sprintf("The season by season dates of %s are below.", w.Options.Species.Name)}
	}
	d.Choices = a.choices(u)
	for i, x := range a.Windows {
		d.Sections = append(d.Sections, a.windowSections(u, x, i == 0)...)
	}
	d.Sections = append(d.Sections, a.pageSections(u, w)...)
	d.Sections = append(d.Sections, report.Basis(a.In.Input, report.WindowFacts(a.In, a.Windows, u), report.WindowCautions(a.Windows), u)...)
	return d, nil
}

// few reports whether there are too few seasons for dates.
func few(w *forecast.Window) bool { return len(w.Seasons) < forecast.MinSeasons }

// windowSections are the dates and the chances of a species.
func (a *Answer) windowSections(u words.System, w *forecast.Window, first bool) []report.Section {
	dates := report.Section{ID: "dates", Heading: "The dates that matter", Lead: true, Tables: []report.Table{datesTable(u, w)}}
	if few(w) {
		dates = report.Section{ID: "dates", Heading: "The past seasons", Lead: true, Tables: []report.Table{seasonsTable(u, w)}}
	}
	chances := report.Section{ID: "chance", Heading: "Chance by sow date",
		Figures: []report.Figure{{Bars: bars(u, w)}}}
	if first {
		chances.Figures = a.each(func(w *forecast.Window) *chart.Chart { return a.chanceChart(u, w) },
			fmt.Sprintf("Share of past seasons, smoothed by what is not known of soil and seed. The band is the chance's %d %% interval.", forecast.IntervalPercent))
		chances.Figures[0].Bars = bars(u, w)
		chances.Tables = []report.Table{report.ByDateTable(u, w.Options.Species.Name, report.WindowChances(w), func(i int) [3]forecast.Spread { return w.ByDate[i].Days })}
	} else {
		dates.On, chances.On = report.Terminal, report.Terminal
		dates.Intro = []string{sentence(u, a.In, w)}
	}
	chances.Lead = true
	return []report.Section{dates, chances}
}

// pageSections are those that a terminal has no room for.
func (a *Answer) pageSections(u words.System, w *forecast.Window) []report.Section {
	sections := []report.Section{
		{ID: "soil", Heading: "The soil", Figures: []report.Figure{{Chart: report.SeasonSoil(a.In, w.Season, &w.Options).Chart(u)}}},
		{ID: "seasons", Heading: "The past seasons one by one",
			Figures: a.each(func(w *forecast.Window) *chart.Chart { return seasonsChart(u, a.In.Calendar, w, a.span) }, "Each season's dates are in the table."),
			Tables:  []report.Table{seasonsTable(u, w)}},
	}
	if !few(w) {
		sections = append(sections,
			report.Section{ID: "days", Heading: "Days to come up and to the first cut",
				Figures: a.each(func(w *forecast.Window) *chart.Chart { return daysChart(u, w, a.span) }, "Lines are those of the middle season; bands hold 8 of 10 seasons, for seed that is kept moist.")},
			report.Section{ID: "species", Heading: "Species compared", Figures: []report.Figure{{Chart: a.speciesChart(u)}}, Tables: []report.Table{a.speciesTable(u)}},
		)
	}
	for i := range sections {
		sections[i].On = report.Page
	}
	return sections
}

func (a *Answer) choices(u words.System) *report.Choices {
	w := a.Windows[0]
	first := w.ByDate[0].Sow.String()
	c := &report.Choices{First: first, From: first, Stage: words.Stages[w.Options.Stage]}
	for _, x := range a.all {
		c.Species = append(c.Species, report.NumbersOf(x.Options.Species, sentence(u, a.In, x), x.Opens, x.Cutoff, report.WindowChances(x),
			func(i int) [3]float64 { d := x.ByDate[i].Days; return [3]float64{d[0].P50, d[1].P50, d[2].P50} }))
	}
	return c
}

// outOf says a percentage as a grower would: 8 of 10 seasons.
func outOf(percent float64) string {
	if percent == math.Trunc(percent/10)*10 {
		return fmt.Sprintf("%.0f of 10 seasons", percent/10)
	}
	return fmt.Sprintf("%g of 100 seasons", percent)
}

// sentence is the answer for a species.
func sentence(u words.System, in *ask.Station, w *forecast.Window) string {
	sp, made := w.Options.Species.Name, words.Stages[w.Options.Stage]
	if n := len(w.Seasons); few(w) {
		return fmt.Sprintf("Too few seasons for a safe date: only %d %s of %s can be used, and a safe date needs %d.",
			n, words.Plural(n, "season", "seasons"), in.DisplayName(), forecast.MinSeasons)
	}
	top := w.ByDate[0].Chance // chances fall with the date
	if report.NoCutoff(w) {
		opens, _ := w.Opens.At(0.5)
		top = chanceOn(w, opens)
		s := fmt.Sprintf("At %s neither freeze nor dormancy ends the season in most years: sown when it opens, about %s, %s was %s in time in %s of seasons.",
			in.DisplayName(), u.LongDate(opens), sp, made, words.Percent(top))
		if safe, ok := w.Safe(); ok {
			s += fmt.Sprintf(" Sown by %s it still was in %s; the season is counted to %s.", u.LongDate(safe), outOf(w.Options.Confidence), u.Date(w.ByDate[len(w.ByDate)-1].Sow))
		}
		return s + sentenceNotes(u, in, w)
	}
	safe, ok := w.Safe()
	if !ok {
		return fmt.Sprintf("No sow date of %s is safe at %g %% at %s: sown even on the first day of the season it was %s before the cutoff in only %s of seasons.",
			sp, w.Options.Confidence, in.DisplayName(), made, words.Percent(top))
	}
	s := fmt.Sprintf("Sow %s%s by %s at %s: in %s it was %s before the cutoff.", sp, report.Into(&w.Options), u.LongDate(safe), in.DisplayName(), outOf(w.Options.Confidence), made)
	if opens, ok := w.Opens.At(0.5); ok && opens > safe {
		s += fmt.Sprintf(" Mind that sowing opens only on %s in the middle season: the window is closed more often than not.", u.Date(opens))
	}
	return s + sentenceNotes(u, in, w)
}

// sentenceNotes are what must stand beside the first sentence.
func sentenceNotes(u words.System, in *ask.Station, w *forecast.Window) string {
	s := ""
	if safe, ok := w.Safe(); ok && in.AsOf > safe {
		s += fmt.Sprintf(" As of %s that date is past.", u.LongDate(in.AsOf))
	}
	if in.AsOf >= w.ByDate[0].Sow && in.AsOf <= w.ByDate[len(w.ByDate)-1].Sow {
		s += " These are past seasons; for this one so far see swardcast outlook."
	}
	if w.Options.Unwatered {
		s += " That is without watering."
	}
	if n := len(w.Seasons); n < forecast.FewSeasons {
		s += fmt.Sprintf(" This rests on %d seasons only.", n)
	}
	return s
}

// A keyDate is a date with its meaning.
type keyDate struct {
	date           climate.Day
	known          bool
	label, meaning string
}

// datesTable has the few dates with their meaning.
func datesTable(u words.System, w *forecast.Window) report.Table {
	t := report.Table{Caption: fmt.Sprintf("The dates that matter, %s, season of %d", w.Options.Species.Name, w.Season), Head: []string{"date", "what", "meaning"}, Fixed: true, Plain: true}
	for _, k := range keyDates(u, w) {
		day := "none"
		if k.known {
			day = u.Date(k.date)
		}
		t.Rows = append(t.Rows, []string{day, k.label, k.meaning})
	}
	return t
}

// keyDates are the few dates with their meaning, in their order.
func keyDates(u words.System, w *forecast.Window) []keyDate {
	var lines []keyDate
	add := func(d climate.Day, known bool, label, meaning string) {
		lines = append(lines, keyDate{d, known, label, meaning})
	}
	o := w.Options
	between := func(d forecast.Dates, low, high float64) string {
		a, okA := d.At(low)
		z, okZ := d.At(high)
		if !okA || !okZ {
			return ""
		}
		return fmt.Sprintf(" (in %.0f %% of seasons %s to %s)", 100*(high-low), u.Date(a), u.Date(z))
	}
	d, ok := w.Opens.At(0.5)
	soil := fmt.Sprintf("the soil at %s stays below %s", u.Depth(o.Host.Open.Depth), u.Temp(o.Host.Open.TempC))
	if latest, _ := w.Opens.At(0.8); latest == w.ByDate[0].Sow {
		add(d, ok, "opens", "with the season: "+soil)
	} else {
		spread := ""
		if low, high, ok := w.OpensBetween(); ok {
			spread = fmt.Sprintf(" (%d %% between %s and %s, allowing for soil uncertainty)", forecast.IntervalPercent, u.Date(low), u.Date(high))
		}
		add(d, ok, "opens", "from here "+soil+spread)
	}
	if w.Best != nil && !report.NoCutoff(w) { // without an end the best day would be the last
		add(w.Best.Sow, true, "best day", fmt.Sprintf("likeliest to lie after the opening and in time: in %s of seasons", words.Percent(w.Best.Chance)))
	}
	for _, c := range report.SafeLevels(o.Confidence) {
		meaning := fmt.Sprintf("no date was in time in %s", outOf(c))
		if d, ok = w.LastSafe(c); ok {
			meaning = fmt.Sprintf("sown by then, in time in %s", outOf(c))
		}
		add(d, ok, fmt.Sprintf("last safe, %g %%", c), meaning)
	}
	if d, ok = w.Cutoff.At(0.5); ok {
		cutoff := fmt.Sprintf("middle season's end%s", between(w.Cutoff, 0.1, 0.9))
		if f, ok := w.Freeze.At(0.5); ok {
			cutoff += fmt.Sprintf("; %s in the air %s", u.Temp(*o.FreezeC), u.Date(f))
		}
		if f, ok := w.Dormancy.At(0.5); ok {
			cutoff += fmt.Sprintf("; soil at %s down to %s %s", u.Depth(o.Host.Dormancy.Depth), u.Temp(o.Host.Dormancy.TempC), u.Date(f))
		}
		add(d, ok, "cutoff", cutoff)
	} else {
		add(d, ok, "cutoff", "none in the middle season before it is over")
	}
	slices.SortStableFunc(lines, func(a, b keyDate) int {
		switch {
		case a.known && b.known:
			return int(a.date - b.date)
		case a.known:
			return -1
		case b.known:
			return 1
		}
		return 0
	})
	return lines
}

// bars draw the chance of sow dates, every few days over the part of the season in
// which it falls.
func bars(u words.System, w *forecast.Window) *report.Bars {
	const rows = 16
	from, to := fallOf(w)
	step := max(1, (to-from+rows-2)/(rows-1))
	b := &report.Bars{Title: fmt.Sprintf("Chance to be %s in time, if sown on", words.ShortStage(w.Options.Stage)), Heads: "days to: up, cut, till.", Width: 30,
		Legend: fmt.Sprintf("█ to the low end of the chance's %d %% interval (in brackets), ▒ to the chance, · to the high end; days are those of the middle season", forecast.IntervalPercent)}
	for i := from; i <= to && i < len(w.ByDate); i += step {
		d := w.ByDate[i]
		b.Rows = append(b.Rows, report.Bar{Label: u.Date(d.Sow), Low: d.Low, Mid: d.Chance, High: d.High,
			Cells: []string{words.Percent(d.Chance), fmt.Sprintf("(%.0f–%.0f)", 100*d.Low, 100*d.High), report.DaysCell(d.Days[0]), report.DaysCell(d.Days[1]), report.DaysCell(d.Days[2])}})
	}
	return b
}

// fallOf is the part of the dates worth a chart: from before the opening, or before
// the chance begins to fall, to where it is nearly gone.
func fallOf(w *forecast.Window) (from, to int) {
	first := w.ByDate[0].Sow
	from, to = len(w.ByDate)-1, 0
	for i, d := range w.ByDate {
		if d.Chance < 0.98 && i < from {
			from = i
		}
		if d.Chance > 0.03 {
			to = i
		}
	}
	if opens, ok := w.Opens.At(0.2); ok {
		from = min(from, int(opens-first))
	}
	from = max(0, min(from, to)-3)
	return from, min(to+4, len(w.ByDate)-1)
}

func seasonsTable(u words.System, w *forecast.Window) report.Table {
	t := report.Table{Caption: fmt.Sprintf("Past seasons, %s", w.Options.Species.Name), Head: []string{"season", "opens", "last date in time", "cutoff", "by"}, Folded: !few(w), Fixed: true}
	for i := range w.Seasons {
		s := &w.Seasons[i]
		t.Rows = append(t.Rows, []string{fmt.Sprint(s.Year), u.Date(s.Opens), u.DateOr(s.Latest), u.DateOr(s.Cutoff), string(s.Cause)})
	}
	return t
}

func (a *Answer) speciesTable(u words.System) report.Table {
	t := report.Table{Caption: fmt.Sprintf("Last safe dates and best day of each species, season of %d", a.Windows[0].Season),
		Head: []string{"species", "last safe, 90 %", "80 %", "50 %", "best day", "days to the first cut then"}}
	safe := func(w *forecast.Window, percent float64) string { return u.DateOr(words.DayOrNil(w.LastSafe(percent))) }
	for _, w := range a.all {
		best, cut := "–", "–"
		if w.Best != nil {
			best = fmt.Sprintf("%s (%s)", u.Date(w.Best.Sow), words.Percent(w.Best.Chance))
			cut = report.SpreadWords(w.ByDate[w.Best.Sow-w.ByDate[0].Sow].Days[1])
		}
		t.Rows = append(t.Rows, []string{w.Options.Species.Name, safe(w, 90), safe(w, 80), safe(w, 50), best, cut})
	}
	return t
}
