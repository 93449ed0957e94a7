package report

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"swardcast/climate"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// Hemispheres lists the hemispheres of the places with an answer, true for the southern
// one. They are kept apart, since their dates have nothing in common.
func (m *Matrix) Hemispheres() (south []bool) {
	for _, s := range []bool{false, true} {
		if slices.ContainsFunc(m.Places, func(p MatrixPlace) bool { return p.Cells != nil && p.South == s }) {
			south = append(south, s)
		}
	}
	return south
}

// A MatrixSum is what a species comes to over the places of a hemisphere.
type MatrixSum struct {
	Species                           int
	South                             bool
	Places                            int // with an answer
	Dated, WithoutDate, WithoutCutoff int
	FewSeasons                        int
	Likely, Doubtful                  int   // of sowings on a day, so many are
	Early                             int   // of them, so many lie clearly before it is cool enough
	Earliest, Middle, Latest          int16 // last safe dates; NoDay for none
}

// Sum sums up a species over the places of a hemisphere.
func (m *Matrix) Sum(species int, south bool) MatrixSum {
	s := MatrixSum{Species: species, South: south, Earliest: NoDay, Middle: NoDay, Latest: NoDay}
	var dates []int16
	for i := range m.Places {
		p := &m.Places[i]
		if p.Cells == nil || p.South != south {
			continue
		}
		s.Places++
		c := &p.Cells[species]
		switch c.State {
		case Dated:
			dates = append(dates, c.Safe)
		case WithoutDate:
			s.WithoutDate++
		case WithoutCutoff:
			s.WithoutCutoff++
		case FewSeasons:
			s.FewSeasons++
		}
		switch {
		case c.Chance >= forecast.LikelyFrom:
			s.Likely++
		case c.Chance >= forecast.DoubtfulFrom:
			s.Doubtful++
		}
		if c.Sow != NoDay && c.Opens != NoDay && c.Sow+earlyDays < c.Opens && c.Chance >= forecast.DoubtfulFrom {
			s.Early++
		}
	}
	if s.Dated = len(dates); s.Dated > 0 {
		slices.Sort(dates)
		s.Earliest, s.Middle, s.Latest = dates[0], dates[(len(dates)-1)/2], dates[len(dates)-1]
	}
	return s
}

// MatrixDate writes a date of any season of a hemisphere.
func MatrixDate(u words.System, south bool, offset int16) string {
	if offset == NoDay {
		return u.DateOr(nil)
	}
	const season = 2025 // without a leap day
	return u.Date(climate.Calendar{South: south}.Day(season, int(offset)))
}

// MatrixSteps is the most steps that dates are coloured by: more are not told apart in grey.
const MatrixSteps = 5

// A MatrixStep is a class of last safe dates, from a day on.
type MatrixStep struct {
	From  int16
	Label string
}

// Steps are the classes of a species' last safe dates in a hemisphere, with −1 of those of
// the species to choose at each place: of whole days, all but the first and last equally
// long. One in fifty at either end does not set them, so that a place of its own kind does
// not press the others into one class. It is nil where there is no date.
func (m *Matrix) Steps(u words.System, species int, south bool) []MatrixStep {
	var dates []int16
	for i := range m.Places {
		p := &m.Places[i]
		if p.Cells == nil || p.South != south {
			continue
		}
		k := species
		if k < 0 {
			k = m.Best(p)
		}
		if k >= 0 && p.Cells[k].State == Dated {
			dates = append(dates, p.Cells[k].Safe)
		}
	}
	if dates == nil {
		return nil
	}
	slices.Sort(dates)
	first, last := dates[0], dates[len(dates)-1]
	low, high := dates[len(dates)/50], dates[len(dates)-1-len(dates)/50]
	step := int16(1)
	for _, step = range []int16{1, 2, 3, 4, 5, 7, 10, 14, 21, 28, 42, 56, 73} {
		if (high-low)/step < MatrixSteps {
			break
		}
	}
	date := func(d int16) string { return MatrixDate(u, south, d) }
	var list []MatrixStep
	for from := low; from <= high; from += step {
		list = append(list, MatrixStep{From: from})
	}
	list[0].From = first
	for i := range list {
		from, to := list[i].From, last
		if i+1 < len(list) {
			to = list[i+1].From - 1
		}
		if list[i].Label = date(from); from != to {
			list[i].Label += " to " + date(to)
		}
	}
	return list
}

// Headline is what to do, of one species or, with −1, of the species to choose from: a
// sentence for each hemisphere.
func (m *Matrix) Headline(u words.System, species int) string {
	var parts []string
	both := m.Hemispheres()
	if both == nil {
		return "No place has an answer: the table says why."
	}
	for _, south := range both {
		text := m.hemisphereHeadline(u, species, south)
		if len(both) > 1 {
			side := map[bool]string{false: "Northern", true: "Southern"}[south]
			text = side + " hemisphere: " + words.Lower(text)
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, " ")
}

func (m *Matrix) hemisphereHeadline(u words.System, species int, south bool) string {
	several := species < 0 && len(m.Species) > 1
	if species < 0 {
		species = m.mostOftenBest(south)
	}
	s := m.Sum(species, south)
	name := m.Species[species].Name
	if several && m.Sow != SowLastSafe {
		name = m.asGood(s)
	}
	date := func(d int16) string { return MatrixDate(u, south, d) }
	at := places(s.Places, s.Places)
	if m.Sow != SowLastSafe {
		on := "On the day given for each place"
		if m.SowDay != "" {
			on = "On " + m.SowDay
		}
		var text string
		switch {
		case s.Likely > 0:
			text = fmt.Sprintf("%s sow %s: likely to make it before the cold at %s", on, name,
				places(s.Likely, s.Places))
			if s.Doubtful > 0 {
				text += fmt.Sprintf(", a gamble at %d", s.Doubtful)
			}
			text += "."
		case s.Doubtful > 0:
			text = fmt.Sprintf("%s %s is a gamble at %s, and unlikely elsewhere.", on, name,
				places(s.Doubtful, s.Places))
		default:
			if several {
				name = "every species"
			}
			text = fmt.Sprintf("%s it is too late for %s to make it before the cold at %s.", on, name, at)
		}
		if s.Early > 0 {
			text += fmt.Sprintf(" At %d it's too warm by then: wait until it's cool enough.", s.Early)
		}
		if several && s.Likely+s.Doubtful > 0 {
			text += m.tooLate(south, species)
		}
		return text
	}
	var text string
	level := fmt.Sprintf("%g %% safe", m.Level)
	switch {
	case s.Dated == 0 && s.WithoutCutoff == s.Places:
		return fmt.Sprintf("Sow %s whenever it has cooled: cold does not end sowing at %s.", name, at)
	case s.Dated == 0:
		return fmt.Sprintf("Don't plan on %s: no sow date is %s at %s.", name, level, at)
	case s.Earliest == s.Latest:
		text = fmt.Sprintf("Sow %s by %s (%s).", name, date(s.Earliest), level)
	case s.Dated < 4:
		text = fmt.Sprintf("Sow %s by %s where cold comes first and %s where it comes last (%s).", name, date(s.Earliest),
			date(s.Latest), level)
	default:
		text = fmt.Sprintf("Sow %s by %s at half of the places, by %s where cold comes first and %s where it comes last (%s).",
			name, date(s.Middle), date(s.Earliest), date(s.Latest), level)
	}
	if several {
		text += fmt.Sprintf(" It has the most time at %s.", places(m.bestAt(species, south), s.Places))
	}
	if s.WithoutDate > 0 {
		text += fmt.Sprintf(" %d have no safe date.", s.WithoutDate)
	}
	if s.WithoutCutoff > 0 {
		text += fmt.Sprintf(" At %d cold doesn't end sowing.", s.WithoutCutoff)
	}
	return text
}

// asGood names the species that are likely at as many places as one, but for one in twenty.
func (m *Matrix) asGood(best MatrixSum) string {
	const most = 4 // more are not named one by one
	names := []string{m.Species[best.Species].Name}
	for i := range m.Species {
		if i != best.Species && best.Likely > 0 && 20*m.Sum(i, best.South).Likely >= 19*best.Likely {
			names = append(names, m.Species[i].Name)
		}
	}
	switch n := len(names); {
	case n == 1:
		return names[0]
	case n > most:
		return fmt.Sprintf("%s or one of %d others", names[0], n-1)
	default:
		return strings.Join(names[:n-1], ", ") + " or " + names[n-1]
	}
}

// places counts some of all places.
func places(n, all int) string {
	switch {
	case all == 1:
		return "the one place"
	case n == all && all == 2:
		return "both places"
	case n == all:
		return fmt.Sprintf("all %d places", all)
	}
	return fmt.Sprintf("%d of %d places", n, all)
}

// tooLate names a species that is too late or unlikely at most places.
func (m *Matrix) tooLate(south bool, but int) string {
	worst, most := -1, 0
	for i := range m.Species {
		s := m.Sum(i, south)
		if late := s.Places - s.Likely - s.Doubtful; i != but && late > most {
			worst, most = i, late
		}
	}
	if worst < 0 {
		return ""
	}
	return fmt.Sprintf(" Not worth sowing: %s at %s.", m.Species[worst].Name, places(most, m.Sum(worst, south).Places))
}

// bestAt counts the places where a species is the one to choose.
func (m *Matrix) bestAt(species int, south bool) int {
	n := 0
	for i := range m.Places {
		if p := &m.Places[i]; p.Cells != nil && p.South == south && m.Best(p) == species {
			n++
		}
	}
	return n
}

// mostOftenBest is the species to choose at most places of a hemisphere, the first where
// there is none to choose.
func (m *Matrix) mostOftenBest(south bool) int {
	if list := m.Choices(south); len(list) > 0 {
		return list[0]
	}
	return 0
}

// Choices are the species to choose at some place of a hemisphere, the one at most places
// first.
func (m *Matrix) Choices(south bool) []int {
	n := map[int]int{}
	for i := range m.Places {
		if p := &m.Places[i]; p.Cells != nil && p.South == south {
			if best := m.Best(p); best >= 0 {
				n[best]++
			}
		}
	}
	return slices.SortedFunc(maps.Keys(n), func(a, b int) int {
		return cmp.Or(cmp.Compare(n[b], n[a]), cmp.Compare(a, b))
	})
}

// Likely reports whether a sowing is likely to make it.
func (m *Matrix) Likely(c *Cell) bool { return m.Sow != SowLastSafe && c.Chance >= forecast.LikelyFrom }

// Making counts the species that still make it at a place.
func (m *Matrix) Making(p *MatrixPlace) int {
	n := 0
	for i := range p.Cells {
		if m.MakesIt(&p.Cells[i]) {
			n++
		}
	}
	return n
}
