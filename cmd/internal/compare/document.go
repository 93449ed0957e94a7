package compare

import (
	"fmt"
	"slices"
	"strings"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

const (
	kind    = "Species compared"
	letters = "Species that share a letter are not told apart by the warmth they need: " +
		"seed lots of one differ as much."
)

// Document puts the answer in words: the species at one station, or species by
// station.
func (a *Answer) Document(u words.System, on report.Medium) (*report.Document, error) {
	if len(a.Stations) > 1 {
		return a.matrix(u), nil
	}
	return a.Stations[0].document(u, on)
}

func (s *Station) document(u words.System, on report.Medium) (*report.Document, error) {
	d := report.New(s.In.Input, kind, s.sentence(u), u)
	d.Sections = []report.Section{
		{ID: "species", Heading: "Sown on " + u.LongDate(s.Sow), Lead: true, Notes: []string{letters},
			Figures: []report.Figure{{Chart: s.speciesChart(u), Bars: s.bars()}},
			Tables:  []report.Table{s.chancesTable(u)}},
		{ID: "dates", Heading: "When each is up, cut and established", Tables: []report.Table{s.datesTable(u)},
			Notes: []string{"Dates are those of the middle season; – for none."}},
	}
	if on != report.Terminal {
		if err := s.pageSections(u, d); err != nil {
			return nil, err
		}
	}
	d.Sections = append(append(d.Sections, s.seed(u)), report.Basis(s.In.Input, s.facts(u), s.cautions(), u)...)
	return d, nil
}

// pageSections adds what a terminal has no room for: other sow dates, and the last
// safe dates over past seasons.
func (s *Station) pageSections(u words.System, d *report.Document) error {
	all, err := s.allSowings()
	if err != nil {
		return err
	}
	safe, err := s.safeChart(u)
	if err != nil {
		return err
	}
	d.Choices = all.Choices(u, s.Sow, func(x *forecast.Outlook) string { return report.OutlookSentence(u, s.In.Input, x) })
	chances := all.Each(func(list []*forecast.Outlook) *chart.Chart {
		return all.Chance(u, list, all.Rules(u, list[s.Sow-all.First]))
	}, report.OutlookCaption)
	d.Sections = append(d.Sections,
		report.Section{ID: "chance", Heading: "Chance by sow date", On: report.Page, Figures: chances,
			Tables: []report.Table{all.Table(u)}},
		report.Section{ID: "safe", Heading: "Last safe dates", On: report.Page,
			Figures: []report.Figure{{Chart: safe, Caption: "Over past seasons, whatever this one has been so far."}}})
	return nil
}

// sentence is the answer for a station.
func (s *Station) sentence(u words.System) string {
	best := s.Species[0].Outlook
	where := fmt.Sprintf("Sown on %s at %s", u.LongDate(s.Sow), s.In.DisplayName())
	verb := words.Verbs[best.Options.Stage]
	var making []string
	for _, x := range s.Species {
		if x.Outlook.Verdict == forecast.Likely {
			making = append(making, x.Outlook.Options.Species.Name)
		}
	}
	switch {
	case best.Verdict == forecast.No:
		return fmt.Sprintf("%s, no species will %s before the cutoff.", where, verb)
	case len(making) == 0:
		return fmt.Sprintf("%s, no species is likely to %s before the cutoff; the surest is %s, with %s.", where,
			verb, best.Options.Species.Name, words.Percent(best.Chance))
	case len(making) == len(s.Species) && len(making) > 1:
		return fmt.Sprintf("%s, every species is likely to %s before the cutoff.", where, verb)
	}
	return fmt.Sprintf("%s, these are likely to %s before the cutoff: %s.", where, verb, strings.Join(making, ", "))
}

// bars draw the chances of the species, the surest first.
func (s *Station) bars() *report.Bars {
	b := &report.Bars{Title: fmt.Sprintf("Chance to be %s in time", words.ShortStage(s.question().Stage)), Width: 24,
		Legend: fmt.Sprintf(
			"█ to the low end of the chance's %d %% interval (in brackets), ▒ to the chance, · to the high end",
			forecast.IntervalPercent)}
	for _, x := range s.Species {
		o := x.Outlook
		b.Rows = append(b.Rows, report.Bar{Label: o.Options.Species.Name, Low: o.Low, Mid: o.Chance, High: o.High,
			Cells: []string{words.Percent(o.Chance), bracketed(o), x.CompactLetters, string(o.Verdict)}})
	}
	return b
}

func bracketed(o *forecast.Outlook) string {
	return fmt.Sprintf("(%.0f–%.0f)", 100*o.Low, 100*o.High)
}

// chancesTable has what the bars have on a terminal.
func (s *Station) chancesTable(u words.System) report.Table {
	t := report.Table{On: report.Page, Caption: "The surest first, sown on " + u.LongDate(s.Sow),
		Head: []string{"species", "not told apart", "chance", "interval", "verdict"}}
	for _, x := range s.Species {
		o := x.Outlook
		t.Rows = append(t.Rows, []string{o.Options.Species.Name, x.CompactLetters,
			words.Percent(o.Chance), words.Interval(o.Low, o.High), string(o.Verdict)})
	}
	return t
}

func (s *Station) datesTable(u words.System) report.Table {
	t := report.Table{Caption: "Sown on " + u.LongDate(s.Sow),
		Head: []string{"species", "half up", "first cut", "established",
			fmt.Sprintf("last safe, %g %%", s.question().Confidence)}}
	for _, x := range s.Species {
		o := x.Outlook
		t.Rows = append(t.Rows, []string{o.Options.Species.Name,
			u.DateOr(o.Stages[0].P50), u.DateOr(o.Stages[1].P50), u.DateOr(o.Stages[2].P50), u.DateOr(x.LastSafe)})
	}
	return t
}

// seed is the seed of each species at its published rate.
func (s *Station) seed(u words.System) report.Section {
	t := report.Table{Caption: "Seed at the published rate of the use", Head: []string{"species", "rate", "seeds"}}
	for i := range s.Species {
		x := &s.Species[i]
		if rate, seeds, ok := s.rate(x); ok {
			t.Rows = append(t.Rows, []string{x.Outlook.Options.Species.Name,
				u.Rate(rate.Usual), u.PerArea(seeds) + " " + u.UnitArea()})
		}
	}
	section := report.Section{ID: "seed", Heading: "Seed at the published rate"}
	if t.Rows == nil {
		section.Notes = []string{"No seeding rate is published for this use of these species."}
		return section
	}
	section.Tables = []report.Table{t}
	if n := len(s.Species) - len(t.Rows); n > 0 {
		section.Notes = append(section.Notes, fmt.Sprintf("No rate is published for this use of the other %d.", n))
	}
	section.Notes = append(section.Notes, "swardcast seed tells the sources, and weighs label, coating and loss.")
	return section
}

// facts are what the comparison is based on.
func (s *Station) facts(u words.System) []report.Item {
	facts := append(report.StationFacts(s.In.Input, u), report.EnsembleFact(s.Ensemble, s.In, u))
	return append(
		append(facts, report.ModelFacts(s.In, s.question(), &s.Ensemble.Trend, u)...),
		report.Item{
			Label: "species",
			Text:  "swardcast species lists every figure with its standing; swardcast seed the rates' sources",
		},
	)
}

func (s *Station) cautions() []string {
	return append(report.SeasonCautions(s.Species[0].Outlook.Members), report.Cautions()...)
}

// matrix is the chance of each species at each of several stations.
func (a *Answer) matrix(u words.System) *report.Document {
	o := a.Stations[0].question()
	d := &report.Document{Kind: kind, Place: fmt.Sprintf("%d stations", len(a.Stations)), Headline: a.sentence()}
	chances := report.Table{
		Caption: fmt.Sprintf("Chance to %s before the cutoff", words.Verbs[o.Stage]),
		Head:    []string{"species"},
		Rows:    [][]string{{"sown on"}},
		Matrix:  true,
	}
	safe := report.Table{
		Caption: fmt.Sprintf("Last safe date at %g %%", o.Confidence),
		Head:    []string{"species"},
		Rows:    [][]string{{"season"}},
		Matrix:  true,
	}
	stations := report.Table{Caption: "Stations", Head: []string{"station", "latitude", "past seasons", "record"}}
	order := a.Stations[0].Species
	var trends []report.Item
	for _, x := range order {
		name := x.Outlook.Options.Species.Name
		chances.Rows, safe.Rows = append(chances.Rows, []string{name}), append(safe.Rows, []string{name})
	}
	for _, s := range a.Stations {
		name := s.In.DisplayName()
		d.Notes = append(d.Notes, s.sentence(u))
		addColumn(&chances, name, u.Date(s.Sow), func(i int) string {
			x := s.Of(order[i].Outlook.Options.Species.ID).Outlook
			return words.Percent(x.Chance) + " " + bracketed(x)
		})
		addColumn(&safe, name, fmt.Sprint(s.Season), func(i int) string {
			return u.DateOr(s.Of(order[i].Outlook.Options.Species.ID).LastSafe)
		})
		record := s.In.Checked
		trends = append(trends, report.Item{Label: "trend at " + name, Text: report.TrendFact(&s.Ensemble.Trend, o.Trend, u).Text})
		stations.Rows = append(stations.Rows, []string{name, fmt.Sprintf("%g", *record.Place.Latitude),
			fmt.Sprint(len(s.Ensemble.Years)), u.LongDate(record.First) + " to " + u.LongDate(record.Last())})
	}
	d.Sections = []report.Section{
		{
			ID:      "chance",
			Heading: "Chance by station",
			Intro:   []string{chances.Caption + ", species by station."},
			Tables:  []report.Table{chances},
		},
		{
			ID:      "safe",
			Heading: "Last safe dates by station",
			Intro:   []string{safe.Caption + ", species by station."},
			Tables:  []report.Table{safe},
		},
		{ID: "stations", Heading: "What this rests on", Tables: []report.Table{stations},
			Items: append(trends,
				report.Item{Label: "soil", Text: report.Accuracy},
				report.Item{Label: "thresholds", Text: report.Thresholds(o, u)})},
		{ID: "cautions", Heading: "Cautions", List: a.cautions()},
	}
	return d
}

// addColumn adds a column: its first cell, then one a species.
func addColumn(t *report.Table, head, first string, cell func(species int) string) {
	t.Head = append(t.Head, head)
	t.Rows[0] = append(t.Rows[0], first)
	for i := range t.Rows[1:] {
		t.Rows[1+i] = append(t.Rows[1+i], cell(i))
	}
}

// sentence tells which species are likely to make it everywhere.
func (a *Answer) sentence() string {
	first := a.Stations[0]
	verb := words.Verbs[first.question().Stage]
	everywhere := fmt.Sprintf("all %d stations", len(a.Stations))
	if len(a.Stations) == 2 {
		everywhere = "both stations"
	}
	var making []string
	for _, x := range first.Species {
		sp := &x.Outlook.Options.Species
		if !slices.ContainsFunc(a.Stations,
			func(s *Station) bool { return s.Of(sp.ID).Outlook.Verdict != forecast.Likely }) {
			making = append(making, sp.Name)
		}
	}
	switch {
	case len(making) == 0:
		return fmt.Sprintf("No species is likely to %s before the cutoff at %s.", verb, everywhere)
	case len(making) == len(first.Species) && len(making) > 1:
		return fmt.Sprintf("Every species is likely to %s before the cutoff at %s.", verb, everywhere)
	}
	return fmt.Sprintf("Likely to %s before the cutoff at %s: %s.", verb, everywhere, strings.Join(making, ", "))
}

// cautions are those of all stations, each short record by its name.
func (a *Answer) cautions() []string {
	var list []string
	for _, s := range a.Stations {
		for _, c := range report.SeasonCautions(s.Species[0].Outlook.Members) {
			list = append(list, s.In.DisplayName()+": "+c)
		}
	}
	return append(list, report.Cautions()...)
}
