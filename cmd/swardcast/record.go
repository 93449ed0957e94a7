package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/forecast"
)

var recordCommand = &command{
	name:    "record",
	summary: "Whether a station record is good enough, how it was understood",
	usage:   "[FILE]",
	help: `Reads a station record as every other command does, and tells what it took each
column for, in which unit, what is missing, which values it does not believe and
why, which seasons can be used, and whether that is enough.

Examples:
  swardcast record my-station.csv --lat 33.8
  swardcast record several.csv --station USW00012345
  swardcast record odd.csv --columns date=Day,tmax=High,tmin=Low --temp-unit F
`,
	setup: func(f *pflag.FlagSet) func(*program, []string) error {
		var st stationFlags
		var out outputFlags
		rule := declareCompleteness(f)
		st.declare(f)
		out.declare(f, "text", "json")
		return func(p *program, args []string) error {
			return p.recordCommand(args, &st, &out, completenessOf(rule.value))
		}
	},
}

// A verdict is how far a record carries.
type verdict string

const (
	verdictGood     verdict = "good"
	verdictShort    verdict = "short"     // answered, with a warning
	verdictTooShort verdict = "too-short" // no safe date
	verdictUnusable verdict = "unusable"
)

// A recordView is what the command shows of a record.
type recordView struct {
	in      *input
	window  *forecast.Window // nil where no season could be gone through
	verdict verdict
	words   string
	months  []monthGap
	missing int
	rule    climate.Completeness
}

// A monthGap is how much of a calendar month is there.
type monthGap struct {
	year    int
	month   time.Month
	days    int // of the month that the record spans
	missing int
	lost    bool // missing by the rule
}

func (p *program) recordCommand(args []string, st *stationFlags, out *outputFlags, rule climate.Completeness) error {
	in, err := p.openRecord(args, st)
	if err != nil {
		return err
	}
	v := &recordView{in: in, months: monthGaps(in.checked, rule), missing: in.missingDays(), rule: rule}
	v.judge()
	return p.give(out, answer{text: func(unitSystem) []byte { return v.text() }, json: func() any { return v.json() }})
}

// judge goes through the seasons and finds the verdict.
func (v *recordView) judge() {
	if v.in.refusal != nil {
		v.verdict, v.words = verdictUnusable, strings.TrimPrefix(v.in.refusal.Error(), v.in.name+": ")
		return
	}
	if v.in.checked.Place.Latitude == nil {
		v.verdict, v.words = verdictUnusable, "the latitude is not known, so that the seasons cannot be gone through: add --lat"
		return
	}
	ready, err := v.in.ready()
	if err != nil {
		v.verdict, v.words = verdictUnusable, strings.TrimPrefix(err.Error(), v.in.name+": ")
		return
	}
	v.window, err = ready.Window(forecast.Options{Completeness: v.rule})
	n := 0
	if v.window != nil {
		n = len(v.window.Seasons)
	}
	switch {
	case errors.Is(err, forecast.ErrNoSeasons):
		v.verdict, v.words = verdictUnusable, "no autumn is complete enough to be used"
	case err != nil:
		v.verdict, v.words = verdictUnusable, err.Error()
	case n < forecast.MinSeasons:
		v.verdict, v.words = verdictTooShort, fmt.Sprintf("%d usable %s: too few for a safe date, which needs %d", n, plural(n, "season", "seasons"), forecast.MinSeasons)
	case n < forecast.FewSeasons:
		v.verdict, v.words = verdictShort, fmt.Sprintf("%d usable seasons: enough for an answer with a warning; %d would be better", n, forecast.FewSeasons)
	default:
		v.verdict, v.words = verdictGood, fmt.Sprintf("%d usable seasons", n)
	}
}

// monthGaps counts the missing days of every month of the record.
func monthGaps(r *climate.Record, rule climate.Completeness) []monthGap {
	var out []monthGap
	for first := r.First; first <= r.Last(); {
		y, m, _ := first.Date()
		last := min(climate.Date(y, m+1, 1)-1, r.Last())
		g, ok := rule.Gap(first, last, func(d climate.Day) bool { return r.Missing(r.Index(d)) })
		out = append(out, monthGap{y, m, int(last-first) + 1, g.Total, !ok})
		first = last + 1
	}
	return out
}

type recordOut struct {
	Schema     string         `json:"schema"`
	Verdict    string         `json:"verdict"`
	Words      string         `json:"words"`
	Station    stationOut     `json:"station"`
	Days       int            `json:"days"`
	Missing    int            `json:"days_missing"`
	Understood understoodOut  `json:"understood"`
	Months     []monthOut     `json:"months"`
	Suspect    []suspectOut   `json:"doubts"`
	Tests      []checkTestOut `json:"tests"`
}

type understoodOut struct {
	Layout   string      `json:"layout"`
	Columns  []columnOut `json:"columns"`
	Dates    string      `json:"dates"`
	Unit     string      `json:"temp_unit"`
	Reason   string      `json:"temp_unit_reason"`
	RainUnit string      `json:"rain_unit,omitempty"`
	Rain     string      `json:"rain_unit_reason,omitempty"`
	Rows     int         `json:"rows"`
	Flagged  int         `json:"flagged_values"`
	Short    int         `json:"short_rows"`
	Repeated int         `json:"repeated_rows"`
}

type columnOut struct {
	Number  int    `json:"number"`
	Header  string `json:"header"`
	Meaning string `json:"meaning"`
}

type monthOut struct {
	Month    string `json:"month"`
	Days     int    `json:"days"`
	Missing  int    `json:"days_missing"`
	Complete bool   `json:"complete"`
}

type suspectOut struct {
	Test   string      `json:"test"`
	Series string      `json:"series"`
	First  climate.Day `json:"first"`
	Last   climate.Day `json:"last"`
	Values int         `json:"values"`
	Reason string      `json:"reason"`
}

type checkTestOut struct {
	Name      string `json:"name"`
	Reference string `json:"reference"`
	Values    int    `json:"values"`
}

func (v *recordView) json() recordOut {
	in, f := v.in, v.in.file
	out := recordOut{
		Schema: "swardcast.record/1", Verdict: string(v.verdict), Words: v.words, Station: stationJSON(in, v.windows()...),
		Days: in.checked.Len(), Missing: v.missing,
		Understood: understoodOut{Layout: f.Layout, Columns: []columnOut{}, Dates: f.Dates, Unit: string(f.Unit), Reason: f.UnitReason, RainUnit: f.PrecipUnit, Rain: f.PrecipReason,
			Rows: f.Rows, Flagged: f.Flagged, Short: f.Short, Repeated: f.Repeated},
		Suspect: []suspectOut{},
	}
	for _, c := range f.Columns {
		out.Understood.Columns = append(out.Understood.Columns, columnOut{c.Number, c.Header, c.Meaning})
	}
	for _, m := range v.months {
		out.Months = append(out.Months, monthOut{fmt.Sprintf("%04d-%02d", m.year, m.month), m.days, m.missing, !m.lost})
	}
	for _, d := range in.suspect {
		out.Suspect = append(out.Suspect, suspectOut{d.Test, string(d.Series), d.First, d.Last, d.Values, d.Reason})
	}
	for _, t := range check.Tests() {
		n := 0
		for _, d := range in.suspect {
			if d.Test == t.Name {
				n += d.Values
			}
		}
		out.Tests = append(out.Tests, checkTestOut{t.Name, t.Reference, n})
	}
	return out
}

// windows is the window, where there is one with seasons.
func (v *recordView) windows() []*forecast.Window {
	if v.window == nil {
		return nil
	}
	return []*forecast.Window{v.window}
}

// headlines open the answer.
var headlines = map[verdict]string{
	verdictGood:     "Good enough",
	verdictShort:    "Short",
	verdictTooShort: "Too short",
	verdictUnusable: "Not usable",
}

func (v *recordView) text() []byte {
	in, f := v.in, v.in.file
	var b strings.Builder
	span := fmt.Sprintf("%s, %s to %s, %d days, %.1f %% missing", in.displayName(), longDate(in.checked.First), longDate(in.checked.Last()),
		in.checked.Len(), 100*float64(v.missing)/float64(in.checked.Len()))
	b.WriteString(wrap("", fmt.Sprintf("%s: %s.", headlines[v.verdict], v.words)))
	b.WriteString(wrap("", span+"."))

	b.WriteString("\nUnderstood as\n")
	read := fmt.Sprintf("%s, %d rows; dates %s", f.Layout, f.Rows, f.Dates)
	if f.Repeated > 0 {
		read += fmt.Sprintf("; %d rows repeat a day with the same values", f.Repeated)
	}
	if f.Short > 0 {
		read += fmt.Sprintf("; %d rows end before a temperature", f.Short)
	}
	if f.Flagged > 0 {
		read += fmt.Sprintf("; %d values left out that are flagged in the file", f.Flagged)
	}
	b.WriteString(wrap("  layout       ", read))
	b.WriteString(wrap("  temperatures ", fmt.Sprintf("in %s (%s)", f.Unit.Name(), f.UnitReason)))
	if f.PrecipUnit != "" {
		b.WriteString(wrap("  rain         ", fmt.Sprintf("in %s (%s)", f.PrecipUnit, f.PrecipReason)))
	}
	for _, c := range f.Columns {
		b.WriteString(wrap("  "+pad(fmt.Sprintf("column %d", c.Number), 13), fmt.Sprintf("%s: %s", c.Header, c.Meaning)))
	}

	b.WriteString("\n" + v.picture())

	n := suspectValues(in.suspect)
	if n == 0 {
		b.WriteString("\nNo value was doubted.\n")
	} else {
		fmt.Fprintf(&b, "\n%d %s not believed and set missing\n", n, plural(n, "value", "values"))
		const most = 20
		groups := grouped(in.suspect)
		for i, g := range groups {
			if i == most {
				fmt.Fprintf(&b, "  and %d more (--format json lists all)\n", len(groups)-most)
				break
			}
			when := g[0].First.String()
			if last := g[len(g)-1].Last; last != g[0].First {
				when += " to " + last.String()
			}
			reason := g[0].Reason
			if len(g) > 1 {
				reason += fmt.Sprintf(", and %d more like it", len(g)-1)
			}
			b.WriteString(wrap("  "+pad(g[0].Test, 12), when+": "+reason))
		}
	}

	if v.window != nil {
		b.WriteString("\nSeasons\n")
		if n := len(v.window.Seasons); n > 0 {
			b.WriteString(wrap("  usable     ", fmt.Sprintf("%d: %s", n, yearsText(v.window.Seasons))))
		}
		for _, d := range v.window.Dropped {
			b.WriteString(wrap("  left out   ", fmt.Sprintf("%d: %s", d.Season, d.Reason)))
		}
	}
	return []byte(b.String())
}

// grouped joins doubts of one test and series on days that follow each other.
func grouped(doubts []check.Suspect) [][]check.Suspect {
	var out [][]check.Suspect
	for _, d := range doubts {
		if n := len(out); n > 0 {
			last := out[n-1][len(out[n-1])-1]
			if d.Test == last.Test && d.Series == last.Series && d.First >= last.Last && d.First-last.Last <= 2 {
				out[n-1] = append(out[n-1], d)
				continue
			}
		}
		out = append(out, []check.Suspect{d})
	}
	return out
}

// yearsText writes years as runs: 1990–1995, 1997.
func yearsText(seasons []forecast.Season) string {
	var parts []string
	for i := 0; i < len(seasons); {
		j := i
		for j+1 < len(seasons) && seasons[j+1].Year == seasons[j].Year+1 {
			j++
		}
		if i == j {
			parts = append(parts, fmt.Sprint(seasons[i].Year))
		} else {
			parts = append(parts, fmt.Sprintf("%d–%d", seasons[i].Year, seasons[j].Year))
		}
		i = j + 1
	}
	return strings.Join(parts, ", ")
}

// pictureRows is how many rows the picture of completeness has at most; longer
// records show several years in one.
const pictureRows = 36

// picture draws the completeness by month.
func (v *recordView) picture() string {
	first, last := v.months[0].year, v.months[len(v.months)-1].year
	per := (last-first)/pictureRows + 1
	type cell struct{ days, missing, lost, months int }
	rows := make([][13]cell, (last-first)/per+1)
	for _, m := range v.months {
		c := &rows[(m.year-first)/per][m.month]
		c.days += m.days
		c.missing += m.missing
		c.months++
		if m.lost {
			c.lost++
		}
	}
	var b strings.Builder
	b.WriteString("Completeness by month: # whole, + few days missing, - lost, . nothing there\n")
	b.WriteString("             J F M A M J J A S O N D\n")
	for i, row := range rows {
		label := fmt.Sprint(first + i*per)
		if per > 1 {
			label += fmt.Sprintf("–%d", min(first+(i+1)*per-1, last))
		}
		b.WriteString("  " + pad(label, 10))
		for m := time.January; m <= time.December; m++ {
			c := row[m]
			mark := "#"
			switch {
			case c.missing == c.days:
				mark = "."
			case 2*c.lost >= c.months:
				mark = "-"
			case c.missing > 0:
				mark = "+"
			}
			b.WriteString(" " + mark)
		}
		b.WriteString("\n")
	}
	b.WriteString(wrap("  ", fmt.Sprintf("A month is lost with more than %d days missing in a row or %d in all (%s).", v.rule.MaxRun, v.rule.MaxTotal, ruleSource(v.rule))))
	return b.String()
}

func ruleSource(c climate.Completeness) string {
	if c == climate.WMO {
		return "WMO-No. 1203"
	}
	return "rule " + c.Name
}
