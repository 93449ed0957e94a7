package chart

import (
	"cmp"
	"slices"

	stdfont "golang.org/x/image/font"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
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
func lane(size Size) vg.Length { return vg.Length(1.25 * size.Text) }

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
func (c *Chart) labels(p *plot.Plot, dc draw.Canvas, size Size) (placed []label, lanes int) {
	area := p.DataCanvas(dc)
	width := float64(area.Max.X - area.Min.X)
	placed, lanes = c.laid(float64(area.Min.X), width, float64(dc.Max.X), size)
	for _, other := range c.others {
		_, n := other.laid(float64(area.Min.X), width, float64(dc.Max.X), size)
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
		sty := style(size.Text, r.Ink)
		if r.Heavy {
			sty.Font.Weight = stdfont.WeightBold
		}
		x := left + width*(r.At-c.X.Min)/(c.X.Max-c.X.Min)
		wide := float64(sty.Width(r.text(size)))
		s := span{rule: i, from: x + gap, x: x}
		if s.from+wide > right {
			s.beforeItsOwnRule, s.from = true, max(0, x-gap-wide)
		}
		s.to = s.from + wide
		placed[i].Shift = s.from - x
		order = append(order, s)
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
