package window

import (
	"fmt"
	"slices"
	"strings"

	"swardcast/climate"
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
	d := report.New(a.In.Input, "Seeding window", a.lead(u, w, a.decisions[0]), u)
	d.When = "as of " + u.LongDate(a.Today)
	d.Notes = []string{a.support(u, w, a.decisions[0])}
	if !few(w) {
		d.Choices = a.choices(u)
	}
	for i, x := range a.Windows {
		d.Sections = append(d.Sections, a.windowSections(u, x, a.decisions[i], i == 0)...)
	}
	if on != report.Terminal {
		d.Sections = append(d.Sections, a.pageSections(u, w)...)
	}
	facts := report.WindowFacts(a.In, a.Windows, u)
	cautions := report.WindowCautions(u, a.Windows, a.Warnings...)
	d.Sections = append(d.Sections, report.Basis(a.In.Input, facts, cautions, u)...)
	return d, nil
}

// windowSections are the dates of a species, the chances, and what would change them.
// Too few seasons have no chances: what looks certain would be all that was seen.
func (a *Answer) windowSections(u words.System, w *forecast.Window, x *decision, first bool) []report.Section {
	dates := report.Section{
		ID:      "dates",
		Heading: "The dates that matter",
		Lead:    true,
		Tables:  []report.Table{datesTable(u, w)},
	}
	if few(w) {
		dates = report.Section{
			ID:      "dates",
			Heading: "The past seasons",
			Lead:    true,
			Tables:  []report.Table{seasonsTable(u, w)},
		}
	}
	sections := []report.Section{dates}
	if !few(w) {
		chances := report.Section{
			ID:      "chance",
			Heading: "Chance by sow date",
			Lead:    true,
			Figures: []report.Figure{{Bars: bars(u, w)}},
		}
		if first {
			chances.Figures = a.each(
				func(w *forecast.Window) *chart.Chart { return a.chanceChart(u, w) },
				fmt.Sprintf(
					"Share of past seasons in time, allowing for soil and seed uncertainty. The band is its %d %% interval.",
					forecast.IntervalPercent,
				),
			)
			chances.Figures[0].Bars = bars(u, w)
			chances.Tables = []report.Table{
				report.ByDateTable(
					u,
					w.Options.Species.Name,
					report.WindowChances(w),
					func(i int) [3]forecast.Spread { return w.ByDate[i].Days },
				),
			}
		}
		sections = append(sections, chances)
	}
	if text := a.change(u, w, x); text != "" {
		sections = append(
			sections,
			report.Section{ID: "change", Heading: "What would change it", Intro: []string{text}},
		)
	}
	if !first {
		for i := range sections {
			sections[i].On = report.Terminal
		}
		sections[0].Intro = []string{a.lead(u, w, x) + " " + a.support(u, w, x)}
	}
	return sections
}

// pageSections are those that a terminal has no room for.
func (a *Answer) pageSections(u words.System, w *forecast.Window) []report.Section {
	sections := []report.Section{
		{
			ID:      "soil",
			Heading: "The soil",
			Figures: []report.Figure{{Chart: report.SeasonSoil(a.In, w.Season, &w.Options).Chart(u)}},
		},
		{ID: "seasons", Heading: "The past seasons one by one",
			Figures: a.each(
				func(w *forecast.Window) *chart.Chart { return seasonsChart(u, a.In.Calendar, w, a.span) },
				"Each season's dates are in the table.",
			)},
	}
	if !few(w) { // else the table stands at the top
		sections[1].Tables = []report.Table{seasonsTable(u, w)}
		sections = append(
			sections,
			report.Section{ID: "days", Heading: "Days to come up and to the first mow",
				Figures: a.each(
					func(w *forecast.Window) *chart.Chart { return daysChart(u, w, a.span) },
					"Lines are a typical year; bands hold 8 of 10 years, for seed that is kept moist.",
				)},
			report.Section{
				ID:      "species",
				Heading: "Species compared",
				Figures: []report.Figure{{Chart: a.speciesChart(u)}},
				Tables:  []report.Table{a.speciesTable(u)},
			},
		)
	}
	if len(a.all) == 1 { // nothing to compare with
		sections = slices.DeleteFunc(sections, func(s report.Section) bool { return s.ID == "species" })
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
	for i, x := range a.all {
		answer := a.lead(u, x, a.also[i])
		if i > 0 { // the notes hold those of the first
			answer += " " + a.support(u, x, a.also[i])
		}
		opens := ""
		if day, _, ok := report.Opening(x); ok {
			opens = day.String()
		}
		c.Species = append(
			c.Species,
			report.NumbersOf(x.Options.Species, answer, opens, report.MedianOf(x.Cutoff), report.WindowChances(x),
				func(i int) [3]float64 { d := x.ByDate[i].Days; return [3]float64{d[0].P50, d[1].P50, d[2].P50} }),
		)
		if safe, ok := x.Safe(); ok {
			c.Species[len(c.Species)-1].Fill = safe.String()
		}
	}
	return c
}

// A keyDate is a date with its meaning.
type keyDate struct {
	date           climate.Day
	known          bool
	label, meaning string
}

// datesTable has the few dates with their meaning.
func datesTable(u words.System, w *forecast.Window) report.Table {
	t := report.Table{
		Caption: fmt.Sprintf("The dates that matter, %s, season of %d", w.Options.Species.Name, w.Season),
		Head:    []string{"date", "what", "meaning"},
		Fixed:   true,
		Plain:   true,
	}
	for _, k := range keyDates(u, w) {
		day := "–"
		if k.known {
			day = u.Date(k.date)
		}
		t.Rows = append(t.Rows, []string{day, k.label, k.meaning})
	}
	return t
}

// keyDates are the few dates with their meaning, in their order; what never comes
// stands last.
func keyDates(u words.System, w *forecast.Window) []keyDate {
	list := append(openingDates(u, w), safeDates(u, w)...)
	list = append(list, coldDate(u, w))
	slices.SortStableFunc(list, func(a, b keyDate) int {
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
	return list
}

// openingDates are from when on to sow, and until when best.
func openingDates(u words.System, w *forecast.Window) []keyDate {
	var list []keyDate
	add := func(d climate.Day, label, meaning string) { list = append(list, keyDate{d, true, label, meaning}) }
	o := w.Options
	soil := report.OpenState(u, &o)
	day, median, ok := report.Opening(w)
	a := w.Aim
	switch {
	case !ok:
	case day == w.ByDate[0].Sow && !median:
		if a == nil {
			add(day, "cool enough", soil+" all season")
		}
	case median:
		late, _ := w.Opens.At(0.8)
		add(day, "cool enough", fmt.Sprintf("%s by then in 5 of 10 years, by %s in 8 of 10", soil, u.Date(late)))
	case a != nil && a.Bound == forecast.AimLength:
		add(day, "cool enough", soil+" by then in 8 of 10 years; early for most lawns")
	default:
		add(day, "cool enough", soil+" by then in 8 of 10 years")
	}
	if a == nil {
		return list
	}
	if a.Bound == forecast.AimLength {
		meaning := "a month before the last safe date; sooner gives heat and weeds more time"
		if day == w.ByDate[0].Sow {
			meaning = "cool enough all season; sooner gives heat and weeds more time"
		}
		add(a.From, "start", meaning)
	}
	if a.BestUntil > a.From && a.BestUntil < a.Until && w.ColdEnds() {
		add(a.BestUntil, "best until", "the first half leaves time for a wet week or late seed")
	}
	return list
}

// safeDates are the last sow dates that are safe in so many years.
func safeDates(u words.System, w *forecast.Window) []keyDate {
	var list []keyDate
	solstice := w.ByDate[len(w.ByDate)-1].Sow
	if x, ok := w.Has(forecast.WarnAfterWinter); ok {
		solstice = x.Limit
	}
	if !w.ColdEnds() {
		return []keyDate{{0, false, "last safe date", "none: cold doesn't end sowing here"}}
	}
	levels := slices.Clone(report.SafeLevels(w.Options.Confidence))
	for _, c := range levels {
		d, ok := w.LastSafe(c)
		switch k := (keyDate{d, ok, "safe in " + strings.TrimSuffix(report.Years10(c), " years"), ""}); {
		case ok && d > solstice:
			if c == w.Options.Confidence {
				k.known, k.meaning = false, "even after the winter solstice: cold sets no date"
				list = append(list, k)
			}
		case ok && c == w.Options.Confidence:
			k.meaning = "your last safe date"
			list = append(list, k)
		case ok:
			list = append(list, k)
		case c == w.Options.Confidence:
			k.meaning = "no sow date is"
			list = append(list, k)
		}
	}
	return list
}

// coldDate is when the cold ends the season.
func coldDate(u words.System, w *forecast.Window) keyDate {
	o := w.Options
	freeze := u.Temp(*o.FreezeC) + " night"
	dormant := "dormant " + o.Host.Name
	if o.Host.ID == "none" {
		dormant = fmt.Sprintf("soil down to %s at %s", u.Temp(o.Host.Dormancy.TempC), u.Depth(o.Host.Dormancy.Depth))
	}
	what := freeze + " or " + dormant
	switch o.Cutoff {
	case forecast.CutoffFreeze:
		what = freeze
	case forecast.CutoffDormancy:
		what = dormant
	}
	d, ok := w.Cutoff.At(0.5)
	if !ok {
		return keyDate{0, false, "cold ends it", what + "; in fewer than half of the years"}
	}
	early, okEarly := w.Cutoff.At(0.1)
	late, okLate := w.Cutoff.At(0.9)
	if okEarly && okLate {
		what += fmt.Sprintf("; %s to %s in 8 of 10 years", u.Date(early), u.Date(late))
	}
	return keyDate{d, true, "cold ends it", what}
}

// bars draw the chance of sow dates, every few days over the part of the season in
// which it falls.
func bars(u words.System, w *forecast.Window) *report.Bars {
	const rows = 16
	from, to := fallOf(w)
	step := max(1, (to-from+rows-2)/(rows-1))
	b := &report.Bars{
		Title: fmt.Sprintf("Chance to be %s in time, if sown on", words.ShortStage(w.Options.Stage)),
		Heads: "days to: up, mow, estab.",
		Width: 30,
		Legend: fmt.Sprintf(
			"▒ ends at the chance, █ and · at the ends of its %d %% interval (in brackets); before opening: chance that it is cool enough by then; days of a typical year",
			forecast.IntervalPercent,
		),
	}
	for i := from; i <= to && i < len(w.ByDate); i += step {
		d := w.ByDate[i]
		interval := fmt.Sprintf("(%.0f–%.0f)", 100*d.Low, 100*d.High)
		if d.BeforeOpening() {
			d.Chance, d.Low, d.High, interval = d.InWindow, d.InWindow, d.InWindow, "before opening"
		}
		b.Rows = append(b.Rows, report.Bar{Label: u.Date(d.Sow), Low: d.Low, Mid: d.Chance, High: d.High,
			Cells: []string{
				words.Percent(d.Chance),
				interval,
				report.DaysCell(d.Days[0]),
				report.DaysCell(d.Days[1]),
				report.DaysCell(d.Days[2]),
			}})
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
	t := report.Table{
		Caption: fmt.Sprintf("Past seasons, %s", w.Options.Species.Name),
		Head:    []string{"season", "opens", "last date in time", "cold ended it", "by"},
		Folded:  !few(w),
		Fixed:   true,
	}
	for i := range w.Seasons {
		s := &w.Seasons[i]
		t.Rows = append(
			t.Rows,
			[]string{fmt.Sprint(s.Year), u.Date(s.Opens), u.DateOr(s.Latest), u.DateOr(s.Cutoff), string(s.Cause)},
		)
	}
	return t
}

func (a *Answer) speciesTable(u words.System) report.Table {
	t := report.Table{Caption: fmt.Sprintf("When to sow each species, season of %d", a.Windows[0].Season),
		Head: []string{"species", "sow", "last safe, 90 %", "80 %", "50 %", "days to first mow"}}
	safe := func(w *forecast.Window, percent float64) string { return u.DateOr(words.DayOrNil(w.LastSafe(percent))) }
	for _, w := range a.all {
		aim, mow := "–", "–"
		if w.Aim != nil {
			aim = fmt.Sprintf("%s to %s", u.Date(w.Aim.From), u.Date(w.Aim.Until))
			mow = report.SpreadWords(w.ByDate[w.Aim.BestUntil-w.ByDate[0].Sow].Days[1])
		}
		t.Rows = append(t.Rows, []string{w.Options.Species.Name, aim, safe(w, 90), safe(w, 80), safe(w, 50), mow})
	}
	return t
}
