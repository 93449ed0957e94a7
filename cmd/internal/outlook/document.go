package outlook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardcast/climate"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// Document puts the answer in words. On a page the sowing that was asked about is
// chosen at first, and any other date and species can be.
func (a *Answer) Document(u words.System, on report.Medium) (*report.Document, error) {
	s, err := a.every(on)
	if err != nil {
		return nil, err
	}
	x := a.Outlook
	d := report.New(a.In.Input, "Outlook", a.headline(u), u)
	grave, other := report.OutlookWarnings(u, a.Ensemble, x)
	d.Notes = slices.Concat(grave, a.summary(u), report.SowingNotes(a.Ensemble, a.In, x, u))
	d.Sections = append(d.Sections, a.dates(u))
	if text := a.change(u); text != "" {
		d.Sections = append(d.Sections,
			report.Section{ID: "change", Heading: "What would change it", Intro: []string{text}})
	}
	d.Sections = append(d.Sections, a.stages(u), a.chance(u, s))
	if s != nil {
		d.Choices = s.Choices(u, x.Sow, func(o *forecast.Outlook) string {
			if o.Options.Species == x.Options.Species {
				return d.Headline
			}
			return report.OutlookSentence(u, a.In.Input, o)
		})
		d.Sections = append(d.Sections,
			report.Section{ID: "soil", Heading: "The soil so far", On: report.Page,
				Figures: []report.Figure{{Chart: s.Soil().Chart(u)}}},
			report.Section{ID: "days", Heading: "Days until it is up and until the first mow", On: report.Page,
				Figures: s.Each(func(list []*forecast.Outlook) *chart.Chart { return s.Days(u, list) },
					"Lines are medians of the possible outcomes; bands hold 8 in 10.")},
		)
	}
	d.Sections = append(d.Sections,
		report.Section{ID: "species", Heading: "Species compared",
			Intro:   []string{fmt.Sprintf("Each species sown on %s.", u.LongDate(a.On))},
			Figures: []report.Figure{{Chart: a.speciesChart(u), Bars: report.SpeciesBars(a.Species)}},
			Tables:  []report.Table{report.SpeciesTable(u, a.Species, a.On)}},
	)
	d.Sections = append(d.Sections, report.Basis(a.In.Input, a.facts(u), append(other, report.Cautions()...), u)...)
	return d, nil
}

// headline is the answer, with what to do instead where it is too late.
func (a *Answer) headline(u words.System) string {
	s := report.OutlookHeadline(u, a.In.Input, a.Outlook)
	if a.Instead != nil {
		if instead := report.InsteadWords(u, &a.Outlook.Options, *a.Instead); instead != "" {
			s += " " + instead
		}
	}
	return s
}

// summary are the dates that carry the headline.
func (a *Answer) summary(u words.System) []string {
	x := a.Outlook
	if x.Members < forecast.MinSeasons {
		return nil
	}
	var parts []string
	growing := x.Sow < a.In.AsOf && !x.Unseen && !x.Decided
	if growing && x.EmergedFraction < 0.99 {
		parts = append(parts, fmt.Sprintf("about %s of the seed should be up today", words.Percent(x.EmergedFraction)))
	}
	for i, name := range []string{"up", "first mow", "established"} {
		if day := x.Stages[i].P50; day != nil && (i > 0 || !growing) {
			parts = append(parts, fmt.Sprintf("%s about %s", name, u.Date(*day)))
		}
	}
	var text []string
	stages := strings.Join(parts, ", ")
	switch {
	case x.Sow >= a.In.AsOf && stages != "":
		text = append(text, words.Capital(stages)+".")
	case x.Sow < a.In.AsOf && stages != "":
		text = append(text, fmt.Sprintf("Sown %s: %s.", u.LongDate(x.Sow), stages))
	case x.Sow < a.In.AsOf:
		text = append(text, fmt.Sprintf("Sown %s.", u.LongDate(x.Sow)))
	}
	if !x.Decided {
		if low, high, ok := eightInTen(x.Cutoff); ok && low == high && high <= a.In.AsOf {
			text = append(text, fmt.Sprintf("The cold came %s.", u.Date(low)))
		} else if cold, ok := x.Cutoff.At(0.5); ok {
			text = append(text, fmt.Sprintf("The cold usually comes %s.", u.Date(cold)))
		}
		text = append(text, fmt.Sprintf("Range of the chance: %s.", words.Interval(x.Low, x.High)))
	}
	if r := a.RainOnly; r != nil {
		text = append(text, fmt.Sprintf("Rain only, no irrigation: %s.", words.Percent(r.Chance)))
	}
	if text2 := report.WinterText(u, x.Winter); text2 != "" && !x.Decided &&
		(x.Winter.Risk != forecast.WinterLow || x.Options.Host.ID == "none") {
		text = append(text, text2)
	}
	return []string{strings.Join(text, " ")}
}

// dates are the days that matter, and what other sow dates would give.
func (a *Answer) dates(u words.System) report.Section {
	x := a.Outlook
	t := report.Table{
		Caption: "Dates, 8 in 10 between",
		Head:    []string{"date", "what", "note"},
		Fixed:   true,
		Plain:   true,
	}
	if a.In.AsOf > x.Sow && !x.Unseen && !x.Decided {
		t.Rows = append(t.Rows, []string{u.Date(a.In.AsOf), "today", fmt.Sprintf("%s up (%s)",
			words.Percent(x.EmergedFraction), words.Interval(x.EmergedLow, x.EmergedHigh))})
	}
	for i, name := range []string{"up", "first mow", "established"} {
		if s := x.Stages[i]; s.P10 != nil && s.P50 != nil && s.P90 != nil {
			if i == 0 && *s.P90 < a.In.AsOf && len(t.Rows) > 0 {
				continue // the row of today has it
			}
			t.Rows = append(t.Rows, []string{report.DateSpan(u, *s.P10, *s.P90), name,
				fmt.Sprintf("most likely %s, %s after sowing", u.Date(*s.P50), words.Days(s.Days.P50))})
		} else if s.P10 != nil {
			t.Rows = append(t.Rows, []string{"from " + u.Date(*s.P10), name, "or not before the season ends"})
		}
	}
	if low, high, ok := eightInTen(x.Cutoff); ok {
		t.Rows = append(t.Rows, []string{report.DateSpan(u, low, high), "cold", a.coldNote()})
	}
	s := report.Section{ID: "dates", Heading: "Key dates", Lead: true, Tables: []report.Table{t},
		Figures: []report.Figure{{Chart: report.StagesChart(u, a.Outlook, a.In.AsOf), Fixed: true}}}
	if len(a.Later) > 0 && !x.Decided && x.Members >= forecast.MinSeasons {
		lead := "If you sow more"
		if x.Sow >= a.In.AsOf {
			lead = "Other sow dates"
		}
		var odds []string
		for _, l := range a.Later {
			day := u.Date(l.Sow)
			if l.Sow == a.In.AsOf {
				day = "today"
			}
			odds = append(odds, day+" "+words.Percent(l.Chance))
		}
		s.Notes = []string{lead + ": " + strings.Join(odds, " · ")}
	}
	return s
}

// change is what would change the chance, "" where nothing would.
func (a *Answer) change(u words.System) string {
	x := a.Outlook
	parts := []string{fmt.Sprintf("%s sown %s", words.Percent(x.Chance), u.Date(x.Sow))}
	for i := range a.Changes {
		c := &a.Changes[i]
		if text := words.Percent(c.Chance); text != words.Percent(x.Chance) {
			parts = append(parts, report.ChangeWords(u, c)+": "+text)
		}
	}
	if len(parts) == 1 {
		return ""
	}
	return strings.Join(parts, " · ")
}

// coldNote says what counts as the cold.
func (a *Answer) coldNote() string {
	o := &a.Outlook.Options
	dormant := "dormant " + o.Host.Name
	if o.Host.ID == "none" {
		dormant = "soil too cold to grow"
	}
	text := map[forecast.CutoffRule]string{forecast.CutoffFreeze: "killing freeze", forecast.CutoffDormancy: dormant,
		forecast.CutoffEarliest: "killing freeze or " + dormant}[o.Cutoff]
	if !a.Outlook.Decided {
		text += ", in 8 of 10 years"
	}
	return text
}

// stages are the stages in full, and the water until it is up.
func (a *Answer) stages(u words.System) report.Section {
	return report.Section{ID: "stages", Heading: "When it is up, mowed and established",
		Tables: []report.Table{a.stagesTable(u)}, Items: append(a.cutoff(u), a.Water.Items(u)...)}
}

func (a *Answer) stagesTable(u words.System) report.Table {
	x := a.Outlook
	t := report.Table{Caption: fmt.Sprintf("Stages of %s sown on %s", x.Options.Species.Name, u.LongDate(x.Sow)),
		Head: []string{"stage", "reached now", "date", "8 in 10 between", "days from sowing"}, Fixed: true}
	for i, s := range x.Stages {
		now := "–"
		if a.In.AsOf >= x.Sow && !x.Unseen {
			now = fmt.Sprintf("%s (%.0f–%.0f)", words.Percent(s.ReachedNow), 100*s.Low, 100*s.High)
		}
		between := stageRange(u, s)
		if math.IsNaN(s.Days.P50) {
			between = "too few seasons"
		}
		row := []string{report.StageLines[i].Key, now, u.DateOr(s.P50), between, report.SpreadWords(s.Days)}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// stageRange is the range of a stage's date, a dash where it is not known.
func stageRange(u words.System, s forecast.StageOutlook) string {
	switch {
	case s.P10 == nil:
		return "–"
	case s.P90 == nil:
		return u.Date(*s.P10) + " and the season's end"
	}
	return fmt.Sprintf("%s and %s", u.Date(*s.P10), u.Date(*s.P90))
}

// cutoff is when the season ends for the seedlings; nothing with too few seasons.
func (a *Answer) cutoff(u words.System) []report.Item {
	c := a.Outlook.Cutoff
	day, ok := c.At(0.5)
	if !ok {
		if a.Outlook.Members < forecast.MinSeasons {
			return nil
		}
		return []report.Item{{Label: "cold", Text: "none before the season ends in most possible outcomes"}}
	}
	text := "most likely " + u.LongDate(day)
	if low, high, ok := eightInTen(c); ok && high > low {
		text += fmt.Sprintf(" (8 in 10 between %s and %s)", u.Date(low), u.Date(high))
	} else if ok {
		text = u.LongDate(day) + ", observed"
	}
	return []report.Item{{Label: "cold", Text: text}}
}

func eightInTen(d forecast.Dates) (low, high climate.Day, ok bool) {
	low, okLow := d.At(0.1)
	high, okHigh := d.At(0.9)
	return low, high, okLow && okHigh
}

// chance is the chance of other sow dates, with charts and a table of all of them on a page.
func (a *Answer) chance(u words.System, s *report.Sowings) report.Section {
	figures := make([]report.Figure, 1)
	tables := []report.Table{report.LaterTable(u, "If sown", a.Later)}
	if s != nil {
		figures = s.Each(func(list []*forecast.Outlook) *chart.Chart {
			return s.Chance(u, list, s.Rules(u, list[a.Outlook.Sow-s.First]))
		}, report.OutlookCaption)
		tables = append(tables, s.Table(u))
	}
	if len(a.Later) > 0 {
		figures[0].Bars = report.LaterBars(u, "If sown", a.Later, a.when)
	}
	return report.Section{ID: "chance", Heading: "Chance by sow date", Figures: figures, Tables: tables}
}

// when names the day of a later sowing.
func (a *Answer) when(inDays int) string {
	switch {
	case a.From == a.In.AsOf && inDays == 0:
		return "today"
	case a.From == a.In.AsOf:
		return fmt.Sprintf("in %d days", inDays)
	case inDays == 0:
		return "as asked"
	}
	return fmt.Sprintf("%d days later", inDays)
}

// facts are what the outlook is based on.
func (a *Answer) facts(u words.System) []report.Item {
	o := &a.Outlook.Options
	facts := append(report.StationFacts(a.In.Input, u), report.EnsembleFact(a.Ensemble, a.In, u))
	facts = append(facts, report.ModelFacts(a.In, o, &a.Ensemble.Trend, u)...)
	return append(facts, report.Item{Label: "species", Text: report.Evidence(&o.Species)})
}
