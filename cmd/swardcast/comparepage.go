package main

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/page"
	"swardcast/forecast"
)

func (c *comparison) outlooks() []*forecast.Outlook {
	var out []*forecast.Outlook
	for _, x := range c.entries {
		out = append(out, x.outlook)
	}
	return out
}

func (c *comparison) options() []forecast.Options {
	var out []forecast.Options
	for _, x := range c.entries {
		out = append(out, x.outlook.Options)
	}
	return out
}

func (c *comparison) speciesChart() *chart.Chart {
	return shareRanges(fmt.Sprintf("Chance of the species to be %s before the cutoff, sown on %s", shortStage(c.entries[0].outlook.Options.Stage), longDate(c.sow)),
		"chance; the bar is its interval", speciesShares(c.outlooks()))
}

// safeChart draws the last safe dates of the species.
func (c *comparison) safeChart() (*chart.Chart, error) {
	var windows []*forecast.Window
	var lists [][]chance
	for _, o := range c.options() {
		o.Season = c.season
		w, err := c.in.Window(o)
		if err != nil {
			return nil, seasonsError(c.in, err)
		}
		windows, lists = append(windows, w), append(lists, windowChances(w))
	}
	return safeRanges(windows, spanOf(lists), c.in.asOf), nil
}

func (c *comparison) chart(name string) (*chart.Chart, error) {
	switch name {
	case "species":
		return c.speciesChart(), nil
	case "safe":
		return c.safeChart()
	}
	s, err := newSowing(c.in, c.ensemble, c.options()[:1], c.sow)
	if err != nil {
		return nil, err
	}
	return s.chance(s.species[0], s.rules(c.entries[0].outlook)), nil
}

func (c *comparison) page(u unitSystem) (*page.Page, error) {
	s, err := newSowing(c.in, c.ensemble, c.options(), c.sow)
	if err != nil {
		return nil, err
	}
	safe, err := c.safeChart()
	if err != nil {
		return nil, err
	}
	p := newPage(c.in.input, "Species compared", c.sentence(), u)
	v := &outlookView{in: c.in}
	p.Ask = s.ask(c.sow, v.sentence)
	p.Sections = append(p.Sections,
		page.Section{ID: "species", Heading: fmt.Sprintf("Sown on %s", longDate(c.sow)), Figures: []page.Figure{{US: c.speciesChart()}}, Tables: []page.Table{c.pageTable()},
			Intro: duals([]string{"Species that share a letter are not told apart by the warmth they need: seed lots of one differ as much."})},
		page.Section{ID: "chance", Heading: "Chance by sow date", Figures: s.each(func(list []*forecast.Outlook) *chart.Chart { return s.chance(list, s.rules(list[c.sow-s.first])) }, outlookCaption),
			Tables: []page.Table{s.table()}},
		page.Section{ID: "safe", Heading: "Last safe dates", Figures: []page.Figure{{US: safe, Caption: page.Both("Over past seasons, whatever this one has been so far.")}}},
		c.ratesSection(),
	)
	p.Sections = append(p.Sections, basis(c.in.input, c.facts, c.cautions())...)
	return p, nil
}

func (c *comparison) pageTable() page.Table {
	o := &c.entries[0].outlook.Options
	t := page.Table{Caption: fmt.Sprintf("The surest first, sown on %s", longDate(c.sow)), Head: header("species", "not told apart", "chance", "interval", "half up", "first cut", "established", fmt.Sprintf("last safe, %g %%", o.Confidence), "verdict")}
	for _, e := range c.entries {
		x := e.outlook
		t.Rows = append(t.Rows, duals([]string{x.Options.Species.Name, e.compactLetters, percent(x.Chance), intervalWords(x.Low, x.High), dateOr(x.Stages[0].P50), dateOr(x.Stages[1].P50),
			dateOr(x.Stages[2].P50), dateOr(e.safe), string(x.Verdict)}))
	}
	return t
}

func (c *comparison) ratesSection() page.Section {
	t := page.Table{Caption: "Seed at the published rate of the use", Head: header("species", "rate", "seeds")}
	for _, e := range c.entries {
		if e.rate == nil {
			continue
		}
		seeds := e.rate.Usual * e.outlook.Options.Species.SeedsPerGram.Value
		t.Rows = append(t.Rows, []page.Dual{page.Both(e.outlook.Options.Species.Name), dual(func(u unitSystem) string { return u.rate(e.rate.Usual) }),
			dual(func(u unitSystem) string { return perArea(u, seeds) + " " + areaWord(u) })})
	}
	s := page.Section{ID: "seed", Heading: "Seed", Intro: duals([]string{"swardcast seed tells the sources, and weighs label, coating and loss."})}
	if t.Rows == nil {
		s.Intro = duals([]string{"No seeding rate is published for this use of these species."})
		return s
	}
	s.Tables = []page.Table{t}
	if n := len(c.entries) - len(t.Rows); n > 0 {
		s.Intro = append(s.Intro, page.Both(fmt.Sprintf("No rate is published for this use of the other %d.", n)))
	}
	return s
}

// matrixPage is the chance of each species at each of several stations.
func matrixPage(all []*comparison, u unitSystem) *page.Page {
	o := &all[0].entries[0].outlook.Options
	p := &page.Page{Kind: "Species compared", Place: fmt.Sprintf("%d stations", len(all)), Metric: u == metric, Version: version(),
		Answer: page.Both(matrixSentence(all))}
	for _, c := range all {
		p.Notes = append(p.Notes, page.Both(c.sentence()))
	}
	chances := page.Table{Caption: fmt.Sprintf("Chance to %s before the cutoff", stageVerbs[o.Stage]), Head: header("station", "sown on")}
	safe := page.Table{Caption: fmt.Sprintf("Last safe date at %g %%", o.Confidence), Head: header("station", "season")}
	stations := page.Table{Caption: "Stations", Head: header("station", "latitude", "record", "past seasons")}
	for _, x := range all[0].entries {
		name := page.Both(x.outlook.Options.Species.Name)
		chances.Head, safe.Head = append(chances.Head, name), append(safe.Head, name)
	}
	for _, c := range all {
		name := c.in.displayName()
		chanceRow, safeRow := duals([]string{name, longDate(c.sow)}), duals([]string{name, fmt.Sprint(c.season)})
		for _, x := range all[0].entries {
			e := c.of(x.outlook.Options.Species.ID)
			chanceRow = append(chanceRow, page.Both(fmt.Sprintf("%s (%.0f–%.0f)", percent(e.outlook.Chance), 100*e.outlook.Low, 100*e.outlook.High)))
			safeRow = append(safeRow, page.Both(dateOr(e.safe)))
		}
		chances.Rows, safe.Rows = append(chances.Rows, chanceRow), append(safe.Rows, safeRow)
		stations.Rows = append(stations.Rows, duals([]string{name, fmt.Sprintf("%g", *c.in.checked.Place.Latitude), recordSpan(c.in.checked.First, c.in.checked.Last()), fmt.Sprint(len(c.ensemble.Years))}))
	}
	p.Sections = []page.Section{
		{ID: "chance", Heading: "Chance by station", Tables: []page.Table{chances}},
		{ID: "safe", Heading: "Last safe dates by station", Tables: []page.Table{safe}},
		{ID: "stations", Heading: "What this rests on", Tables: []page.Table{stations}, Items: []page.Item{{Label: "thresholds", Text: dual(func(u unitSystem) string { return thresholdText(o, u) })}}},
		{ID: "accuracy", Heading: "How far off it can be", Intro: duals([]string{accuracy})},
		{ID: "cautions", Heading: "Cautions", List: duals(matrixCautions(all))},
	}
	return p
}

func recordSpan(first, last climate.Day) string {
	return fmt.Sprintf("%s to %s", longDate(first), longDate(last))
}
