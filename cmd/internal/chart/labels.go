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
// drawing. A label begins beside its rule, so that from the right to the left each
// needs only a lane above those that it would run into, and no rule runs through a
// label. What would leave the drawing on the right is moved to the left, in a lane of
// its own where it would stand in the way of others.
func (c *Chart) laid(left, width, right float64, size Size) (placed []label, lanes int) {
	const gap = 4
	placed = make([]label, len(c.Rules))
	type span struct{ from, to, rule float64 }
	var taken [][]span // by lane
	var order []int
	for i, r := range c.Rules {
		if !r.Horizontal && r.At >= c.X.Min && r.At <= c.X.Max && r.text(size) != "" {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return -cmp.Compare(c.Rules[a].At, c.Rules[b].At) })
	for _, i := range order {
		r := &c.Rules[i]
		sty := style(size.Text, r.Ink)
		if r.Heavy {
			sty.Font.Weight = stdfont.WeightBold
		}
		x := left + width*(r.At-c.X.Min)/(c.X.Max-c.X.Min)
		wide := float64(sty.Width(r.text(size)))
		from := x + gap
		if over := from + wide - right; over > 0 {
			from -= over
		}
		if from < x { // beside the rule on its left, or as far as there is room
			from = max(0, min(from, x-gap-wide))
		}
		mine := span{min(from, x), max(from+wide, x), x}
		free := func(k int) bool {
			for n, lane := range taken {
				for _, s := range lane {
					if n == k && mine.from < s.to+gap && s.from < mine.to+gap {
						return false
					}
					if n > k && mine.from < s.rule && s.rule < mine.to { // that rule runs up through this label
						return false
					}
					if n < k && s.from < x && x < s.to { // this rule runs up through that label
						return false
					}
				}
			}
			return true
		}
		k := 0
		for k < len(taken) && !free(k) {
			k++
		}
		if k == len(taken) {
			taken = append(taken, nil)
		}
		taken[k] = append(taken[k], mine)
		placed[i] = label{k, from - x}
	}
	return placed, len(taken)
}
