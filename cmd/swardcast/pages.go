package main

import (
	"fmt"
	"math"
	"slices"

	"swardcast/climate"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/page"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// dual is a text in both systems of units.
func dual(say func(unitSystem) string) page.Dual { return page.Dual{US: say(us), SI: say(metric)} }

// duals are texts without units.
func duals(list []string) []page.Dual {
	var out []page.Dual
	for _, s := range list {
		out = append(out, page.Both(s))
	}
	return out
}

// header is the row of a table's headers.
func header(names ...string) []page.Dual { return duals(names) }

// about tells of what an answer is, and of when; 0 for no season.
func (in *input) about(season int) string {
	s := in.displayName()
	if season != 0 {
		s += fmt.Sprintf(", season of %d", season)
	}
	return s + ", as of " + longDate(in.asOf)
}

// newPage begins a page about a station.
func newPage(in *input, kind, answer string, u unitSystem) *page.Page {
	return &page.Page{Kind: kind, Place: in.displayName(), When: "as of " + longDate(in.asOf), Answer: page.Both(answer), Metric: u == metric, Version: version()}
}

// basis is the end of every page: what the answer rests on, doubts about the
// record, how far off it can be, and the cautions.
func basis(in *input, facts func(unitSystem) []fact, cautions []string) []page.Section {
	items := slices.DeleteFunc(factItems(facts), func(i page.Item) bool { return i.Text.US == accuracy })
	doubts := page.Section{ID: "doubts", Heading: "Doubts about the record"}
	if len(in.suspect) == 0 {
		doubts.Intro = duals([]string{"Every value passed the checks (swardcast record lists them)."})
	} else {
		t := page.Table{Caption: "Values that are not believed", Head: header("from", "to", "series", "values", "reason"), Folded: len(in.suspect) > 6}
		for _, d := range in.suspect {
			t.Rows = append(t.Rows, duals([]string{longDate(d.First), longDate(d.Last), string(d.Series), fmt.Sprint(d.Values), d.Reason}))
		}
		doubts.Tables = []page.Table{t}
	}
	return []page.Section{
		{ID: "basis", Heading: "What this rests on", Items: items}, doubts,
		{ID: "accuracy", Heading: "How far off it can be", Intro: duals([]string{accuracy})},
		{ID: "cautions", Heading: "Cautions", List: duals(cautions)},
	}
}

// factItems are facts as a page has them.
func factItems(facts func(unitSystem) []fact) []page.Item {
	var items []page.Item
	si := facts(metric)
	for i, f := range facts(us) {
		items = append(items, page.Item{Label: f.label, Text: page.Dual{US: f.text, SI: si[i].text}})
	}
	return items
}

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

// askSpecies are the numbers of a species for a page's script.
func askSpecies(sp turf.Species, answer string, opens, cutoff forecast.Dates, list []chance, days func(i int) [3]float64) page.AskSpecies {
	a := page.AskSpecies{ID: sp.ID, Name: sp.Name, Answer: answer, Opens: middleOf(opens), Cutoff: middleOf(cutoff)}
	for i, c := range list {
		d := days(i)
		a.Chance, a.Low, a.High = append(a.Chance, roundTo(c.told, 4)), append(a.Low, roundTo(c.low, 4)), append(a.High, roundTo(c.top, 4))
		a.Up, a.Mow, a.Till = append(a.Up, wholeDays(d[0])), append(a.Mow, wholeDays(d[1])), append(a.Till, wholeDays(d[2]))
	}
	return a
}

// spreadWords are days with their spread, "6 (5–8)".
func spreadWords(q forecast.Spread) string {
	part := func(v float64) string {
		if math.IsInf(v, 1) {
			return "never"
		}
		return fmt.Sprintf("%.0f", v)
	}
	switch {
	case math.IsNaN(q.P50):
		return "–"
	case math.IsInf(q.P50, 1):
		return "not in the season"
	}
	return fmt.Sprintf("%s (%s–%s)", part(q.P50), part(q.P10), part(q.P90))
}

// middleOf is the middle of dates as a page's script reads it, "" for none.
func middleOf(d forecast.Dates) string {
	if day, ok := d.At(0.5); ok {
		return day.String()
	}
	return ""
}

func intervalWords(low, high float64) string { return fmt.Sprintf("%.0f–%.0f %%", 100*low, 100*high) }

// dateOr prints a date, or a dash where there is none.
func dateOr(d *climate.Day) string {
	if d == nil {
		return "–"
	}
	return shortDate(*d)
}

func safeOr(w *forecast.Window, percent float64) string {
	return dateOr(dayOrNull(w.LastSafe(percent)))
}

// byDateTable is the table behind the charts by sow date.
func byDateTable(species string, list []chance, at func(i int) [3]forecast.Spread) page.Table {
	t := page.Table{
		Caption: fmt.Sprintf("Every sow date, %s: chance with its %d %% interval, days to each stage (8 in 10 seasons between)", species, forecast.IntervalPercent),
		Head:    header("sown on", "chance", "interval", "half up", "first cut", "established"), Folded: true, Fixed: true,
	}
	for i, c := range list {
		d := at(i)
		t.Rows = append(t.Rows, duals([]string{longDate(c.day), percent(c.told), intervalWords(c.low, c.top), spreadWords(d[0]), spreadWords(d[1]), spreadWords(d[2])}))
	}
	return t
}

// soilFigure is the soil's chart in both units.
func (s *soilCurve) figure() page.Figure {
	return page.Figure{US: s.chart(us), SI: s.chart(metric)}
}

// seasonSoil is the soil from before a season, or today, to two thirds of it.
func seasonSoil(in *stationInput, season int, o *forecast.Options) *soilCurve {
	const before = 45
	s := &soilCurve{in: in, depth: o.Host.Open.Depth}
	first := in.Calendar.First(season)
	s.span = span{first, in.Calendar.Half(season) + 31}
	if in.asOf < first && in.asOf > first-183 {
		s.span.first = in.asOf - before
	}
	s.rules = []soilRule{{o.Host.Open.TempC, "opens below"}}
	if o.Host.Dormancy.Depth == s.depth {
		s.rules = append(s.rules, soilRule{o.Host.Dormancy.TempC, "dormancy"})
	}
	return s
}

// eachFigure are charts that are alike in both units, one a species.
func eachFigure(n int, one func(i int) (*chart.Chart, string), caption string) []page.Figure {
	var out []page.Figure
	for i := range n {
		c, species := one(i)
		out = append(out, page.Figure{US: c, Species: species, Caption: page.Both(caption)})
	}
	return out
}

// windowView are windows with those of every other species, for charts and pages.
type windowView struct {
	in      *stationInput
	windows []*forecast.Window // those asked for first
	span    span
}

func newWindowView(in *stationInput, windows []*forecast.Window) (*windowView, error) {
	v := &windowView{in: in}
	var options []forecast.Options
	for _, w := range windows {
		options = append(options, w.Options)
	}
	var lists [][]chance
	for i, o := range asked(options) {
		if i < len(windows) {
			v.windows = append(v.windows, windows[i])
		} else {
			w, err := in.Window(o)
			if err != nil {
				return nil, seasonsError(in, err)
			}
			v.windows = append(v.windows, w)
		}
		lists = append(lists, windowChances(v.windows[i]))
	}
	var also []climate.Day
	if opens, ok := windows[0].Opens.At(0.2); ok {
		also = append(also, opens)
	}
	if in.asOf > windows[0].ByDate[0].Sow {
		also = append(also, in.asOf)
	}
	v.span = spanOf(lists[:len(windows)], also...)
	return v, nil
}

// chart draws a chart by its name, of the first species.
func (v *windowView) chart(name string, u unitSystem) *chart.Chart {
	w := v.windows[0]
	switch name {
	case "chance":
		return chanceChart(windowChances(w), v.span, w.Options.Species.Name, &w.Options, windowRules(w, v.in.asOf))
	case "seasons":
		return seasonsChart(v.in.Calendar, w, v.span)
	case "days":
		return daysChart(w, v.span)
	case "species":
		return v.speciesChart()
	}
	return seasonSoil(v.in, w.Season, &w.Options).chart(u)
}

func (v *windowView) speciesChart() *chart.Chart {
	lists := make([][]chance, len(v.windows))
	for i, w := range v.windows {
		lists[i] = windowChances(w)
	}
	return safeRanges(v.windows, spanOf(lists), v.in.asOf)
}

func (v *windowView) page(u unitSystem) (*page.Page, error) {
	w := v.windows[0]
	p := newPage(v.in.input, "Seeding window", windowSentence(v.in, w), u)
	first := w.ByDate[0].Sow.String()
	p.Ask = &page.Ask{First: first, From: first, Stage: stageWords[w.Options.Stage]}
	for _, x := range v.windows {
		p.Ask.Species = append(p.Ask.Species, askSpecies(x.Options.Species, windowSentence(v.in, x), x.Opens, x.Cutoff, windowChances(x),
			func(i int) [3]float64 { d := x.ByDate[i].Days; return [3]float64{d[0].P50, d[1].P50, d[2].P50} }))
	}
	each := func(draw func(w *forecast.Window) *chart.Chart, caption string) []page.Figure {
		return eachFigure(len(v.windows), func(i int) (*chart.Chart, string) { return draw(v.windows[i]), v.windows[i].Options.Species.ID }, caption)
	}
	dates := page.Table{Caption: fmt.Sprintf("The dates that matter, %s, season of %d", w.Options.Species.Name, w.Season), Head: header("date", "what", "meaning"), Fixed: true}
	si := keyDates(w, metric)
	for i, k := range keyDates(w, us) {
		dates.Rows = append(dates.Rows, []page.Dual{page.Both(k.day()), page.Both(k.label), {US: k.meaning, SI: si[i].meaning}})
	}
	few := len(w.Seasons) < forecast.MinSeasons
	tables := []page.Table{dates, byDateTable(w.Options.Species.Name, windowChances(w), func(i int) [3]forecast.Spread { return w.ByDate[i].Days })}
	if few {
		tables = tables[1:] // no date can be told
	}
	p.Sections = append(p.Sections,
		page.Section{ID: "chance", Heading: "Chance by sow date",
			Figures: each(func(w *forecast.Window) *chart.Chart {
				return chanceChart(windowChances(w), v.span, w.Options.Species.Name, &w.Options, windowRules(w, v.in.asOf))
			}, fmt.Sprintf("Share of past seasons, smoothed by what is not known of soil and seed. The band is the chance's %d %% interval.", forecast.IntervalPercent)),
			Tables: tables},
		page.Section{ID: "soil", Heading: "The soil", Figures: []page.Figure{seasonSoil(v.in, w.Season, &w.Options).figure()}},
		page.Section{ID: "seasons", Heading: "The past seasons one by one",
			Figures: each(func(w *forecast.Window) *chart.Chart { return seasonsChart(v.in.Calendar, w, v.span) }, "Each season's dates are in the table."),
			Tables:  []page.Table{seasonsPageTable(w)}},
	)
	if !few {
		p.Sections = append(p.Sections,
			page.Section{ID: "days", Heading: "Days to come up and to the first cut",
				Figures: each(func(w *forecast.Window) *chart.Chart { return daysChart(w, v.span) }, "Lines are those of the middle season; bands hold 8 of 10 seasons, for seed that is kept moist.")},
			page.Section{ID: "species", Heading: "Species compared", Figures: []page.Figure{{US: v.speciesChart()}}, Tables: []page.Table{v.speciesTable()}},
		)
	}
	p.Sections = append(p.Sections, basis(v.in.input, func(u unitSystem) []fact { return windowFacts(v.in, v.windows[:1], u) }, windowCautions(v.windows[:1]))...)
	return p, nil
}

func seasonsPageTable(w *forecast.Window) page.Table {
	t := page.Table{Caption: fmt.Sprintf("Past seasons, %s", w.Options.Species.Name), Head: header("season", "opens", "last date in time", "cutoff", "by"), Folded: len(w.Seasons) >= forecast.MinSeasons, Fixed: true}
	for i := range w.Seasons {
		s := &w.Seasons[i]
		t.Rows = append(t.Rows, duals([]string{fmt.Sprint(s.Year), shortDate(s.Opens), dateOr(s.Latest), dateOr(s.Cutoff), string(s.Cause)}))
	}
	return t
}

func (v *windowView) speciesTable() page.Table {
	t := page.Table{Caption: fmt.Sprintf("Last safe dates and best day of each species, season of %d", v.windows[0].Season), Head: header("species", "last safe, 90 %", "80 %", "50 %", "best day", "days to the first cut then")}
	for _, w := range v.windows {
		best, cut := "–", "–"
		if w.Best != nil {
			best = fmt.Sprintf("%s (%s)", shortDate(w.Best.Sow), percent(w.Best.Chance))
			cut = spreadWords(w.ByDate[w.Best.Sow-w.ByDate[0].Sow].Days[1])
		}
		t.Rows = append(t.Rows, duals([]string{w.Options.Species.Name, safeOr(w, 90), safeOr(w, 80), safeOr(w, 50), best, cut}))
	}
	return t
}
