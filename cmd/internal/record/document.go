package record

import (
	"fmt"
	"math"
	"strings"
	"time"

	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// headline is the verdict with its reason.
func (a *Answer) headline() string {
	in := a.In
	switch a.Verdict {
	case forecast.RecordGood:
		return fmt.Sprintf("Usable: %s at %s, %s.", strings.Replace(a.Reason, "usable ", "", 1), in.DisplayName(),
			report.Seasons(a.Window.Seasons))
	case forecast.RecordShort:
		return fmt.Sprintf("Usable with care: %s.", a.Reason)
	}
	return fmt.Sprintf("Not usable as it is: %s.", a.Reason)
}

// Document puts the answer in words.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	in := a.In
	d := report.New(in, "Station record", a.headline(), u)
	if a.Fix != "" {
		d.Notes = append(d.Notes, "Fix: "+a.Fix+".")
	}
	holds := "The record"
	if a.Verdict != forecast.RecordGood {
		holds += " of " + in.DisplayName()
	}
	holds += fmt.Sprintf(" runs from %s to %s, with %.1f %% of %d days missing", u.LongDate(in.Checked.First),
		u.LongDate(in.Checked.Last()), 100*float64(a.Missing)/float64(in.Checked.Len()), in.Checked.Len())
	if n := report.SuspectValues(in.Suspect); n > 0 {
		holds += fmt.Sprintf("; %d suspect %s left out", n, words.Plural(n, "value was", "values were"))
	}
	d.Notes = append(d.Notes, holds+".")
	d.Sections = []report.Section{
		{ID: "understood", Heading: "Understood as", Items: a.understood()},
		{ID: "first-days", Heading: "The first days as read", Tables: []report.Table{a.firstDays(u)},
			Notes: []string{"Hold them against the file."}},
		{
			ID:      "completeness",
			Heading: "Completeness by month",
			Intro:   []string{"# complete, + a few days missing, - too many missing, . no data"},
			Tables:  []report.Table{a.monthsTable()},
			Notes: []string{fmt.Sprintf("Too many: more than %d days in a row, or %d in the month (%s).",
				a.Rule.MaxRun, a.Rule.MaxTotal, ruleSource(a.Rule))},
		},
		a.suspectSection(),
	}
	if len(in.File.Cautions) > 0 {
		d.Sections = append(d.Sections, report.Section{ID: "cautions", Heading: "Cautions", List: in.File.Cautions})
	}
	if a.Window != nil {
		d.Sections = append(d.Sections, report.Section{ID: "seasons", Heading: "Autumns", Items: a.seasons()})
	}
	return d, nil
}

// understood is how the file was read.
func (a *Answer) understood() []report.Item {
	f := a.In.File
	read := fmt.Sprintf("%s, %d rows; dates %s", f.Layout, f.Rows, f.Dates)
	for _, x := range []struct {
		n      int
		format string
	}{
		{f.Repeated, "; %d rows repeat a day with the same values"},
		{f.Short, "; %d rows end before a temperature"},
		{f.Flagged, "; %d values left out that are flagged in the file"},
	} {
		if x.n > 0 {
			read += fmt.Sprintf(x.format, x.n)
		}
	}
	items := []report.Item{
		{Label: "layout", Text: read},
		{Label: "temperatures", Text: fmt.Sprintf("in %s (%s)", f.Unit.Name(), f.UnitReason)},
	}
	if f.PrecipUnit != "" {
		items = append(
			items,
			report.Item{Label: "rain", Text: fmt.Sprintf("in %s (%s)", f.PrecipUnit, f.PrecipReason)},
		)
	}
	for _, n := range a.Notes {
		items = append(items, report.Item{Label: "note", Text: n})
	}
	if n := len(f.Skipped); n > 0 {
		const most = 5
		var lines []string
		for _, s := range f.Skipped[:min(most, n)] {
			lines = append(lines, fmt.Sprintf("%d %q", s.Line, s.Text))
		}
		text := "rows without a date, by line: " + strings.Join(lines, ", ")
		if n > most {
			text += fmt.Sprintf(" and %d more", n-most)
		}
		items = append(items, report.Item{Label: "left out", Text: text})
	}
	for _, c := range f.Columns {
		items = append(
			items,
			report.Item{Label: fmt.Sprintf("column %d", c.Number), Text: fmt.Sprintf("%s: %s", c.Header, c.Meaning)},
		)
	}
	return items
}

// firstDays is how the first days of the file were read, before any check.
func (a *Answer) firstDays(u words.System) report.Table {
	t := report.Table{Caption: "The first days as read", Head: []string{"day", "highest", "lowest"}}
	rec := a.In.File.Record
	if rec.PrecipMM != nil {
		t.Head = append(t.Head, "rain")
	}
	for i := range min(firstDays, rec.Len()) {
		row := []string{u.LongDate(rec.Day(i)), temperature(u, rec.TMaxC[i]), temperature(u, rec.TMinC[i])}
		if rec.PrecipMM != nil {
			row = append(row, rain(u, rec.PrecipMM[i]))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// firstDays is how many days are shown as read.
const firstDays = 5

const missing = "missing"

func temperature(u words.System, c float64) string {
	if math.IsNaN(c) {
		return missing
	}
	return u.Temp(c)
}

func rain(u words.System, mm float64) string {
	if math.IsNaN(mm) {
		return missing
	}
	return u.Water(mm)
}

// suspectSection lists the suspect values, those that follow each other as one.
func (a *Answer) suspectSection() report.Section {
	s := report.Section{ID: "suspect", Heading: "Suspect values"}
	n := report.SuspectValues(a.In.Suspect)
	if n == 0 {
		s.Intro = []string{"Every value passed the checks."}
		s.Lead = true
		return s
	}
	s.Heading = fmt.Sprintf("%d suspect %s, left out", n, words.Plural(n, "value", "values"))
	const most = 20
	groups := grouped(a.In.Suspect)
	t := report.Table{Caption: "Suspect values", Head: []string{"test", "days", "reason"}, Plain: true}
	for _, g := range groups[:min(most, len(groups))] {
		when := g[0].First.String()
		if last := g[len(g)-1].Last; last != g[0].First {
			when += " to " + last.String()
		}
		reason := g[0].Reason
		if len(g) > 1 {
			reason += fmt.Sprintf(", and %d more like it", len(g)-1)
		}
		t.Rows = append(t.Rows, []string{g[0].Test, when, reason})
	}
	s.Tables = []report.Table{t}
	if len(groups) > most {
		s.Notes = []string{fmt.Sprintf("and %d more (--format json lists all)", len(groups)-most)}
	}
	return s
}

// seasons are those that can be used, and why others cannot.
func (a *Answer) seasons() []report.Item {
	var items []report.Item
	if n := len(a.Window.Seasons); n > 0 {
		items = append(
			items,
			report.Item{Label: "usable", Text: fmt.Sprintf("%d: %s", n, report.Seasons(a.Window.Seasons))},
		)
	}
	for _, d := range a.Window.Dropped {
		items = append(items, report.Item{Label: "left out", Text: fmt.Sprintf("%d: %s", d.Season, d.Reason)})
	}
	return items
}

// maxRows is the most rows that the table of months has; a longer record has several
// years in a row.
const maxRows = 36

// monthsTable marks how complete each calendar month is.
func (a *Answer) monthsTable() report.Table {
	first, last := a.Months[0].Year, a.Months[len(a.Months)-1].Year
	per := (last-first)/maxRows + 1 // years in a row
	type cell struct{ days, missing, lost, months int }
	rows := make([][13]cell, (last-first)/per+1)
	for _, m := range a.Months {
		c := &rows[(m.Year-first)/per][m.Month]
		c.days += m.Days
		c.missing += m.Missing
		c.months++
		if !m.Complete {
			c.lost++
		}
	}
	t := report.Table{Caption: "Completeness by month", Head: []string{"year"}}
	for m := time.January; m <= time.December; m++ {
		t.Head = append(t.Head, m.String()[:1])
	}
	for i, row := range rows {
		label := fmt.Sprint(first + i*per)
		if per > 1 {
			label += fmt.Sprintf("–%d", min(first+(i+1)*per-1, last))
		}
		line := []string{label}
		for _, c := range row[time.January:] {
			mark := "#"
			switch {
			case c.missing == c.days:
				mark = "."
			case 2*c.lost >= c.months:
				mark = "-"
			case c.missing > 0:
				mark = "+"
			}
			line = append(line, mark)
		}
		t.Rows = append(t.Rows, line)
	}
	return t
}

func ruleSource(c climate.Completeness) string {
	if c == climate.WMO() {
		return "WMO-No. 1203"
	}
	return "rule " + c.Name
}
