package chart

import (
	"cmp"
	"slices"
)

// A label is where the text of an upright rule stands above the plot: in which lane,
// 0 the lowest, and how far it begins right of the rule, in points.
type label struct {
	Lane  int
	Shift float64
}

// narrowUnder is the width in points under which labels are short.
const narrowUnder = 500

// lane is the height of a lane of labels.
func lane(size Size) float64 { return 1.25 * size.Text }

// labelRise is how far the foot of a label is above that of its lane, in sizes of text.
const labelRise = 0.35

// text is the label of a rule where it has room.
func (r *Rule) text(size Size) string {
	if size.Width < narrowUnder && r.Short != "" {
		return r.Short
	}
	return r.Label
}

// labels places the labels of the upright rules in as few lanes as they need, which
// it counts with those that the charts in its place need.
func (c *Chart) labels(a *axes, size Size) (placed []label, lanes int) {
	from, width := a.data.min.x, a.data.max.x-a.data.min.x
	placed, lanes = c.laid(from, width, a.whole.max.x, size)
	for _, other := range c.others {
		_, n := other.laid(from, width, a.whole.max.x, size)
		lanes = max(lanes, n)
	}
	return placed, lanes
}

// laid places labels over a plot that begins at a left end; right is the end of the
// drawing. A label begins right of its rule. From the right to the left each needs only
// a lane above those that it would run into, and no rule runs through a label. Labels
// that have no room there end left of their rule. They follow from the left to the
// right, for the same reason.
func (c *Chart) laid(left, width, right float64, size Size) (placed []label, lanes int) {
	const gap = 4
	type span struct {
		rule             int // its index
		from, to, x      float64
		beforeItsOwnRule bool
	}
	placed = make([]label, len(c.Rules))
	var order []span
	for i := range c.Rules {
		r := &c.Rules[i]
		if r.Horizontal || r.At < c.X.Min || r.At > c.X.Max || r.text(size) == "" {
			continue
		}
		x := left + width*(r.At-c.X.Min)/(c.X.Max-c.X.Min)
		wide := r.lettering(size).width(r.text(size))
		order = append(order, span{rule: i, from: x + gap, to: x + gap + wide, x: x})
	}
	// A label has no room right of its rule where it ends beyond the drawing, or where the
	// rule of one that has none would run through it.
	for more := true; more; {
		more = false
		for i := range order {
			s := &order[i]
			if !s.beforeItsOwnRule && (s.to > right || slices.ContainsFunc(order, func(t span) bool {
				return t.beforeItsOwnRule && s.from < t.x && t.x < s.to
			})) {
				wide := s.to - s.from
				s.beforeItsOwnRule, s.from, more = true, max(0, s.x-gap-wide), true
				s.to = s.from + wide
			}
		}
	}
	for _, s := range order {
		placed[s.rule].Shift = s.from - s.x
	}
	slices.SortStableFunc(order, func(a, b span) int {
		switch {
		case a.beforeItsOwnRule && b.beforeItsOwnRule:
			return cmp.Compare(a.x, b.x)
		case a.beforeItsOwnRule:
			return 1
		case b.beforeItsOwnRule:
			return -1
		}
		return cmp.Compare(b.x, a.x)
	})
	var taken [][]span // by lane
	free := func(s span, k int) bool {
		for n, lane := range taken {
			for _, t := range lane {
				switch {
				case n == k && s.from < t.to+gap && t.from < s.to+gap,
					n == k && min(s.from, s.x) < t.to && t.from < max(s.to, s.x),
					n > k && s.from < t.x && t.x < s.to, // that rule runs up through this label
					n < k && t.from < s.x && s.x < t.to: // this rule runs up through that one
					return false
				}
			}
		}
		return true
	}
	for _, s := range order {
		k := 0
		for k < len(taken) && !free(s, k) {
			k++
		}
		if k == len(taken) {
			taken = append(taken, nil)
		}
		taken[k] = append(taken[k], s)
		placed[s.rule].Lane = k
	}
	return placed, len(taken)
}
