package report

import (
	"fmt"
	"slices"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
)

// About says where and when an answer holds; 0 for no season.
func About(in *ask.Input, season int, u words.System) string {
	s := in.DisplayName()
	if season != 0 {
		s += fmt.Sprintf(", season of %d", season)
	}
	s += ", as of " + u.LongDate(in.AsOf)
	if a := attribution(in); a != "" {
		s += ". " + a
	}
	return s
}

// New begins a document about a station.
func New(in *ask.Input, kind, headline string, u words.System) *Document {
	return &Document{Kind: kind, Place: in.DisplayName(), When: "as of " + u.LongDate(in.AsOf), Headline: headline}
}

// Basis returns the end of every document: what the answer is based on, the suspect
// values of the record, and the cautions.
func Basis(in *ask.Input, facts []Item, cautions []string, u words.System) []Section {
	suspect := Section{ID: "suspect", Heading: "Suspect values", On: Page, Folded: true}
	if len(in.Suspect) == 0 {
		suspect.Intro = []string{"Every value passed the checks (swardcast record lists them)."}
	} else {
		t := Table{Caption: "Rejected values", Head: []string{"from", "to", "series", "values", "reason"}, Folded: len(in.Suspect) > 6}
		for _, d := range in.Suspect {
			t.Rows = append(t.Rows, []string{u.LongDate(d.First), u.LongDate(d.Last), string(d.Series),
				fmt.Sprint(d.Values), d.Reason})
		}
		suspect.Tables = []Table{t}
	}
	cautions = slices.Concat(in.File.Cautions, cautions)
	return []Section{
		{ID: "basis", Heading: "Based on", Items: facts, Folded: true}, suspect,
		{ID: "cautions", Heading: "Cautions", List: cautions},
	}
}
