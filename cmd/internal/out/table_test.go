package out

import (
	"fmt"
	"strings"
	"testing"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

func tooWide(t *testing.T, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		if n := words.Width(strings.TrimSuffix(line, "\n")); n > words.Columns {
			t.Errorf("%d cells: %s", n, line)
		}
	}
}

// A head gives way before the table does.
func TestBrokenHeads(t *testing.T) {
	table := &report.Table{
		Head: []string{"species", strings.Repeat("word ", 8), strings.Repeat("more ", 8), "last"},
		Rows: [][]string{{"fescue", "12", "3", "x"}, {"rye", "4", "56", "y"}},
	}
	got := tableText(table)
	tooWide(t, got)
	want := "" + strings.Repeat("           word  more\n", 7) +
		"  species  word  more  last\n" +
		"  fescue     12     3  x\n" +
		"  rye         4    56  y\n"
	if got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// However many columns a matrix has, a terminal shows each cell once.
func TestMatrix(t *testing.T) {
	for _, columns := range []int{1, 4, 5, 12} {
		table := &report.Table{Matrix: true, Head: []string{"species"}, Rows: [][]string{{"fescue"}, {"rye"}}}
		for c := range columns {
			table.Head = append(table.Head, fmt.Sprintf("Station %d", c))
			for i := range table.Rows {
				table.Rows[i] = append(table.Rows[i], fmt.Sprintf("%d %% (%d–100)", 10+c, 10*i+c))
			}
		}
		got := tableText(table)
		tooWide(t, got)
		for i, row := range table.Rows {
			for _, cell := range row[1:] {
				if n := strings.Count(got, " "+cell); n != 1 {
					t.Errorf("%d columns: row %d: %q stands %d times:\n%s", columns, i, cell, n, got)
				}
			}
		}
		if n := strings.Count(got, "species"); strings.Count(got, "fescue") != n || strings.Count(got, "\n\n") != n-1 {
			t.Errorf("%d columns: the blocks are not apart or have no first column:\n%s", columns, got)
		}
	}
}

// A table that is no matrix becomes a paragraph a row where it is too wide.
func TestWideTable(t *testing.T) {
	table := &report.Table{Head: []string{"station"}, Rows: [][]string{{"A"}}}
	for c := range 8 {
		table.Head, table.Rows[0] = append(table.Head, fmt.Sprintf("column %d", c)), append(
			table.Rows[0],
			strings.Repeat("x", 12),
		)
	}
	got := tableText(table)
	tooWide(t, got)
	if !strings.HasPrefix(got, "  A: column 0 xxxx") {
		t.Error(got)
	}
}

// Bars give way to long names and cells.
func TestBarsFit(t *testing.T) {
	for _, label := range []int{5, 40, 60, 78} {
		b := &report.Bars{
			Width: 30,
			Rows: []report.Bar{
				{
					Label: "x" + strings.Repeat("y", label-1),
					Low:   0.2,
					Mid:   0.5,
					High:  0.9,
					Cells: []string{"50 %", "(20–90)", "abc", "unlikely"},
				},
			},
		}
		got := barsText(b)
		tooWide(t, got)
		if !strings.Contains(got, "(20–90)") {
			t.Error(got)
		}
	}
}
