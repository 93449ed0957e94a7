package out

import (
	"math"
	"regexp"
	"slices"
	"strings"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// Text is the document for a terminal.
var Text = Form{"text", HasDocument, func(a *Answer, f *Flags) ([]byte, error) {
	d, err := a.Document(f.System(), report.Terminal)
	if err != nil {
		return nil, err
	}
	return words.HarmlessLines(textOf(d)), nil
}}

// textOf writes the headline and the notes, a line each, then the sections that a
// terminal shows.
func textOf(d *report.Document) []byte {
	var b strings.Builder
	for _, sentence := range append([]string{d.Headline}, d.Notes...) {
		b.WriteString(words.Wrap("", sentence))
	}
	for _, i := range d.Ordered(report.Terminal) {
		if s := sectionText(&d.Sections[i]); s != "" {
			b.WriteString("\n" + s)
		}
	}
	return []byte(b.String())
}

// sectionText is "" for a section that has nothing for a terminal.
func sectionText(s *report.Section) string {
	if s.On == report.Page {
		return ""
	}
	if s.Heading != "" && !s.Lead && isParagraph(s) {
		return words.Wrap("", s.Heading+": "+s.Intro[0])
	}
	var b strings.Builder
	for _, p := range s.Intro {
		b.WriteString(words.Wrap("  ", p))
	}
	for i := range s.Tables {
		if t := &s.Tables[i]; t.On != report.Page && !t.Folded {
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

// isParagraph reports whether a section has one paragraph and no more.
func isParagraph(s *report.Section) bool {
	return len(s.Intro) == 1 && len(s.Tables)+len(s.Figures)+len(s.Items)+len(s.List)+len(s.Notes) == 0
}

// itemsText puts the labels in a column.
func itemsText(items []report.Item) string {
	const minWide = 10 // cells of the labels' column
	wide := minWide
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
// stand flush right. The last column wraps. Where there is no room the heads are
// broken, and then the columns of a matrix are set in blocks; any other table
// becomes a paragraph a row.
func tableText(t *report.Table) string {
	if len(t.Rows) == 0 {
		return ""
	}
	var heads [][]string
	if !t.Plain {
		heads = [][]string{t.Head}
	}
	if set, ok := setColumns(heads, t.Rows); ok {
		return set
	}
	if set, ok := setColumns(brokenHeads(t), t.Rows); ok {
		return set
	}
	if t.Matrix {
		return blocksText(t)
	}
	return rowsText(t)
}

// setColumns reports false where the columns are too wide.
func setColumns(heads, rows [][]string) (string, bool) {
	const indent, gap, minLast = 2, 2, 24
	rows = datesInColumns(rows)
	last := len(rows[0]) - 1
	wide, right := make([]int, last+1), make([]bool, last+1)
	before := indent // cells before the last column
	for c := range wide {
		right[c] = true
		for _, row := range heads {
			wide[c] = max(wide[c], words.Width(row[c]))
		}
		for _, row := range rows {
			wide[c] = max(wide[c], words.Width(row[c]))
			right[c] = right[c] && figure(row[c])
		}
		if c < last {
			before += wide[c] + gap
		}
	}
	if before+min(wide[last], minLast) > words.Columns {
		return "", false
	}
	right[last] = right[last] && before+wide[last] <= words.Columns
	var b strings.Builder
	for _, row := range slices.Concat(heads, rows) {
		line := strings.Repeat(" ", indent)
		cells := slices.Clone(row)
		for c := range cells {
			if right[c] {
				cells[c] = words.PadLeft(row[c], wide[c])
			} else if c < last {
				cells[c] = words.Pad(row[c], wide[c])
			}
			if c < last {
				line += cells[c] + strings.Repeat(" ", gap)
			}
		}
		if right[last] || cells[last] == "" {
			b.WriteString(strings.TrimRight(line+cells[last], " ") + "\n")
		} else {
			b.WriteString(words.Wrap(line, cells[last]))
		}
	}
	return b.String(), true
}

// brokenHeads are the heads over several lines, so that none makes its column wider
// than its longest word or the cells do.
func brokenHeads(t *report.Table) [][]string {
	if t.Plain {
		return nil
	}
	broken := make([][]string, len(t.Head))
	lines := 0
	for c, head := range t.Head {
		wide := 0
		for _, row := range t.Rows {
			wide = max(wide, words.Width(row[c]))
		}
		broken[c] = words.Lines(head, wide)
		lines = max(lines, len(broken[c]))
	}
	out := make([][]string, lines)
	for i := range out {
		for _, b := range broken {
			cell := ""
			if k := i - lines + len(b); k >= 0 {
				cell = b[k]
			}
			out[i] = append(out[i], cell)
		}
	}
	return out
}

// blocksText sets as many columns side by side as there is room for, each time
// behind the first column.
func blocksText(t *report.Table) string {
	var blocks []string
	for from := 1; from < len(t.Head); {
		block, to := "", from
		for n := from + 1; n <= len(t.Head); n++ {
			part := columnsOf(t, from, n)
			set, ok := setColumns(brokenHeads(part), part.Rows)
			if !ok {
				break
			}
			block, to = set, n
		}
		if to == from {
			return rowsText(t)
		}
		blocks, from = append(blocks, block), to
	}
	return strings.Join(blocks, "\n")
}

// columnsOf is a table's first column with those from one up to another.
func columnsOf(t *report.Table, from, to int) *report.Table {
	cut := func(row []string) []string { return slices.Concat(row[:1], row[from:to]) }
	part := &report.Table{Head: cut(t.Head)}
	for _, row := range t.Rows {
		part.Rows = append(part.Rows, cut(row))
	}
	return part
}

// figure reports whether a cell is a number, a date or a dash.
func figure(s string) bool {
	return s == "" || strings.ContainsRune("0123456789<>–-+", []rune(s)[0]) || date.MatchString(s)
}

// date is a day of the month behind its month, as US units have it.
var date = regexp.MustCompile(`^(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec) ([0-9]{1,2})(?:, [0-9]{4})?$`)

// inColumn sets the days of dates that stand beneath each other flush right: "Oct  4"
// above "Oct 12".
func inColumn(cells []string) []string {
	digits := 0
	for _, c := range cells {
		if m := date.FindStringSubmatch(c); m != nil {
			digits = max(digits, len(m[1]))
		}
	}
	out := slices.Clone(cells)
	for i, c := range cells {
		if m := date.FindStringSubmatch(c); m != nil && len(m[1]) < digits {
			const month = len("Jan")
			out[i] = c[:month] + " " + c[month:]
		}
	}
	return out
}

// datesInColumns does so for each column of a table.
func datesInColumns(rows [][]string) [][]string {
	out := make([][]string, len(rows))
	for i := range rows {
		out[i] = slices.Clone(rows[i])
	}
	for c := range rows[0] {
		column := make([]string, len(rows))
		for i := range rows {
			column[i] = rows[i][c]
		}
		for i, cell := range inColumn(column) {
			out[i][c] = cell
		}
	}
	return out
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
	names := make([]string, len(f.Rows))
	for i, r := range f.Rows {
		names[i] = r.Label
	}
	names = inColumn(names)
	for k, r := range f.Rows {
		labels = max(labels, words.Width(names[k]))
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
	width := words.Columns - 2 - labels - 2
	for _, n := range cells {
		width -= 1 + n
	}
	width = max(0, min(f.Width, width))
	for k, r := range f.Rows {
		label := words.Pad(names[k], labels)
		if figure(r.Label) {
			label = words.PadLeft(names[k], labels)
		}
		line := "  " + label + "  " + bar(r, width)
		for i, c := range r.Cells {
			if figure(c) {
				c = words.PadLeft(c, cells[i])
			} else {
				c = words.Pad(c, cells[i])
			}
			line += " " + c
		}
		line = strings.TrimRight(line, " ")
		if words.Width(line) > words.Columns {
			line = strings.TrimSuffix(words.Wrap("", line), "\n") // a name that leaves no room for bars
		}
		b.WriteString(line + "\n")
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
	return strings.Repeat(
		"█",
		low,
	) + strings.Repeat(
		"▒",
		mid-low,
	) + strings.Repeat(
		"·",
		high-mid,
	) + strings.Repeat(
		" ",
		width-high,
	)
}
