package out

import (
	"strings"
	"testing"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// A terminal prints the headline and the notes on lines of their own, what leads, the
// rest, what it is based on, the cautions; the days of dates stand flush right.
func TestTextOrder(t *testing.T) {
	d := &report.Document{
		Headline: "Sow between Sep 26 and Oct 12.",
		Notes:    []string{"Sown by Oct 12 it established in 8 of 10 years."},
		Sections: []report.Section{
			{ID: "cautions", Heading: "Cautions", List: []string{"A forecast is not a guarantee."}},
			{ID: "basis", Heading: "Based on", Folded: true, Items: []report.Item{{Label: "seasons", Text: "30"}}},
			{ID: "change", Heading: "What would change it", Intro: []string{"freeze counted at 24 °F: Oct 19."}},
			{
				ID:      "dates",
				Heading: "The dates",
				Lead:    true,
				Tables: []report.Table{
					{
						Plain: true,
						Head:  []string{"", ""},
						Rows:  [][]string{{"Sep 26", "cool enough"}, {"Oct 4", "safe in 9 of 10"}},
					},
				},
			},
			{ID: "page", Heading: "A page's", On: report.Page, Notes: []string{"not here"}},
		},
	}
	const want = `Sow between Sep 26 and Oct 12.
Sown by Oct 12 it established in 8 of 10 years.

  Sep 26  cool enough
  Oct  4  safe in 9 of 10

What would change it: freeze counted at 24 °F: Oct 19.

Based on
  seasons    30

Cautions
  - A forecast is not a guarantee.
`
	if got := string(textOf(d)); got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
}

// Only the headline is bold, over as many lines as it takes.
func TestPaintedHeadline(t *testing.T) {
	const text = "Sow perennial ryegrass between\nSep 26 and Oct 12.\nSown by then it lasts.\n\n  █▒\n"
	got := string(painted([]byte(text)))
	if want := bold + "Sow perennial ryegrass between" + plain + "\n" + bold + "Sep 26 and Oct 12." + plain + "\nSown by then it lasts."; !strings.HasPrefix(
		got,
		want,
	) {
		t.Errorf("%q", got)
	}
	if bare := strings.NewReplacer(bold, "", plain, "", green, "", blue, "").Replace(got); bare != text {
		t.Errorf("colour changes the text to %q", bare)
	}
}

// Where a table has no room its rows become lines that are no wider than the screen.
func TestTextWidth(t *testing.T) {
	for _, cell := range []string{"芝生", strings.Repeat("x", 30), "Oct 4, 2026"} {
		row := []string{cell, cell, cell, cell, cell}
		got := tableText(&report.Table{Head: row, Rows: [][]string{row, row}})
		for _, line := range strings.Split(got, "\n") {
			if words.Width(line) > words.Columns {
				t.Errorf("%d cells: %q", words.Width(line), line)
			}
		}
	}
}
