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

const kind = "Species compared"

// Document puts the answer in words: the species at one station, or species by
// station.
func (a *Answer) Document(u words.System, on report.Medium) (*report.Document, error) {
	if len(a.Stations) > 1 {
		return a.matrix(u), nil
	}
	return a.Stations[0].document(u, on)
}

func (s *Station) document(u words.System, on report.Medium) (*report.Document, error) {
	d := report.New(s.In.Input, kind, s.headline(u), u)
	var err error
	if d.Notes, err = s.notes(u); err != nil {
		return nil, err
	}
	grave, other := report.OutlookWarnings(u, s.Ensemble, s.outlooks()...)
	d.Notes = append(grave, d.Notes...)
	d.Sections = []report.Section{
		{ID: "species", Heading: "Sown on " + u.LongDate(s.Sow), Lead: true, Notes: s.alike(),
			Figures: []report.Figure{{Chart: s.speciesChart(u)}},
			Tables:  []report.Table{s.table(u), s.stagesTable(u)}},
	}
	if on.Chooses() {
		if err := s.pageSections(u, d); err != nil {
			return nil, err
		}
	}
	cautions := append(other, report.Cautions()...)
	d.Sections = append(append(d.Sections, s.seed(u)), report.Basis(s.In.Input, s.facts(u), cautions, u)...)
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
	d.Choices = all.Choices(
		u,
		s.Sow,
		func(x *forecast.Outlook) string { return report.OutlookSentence(u, s.In.Input, x) },
	)
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

// verb is what the species are to do before the cutoff.
func (s *Station) verb() string { return words.Verbs[s.question().Stage] }

// headline says what to do.
func (s *Station) headline(u words.System) string {
	c, on := s.choice(), u.Date(s.Sow)
	if s.Sow.Year() != s.In.AsOf.Year() {
		on = u.LongDate(s.Sow)
	}
	if c.Action == forecast.CompareFew {
		n := s.Species[0].Outlook.Members
		return fmt.Sprintf("Don't decide by this record: it has %d usable %s, and %d are needed.", n,
			words.Plural(n, "autumn", "autumns"), forecast.MinSeasons)
	}
	if len(c.Pick) == 0 {
		return fmt.Sprintf(
			"Wait until %s to sow: on %s %s; by then sowing is open in half of the years.",
			u.Date(*c.Date),
			on,
			report.StillTooWarm(s.question()),
		)
	}
	pick := c.Pick
	best := pick[:1]
	switch c.Action {
	case forecast.CompareSeen:
		return fmt.Sprintf("In hindsight, sown on %s, %s", on, s.seen(c))
	case forecast.CompareSown:
		if len(c.Likely) == 0 {
			pick = best
		}
		return fmt.Sprintf("Sown on %s, %s: %s likely to %s before the cold.", on, names(pick, "or"), chances(pick),
			s.verb())
	case forecast.CompareEarlier:
		return fmt.Sprintf("Sow %s by %s (%g %% safe): on %s its chance to %s before the cold is down to %s.",
			names(best, "or"), u.Date(*c.Date), s.question().Confidence, on, s.verb(), chances(best))
	case forecast.CompareGamble:
		return fmt.Sprintf(
			"Sow on %s only as a gamble: %s, the most likely, has a chance of %s to %s before the cold.",
			on,
			names(best, "or"),
			chances(best),
			s.verb(),
		)
	case forecast.CompareStop:
		if len(c.Unlikely) == 0 {
			return fmt.Sprintf(
				"Don't sow on %s: it is too late for every species to %s before the cold.",
				on,
				s.verb(),
			)
		}
		return fmt.Sprintf("Don't sow on %s: even %s, the most likely, has only %s to %s before the cold.", on,
			names(best, "or"), chances(best), s.verb())
	}
	const many = 5 // more are not named one by one
	if len(pick) > many && len(pick) == len(s.Species) {
		return fmt.Sprintf("On %s sow any of the %d species: each is %s likely to %s before the cold.", on, len(pick),
			chances(pick), s.verb())
	}
	return fmt.Sprintf(
		"On %s sow %s: %s likely to %s before the cold.",
		on,
		names(pick, "or"),
		chances(pick),
		s.verb(),
	)
}

// seen says which species made it in a season whose outcome is in the record.
func (s *Station) seen(c *forecast.SpeciesChoice) string {
	stage := words.Participles[s.question().Stage]
	if len(c.Likely) == 0 {
		return fmt.Sprintf("no species is likely to have %s before the cold.", stage)
	}
	return fmt.Sprintf("%s most likely %s before the cold.", names(c.Likely, "and"), stage)
}

// notes are the species that the headline does not name, and what is left where it is
// too late.
func (s *Station) notes(u words.System) ([]string, error) {
	c := s.choice()
	if c.Action == forecast.CompareWait || c.Action == forecast.CompareFew {
		return nil, nil
	}
	var parts []string
	add := func(list []*forecast.ComparedSpecies, one, more string) {
		list = slices.DeleteFunc(slices.Clone(list), func(x *forecast.ComparedSpecies) bool {
			return slices.Contains(c.Pick, x)
		})
		if len(list) > 0 {
			text, reason, _ := strings.Cut(words.Plural(len(list), one, more), ",")
			text = fmt.Sprintf("%s %s (%s)", names(list, "and"), text, chances(list))
			if reason != "" {
				text += "," + reason
			}
			parts = append(parts, text)
		}
	}
	switch {
	case c.Action == forecast.CompareSeen:
		add(c.Doubtful, "may have made it", "may have made it")
		add(c.Unlikely, "most likely did not", "most likely did not")
		add(c.TooLate, "did not", "did not")
	case len(c.TooLate) < len(s.Species):
		also := " likely too"
		if c.Action == forecast.CompareSow && s.usual(c.Pick[0].Outlook.Options.Species.ID) {
			also += ", but no seeding rate is published for this use"
		}
		add(c.Likely, "is"+also, "are"+also)
		add(c.Doubtful, "is a gamble", "are a gamble")
		add(c.Unlikely, "is unlikely", "are unlikely")
		add(c.TooLate, "is too late", "are too late")
	}
	var notes []string
	if len(parts) > 0 {
		notes = append(notes, words.Capital(strings.Join(parts, "; "))+".")
	}
	if c.Action == forecast.CompareStop {
		if text := s.livesOn(); text != "" {
			notes = append(notes, text)
		}
		instead, err := s.instead(u)
		return append(notes, instead...), err
	}
	return notes, nil
}

// livesOn names the species most likely to live through winter where none is likely to
// establish before it: on a lawn such a stand goes on in spring.
func (s *Station) livesOn() string {
	x := &s.Species[0]
	w := x.Outlook.Winter
	if s.question().Host.ID != "none" || w.Risk == forecast.WinterHigh || !(w.Alive >= forecast.LikelyFrom) {
		return ""
	}
	return fmt.Sprintf("If you must sow, %s: about %.0f %% of it should live through winter (risk %s) and go on in spring.",
		x.Outlook.Options.Species.Name, 100*w.Alive, w.Risk)
}

// instead is what is left where it is too late to sow.
func (s *Station) instead(u words.System) ([]string, error) {
	dormant, spring, err := s.Instead()
	if err != nil {
		return nil, err
	}
	var ways []string
	if dormant != nil {
		ways = append(ways, fmt.Sprintf("dormant seeding from about %s (not of ryegrass)", u.Date(*dormant)))
	}
	if spring != nil {
		ways = append(ways, fmt.Sprintf("spring from about %s", u.Date(*spring)))
	}
	if ways == nil {
		return nil, nil
	}
	return []string{"Instead: " + strings.Join(ways, ", or ") + "."}, nil
}

// table is the species, the most likely first.
func (s *Station) table(u words.System) report.Table {
	o := s.question()
	t := report.Table{Caption: "The most likely to establish and come through winter first, sown on " + u.LongDate(s.Sow),
		Head: []string{"species", "in time", "winter risk", fmt.Sprintf("last safe, %g %%", o.Confidence), "first mow"}}
	for _, x := range s.Species {
		t.Rows = append(
			t.Rows,
			[]string{x.Outlook.Options.Species.Name, report.ChanceOf(x.Outlook), string(x.Outlook.Winter.Risk),
				u.DateOr(x.LastSafe), u.DateOr(x.Outlook.Stages[1].P50)},
		)
	}
	return t
}

// stagesTable has every stage of the species, for a page.
func (s *Station) stagesTable(u words.System) report.Table {
	t := report.Table{On: report.Page, Folded: true, Caption: "When each is up, mowed and established, most likely",
		Head: []string{"species", "half up", "first mow", "established", "verdict", "compact letter display"}}
	for _, x := range s.Species {
		o := x.Outlook
		t.Rows = append(t.Rows, []string{o.Options.Species.Name, u.DateOr(o.Stages[0].P50), u.DateOr(o.Stages[1].P50),
			u.DateOr(o.Stages[2].P50), string(o.Verdict), x.CompactLetters})
	}
	return t
}

// alike says between which species there is no clear difference.
func (s *Station) alike() []string {
	notes := []string{fmt.Sprintf("In time: the chance to %s before the cold, with its %d %% interval.", s.verb(),
		forecast.IntervalPercent)}
	var groups []string
	for _, g := range s.Alike() {
		groups = append(groups, names(g, "and"))
	}
	if groups == nil {
		return notes
	}
	return append(notes, "No clear difference between: "+strings.Join(groups, " · ")+".")
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
	section.Notes = append(
		section.Notes,
		"swardcast seed gives the source of each rate and allows for label, coating and loss.",
	)
	return section
}

// facts are what the comparison is based on.
func (s *Station) facts(u words.System) []report.Item {
	facts := append(report.StationFacts(s.In.Input, u), report.EnsembleFact(s.Ensemble, s.In, u))
	return append(
		append(facts, report.ModelFacts(s.In, s.question(), &s.Ensemble.Trend, u)...),
		report.Item{
			Label: "species",
			Text:  "swardcast species lists every figure with its evidence, swardcast seed the sources of the rates",
		},
	)
}

// matrix is the chance of each species at each of several stations.
func (a *Answer) matrix(u words.System) *report.Document {
	o := a.Stations[0].question()
	d := &report.Document{Kind: kind, Place: fmt.Sprintf("%d stations", len(a.Stations)), Headline: a.headline()}
	chances := report.Table{
		Caption: fmt.Sprintf("Chance to %s before the cold", words.Verbs[o.Stage]),
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
	d.Sections = []report.Section{{ID: "decisions", Heading: "Station by station", Lead: true}}
	order := a.Stations[0].Species
	var trends []report.Item
	for _, x := range order {
		name := x.Outlook.Options.Species.Name
		chances.Rows, safe.Rows = append(chances.Rows, []string{name}), append(safe.Rows, []string{name})
	}
	for _, s := range a.Stations {
		name := s.In.DisplayName()
		d.Sections[0].List = append(d.Sections[0].List, name+": "+words.Lower(s.headline(u)))
		addColumn(&chances, name, u.Date(s.Sow), func(i int) string {
			x := s.Of(order[i].Outlook.Options.Species.ID).Outlook
			return report.ChanceOf(x)
		})
		addColumn(&safe, name, fmt.Sprint(s.Season), func(i int) string {
			return u.DateOr(s.Of(order[i].Outlook.Options.Species.ID).LastSafe)
		})
		record := s.In.Checked
		trends = append(
			trends,
			report.Item{Label: "trend at " + name, Text: report.TrendFact(&s.Ensemble.Trend, o.Trend, u).Text},
		)
		stations.Rows = append(stations.Rows, []string{name, fmt.Sprintf("%g", *record.Place.Latitude),
			fmt.Sprint(len(s.Ensemble.Years)), u.LongDate(record.First) + " to " + u.LongDate(record.Last())})
	}
	d.Sections = append(d.Sections, []report.Section{
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
		{ID: "stations", Heading: "Based on", Tables: []report.Table{stations},
			Items: append(trends,
				report.Item{Label: "soil", Text: report.Accuracy},
				report.Item{Label: "thresholds", Text: report.Thresholds(o, u)})},
		{ID: "cautions", Heading: "Cautions", List: a.cautions(u)},
	}...)
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

// headline is what to do at every station, where one species is to be sown at all.
func (a *Answer) headline() string {
	first := a.Stations[0]
	everywhere := fmt.Sprintf("all %d stations", len(a.Stations))
	if len(a.Stations) == 2 {
		everywhere = "both stations"
	}
	var pick []*forecast.ComparedSpecies
	for i := range first.Species {
		x := &first.Species[i]
		if !slices.ContainsFunc(a.Stations, func(s *Station) bool { return !s.picks(x.Outlook.Options.Species.ID) }) {
			pick = append(pick, x)
		}
	}
	if len(pick) == 0 {
		return fmt.Sprintf("Choose by station: no species is likely at %s.", everywhere)
	}
	return fmt.Sprintf("Sow %s: likely to %s before the cold at %s.", names(pick, "or"), first.verb(), everywhere)
}

// picks reports whether a species is to be sown on the day.
func (s *Station) picks(species string) bool {
	c := s.choice()
	return c.Action == forecast.CompareSow && slices.ContainsFunc(c.Pick,
		func(x *forecast.ComparedSpecies) bool { return x.Outlook.Options.Species.ID == species })
}

// cautions are those of all stations, each warning with its station.
func (a *Answer) cautions(u words.System) []string {
	var list []string
	for _, s := range a.Stations {
		grave, other := report.OutlookWarnings(u, s.Ensemble, s.outlooks()...)
		for _, c := range append(grave, other...) {
			list = append(list, s.In.DisplayName()+": "+c)
		}
	}
	return append(list, report.Cautions()...)
}
