// Package report has what the answers of all commands are made of: the document
// that text and pages are written from, the charts, the parts of JSON that several
// share, the facts that an answer is based on, and the cautions. It knows no form.
package report

import (
	"slices"

	"swardcast/cmd/internal/chart"
)

// A Document is an answer in words, in one system of units. A terminal prints it
// and a page shows it; both say the same. It opens with the headline, then the notes,
// then the sections that lead, the other ones, those that are folded, the cautions.
type Document struct {
	Kind     string   // of answer, such as "Seeding window"
	Place    string   // of the station; "" for none
	When     string   // of which day; "" for none
	Headline string   // the decision in a sentence, with its date and odds
	Notes    []string // the facts that carry it, a sentence each
	Choices  *Choices // what can be chosen on a page; nil for nothing
	Sections []Section
}

// Ordered returns the indices of the sections that a medium shows, in their order: those that lead, the seed, the
// others, the folded ones, the cautions.
func (d *Document) Ordered(on Medium) []int {
	var out []int
	leads := slices.ContainsFunc(d.Sections, func(s Section) bool { return s.Lead })
	for rank := range 5 {
		for i := range d.Sections {
			s := &d.Sections[i]
			if s.rank(leads) == rank && on.shows(s.On) {
				out = append(out, i)
			}
		}
	}
	return out
}

// rank is where a section stands. The seed stands behind what leads, if anything does.
func (s *Section) rank(leads bool) int {
	switch {
	case s.Lead:
		return 0
	case s.ID == CautionsID:
		return 4
	case s.Folded:
		return 3
	case s.ID == SeedID && leads:
		return 1
	}
	return 2
}

// A Medium is where a document, or a part of it, is shown.
type Medium int

// The media. A terminal leaves out what only a page has room for, and what only a
// page shows need not be worked out for it. A live page shows what a page shows, but
// of what was asked alone: it asks anew where something else is chosen.
const (
	Everywhere Medium = iota
	Page
	Terminal
	Live
)

// Chooses reports whether a document for the medium has the numbers of everything that
// can be chosen on it.
func (m Medium) Chooses() bool { return m == Page }

// shows reports whether the medium shows what is for another.
func (m Medium) shows(on Medium) bool { return on == Everywhere || on == m || m == Live && on == Page }

// CautionsID is the ID of the section of cautions, which stands last. A page folds
// all but its first line.
const CautionsID = "cautions"

// SeedID is the ID of the section about the seed to buy or to spread. On paper it
// stands with the sections that lead.
const SeedID = "seed"

// A Section is a heading with what stands beneath. A terminal sets a section of one
// paragraph behind its heading.
type Section struct {
	ID, Heading string
	On          Medium
	Lead        bool // belongs to the headline: no heading, and its tables before its charts
	Folded      bool // sources and accuracy: a page shows it when asked for, a terminal near the end
	Intro       []string
	Figures     []Figure
	Tables      []Table
	Items       []Item
	List        []string
	Notes       []string // beneath the rest
}

// A Figure is a chart. One of a species is shown where the species is chosen.
type Figure struct {
	Chart   *chart.Chart
	Bars    *Bars // how a terminal draws it; nil: not at all
	Species string
	Caption string
	Fixed   bool // of what was first asked, whatever is chosen
}

// A Table has its row headers in the first column.
type Table struct {
	On      Medium
	Caption string
	Head    []string
	Rows    [][]string
	Folded  bool // shown when asked for: a terminal leaves it out
	Fixed   bool // of what was first asked, whatever is chosen
	Plain   bool // a terminal prints neither caption nor head
	Matrix  bool // the columns behind the first are alike: a terminal sets them in blocks where there are many
}

// An Item is a text with a label. One without continues the one above it.
type Item struct{ Label, Text string }

// Bars are a figure drawn with characters: a bar a row.
type Bars struct {
	Title  string
	Heads  string // of the cells behind the bars
	Rows   []Bar
	Width  int // of a full bar, in cells
	Legend string
}

// A Bar is a share, 0 to 1, with the ends of its interval.
type Bar struct {
	Label          string
	Low, Mid, High float64 // Low NaN: no interval
	Cells          []string
}

// Choices is what can be chosen on a page, with the numbers that answer it. Its
// fields are those that the page's script reads.
type Choices struct {
	First   string    `json:"first"`   // the day that the lists begin with
	From    string    `json:"from"`    // the first that can be chosen
	What    string    `json:"what"`    // is sown, before the species: "" or "a second pass of"
	Keep    bool      `json:"keep"`    // the first answer stays, before that of what is chosen
	Sow     string    `json:"sow"`     // chosen at first; "" for none
	Stage   string    `json:"stage"`   // what is to be reached, as a participle
	Species []Species `json:"species"` // the first is chosen at first
}

// Species has the numbers of a species, by sow date. Chances are whole percentages,
// as words.Percent writes them: 0 is under one, 100 over 99. Days are whole; Unknown
// where too few seasons are known, Never where the season ends before.
type Species struct {
	ID     string `json:"id"`
	Name   string `json:"name"`
	Answer string `json:"answer"` // where no date is chosen
	Fill   string `json:"fill"`   // day that the answer names, shown where none is asked for; "" for none
	Opens  string `json:"opens"`  // day before which sowing is too early; "" for none
	Cutoff string `json:"cutoff"` // day after which it is too late; "" for none
	Chance Runs   `json:"chance"`
	Low    Runs   `json:"low"`
	High   Runs   `json:"high"`
	Up     Runs   `json:"up"`
	Mow    Runs   `json:"mow"`
	Till   Runs   `json:"till"`
}
