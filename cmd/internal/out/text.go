package out

import (
	"math"
	"slices"
	"strings"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// Text is the document for a terminal.
var Text = Form{"text", HasDocument, func(a *Answer, f *Flags) ([]byte, error) {
	d, err := a.Document(f.System())
	if err != nil {
		return nil, err
	}
	return words.HarmlessLines(textOf(d)), nil
}}

// textOf writes the headline, then every section that a terminal shows.
func textOf(d *report.Document) []byte {
	var b strings.Builder
	b.WriteString(words.Wrap("", strings.Join(append([]string{d.Headline}, d.Notes...), "\n")))
	for i := range d.Sections {
		if s := sectionText(&d.Sections[i]); s != "" {
			b.WriteString("\n" + s)
		}
	}
	return []byte(b.String())
}

// sectionText is "" for a section that has nothing for a terminal.
func sectionText(s *report.Section) string {
	if s.On == report.PageOnly {
		return ""
	}
	var b strings.Builder
	for _, p := range s.Intro {
		b.WriteString(words.Wrap("  ", p))
	}
	for i := range s.Tables {
		if t := &s.Tables[i]; t.On != report.PageOnly && !t.Folded {
			b.WriteString(tableText(t))
		}
	}
	for _, f := range s.Figures {
		if f.Bars != nil {
			if b.Len() > 0 {
				b.WriteString("\n")
			}
			b.WriteString(barsText(f.Bars))
		}
	}
	b.WriteString(itemsText(s.Items))
	for _, l := range s.List {
		b.WriteString(words.Wrap("  - ", l))
	}
	for _, p := range s.Notes {
		b.WriteString(words.Wrap("  ", p))
	}
	if b.Len() == 0 || s.Heading == "" || s.Lead {
		return b.String()
	}
	return words.Wrap("", s.Heading) + b.String()
}

// itemsText puts the labels in a column.
func itemsText(items []report.Item) string {
	const least = 10 // cells of the labels' column
	wide := least
	for _, x := range items {
		wide = max(wide, words.Width(x.Label))
	}
	var b strings.Builder
	for _, x := range items {
		b.WriteString(words.Wrap("  "+words.Pad(x.Label, wide)+" ", x.Text))
	}
	return b.String()
}

// tableText sets a table in columns two cells apart. Columns of numbers and dates
// stand flush right. The last column wraps; a table that is still too wide becomes
// a paragraph a row.
func tableText(t *report.Table) string {
	const indent, gap, leastLast = 2, 2, 24
	rows := t.Rows
	if !t.Plain {
		rows = slices.Concat([][]string{t.Head}, rows)
	}
	if len(t.Rows) == 0 {
		return ""
	}
	columns := len(rows[0])
	wide, right := make([]int, columns), make([]bool, columns)
	for c := range columns {
		right[c] = c < columns-1 || columns == 1
		for r, row := range rows {
			wide[c] = max(wide[c], words.Width(row[c]))
			if (r > 0 || t.Plain) && !figure(row[c]) {
				right[c] = false
			}
		}
	}
	before := indent // cells before the last column
	for c := range columns - 1 {
		before += wide[c] + gap
	}
	if before+min(wide[columns-1], leastLast) > words.Columns {
		return rowsText(t)
	}
	var b strings.Builder
	for _, row := range rows {
		line := strings.Repeat(" ", indent)
		for c := range columns - 1 {
			if right[c] {
				line += words.PadLeft(row[c], wide[c])
			} else {
				line += words.Pad(row[c], wide[c])
			}
			line += strings.Repeat(" ", gap)
		}
		b.WriteString(words.Wrap(line, row[columns-1]))
	}
	return b.String()
}

// figure reports whether a cell is a number, a date or a dash.
func figure(s string) bool {
	return s == "" || strings.ContainsRune("0123456789<>–-+", []rune(s)[0])
}

// rowsText writes each row as a paragraph that names the columns.
func rowsText(t *report.Table) string {
	var b strings.Builder
	for _, row := range t.Rows {
		var parts []string
		for c := 1; c < len(row); c++ {
			parts = append(parts, t.Head[c]+" "+row[c])
		}
		b.WriteString(words.Wrap("  ", row[0]+": "+strings.Join(parts, "; ")))
	}
	return b.String()
}

// barsText draws bars: █ to the low end of the interval, ▒ to the share, · to the
// high end; without an interval █ to the share and · to the whole.
func barsText(f *report.Bars) string {
	labels := 0
	cells := []int{}
	for _, r := range f.Rows {
		labels = max(labels, words.Width(r.Label))
		for i, c := range r.Cells {
			if i == len(cells) {
				cells = append(cells, 0)
			}
			cells[i] = max(cells[i], words.Width(c))
		}
	}
	var b strings.Builder
	switch {
	case f.Title == "":
	case f.Heads == "":
		b.WriteString(words.Wrap("", f.Title))
	default:
		b.WriteString(words.Pad(f.Title, words.Columns-words.Width(f.Heads)-1) + f.Heads + "\n")
	}
	for _, r := range f.Rows {
		label := words.Pad(r.Label, labels)
		if figure(r.Label) {
			label = words.PadLeft(r.Label, labels)
		}
		line := "  " + label + "  " + bar(r, f.Width)
		for i, c := range r.Cells {
			if figure(c) {
				c = words.PadLeft(c, cells[i])
			} else {
				c = words.Pad(c, cells[i])
			}
			line += " " + c
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	if f.Legend != "" {
		b.WriteString(words.Wrap("    ", f.Legend))
	}
	return b.String()
}

func bar(r report.Bar, width int) string {
	if math.IsNaN(r.Low) {
		return words.Bars(r.Mid, width)
	}
	cells := func(c float64) int { return int(math.Round(c * float64(width))) }
	low, mid, high := cells(r.Low), cells(r.Mid), cells(r.High)
	return strings.Repeat("█", low) + strings.Repeat("▒", mid-low) + strings.Repeat("·", high-mid) + strings.Repeat(" ", width-high)
}
