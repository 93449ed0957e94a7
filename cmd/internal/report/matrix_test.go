package report

import (
	"strings"
	"testing"

	"swardcast/cmd/internal/words"
)

// matrixOf is a matrix of one species with last safe dates; a negative one is a state.
func matrixOf(safe ...int16) *Matrix {
	m := &Matrix{Level: 80, Species: []MatrixSpecies{{ID: "a", Name: "tall fescue", Need: 500}}}
	for _, d := range safe {
		c := Cell{Safe: d, Winter: "low"}
		if d < 0 {
			c.Safe, c.State = NoDay, State(-d)
		}
		m.Places = append(m.Places, MatrixPlace{Season: 2026, Cells: []Cell{c}})
	}
	return m
}

// Places without a cutoff and without a date are left out of the scale, and one place of
// its own kind does not press the others into one class.
func TestSteps(t *testing.T) {
	safe := []int16{-int16(WithoutDate), -int16(WithoutCutoff), -int16(FewSeasons), 300} // 300: 27 April
	for d := range int16(60) {
		safe = append(safe, 80+d/2)
	}
	m := matrixOf(safe...)
	steps := m.Steps(words.US, 0, false)
	if len(steps) != 5 || steps[0].Label != "Sep 19 to Sep 25" || steps[4].Label != "Oct 17 to Apr 27" {
		t.Errorf("%+v", steps)
	}
	s := m.Sum(0, false)
	if s.Places != 64 || s.Dated != 61 || s.WithoutDate != 1 || s.WithoutCutoff != 1 || s.FewSeasons != 1 ||
		s.Earliest != 80 || s.Latest != 300 {
		t.Errorf("%+v", s)
	}
	if got := m.Steps(words.US, 0, true); got != nil {
		t.Errorf("classes without a place: %+v", got)
	}
	if got := matrixOf(90, 90).Steps(words.US, 0, false); len(got) != 1 || got[0].Label != "Sep 29" {
		t.Errorf("one date: %+v", got)
	}
}

// Hemispheres have a sentence each.
func TestMatrixHeadline(t *testing.T) {
	m := matrixOf(80, 100, -int16(WithoutCutoff))
	want := "Sow tall fescue by Sep 19 where cold comes first and Oct 9 where it comes last (80 % safe). " +
		"At 1 cold doesn't end sowing."
	if got := m.Headline(words.US, 0); got != want {
		t.Errorf("%q", got)
	}
	m.Places = append(m.Places, MatrixPlace{Season: 2026, South: true, Cells: []Cell{{Safe: 80}}})
	if got := m.Headline(words.US, 0); !strings.HasPrefix(got, "Northern hemisphere: sow tall fescue") ||
		!strings.HasSuffix(got, "Southern hemisphere: sow tall fescue by Mar 22 (80 % safe).") {
		t.Errorf("%q", got)
	}
	m = matrixOf()
	m.Places = append(m.Places, MatrixPlace{Why: "gone"})
	if got := m.Headline(words.US, 0); got != "No place has an answer: the table says why." {
		t.Errorf("%q", got)
	}
}

// A sowing that is in time before the cold but too early for the heat is said to be so.
func TestMatrixTooWarm(t *testing.T) {
	m := matrixOf(80, 100)
	m.Sow, m.SowDay = SowOn, "Oct 1"
	for i, opens := range []int16{60, 95} {
		c := &m.Places[i].Cells[0]
		c.Opens, c.Sow, c.Chance = opens, 90, 0.9
	}
	want := "On Oct 1 sow tall fescue: likely to make it before the cold at both places. " +
		"At 1 it's too warm by then: wait until it's cool enough."
	if got := m.Headline(words.US, 0); got != want {
		t.Errorf("%q", got)
	}
}

// The species to choose is the one most likely to come through, of equal ones the quicker.
func TestBest(t *testing.T) {
	m := &Matrix{Sow: SowOn, Species: []MatrixSpecies{{Need: 500}, {Need: 400}, {Need: 300}}}
	for _, c := range []struct {
		chance, success [3]float32
		want            int
	}{
		{[3]float32{0.9, 0.95, 0.99}, [3]float32{0.9, 0.9, 0.5}, 1},
		{[3]float32{0.2, 0.3, 0.32}, [3]float32{0.2, 0.3, 0.3}, -1},
		{[3]float32{0.4, 0.3, 0.3}, [3]float32{0.4, 0.9, 0.9}, 0},
	} {
		var p MatrixPlace
		for i := range c.chance {
			p.Cells = append(p.Cells, Cell{Chance: c.chance[i], Success: c.success[i]})
		}
		if got := m.Best(&p); got != c.want {
			t.Errorf("%v: %d, want %d", c, got, c.want)
		}
	}
}
