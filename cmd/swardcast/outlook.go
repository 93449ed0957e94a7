package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/climate/recordfile"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

var outlookCommand = &command{
	name:    "outlook",
	summary: "I sow on this date: when is it up, mown, established in time?",
	usage:   "[FILE]",
	help: `Takes the season so far from the record, runs the soil on into the weather that
each past season had from here, after the rows of a forecast where there are
some, and tells when the stages come, with which chance the stage is reached
before the cutoff, and what would change it: sowing today or later, or another
species. A date past the cutoff or before the opening is answered too.

Examples:
  swardcast outlook my-station.csv --lat 33.8 --sow 2026-10-05
  swardcast outlook my-station.csv --lat 33.8 --sow 2026-10-05 \
      --as-of 2026-10-12
  swardcast outlook my-station.csv --lat 33.8 --sow 2026-10-05 \
      --outlook-file next-days.csv --probe my-readings.csv
  swardcast outlook my-station.csv --lat 33.8 --sow 2026-10-05 \
      --format ics -o sowing.ics

The calendar file (RFC 5545) has the days of the sowing, each with its range;
imported again after a later look, its events move.
`,
	setup: func(f *pflag.FlagSet) func(*program, []string) error {
		var st stationFlags
		var tf turfFlags
		var out outputFlags
		var sow dateFlag
		f.Var(&sow, "sow", "day of sowing, past or to come (default the as-of day)")
		ahead := f.String("outlook-file", "", "daily forecast rows to put after the record, read as records are")
		tf.declare(f)
		st.declare(f)
		st.declareProbe(f)
		out.declare(f, "text", "json", "html", "svg", "png", "ics")
		out.declareCharts(f, "chance", "stages", "days", "species", "soil")
		return func(p *program, args []string) error { return p.outlook(args, &st, &tf, &out, sow, *ahead) }
	},
}

// An outlookView is an outlook with what would change it.
type outlookView struct {
	in       *stationInput
	ensemble *forecast.Ensemble
	base     *forecast.Outlook
	from     climate.Day // the date that later sowings are counted from
	later    []laterSowing
	species  []*forecast.Outlook // sown today, or on the sow date where that is to come
	on       climate.Day         // the date that species are compared for
	water    waterNeed
}

// A laterSowing is the same with another sow date.
type laterSowing struct {
	inDays int
	*forecast.Outlook
}

func (p *program) outlook(args []string, st *stationFlags, tf *turfFlags, out *outputFlags, sow dateFlag, ahead string) error {
	options, err := tf.options()
	if err != nil {
		return err
	}
	if len(options) > 1 {
		return &usageError{"an outlook is for one species", "--species " + options[0].Species.ID}
	}
	in, err := p.openStation(args, st)
	if err != nil {
		return err
	}
	if err := p.calibrate(in, st.probe); err != nil {
		return err
	}
	if !sow.set && out.format.value == "ics" {
		return &usageError{"a calendar is of one sowing, whose day is not given", "--sow " + in.asOf.String()}
	}
	if !sow.set {
		sow.day = in.asOf
	}
	v, err := p.newOutlook(in, options[0], sow.day, ahead)
	if err != nil {
		return err
	}
	return p.give(out, answer{text: v.text, json: func() any { return v.json() }, page: v.page, chart: v.chart, ics: v.calendar, about: in.about(v.ensemble.Season)})
}

func (p *program) newOutlook(in *stationInput, o forecast.Options, sow climate.Day, aheadFile string) (*outlookView, error) {
	v := &outlookView{in: in}
	e, err := p.ensemble(in, o, in.Calendar.SeasonHolding(sow), aheadFile)
	if err != nil {
		return nil, err
	}
	v.ensemble = e
	if v.base, err = e.Outlook(o, sow); err != nil {
		return nil, fmt.Errorf("%s: %w", in.name, err)
	}
	holds := func(d climate.Day) bool {
		return in.Calendar.SeasonHolding(d) == e.Season && d >= in.Calendar.First(e.Season)
	}
	// Today and the days to come; long before the opening, the sow date and
	// the days after it.
	v.from = in.asOf
	if opens, ok := v.base.Opens.At(0.2); !holds(in.asOf) || ok && in.asOf+14 < opens {
		v.from = sow
	}
	for _, n := range []int{0, 3, 7, 14} {
		if d := v.from + climate.Day(n); holds(d) {
			x, err := e.Outlook(o, d)
			if err != nil {
				return nil, err
			}
			v.later = append(v.later, laterSowing{n, x})
		}
	}
	if v.on = max(sow, in.asOf); !holds(v.on) {
		v.on = sow
	}
	if v.water, err = newWaterNeed(e, v.base.Stages[0], max(in.asOf, sow-1)); err != nil {
		return nil, err
	}
	for _, sp := range turf.All() {
		so := o
		so.Species = sp
		x, err := e.Outlook(so, v.on)
		if err != nil {
			return nil, err
		}
		v.species = append(v.species, x)
	}
	return v, nil
}

// ensemble makes the ensemble of a season from the record to the as-of day, a
// forecast where there is one, and the past seasons.
func (p *program) ensemble(in *stationInput, o forecast.Options, season int, aheadFile string) (*forecast.Ensemble, error) {
	var ahead *climate.Record
	var sdC []float64
	if aheadFile != "" {
		var err error
		if ahead, sdC, err = p.readAhead(aheadFile, in); err != nil {
			return nil, err
		}
	}
	o.Season = season
	e, err := in.Ensemble(o, forecast.EnsembleOptions{AsOf: &in.asOf, Ahead: ahead, AheadSDC: sdC})
	switch {
	case errors.Is(err, forecast.ErrNoDaysAhead):
		return nil, &dataError{fmt.Errorf("%s: no row is of a day after %s, the last of the record", aheadFile, min(in.asOf, in.Calendar.Last(season))), ""}
	case err != nil:
		return nil, seasonsError(in, err)
	}
	return e, nil
}

// seasonsError adds what to do to the error of a record without seasons.
func seasonsError(in *stationInput, err error) error {
	err = fmt.Errorf("%s: %w", in.name, err)
	if errors.Is(err, forecast.ErrNoSeasons) {
		return &dataError{err, "a season needs its days from the opening to the cutoff; see swardcast record and --years"}
	}
	return &dataError{err, ""}
}

// readAhead reads forecast rows and checks them, with the standard error of each
// day, °C, NaN where the file does not tell it; nil where it tells none. So few rows seldom tell their
// unit: then it is the one in which they lie near the normal of their days, if
// there is just one.
func (p *program) readAhead(name string, in *stationInput) (rows *climate.Record, sdC []float64, err error) {
	read := func(unit recordfile.Unit) (*recordfile.File, error) {
		var f *recordfile.File
		err := readFile(name, func(r io.Reader) (err error) {
			f, err = recordfile.Read(r, name, recordfile.Options{Unit: unit, Forecast: true})
			return err
		})
		return f, err
	}
	normal, err := climate.FitNormal(in.Record.First, in.Record.TMaxC, climate.AirHarmonics)
	if err != nil {
		return nil, nil, err
	}
	// near tells how far the rows lie from the normal highest temperature of
	// their days, °C.
	near := func(r *climate.Record) float64 {
		sum, n := 0.0, 0.0
		for i, v := range r.TMaxC {
			if !math.IsNaN(v) {
				sum += v - normal.At(r.Day(i))
				n++
			}
		}
		return math.Abs(sum / n)
	}
	const (
		plausible = 15.0 // °C that some days can lie off the normal
		clearly   = 8.0  // °C by which the next unit must lie farther off
	)
	file, err := read(recordfile.Auto)
	if err == nil && near(file.Record) > plausible {
		return nil, nil, &dataError{fmt.Errorf("%s: in %s (%s) the rows lie %.0f °C off what is normal here on their days", name, file.Unit.Name(), file.UnitReason, near(file.Record)),
			"name the columns with their unit, such as date,tmax_f,tmin_f"}
	}
	if err != nil {
		var ambiguous *recordfile.Error
		if !errors.As(err, &ambiguous) {
			return nil, nil, err
		}
		best, next := math.Inf(1), math.Inf(1)
		for _, unit := range ambiguous.Units {
			f, e := read(unit)
			if e != nil {
				continue
			}
			switch d := near(f.Record); {
			case d < best:
				best, next, file = d, best, f
			case d < next:
				next = d
			}
		}
		if best > plausible || next-best < clearly {
			if ambiguous.Units != nil {
				return nil, nil, &dataError{err, "name the columns with their unit, such as date,tmax_f,tmin_f"}
			}
			return nil, nil, err
		}
		p.say("%s: the rows are taken to be in %s, in which they lie nearest to what is normal here", name, file.Unit.Name())
	}
	clean, doubts, err := check.Clean(file.Record)
	if err != nil {
		return nil, nil, &dataError{fmt.Errorf("%s: %w", name, err), ""}
	}
	for _, d := range doubts {
		p.say("%s: %s: %s; it is left out", name, d.First, d.Reason)
	}
	return clean, rowErrors(file), nil
}

// rowErrors are the standard errors that forecast rows tell, by themselves or by
// the days they are ahead, °C.
func rowErrors(f *recordfile.File) []float64 {
	out := f.ErrorC
	if out == nil && f.LeadDays != nil {
		out = slices.Repeat([]float64{math.NaN()}, len(f.LeadDays))
	}
	for i := range f.LeadDays {
		if math.IsNaN(out[i]) && !math.IsNaN(f.LeadDays[i]) {
			out[i] = forecast.RowSD(f.LeadDays[i])
		}
	}
	return out
}

type outlookOut struct {
	Schema       string       `json:"schema"`
	Station      stationOut   `json:"station"`
	Settings     settingsOut  `json:"settings"`
	Season       int          `json:"season"`
	Species      string       `json:"species"`
	Sow          climate.Day  `json:"sow"`
	AsOf         climate.Day  `json:"as_of"`
	KnownTo      climate.Day  `json:"known_to"`
	UnknownDays  int          `json:"unknown_days"`
	ForecastDays int          `json:"forecast_days"`
	Stages       []stageOut   `json:"stages"`
	EmergedNow   number       `json:"emerged_fraction_now"`
	EmergedLow   number       `json:"emerged_fraction_low"`
	EmergedHigh  number       `json:"emerged_fraction_high"`
	Chance       number       `json:"chance"`
	ChanceLow    number       `json:"chance_low"`
	ChanceHigh   number       `json:"chance_high"`
	Cutoff       datesOut     `json:"cutoff"`
	OpensP50     *climate.Day `json:"opens_p50"`
	BehindDays   number       `json:"behind_days"`
	Trend        climateOut   `json:"trend"`
	Water        []waterOut   `json:"water"`
	Verdict      string       `json:"verdict"`
	IfSown       []ifSownOut  `json:"if_sown"`
	IfSpecies    []ifOtherOut `json:"if_species"`
	Probe        *probeOut    `json:"probe"`
	Cautions     []string     `json:"cautions"`
}

type stageOut struct {
	ID         string    `json:"id"`
	ReachedNow number    `json:"reached_share_now"`
	Date       datesOut  `json:"date"`
	Days       spreadOut `json:"days"`
}

type datesOut struct {
	P10 *climate.Day `json:"p10"`
	P50 *climate.Day `json:"p50"`
	P90 *climate.Day `json:"p90"`
}

type ifSownOut struct {
	InDays     int         `json:"in_days"`
	Sow        climate.Day `json:"sow"`
	Chance     number      `json:"chance"`
	ChanceLow  number      `json:"chance_low"`
	ChanceHigh number      `json:"chance_high"`
	Verdict    string      `json:"verdict"`
}

type ifOtherOut struct {
	Species    string      `json:"species"`
	Sow        climate.Day `json:"sow"`
	Chance     number      `json:"chance"`
	ChanceLow  number      `json:"chance_low"`
	ChanceHigh number      `json:"chance_high"`
	Verdict    string      `json:"verdict"`
}

func stagesJSON(x *forecast.Outlook) []stageOut {
	var out []stageOut
	for _, s := range x.Stages {
		out = append(out, stageOut{string(s.Stage), number(s.ReachedNow), datesOut{s.P10, s.P50, s.P90}, spreadJSON(s.Days)})
	}
	return out
}

func datesJSON(d forecast.Dates) datesOut {
	return datesOut{dayOrNull(d.At(0.1)), dayOrNull(d.At(0.5)), dayOrNull(d.At(0.9))}
}

func (v *outlookView) json() outlookOut {
	x := v.base
	now := func(share float64) number {
		if v.nothingKnown() {
			return unknownNumber
		}
		return number(share)
	}
	out := outlookOut{
		Schema: "swardcast.outlook/1", Station: stationJSON(v.in.input), Settings: settingsOf(v.in, x.Options, v.ensemble.Years), Season: v.ensemble.Season,
		Species: x.Options.Species.ID, Sow: x.Sow, AsOf: v.in.asOf, ForecastDays: v.ensemble.Ahead, Stages: stagesJSON(x),
		EmergedNow: now(x.EmergedFraction), EmergedLow: now(x.EmergedLow), EmergedHigh: now(x.EmergedHigh),
		UnknownDays: v.ensemble.Unknown, KnownTo: v.ensemble.Known,
		Chance: number(x.Chance), ChanceLow: number(x.Low), ChanceHigh: number(x.High), Cutoff: datesJSON(x.Cutoff),
		OpensP50: dayOrNull(x.Opens.At(0.5)), Water: v.water.json(), BehindDays: number(x.BehindDays), Trend: trendJSON(&v.ensemble.Trend), Verdict: string(x.Verdict),
		IfSown: []ifSownOut{}, Probe: v.in.probeJSON(), Cautions: v.cautions(),
	}
	for _, l := range v.later {
		out.IfSown = append(out.IfSown, ifSownOut{int(l.Sow - v.in.asOf), l.Sow, number(l.Chance), number(l.Low), number(l.High), string(l.Verdict)})
	}
	for _, s := range v.species {
		out.IfSpecies = append(out.IfSpecies, ifOtherOut{s.Options.Species.ID, s.Sow, number(s.Chance), number(s.Low), number(s.High), string(s.Verdict)})
	}
	return out
}

// nothingKnown tells whether the record has no day since sowing, though today
// lies after it.
func (v *outlookView) nothingKnown() bool {
	return v.in.asOf >= v.base.Sow && v.ensemble.Known < v.base.Sow && !v.in.hasDay(v.base.Sow, v.in.asOf)
}

// hasDay tells whether the record holds an unfilled day between two.
func (in *stationInput) hasDay(from, to climate.Day) bool {
	for i := max(0, in.Record.Index(from)); i <= in.Record.Index(to) && i < len(in.Filled); i++ {
		if !in.Filled[i] {
			return true
		}
	}
	return false
}

// unknownNote says where past seasons stand in for days gone by.
func unknownNote(e *forecast.Ensemble, in *stationInput, sow climate.Day) string {
	// Long before sowing nothing hangs on a day.
	const lead = 20
	n := e.UnknownSince(sow - lead)
	if n == 0 {
		return ""
	}
	s := fmt.Sprintf("The record lacks %d days between %s and %s", n, shortDate(sow-lead), shortDate(e.AsOf))
	if in.Record.Last() < e.AsOf {
		s = fmt.Sprintf("The record ends on %s: %d days between %s and %s are not known", longDate(in.Record.Last()), n, shortDate(sow-lead), shortDate(e.AsOf))
	}
	return s + "; past seasons stand in for them, and a freeze in them would not be seen."
}

// verdictWords open the answer.
var verdictWords = map[forecast.Verdict]string{
	forecast.Likely: "is likely to", forecast.Even: "may or may not", forecast.Unlikely: "is unlikely to", forecast.No: "will not",
}

// pastWords are those of a season that is over.
var pastWords = map[forecast.Verdict]string{
	forecast.Likely: "has most likely", forecast.Even: "may or may not have", forecast.Unlikely: "has hardly", forecast.No: "has not",
}

// stageParticiples say a stage as something that has been reached.
var stageParticiples = map[turf.Stage]string{
	turf.Emerged: "come up", turf.Mow: "become ready to mow", turf.Tillered: "established",
}

// stageVerbs say a stage as something that is reached.
var stageVerbs = map[turf.Stage]string{
	turf.Emerged: "come up", turf.Mow: "be ready to mow", turf.Tillered: "establish",
}

func (v *outlookView) text(u unitSystem) []byte {
	var b strings.Builder
	x := v.base
	b.WriteString(wrap("", v.sentence(x)))
	for _, n := range v.notes() {
		b.WriteString(wrap("", n))
	}
	b.WriteString("\n" + v.stagesText())
	if c, ok := x.Cutoff.At(0.5); ok {
		line := fmt.Sprintf("%s in the middle of what may come", longDate(c))
		if a, okA := x.Cutoff.At(0.1); okA {
			if z, okZ := x.Cutoff.At(0.9); okZ && z > a {
				line += fmt.Sprintf(" (8 in 10 between %s and %s)", shortDate(a), shortDate(z))
			} else if okZ {
				line = longDate(c) + ": it has come"
			}
		}
		b.WriteString(wrap("  cutoff          ", line))
	} else if x.Members >= forecast.MinSeasons {
		b.WriteString(wrap("  cutoff          ", "in most of what may come, none before the season is over"))
	}
	b.WriteString(v.water.text(u))
	if len(v.later) > 0 {
		b.WriteString("\nIf sown                                        chance\n")
		for _, l := range v.later {
			when := fmt.Sprintf("%d days later", l.inDays)
			switch {
			case v.from == v.in.asOf && l.inDays == 0:
				when = "today"
			case v.from == v.in.asOf:
				when = fmt.Sprintf("in %d days", l.inDays)
			case l.inDays == 0:
				when = "as asked"
			}
			fmt.Fprintf(&b, "  %s %s %s %s\n", pad(when, 14), padLeft(shortDate(l.Sow), 6), bars(l.Chance, 20), chanceText(l.Outlook))
		}
	}
	fmt.Fprintf(&b, "\nOther species, sown on %s\n", shortDate(v.on))
	for _, s := range v.species {
		mark := "  "
		if s.Chance >= 0.5 {
			mark = "* "
		}
		fmt.Fprintf(&b, "%s%s %s %s\n", mark, pad(s.Options.Species.Name, 22), bars(s.Chance, 20), chanceText(s))
	}
	b.WriteString("  * makes it in at least half of what may come\n")

	b.WriteString("\n" + factsText(v.facts(u)) + cautionsText(v.cautions()))
	return []byte(b.String())
}

// facts are what the outlook rests on.
func (v *outlookView) facts(u unitSystem) []fact {
	o := &v.base.Options
	facts := append(stationFacts(v.in.input), ensembleFact(v.ensemble, v.in))
	return append(append(facts, modelFacts(v.in, o, &v.ensemble.Trend, u)...), fact{"species", evidenceText(&o.Species)})
}

func (v *outlookView) cautions() []string {
	return append(seasonCautions(v.base.Members), cautions()...)
}

// ensembleFact tells what stands for the season.
func ensembleFact(e *forecast.Ensemble, in *stationInput) fact {
	return fact{"season", fmt.Sprintf("the record to %s%s, then the weather of %d past %s as what may come: %s",
		longDate(min(e.AsOf, in.Record.Last())), aheadText(e), len(e.Years), plural(len(e.Years), "season", "seasons"), runsOf(e.Years))}
}

// aheadText tells of forecast rows that were used.
func aheadText(e *forecast.Ensemble) string {
	if e.Ahead == 0 {
		return ""
	}
	return fmt.Sprintf(", forecast rows for %d days after it", e.Ahead)
}

func capital(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(s[:n]) + s[n:]
}

func chanceText(x *forecast.Outlook) string {
	return fmt.Sprintf("%s (%.0f–%.0f)  %s", padLeft(percent(x.Chance), 5), 100*x.Low, 100*x.High, x.Verdict)
}

// bars draws a share over n cells.
func bars(share float64, n int) string {
	k := int(math.Round(share * float64(n)))
	return strings.Repeat("█", k) + strings.Repeat("·", n-k)
}

// notes say what the answer turns on.
func (v *outlookView) notes() []string {
	x := v.base
	var out []string
	if n := unknownNote(v.ensemble, v.in, x.Sow); n != "" {
		out = append(out, n)
	}
	if c, ok := x.Cutoff.At(0.5); ok && x.Sow > c {
		out = append(out, "This is past the cutoff.")
	}
	switch d := x.BehindDays; {
	case math.IsNaN(d), x.Decided:
	case d >= 0.75:
		out = append(out, fmt.Sprintf("Since sowing the soil has been colder than in the middle season: growth is %s behind.", days(d)))
	case d <= -0.75:
		out = append(out, fmt.Sprintf("Since sowing the soil has been warmer than in the middle season: growth is %s ahead.", days(-d)))
	default:
		out = append(out, "Growth since sowing is as in the middle season, to a day.")
	}
	return out
}

func days(d float64) string {
	n := int(math.Round(d))
	return fmt.Sprintf("%d %s", n, plural(n, "day", "days"))
}

// stagesText is the table of the stages.
func (v *outlookView) stagesText() string {
	var b strings.Builder
	x := v.base
	b.WriteString("  stage            now                date (8 in 10 between)          days\n")
	for i, s := range x.Stages {
		now := "–"
		if v.in.asOf >= x.Sow && !v.nothingKnown() {
			now = fmt.Sprintf("%s (%.0f–%.0f)", percent(s.ReachedNow), 100*s.Low, 100*s.High)
		}
		date := "not before the season is over"
		if s.P50 != nil {
			date = shortDate(*s.P50)
			if s.P10 != nil {
				date += fmt.Sprintf(" (%s", shortDate(*s.P10))
				if s.P90 != nil {
					date += fmt.Sprintf(" to %s)", shortDate(*s.P90))
				} else {
					date += " to never)"
				}
			}
		} else if math.IsNaN(s.Days.P50) {
			date = "too few seasons"
		}
		fmt.Fprintf(&b, "  %s  %s  %s %s\n", pad([]string{"up (half)", "third leaf, cut", "established"}[i], 15), pad(now, 17), pad(date, 30), daysCell(s.Days))
	}
	return b.String()
}

// runsOf writes years as runs.
func runsOf(years []int) string {
	seasons := make([]forecast.Season, len(years))
	for i, y := range years {
		seasons[i].Year = y
	}
	return yearsText(seasons)
}
