package report

import (
	"fmt"
	"math"

	"swardcast/climate"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// The dashes of rules and lines, which differ without colour too.
var (
	Dashed  = []float64{5, 3}       // the opening; a normal
	Dotted  = []float64{1.5, 2.5}   // today; a temperature
	DashDot = []float64{8, 3, 2, 3} // the cutoff
	Short   = []float64{3, 2}       // the day sown
)

// TodayRule is the rule of the day that an answer is of.
func TodayRule(u words.System, day climate.Day) chart.Rule {
	return chart.Rule{
		Ink:    chart.Text,
		At:     float64(day),
		Dashes: Dotted,
		Label:  "today, " + u.Date(day),
		Short:  "today",
	}
}

// OpeningRule is the rule of the day by which it is cool enough to sow.
func OpeningRule(u words.System, day climate.Day) chart.Rule {
	return chart.Rule{Ink: chart.Opening, At: float64(day), Dashes: Dashed, Label: "cool enough " + u.Date(day), Short: "cool enough"}
}

// SafeRule is the rule of the last safe date at a confidence in percent. That of the
// answer is heavy and has its label in full, others are thin.
func SafeRule(u words.System, day climate.Day, percent float64, answer bool) chart.Rule {
	r := chart.Rule{Ink: chart.Safe, At: float64(day), Heavy: answer}
	r.Short = fmt.Sprintf("%g %%", percent)
	r.Label = r.Short + ", " + u.Date(day)
	if answer {
		r.Label = fmt.Sprintf("last safe %g %%: %s", percent, u.Date(day))
		r.Short = "last safe " + u.Date(day)
	}
	return r
}

// CutoffRule is the rule of the first of freeze and dormancy, the cold of an answer.
func CutoffRule(u words.System, day climate.Day) chart.Rule {
	return chart.Rule{Ink: chart.Cutoff, At: float64(day), Dashes: DashDot, Label: "cold " + u.Date(day)}
}

// SownRule is the rule of the day sown.
func SownRule(u words.System, day climate.Day) chart.Rule {
	return chart.Rule{Ink: chart.Chance, At: float64(day), Dashes: Short, Label: "sown " + u.Date(day)}
}

// TooFew is said in a chart of too few seasons.
var TooFew = fmt.Sprintf("too few seasons: %d are needed", forecast.MinSeasons)

// ChanceChart draws the chance of each sow date with its band.
func ChanceChart(
	u words.System,
	list []Chance,
	s Span,
	species string,
	o *forecast.Options,
	rules []chart.Rule,
) *chart.Chart {
	c := &chart.Chart{
		Title: fmt.Sprintf("Chance of %s to be %s before the cold, by sow date", species, words.ShortStage(o.Stage)),
		X:     s.Sown("sown on"), Y: chart.Percents(""), Rules: rules,
	}
	var x, mid, low, top []float64
	for _, d := range list {
		x, mid, low, top = append(x, float64(d.Day)), append(mid, d.Mid), append(low, d.Low), append(top, d.High)
	}
	c.Bands = []chart.Band{
		{
			Ink:  chart.ChanceTint,
			X:    x,
			Low:  low,
			High: top,
			Key:  fmt.Sprintf("its %d %% interval", forecast.IntervalPercent),
		},
	}
	c.Lines = []chart.Line{{Ink: chart.Chance, X: x, Y: mid, Width: 2, Key: "chance"}}
	if in := insideLine(list); in != nil {
		c.Lines = append(c.Lines, chart.Line{Ink: chart.Opening, X: x, Y: in, Width: 1.5, Dashes: Short,
			Key: "cool enough and in time"})
	}
	for _, r := range rules {
		if r.Heavy && !r.Horizontal { // the answer has a dot on the curve
			if at := int(r.At - x[0]); at >= 0 && at < len(mid) && list[at].Day == climate.Day(r.At) {
				c.Points = append(
					c.Points,
					chart.Points{Ink: r.Ink, Size: 5, X: []float64{r.At}, Y: []float64{mid[at]},
						Notes: []string{fmt.Sprintf("%s: %s", r.Label, words.Percent(mid[at]))}},
				)
			}
		}
	}
	c.Alt = chanceWords(u, list, s)
	return c
}

// insideLine are the chances to be neither too early nor too late; nil where they are not
// known or differ nowhere from the chance to be in time.
func insideLine(list []Chance) []float64 {
	differs := false
	out := make([]float64, len(list))
	for i, c := range list {
		if math.IsNaN(c.In) {
			return nil
		}
		out[i] = c.In
		differs = differs || c.Mid-c.In > 0.02
	}
	if !differs {
		return nil
	}
	return out
}

// chanceWords are a chart of chances in words.
func chanceWords(u words.System, list []Chance, s Span) string {
	text := "Chance by sow date: "
	step := max(1, int(s.Last-s.First)/6)
	for i := 0; i < len(list); i++ {
		if d := list[i].Day; d >= s.First && d <= s.Last && int(d-s.First)%step == 0 {
			text += fmt.Sprintf(
				"%s %s (%.0f–%.0f), ",
				u.Date(d),
				words.Percent(list[i].Mid),
				100*list[i].Low,
				100*list[i].High,
			)
		}
	}
	return text[:len(text)-2] + "."
}

// WindowRules are the dates that matter, as rules: opening, safe dates, today.
func WindowRules(u words.System, w *forecast.Window, asOf climate.Day) []chart.Rule {
	var rules []chart.Rule
	if d, _, ok := Opening(w); ok && d > w.ByDate[0].Sow {
		rules = append(rules, OpeningRule(u, d))
	}
	for _, c := range SafeLevels(w.Options.Confidence) {
		if d, ok := w.LastSafe(c); ok {
			rules = append(rules, SafeRule(u, d, c, c == w.Options.Confidence))
		}
	}
	if d, ok := w.Cutoff.At(0.5); ok {
		rules = append(rules, CutoffRule(u, d))
	}
	return append(rules, TodayRule(u, asOf))
}

// StageLines are how the stages are drawn, in their order.
var StageLines = []struct {
	Ink, Tint chart.Ink
	Dashes    []float64
	Key       string
}{
	{chart.Emerged, chart.EmergedTint, []float64{2, 2}, "half is up"},
	{chart.Mow, chart.MowTint, []float64{7, 3}, "first mow"},
	{chart.Established, chart.EstablishTint, nil, "established"},
}

const (
	maxDays = 90 // as far as a chart of days reaches
	banded  = 2  // stages with a band: a third would hide the others
)

// StageDaysChart draws the days from sowing to each stage by sow date.
func StageDaysChart(
	u words.System,
	species string,
	s Span,
	n int,
	at func(int) (climate.Day, [3]forecast.Spread),
) *chart.Chart {
	c := &chart.Chart{
		Title: fmt.Sprintf("Days until %s is up, is first mowed and is established, by sow date", species),
		X:     s.Sown("sown on"), Y: chart.Axis{Label: "days"},
	}
	top := 0.0
	for k, kind := range StageLines {
		var x, low, mid, high []float64
		for i := range n {
			day, days := at(i)
			if day < s.First || day > s.Last {
				continue
			}
			q := days[k]
			if q.P50 > maxDays {
				q.P50 = math.NaN()
			}
			x, low, mid, high = append(
				x,
				float64(day),
			), append(
				low,
				q.P10,
			), append(
				mid,
				q.P50,
			), append(
				high,
				math.Min(maxDays, q.P90),
			)
			switch {
			case math.IsNaN(q.P50):
				low[len(low)-1] = math.NaN()
			case k < banded:
				top = math.Max(top, math.Min(maxDays, q.P90))
			default:
				top = math.Max(top, q.P50)
			}
		}
		if k < banded {
			c.Bands = append(c.Bands, chart.Band{Ink: kind.Tint, X: x, Low: low, High: high})
		}
		c.Lines = append(
			c.Lines,
			chart.Line{Ink: kind.Ink, X: x, Y: mid, Dashes: kind.Dashes, Width: 2, Key: kind.Key},
		)
		if len(mid) > 0 {
			c.Alt += fmt.Sprintf(
				"%s: %s if sown on %s, %s if sown on %s. ",
				kind.Key,
				daysWords(mid[0]),
				u.Date(s.First),
				daysWords(mid[len(mid)-1]),
				u.Date(s.Last),
			)
		}
	}
	if top == 0 {
		c.Empty, c.Alt = TooFew, TooFew
	}
	c.Y.Max = math.Max(10, 10*math.Ceil(top/10))
	for v := 0.0; v <= c.Y.Max; v += 10 * math.Ceil(c.Y.Max/60) {
		c.Y.Ticks = append(c.Y.Ticks, chart.Tick{At: v, Label: fmt.Sprintf("%.0f", v)})
	}
	return c
}

func daysWords(d float64) string {
	if math.IsNaN(d) {
		return "not soon"
	}
	return words.Days(d)
}

// SafeRanges draws the last safe dates of species, 90 to 50 %.
func SafeRanges(u words.System, windows []*forecast.Window, s Span, asOf climate.Day) *chart.Chart {
	c := &chart.Chart{
		Title: "Last safe dates of the species, 90 to 50 %",
		Alt:   "Last safe dates at 90, 80 and 50 %: ",
		X:     s.Sown("last safe date; the square is 80 %, the bar 90 to 50 %"),
		Rules: []chart.Rule{TodayRule(u, asOf)},
	}
	date := func(w *forecast.Window, percent float64) float64 {
		if d, ok := w.LastSafe(percent); ok {
			return float64(d)
		}
		return math.NaN()
	}
	for i, w := range windows {
		name := w.Options.Species.Name
		c.Rows = append(c.Rows, name)
		r := chart.Range{Ink: chart.Safe, Row: float64(i), Low: date(w, 90), Mid: date(w, 80), High: date(w, 50)}
		r.Note = name + ": " + safeWords(u, w)
		c.Ranges = append(c.Ranges, r)
		c.Alt += r.Note + "; "
	}
	if len(windows[0].Seasons) < forecast.MinSeasons {
		c.Empty = TooFew
	}
	return c
}

// safeWords are the last safe dates of a window in words.
func safeWords(u words.System, w *forecast.Window) string {
	s := ""
	for _, p := range []float64{90, 80, 50} {
		if d, ok := w.LastSafe(p); ok {
			s += fmt.Sprintf(", %s at %.0f %%", u.Date(d), p)
		}
	}
	if s == "" {
		return "no safe date"
	}
	return s[2:]
}

// StagesChart draws when the stages come, and the cutoff.
func StagesChart(u words.System, x *forecast.Outlook, asOf climate.Day) *chart.Chart {
	c := &chart.Chart{
		Title: fmt.Sprintf("When %s sown on %s reaches its stages", x.Options.Species.Name, u.LongDate(x.Sow)),
		Alt:   "8 in 10 between: ",
	}
	first, last := x.Sow, x.Sow+30
	row := func(name string, a, mid, z *climate.Day, ink chart.Ink) {
		at := func(d *climate.Day) float64 {
			if d == nil {
				return math.NaN()
			}
			first, last = min(first, *d), max(last, *d)
			return float64(*d)
		}
		r := chart.Range{Ink: ink, Row: float64(len(c.Rows)), Low: at(a), Mid: at(mid), High: at(z)}
		said := "not before the season is over"
		if x.Members < forecast.MinSeasons {
			said, c.Empty = TooFew, TooFew
		}
		if mid != nil {
			said = u.Date(*mid)
			if a != nil && z != nil {
				said += fmt.Sprintf(" (%s to %s)", u.Date(*a), u.Date(*z))
			}
		}
		r.Note = name + ": " + said
		c.Alt += r.Note + "; "
		c.Rows, c.Ranges = append(c.Rows, name), append(c.Ranges, r)
	}
	for i, s := range x.Stages {
		row(StageLines[i].Key, s.P10, s.P50, s.P90, StageLines[i].Ink)
	}
	row(
		"cold",
		words.DayOrNil(x.Cutoff.At(0.1)),
		words.DayOrNil(x.Cutoff.At(0.5)),
		words.DayOrNil(x.Cutoff.At(0.9)),
		chart.Cutoff,
	)
	c.X = Span{first - 3, last + 5}.Axis("square: most likely; bar: 8 in 10")
	c.Rules = []chart.Rule{SownRule(u, x.Sow)}
	if asOf != x.Sow {
		c.Rules = append(c.Rules, TodayRule(u, asOf))
	}
	return c
}

// ShareAxis is that of chances along the bottom.
func ShareAxis(label string) chart.Axis {
	return chart.Axis{
		Label: label,
		Min:   0,
		Max:   1,
		Ticks: []chart.Tick{
			{At: 0, Label: "0 %"},
			{At: 0.2, Label: "20"},
			{At: 0.4, Label: "40"},
			{At: 0.6, Label: "60"},
			{At: 0.8, Label: "80"},
			{At: 1, Label: "100 %"},
		},
	}
}

// A share is a chance or part with its interval, by name.
type Share struct {
	Name           string
	Low, Mid, High float64
}

// ShareRanges draws shares with their intervals.
func ShareRanges(title, label string, list []Share) *chart.Chart {
	c := &chart.Chart{Title: title, X: ShareAxis(label)}
	for i, s := range list {
		r := chart.Range{Ink: chart.Chance, Row: float64(i), Low: s.Low, Mid: s.Mid, High: s.High}
		r.Note = fmt.Sprintf("%s: %s", s.Name, words.Percent(s.Mid))
		if !math.IsNaN(s.Low) {
			r.Note += fmt.Sprintf(" (%.0f–%.0f)", 100*s.Low, 100*s.High)
		}
		c.Rows, c.Ranges, c.Alt = append(c.Rows, s.Name), append(c.Ranges, r), c.Alt+r.Note+"; "
	}
	return c
}

// SpeciesShares are the chances of species.
func SpeciesShares(list []*forecast.Outlook) []Share {
	var out []Share
	for _, x := range list {
		out = append(out, Share{Name: x.Options.Species.Name, Low: x.Low, Mid: x.Chance, High: x.High})
	}
	return out
}

// WithOthers puts the species that were asked for before all others.
func WithOthers(options []forecast.Options) []forecast.Options {
	all := options[:len(options):len(options)]
	for _, sp := range turf.All() {
		known := false
		for i := range all {
			known = known || all[i].Species.ID == sp.ID
		}
		if !known {
			o := options[0]
			o.Species = sp
			all = append(all, o)
		}
	}
	return all
}

// SpreadWords are days with their spread, "6 (5–8)".
func SpreadWords(q forecast.Spread) string {
	part := func(v float64) string {
		if math.IsInf(v, 1) {
			return "never"
		}
		return fmt.Sprintf("%.0f", v)
	}
	switch {
	case math.IsNaN(q.P50):
		return "–"
	case math.IsInf(q.P50, 1):
		return "not in the season"
	}
	return fmt.Sprintf("%s (%s–%s)", part(q.P50), part(q.P10), part(q.P90))
}

// MedianOf is the median of dates as a page's script reads it, "" for none.
func MedianOf(d forecast.Dates) string {
	if day, ok := d.At(0.5); ok {
		return day.String()
	}
	return ""
}

// ByDateTable is the table behind the charts by sow date. It leaves out the dates
// long before the chance begins to fall and those after it is gone.
func ByDateTable(u words.System, species string, list []Chance, at func(i int) [3]forecast.Spread) Table {
	t := Table{
		Caption: fmt.Sprintf(
			"Sow dates one by one, %s: chance with its %d %% interval, days to each stage (8 in 10 seasons between)",
			species,
			forecast.IntervalPercent,
		),
		Head: []string{
			"sown on",
			"chance",
			"interval",
			"half up",
			"first mow",
			"established",
		}, Folded: true, Fixed: true,
	}
	const before, after = 14, 7 // days
	from, to := len(list), 0
	for i, c := range list {
		if c.Mid < 0.995 {
			from = min(from, i-before)
		}
		if c.Mid > 0.005 {
			to = i + after
		}
	}
	from = max(0, min(from, to-before))
	for i := from; i <= to && i < len(list); i++ {
		c, d := list[i], at(i)
		chance, interval := words.Percent(c.Mid), words.Interval(c.Low, c.High)
		if c.Early {
			chance, interval = words.Percent(c.In), "before opening"
		}
		t.Rows = append(
			t.Rows,
			[]string{
				u.LongDate(c.Day),
				chance,
				interval,
				SpreadWords(d[0]),
				SpreadWords(d[1]),
				SpreadWords(d[2]),
			},
		)
	}
	return t
}

// EachFigure are charts of one kind, one a species. A page draws the first and has the
// numbers of the others.
func EachFigure(n int, one func(i int) (*chart.Chart, string), caption string) []Figure {
	var out []Figure
	for i := range n {
		c, species := one(i)
		out = append(out, Figure{Chart: c, Species: species, Caption: caption})
	}
	return out
}

// SafeLevels are the confidences shown: the one asked for beside the usual.
func SafeLevels(asked float64) []float64 {
	levels := []float64{90, 80, 50}
	for i, l := range levels {
		if asked == l {
			return levels
		}
		if asked > l {
			return append(levels[:i:i], append([]float64{asked}, levels[i:]...)...)
		}
	}
	return append(levels, asked)
}

// DaysCell prints the median days to a stage.
func DaysCell(s forecast.Spread) string {
	switch {
	case math.IsNaN(s.P50):
		return "–"
	case math.IsInf(s.P50, 1):
		return "no"
	}
	return fmt.Sprintf("%.0f d", s.P50)
}
