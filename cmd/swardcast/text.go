package main

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// textWidth is the width of everything printed for a terminal.
const textWidth = 80

// wrap breaks a text into lines of the text width, the first behind a lead, the
// others indented as far.
func wrap(lead, text string) string {
	var b strings.Builder
	indent := strings.Repeat(" ", width(lead))
	line := lead
	for i, word := range glued(strings.Fields(text)) {
		switch {
		case i == 0:
			line += word
		case width(line)+1+width(word) > textWidth:
			b.WriteString(line + "\n")
			line = indent + word
		default:
			line += " " + word
		}
	}
	b.WriteString(line + "\n")
	return b.String()
}

// glued joins a number and the unit behind it, which no line may part.
func glued(words []string) []string {
	var out []string
	for _, w := range words {
		if n := len(out); n > 0 && (strings.HasPrefix(w, "°") || strings.HasPrefix(w, "%")) {
			out[n-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

// width is the number of characters of a text, each taken to be one cell wide.
func width(s string) int { return len([]rune(s)) }

// pad fills a text with blanks on the right.
func pad(s string, n int) string { return s + strings.Repeat(" ", max(0, n-width(s))) }

// padLeft fills a text with blanks on the left.
func padLeft(s string, n int) string { return strings.Repeat(" ", max(0, n-width(s))) + s }

func shortDate(d climate.Day) string { return d.Format("2 Jan") }
func longDate(d climate.Day) string  { return d.Format("2 Jan 2006") }

// outOf says a percentage as a grower would: 8 of 10 seasons. What so few seasons
// cannot vouch for is said of all that were seen.
func outOf(w *forecast.Window, percent float64) string {
	switch {
	case percent > w.MaxConfidence():
		return fmt.Sprintf("all %d seasons seen", len(w.Seasons))
	case percent == math.Trunc(percent/10)*10:
		return fmt.Sprintf("%.0f of 10 seasons", percent/10)
	}
	return fmt.Sprintf("%g of 100 seasons", percent)
}

// percent prints a chance; a chance is never printed as certain.
func percent(c float64) string {
	switch {
	case c > 0.995:
		return ">99 %"
	case c < 0.005:
		return "<1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*c)
}

// displayName is the station's name, or the file's where it has none.
func (in *input) displayName() string {
	name := in.checked.Place.Name
	if name == "" {
		name = strings.TrimSuffix(filepath.Base(in.name), filepath.Ext(in.name))
	}
	return harmless(name)
}

func windowText(in *stationInput, windows []*forecast.Window, u unitSystem) []byte {
	var b strings.Builder
	for i, w := range windows {
		if i > 0 {
			b.WriteString("\n")
		}
		b.WriteString(windowAnswer(in, w, u))
	}
	b.WriteString("\n" + factsText(windowFacts(in, windows, u)) + cautionsText(windowCautions(windows)))
	return []byte(b.String())
}

// windowAnswer is the answer for one species: the sentence, the dates, the
// chart.
func windowAnswer(in *stationInput, w *forecast.Window, u unitSystem) string {
	var b strings.Builder
	if n := len(w.Seasons); n < forecast.MinSeasons {
		b.WriteString(wrap("", fmt.Sprintf("%s How %s would have fared in %s:", windowSentence(in, w), w.Options.Species.Name, plural(n, "it", "them"))))
		b.WriteString("\n" + seasonsTable(w))
	} else {
		b.WriteString(wrap("", windowSentence(in, w)))
		b.WriteString("\n" + windowDates(w, u))
	}
	b.WriteString("\n" + windowChart(w))
	return b.String()
}

// into names the turf that is overseeded, if there is one.
func into(o *forecast.Options) string {
	if o.Host.ID == "none" {
		return ""
	}
	return " into " + o.Host.Name
}

// chanceOn is the chance of a sow date, or of the season's day next to it.
func chanceOn(w *forecast.Window, d climate.Day) float64 {
	return w.ByDate[min(max(0, int(d-w.ByDate[0].Sow)), len(w.ByDate)-1)].Chance
}

func windowSentence(in *stationInput, w *forecast.Window) string {
	sp, made := w.Options.Species.Name, stageWords[w.Options.Stage]
	n := len(w.Seasons)
	if n < forecast.MinSeasons {
		return fmt.Sprintf("Too few seasons for a safe date: only %d %s of %s can be used, and a safe date needs %d.",
			n, plural(n, "season", "seasons"), in.displayName(), forecast.MinSeasons)
	}
	top := w.ByDate[0].Chance // chances fall with the date
	if noCutoff(w) {
		opens, _ := w.Opens.At(0.5)
		top = chanceOn(w, opens)
		s := fmt.Sprintf("At %s neither freeze nor dormancy ends the season in most years: sown when it opens, about %s, %s was %s in time in %s of seasons.",
			in.displayName(), longDate(opens), sp, made, percent(top))
		if safe, ok := w.Safe(); ok {
			s += fmt.Sprintf(" Sown by %s it still was in %s; the season is counted to %s.", longDate(safe), outOf(w, w.Options.Confidence), shortDate(w.ByDate[len(w.ByDate)-1].Sow))
		}
		return s + sentenceNotes(in, w)
	}
	safe, ok := w.Safe()
	if !ok {
		return fmt.Sprintf("No sow date of %s is safe at %g %% at %s: sown even on the first day of the season it was %s before the cutoff in only %s of seasons.",
			sp, w.Options.Confidence, in.displayName(), made, percent(top))
	}
	s := fmt.Sprintf("Sow %s%s by %s at %s: in %s it was %s before the cutoff.", sp, into(&w.Options), longDate(safe), in.displayName(), outOf(w, w.Options.Confidence), made)
	if told := chanceOn(w, safe); math.Abs(told-w.Options.Confidence/100) > apart {
		s += fmt.Sprintf(" With what is not known of soil and seed the chance is %s.", percent(told))
	}
	if opens, ok := w.Opens.At(0.5); ok && opens > safe {
		s += fmt.Sprintf(" Mind that sowing opens only on %s in the middle season: the window is closed more often than not.", shortDate(opens))
	}
	return s + sentenceNotes(in, w)
}

// sentenceNotes are what must stand beside the first sentence.
func sentenceNotes(in *stationInput, w *forecast.Window) string {
	s := ""
	if safe, ok := w.Safe(); ok && in.asOf > safe {
		s += fmt.Sprintf(" As of %s that date is past.", longDate(in.asOf))
	}
	if in.asOf >= w.ByDate[0].Sow && in.asOf <= w.ByDate[len(w.ByDate)-1].Sow {
		s += " These are past seasons; for this one so far see swardcast outlook."
	}
	if w.Options.Unwatered {
		s += " That is without watering."
	}
	if n := len(w.Seasons); n < forecast.FewSeasons {
		s += fmt.Sprintf(" This rests on %d seasons only.", n)
	}
	return s
}

func plural(n int, one, more string) string {
	if n == 1 {
		return one
	}
	return more
}

// seasonsTable lists the seasons one by one, where they are too few to sum up.
func seasonsTable(w *forecast.Window) string {
	var b strings.Builder
	b.WriteString("  season   opens   last date in time   cutoff\n")
	date := func(d *climate.Day) string {
		if d == nil {
			return "none"
		}
		return shortDate(*d)
	}
	for i := range w.Seasons {
		se := &w.Seasons[i]
		fmt.Fprintf(&b, "  %d   %s   %s   %s (%s)\n", se.Year, padLeft(shortDate(se.Opens), 6), padLeft(date(se.Latest), 17), padLeft(date(se.Cutoff), 6), se.Cause)
	}
	return b.String()
}

// apart is how far a chance must stand off the confidence of its date to be told
// beside it.
const apart = 0.05

// A keyDate is a date with its meaning.
type keyDate struct {
	date           climate.Day
	known          bool
	label, meaning string
}

func (k *keyDate) day() string {
	if !k.known {
		return "none"
	}
	return shortDate(k.date)
}

// windowDates lists the few dates with their meaning.
func windowDates(w *forecast.Window, u unitSystem) string {
	var b strings.Builder
	for _, k := range keyDates(w, u) {
		b.WriteString(wrap("  "+pad(padLeft(k.day(), 6)+"  "+k.label, 24), k.meaning))
	}
	return b.String()
}

// keyDates are the few dates with their meaning, in their order.
func keyDates(w *forecast.Window, u unitSystem) []keyDate {
	var lines []keyDate
	add := func(d climate.Day, known bool, label, meaning string) {
		lines = append(lines, keyDate{d, known, label, meaning})
	}
	o := w.Options
	between := func(d forecast.Dates, low, high float64) string {
		a, okA := d.At(low)
		z, okZ := d.At(high)
		if !okA || !okZ {
			return ""
		}
		return fmt.Sprintf(" (in %.0f %% of seasons %s to %s)", 100*(high-low), shortDate(a), shortDate(z))
	}
	d, ok := w.Opens.At(0.5)
	soil := fmt.Sprintf("the soil at %s stays below %s", u.depth(int(o.Host.Open.Depth)), u.temp(o.Host.Open.TempC))
	if latest, _ := w.Opens.At(0.8); latest == w.ByDate[0].Sow {
		add(d, ok, "opens", "with the season: "+soil)
	} else {
		spread := ""
		if low, high, ok := w.OpensBetween(); ok {
			spread = fmt.Sprintf(" (%d %% between %s and %s, allowing for soil uncertainty)", forecast.IntervalPercent, shortDate(low), shortDate(high))
		}
		add(d, ok, "opens", "from here "+soil+spread)
	}
	if w.Best != nil && !noCutoff(w) { // without an end the best day would be the last
		add(w.Best.Sow, true, "best day", fmt.Sprintf("likeliest to lie after the opening and in time: in %s of seasons", percent(w.Best.Chance)))
	}
	for _, c := range safeLevels(o.Confidence) {
		meaning := fmt.Sprintf("no date was in time in %s", outOf(w, c))
		if d, ok = w.LastSafe(c); ok {
			meaning = fmt.Sprintf("sown by then, in time in %s", outOf(w, c))
			// The count of seasons and the smoothed chance can part where
			// the seasons' dates lie in clusters.
			if told := chanceOn(w, d); math.Abs(told-c/100) > apart {
				meaning += fmt.Sprintf("; with what is not known of soil and seed the chance is %s", percent(told))
			}
		}
		add(d, ok, fmt.Sprintf("last safe, %g %%", c), meaning)
	}
	if d, ok = w.Cutoff.At(0.5); ok {
		cutoff := fmt.Sprintf("middle season's end%s", between(w.Cutoff, 0.1, 0.9))
		if f, ok := w.Freeze.At(0.5); ok {
			cutoff += fmt.Sprintf("; %s in the air %s", u.temp(*o.FreezeC), shortDate(f))
		}
		if f, ok := w.Dormancy.At(0.5); ok {
			cutoff += fmt.Sprintf("; soil at %s down to %s %s", u.depth(int(o.Host.Dormancy.Depth)), u.temp(o.Host.Dormancy.TempC), shortDate(f))
		}
		add(d, ok, "cutoff", cutoff)
	} else {
		add(d, ok, "cutoff", "none in the middle season before it is over")
	}
	slices.SortStableFunc(lines, func(a, b keyDate) int {
		switch {
		case a.known && b.known:
			return int(a.date - b.date)
		case a.known:
			return -1
		case b.known:
			return 1
		}
		return 0
	})
	return lines
}

// safeLevels are the confidences shown: the one asked for beside the usual.
func safeLevels(asked float64) []float64 {
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

const (
	chartRows = 16
	chartBar  = 30
)

// windowChart draws the chance of sow dates, every few days over the part of
// the season in which it falls.
func windowChart(w *forecast.Window) string {
	from, to := chartSpan(w)
	step := max(1, (to-from+chartRows-2)/(chartRows-1))
	var b strings.Builder
	title := fmt.Sprintf("Chance to be %s in time, if sown on", shortStage(w.Options.Stage))
	b.WriteString(pad(title, 56) + "days to: up, cut, till.\n")
	for i := from; i <= to && i < len(w.ByDate); i += step {
		d := w.ByDate[i]
		fmt.Fprintf(&b, "%s  %s %s %s %s %s %s\n", padLeft(shortDate(d.Sow), 6), bar(d), padLeft(percent(d.Chance), 5),
			pad(fmt.Sprintf("(%.0f–%.0f)", 100*d.Low, 100*d.High), 9),
			daysCell(d.Days[0]), daysCell(d.Days[1]), daysCell(d.Days[2]))
	}
	fmt.Fprintf(&b, "        █ to the low end of the chance's %d %% interval (in brackets), ▒ to the\n        chance, · to the high end; days are those of the middle season\n", forecast.IntervalPercent)
	return b.String()
}

func shortStage(s turf.Stage) string {
	switch s {
	case turf.Emerged:
		return "up"
	case turf.Mow:
		return "ready to mow"
	}
	return "established"
}

// chartSpan is the part of the dates worth a chart: from before the opening, or
// before the chance begins to fall, to where it is nearly gone.
func chartSpan(w *forecast.Window) (from, to int) {
	first := w.ByDate[0].Sow
	from, to = len(w.ByDate)-1, 0
	for i, d := range w.ByDate {
		if d.Chance < 0.98 && i < from {
			from = i
		}
		if d.Chance > 0.03 {
			to = i
		}
	}
	if opens, ok := w.Opens.At(0.2); ok {
		from = min(from, int(opens-first))
	}
	from = max(0, min(from, to)-3)
	return from, min(to+4, len(w.ByDate)-1)
}

func bar(d forecast.SowDate) string {
	cells := func(c float64) int { return int(math.Round(c * chartBar)) }
	low, mid, high := cells(d.Low), cells(d.Chance), cells(d.High)
	return strings.Repeat("█", low) + strings.Repeat("▒", mid-low) + strings.Repeat("·", high-mid) + strings.Repeat(" ", chartBar-high)
}

// daysCell prints the median days to a stage.
func daysCell(s forecast.Spread) string {
	switch {
	case math.IsNaN(s.P50):
		return padLeft("–", 4)
	case math.IsInf(s.P50, 1):
		return padLeft("no", 4)
	}
	return padLeft(fmt.Sprintf("%.0f d", s.P50), 5)
}

// thresholdText tells where the thresholds are from.
func thresholdText(o *forecast.Options, u unitSystem) string {
	soil := func(t turf.Threshold) string {
		return fmt.Sprintf("%s at %s (%s)", u.temp(t.TempC), u.depth(int(t.Depth)), t.Source)
	}
	freeze := "US National Weather Service, S; a cautious limit for grass"
	if *o.FreezeC != turf.KillingFreezeC {
		freeze = "as told"
	}
	host := "overseeded " + o.Host.Name + " (--host none for bare soil or a cool-season lawn): "
	if o.Host.ID == "none" {
		host = "bare soil or a cool-season lawn: "
	}
	return host + fmt.Sprintf("opening %s; dormancy %s; killing freeze %s in the air (%s)", soil(o.Host.Open), soil(o.Host.Dormancy), u.temp(*o.FreezeC), freeze)
}

// missingDays counts the days without both temperatures.
func (in *input) missingDays() int {
	n := 0
	for i := range in.checked.TMaxC {
		if in.checked.Missing(i) {
			n++
		}
	}
	return n
}

// suspectValues counts the values not believed.
func suspectValues(doubts []check.Suspect) int {
	n := 0
	for _, d := range doubts {
		n += d.Values
	}
	return n
}

// evidenceText counts how far the figures of a species can be trusted.
func evidenceText(sp *turf.Species) string {
	order := []turf.Evidence{turf.Seen, turf.Restated, turf.Derived, turf.Unverified, turf.Practice, turf.OwnFigure}
	count := map[turf.Evidence]int{}
	n := 0
	for _, p := range sp.Parameters() {
		if p.Key != "seeds_per_gram" {
			count[p.Evidence]++
			n++
		}
	}
	var parts []string
	for _, s := range order {
		if count[s] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", count[s], s.Meaning()))
		}
	}
	return fmt.Sprintf("%s, %d figures: %s (swardcast species)", sp.Name, n, strings.Join(parts, ", "))
}
