package outlook

import (
	"fmt"
	"math"

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
	d := report.New(a.In.Input, "Outlook", report.OutlookSentence(u, a.In.Input, x), u)
	d.Notes = report.SowingNotes(a.Ensemble, a.In, x, u)
	d.Choices = s.Choices(u, x.Sow, func(o *forecast.Outlook) string { return report.OutlookSentence(u, a.In.Input, o) })
	d.Sections = append(d.Sections, a.stages(u), a.chance(u, s))
	d.Sections = append(d.Sections,
		report.Section{ID: "soil", Heading: "The soil so far", On: report.Page,
			Figures: []report.Figure{{Chart: s.Soil().Chart(u)}}},
		report.Section{ID: "days", Heading: "Days to come up and to the first cut", On: report.Page,
			Figures: s.Each(func(list []*forecast.Outlook) *chart.Chart { return s.Days(u, list) },
				"Lines are the middle of what may come; bands hold 8 in 10.")},
		report.Section{ID: "species", Heading: "Species compared",
			Intro:   []string{fmt.Sprintf("What could be sown on %s, whatever lies in the ground already.", u.LongDate(a.On))},
			Figures: []report.Figure{{Chart: a.speciesChart(u), Bars: report.SpeciesBars(a.Species)}},
			Tables:  []report.Table{report.SpeciesTable(u, a.Species, a.On)}},
	)
	d.Sections = append(d.Sections, report.Basis(a.In.Input, a.facts(u), a.cautions(), u)...)
	return d, nil
}

// stages are the dates of the sowing, of the cutoff, and the water until it is up.
func (a *Answer) stages(u words.System) report.Section {
	return report.Section{ID: "stages", Heading: "When it is up, cut and established", Lead: true,
		Figures: []report.Figure{{Chart: report.StagesChart(u, a.Outlook, a.In.AsOf), Fixed: true}},
		Tables:  []report.Table{a.stagesTable(u)}, Items: append(a.cutoff(u), a.Water.Items(u)...)}
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
		return u.Date(*s.P10) + " and never"
	}
	return fmt.Sprintf("%s and %s", u.Date(*s.P10), u.Date(*s.P90))
}

// cutoff says when the season ends for the seedlings; nothing with too few seasons.
func (a *Answer) cutoff(u words.System) []report.Item {
	c := a.Outlook.Cutoff
	day, ok := c.At(0.5)
	if !ok {
		if a.Outlook.Members < forecast.MinSeasons {
			return nil
		}
		return []report.Item{{Label: "cutoff", Text: "in most of what may come, none before the season is over"}}
	}
	text := fmt.Sprintf("%s in the middle of what may come", u.LongDate(day))
	if low, high, ok := eightInTen(c); ok && high > low {
		text += fmt.Sprintf(" (8 in 10 between %s and %s)", u.Date(low), u.Date(high))
	} else if ok {
		text = u.LongDate(day) + ": it has come"
	}
	return []report.Item{{Label: "cutoff", Text: text}}
}

func eightInTen(d forecast.Dates) (low, high climate.Day, ok bool) {
	low, okLow := d.At(0.1)
	high, okHigh := d.At(0.9)
	return low, high, okLow && okHigh
}

// chance is what another date would change.
func (a *Answer) chance(u words.System, s *report.Sowings) report.Section {
	figures := s.Each(func(list []*forecast.Outlook) *chart.Chart {
		return s.Chance(u, list, s.Rules(u, list[a.Outlook.Sow-s.First]))
	}, report.OutlookCaption)
	if len(a.Later) > 0 {
		figures[0].Bars = report.LaterBars(u, "If sown", a.Later, a.when)
	}
	return report.Section{ID: "chance", Heading: "Chance by sow date", Figures: figures,
		Tables: []report.Table{report.LaterTable(u, "If sown", a.Later), s.Table(u)}}
}

// when says when a later sowing is.
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

// facts are what the outlook rests on.
func (a *Answer) facts(u words.System) []report.Item {
	o := &a.Outlook.Options
	facts := append(report.StationFacts(a.In.Input, u), report.EnsembleFact(a.Ensemble, a.In, u))
	facts = append(facts, report.ModelFacts(a.In, o, &a.Ensemble.Trend, u)...)
	return append(facts, report.Item{Label: "species", Text: report.Evidence(&o.Species)})
}
