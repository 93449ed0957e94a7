package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

var secondPassCommand = &command{
	name:    "second-pass",
	summary: "The first pass is thin: slow or lost, a second pass, the seed",
	usage:   "[FILE]",
	help: `Weighs a thin first pass: how much of it should be up by the soil so far,
against what is seen. It says whether to wait, until when, or that the seed is
gone, never without the probability; whether a second pass is still worth it,
when at the latest, with how much seed; and what comes next.

Cover is the share of the stand you want that is up: 30 where three plants stand
for ten. Digging helps: say with --seed-found whether seed lies in the ground.

Examples:
  swardcast second-pass my-station.csv --lat 33.8 --first 2026-10-01 \
      --as-of 2026-10-12 --cover 30 --seed-found no
  swardcast second-pass my-station.csv --lat 33.8 --first 2026-10-01 \
      --bare 60 --area 5000ft2 --use home-lawn --seed-left 10lb --bag 25lb
  swardcast second-pass my-station.csv --lat 33.8 --first 2026-10-01 \
      --cover 30 --format html -o second-pass.html
`,
	setup: func(f *pflag.FlagSet) func(*program, []string) error {
		var st stationFlags
		var tf turfFlags
		var sf seedFlags
		var out outputFlags
		var in secondPassInput
		f.Var(&in.first, "first", "day of the first pass")
		f.Float64Var(&in.cover, "cover", 0, "percent of the stand wanted that is up")
		f.Float64Var(&in.bare, "bare", 0, "percent of it that is not, in place of --cover")
		in.found = newChoice("", "no", "few", "yes")
		f.Var(in.found, "seed-found", "whether digging shows seed that has not come up")
		ahead := f.String("outlook-file", "", "daily forecast rows to put after the record, read as records are")
		sf.declare(f)
		tf.declare(f)
		tf.declareConfidence(f)
		st.declare(f)
		st.declareProbe(f)
		out.declare(f, "text", "json", "html", "svg", "png", "ics")
		out.declareCharts(f, "chance", "stand", "stages", "soil")
		in.flags, in.ahead = f, ahead
		return func(p *program, args []string) error { return p.secondPass(args, &st, &tf, &sf, &out, &in) }
	},
}

type secondPassInput struct {
	first       dateFlag
	cover, bare float64
	found       *choice
	ahead       *string
	flags       *pflag.FlagSet
}

// seen returns the cover, 0 to 1.
func (in *secondPassInput) seen() (float64, error) {
	cover, bare := in.flags.Changed("cover"), in.flags.Changed("bare")
	v, name := in.cover, "cover"
	if bare {
		v, name = in.bare, "bare"
	}
	switch {
	case cover && bare:
		return 0, &usageError{"give --cover or --bare, not both", ""}
	case !cover && !bare:
		return 0, &usageError{"how much of the stand is up is not given", "--cover 30"}
	case !(v >= 0 && v <= 100):
		return 0, &usageError{fmt.Sprintf("--%s %g: it is a percentage from 0 to 100", name, v), ""}
	case bare:
		return 1 - v/100, nil
	}
	return v / 100, nil
}

// A secondPassView is what the command answers.
type secondPassView struct {
	in       *stationInput
	ensemble *forecast.Ensemble
	first    *forecast.Outlook
	report   *forecast.StandReport
	stand    forecast.Stand
	second   []laterSowing // today and later
	last     *climate.Day  // last safe date of a second pass
	onClear  *forecast.Outlook
	other    *forecast.Outlook // a species that makes it more surely, or nil
	dormant  *climate.Day
	spring   *climate.Day
	frost    *climate.Day
	need     *seedNeed
	water    waterNeed
}

func (p *program) secondPass(args []string, st *stationFlags, tf *turfFlags, sf *seedFlags, out *outputFlags, given *secondPassInput) error {
	if !given.first.set {
		return &usageError{"the day of the first pass is not given", "--first 2026-10-01"}
	}
	cover, err := given.seen()
	if err != nil {
		return err
	}
	options, err := tf.options()
	if err != nil {
		return err
	}
	if len(options) > 1 {
		return &usageError{"a second pass is of one species", "--species " + options[0].Species.ID}
	}
	o := options[0]
	v := &secondPassView{stand: forecast.Stand{Cover: cover, Found: forecast.SeedFound(given.found.value)}}
	if sf.given() {
		if cover == 1 {
			return &usageError{"with a cover of 100 nothing is bare", "leave the area out"}
		}
		if v.need, err = sf.need(o.Species, 1-cover); err != nil {
			return err
		}
	}
	if v.in, err = p.openStation(args, st); err != nil {
		return err
	}
	if err := p.calibrate(v.in, st.probe); err != nil {
		return err
	}
	if given.first.day > v.in.asOf {
		return &usageError{fmt.Sprintf("the first pass, on %s, lies after the day of the look, %s", given.first.day, v.in.asOf),
			"--as-of a day after it, with a record that reaches it"}
	}
	if v.ensemble, err = p.ensemble(v.in, o, v.in.Calendar.SeasonHolding(given.first.day), *given.ahead); err != nil {
		return err
	}
	if v.in.asOf > v.in.Calendar.Last(v.ensemble.Season) {
		return &usageError{fmt.Sprintf("the season of that first pass ended on %s; look at it as of a day within it", v.in.Calendar.Last(v.ensemble.Season)), "--as-of DATE"}
	}
	if err := v.work(o, given.first.day); err != nil {
		return seasonsError(v.in, err)
	}
	return p.give(out, answer{text: v.text, json: func() any { return v.json() }, page: v.page, chart: v.chart, ics: v.calendarFile, about: v.in.about(v.ensemble.Season)})
}

func (v *secondPassView) work(o forecast.Options, first climate.Day) (err error) {
	e := v.ensemble
	if v.first, err = e.Outlook(o, first); err != nil {
		return err
	}
	if v.report, err = e.Judge(v.first, v.stand); err != nil {
		return err
	}
	today, last := v.in.asOf, v.in.Calendar.Last(e.Season)
	for _, n := range []int{0, 3, 7, 14} {
		if d := today + climate.Day(n); d <= last {
			x, err := e.Outlook(o, d)
			if err != nil {
				return err
			}
			v.second = append(v.second, laterSowing{n, x})
		}
	}
	now := v.second[0]
	if d, ok := now.Latest.At(1 - o.Confidence/100); ok {
		v.last = &d
	}
	if c := v.report.ClearOn; c != nil && *c > today && *c <= last {
		if v.onClear, err = e.Outlook(o, *c); err != nil {
			return err
		}
	}
	for _, sp := range turf.All() {
		so := o
		so.Species = sp
		x, err := e.Outlook(so, today)
		if err != nil {
			return err
		}
		const better = 0.05
		if x.Chance > now.Chance+better && !forecast.NoClearDifference(&sp, &o.Species, o.Stage) && (v.other == nil || x.Chance > v.other.Chance) {
			v.other = x
		}
	}
	if v.dormant, err = e.ColdSoil(today, turf.DormantSoilC); err != nil {
		return err
	}
	const springSoilC = 10 // 50 °F
	for _, c := range v.in.Normal5C.Crossings(springSoilC, today+1, today+400) {
		if c.Rising && v.spring == nil {
			v.spring = new(c.Day)
		}
	}
	frost := o
	frost.FreezeC = new(0.0)
	if x, err := e.Outlook(frost, today); err == nil {
		v.frost = dayOrNull(x.Freeze.At(0.5))
	}
	v.water, err = newWaterNeed(e, now.Stages[0], today)
	return err
}

// worth tells whether a second pass sown today has a fair chance.
func (v *secondPassView) worth() bool { return v.second[0].Chance >= 1.0/3 }

// judgement is the first sentence.
func (v *secondPassView) judgement() string {
	r := v.report
	lost := percent(r.LostProbability)
	clear := ""
	if r.ClearOn != nil && *r.ClearOn > v.in.asOf {
		clear = shortDate(*r.ClearOn)
	}
	switch r.Judgement {
	case forecast.KeepWaiting:
		if clear == "" {
			return fmt.Sprintf("The first pass lives: %s that more than half of the seed is gone. Nearly all that lives is up by now; more will hardly come of this seed.", lost)
		}
		s := fmt.Sprintf("Wait: the first pass is most likely slow or thin, not lost (%s that more than half of the seed is gone).", lost)
		return s + fmt.Sprintf(" Look again by %s, when nearly all that lives should be up.", clear)
	case forecast.SeedGone:
		s := fmt.Sprintf("Most of the seed is gone: %s that more than half of the first pass is lost.", lost)
		if v.worth() {
			return s + " A second pass still has a fair chance."
		}
		return s + " A second pass of it has little chance this season."
	}
	if r.ExpectedUp < 0.02 && v.stand.Cover == 0 {
		n := int(v.in.asOf - v.first.Sow)
		s := fmt.Sprintf("Sown %d %s ago, nothing of it can be up yet: nothing is lost that could be seen.", n, plural(n, "day", "days"))
		if clear != "" {
			s += fmt.Sprintf(" Look again by %s.", clear)
		}
		return s
	}
	s := fmt.Sprintf("Too early to tell: %s that more than half of the first pass is lost.", lost)
	switch {
	case clear == "":
		s += " Nearly all that lives is up by now, and the stand is between the two."
	case v.onClear != nil:
		s += fmt.Sprintf(" It should be clearer by %s; a second pass on that day has a chance of %s, today %s.", clear, percent(v.onClear.Chance), percent(v.second[0].Chance))
	default:
		s += fmt.Sprintf(" It should be clearer by %s.", clear)
	}
	return s
}

func (v *secondPassView) text(u unitSystem) []byte {
	var b strings.Builder
	r := v.report
	b.WriteString(wrap("", v.judgement()))
	if n := v.first.Members; n < forecast.MinSeasons {
		b.WriteString(wrap("", fmt.Sprintf("Only %d past %s can stand for what may come: too few for dates.", n, plural(n, "season", "seasons"))))
	}

	fmt.Fprintf(&b, "\nThe first pass, %s on %s\n", v.first.Options.Species.Name, longDate(v.first.Sow))
	b.WriteString(wrap("  should be up    ", fmt.Sprintf("%s of the living seed by %s (%.0f–%.0f)", percent(r.ExpectedUp), shortDate(v.in.asOf), 100*r.ExpectedLow, 100*r.ExpectedHi)))
	seen := fmt.Sprintf("%.0f %% of the stand", 100*v.stand.Cover)
	if v.stand.Found != forecast.NotDug {
		seen += fmt.Sprintf("; seed found on digging: %s", v.stand.Found)
	}
	b.WriteString(wrap("  is seen         ", seen))
	if r.MoreThanCan {
		b.WriteString(wrap("  mind            ", "More is seen than the soil so far allows: look at the dates, the cover and the species given."))
	}
	b.WriteString(wrap("  alive           ", fmt.Sprintf("%.0f %% of its seed, up or not (8 in 10: %.0f–%.0f)", 100*r.AliveP50, 100*r.AliveP10, 100*r.AliveP90)))
	b.WriteString(wrap("  will come to    ", fmt.Sprintf("%.0f %% of the stand without more seed (8 in 10: %.0f–%.0f)", 100*r.FinalP50, 100*r.FinalP10, 100*r.FinalP90)))
	for _, n := range (&outlookView{in: v.in, ensemble: v.ensemble, base: v.first}).notes() {
		b.WriteString(wrap("  mind            ", n))
	}

	b.WriteString("\nA second pass, sown                            chance\n")
	for _, s := range v.second {
		when := "today"
		if s.inDays > 0 {
			when = fmt.Sprintf("in %d days", s.inDays)
		}
		fmt.Fprintf(&b, "  %s %s %s %s\n", pad(when, 14), padLeft(shortDate(s.Sow), 6), bars(s.Chance, 20), chanceText(s.Outlook))
	}
	for _, l := range append(v.choices(u), thinSupport) {
		b.WriteString(wrap("  ", l))
	}

	if v.need != nil {
		b.WriteString("\nSeed for it\n" + wrap("  needed     ", v.seedWords(u)) + v.need.details(u))
	}

	b.WriteString("\nWhat comes next, if sown today\n")
	for _, x := range v.calendar() {
		b.WriteString(wrap("  "+pad(padLeft(shortDate(x.day), 6), 9), x.what))
	}
	b.WriteString(v.water.text(u))

	b.WriteString("\n" + factsText(v.facts(u)) + cautionsText(v.cautions()))
	return []byte(b.String())
}

// facts are what the answer rests on.
func (v *secondPassView) facts(u unitSystem) []fact {
	o := &v.first.Options
	facts := append(stationFacts(v.in.input), ensembleFact(v.ensemble, v.in), fact{"model", standAssumptions})
	return append(append(facts, modelFacts(v.in, o, &v.ensemble.Trend, u)...), fact{"species", evidenceText(&o.Species)})
}

func (v *secondPassView) cautions() []string {
	return append(seasonCautions(v.first.Members), cautions()...)
}

// seedWords tells the seed for what is bare.
func (v *secondPassView) seedWords(u unitSystem) string {
	n := v.need
	w := n.sowing.WeightG()
	line := fmt.Sprintf("%s for the bare %s", u.weight(w), u.area(n.sowing.AreaM2))
	if n.bag > 0 {
		line += fmt.Sprintf(": %d %s of %s", n.bags(w), plural(n.bags(w), "bag", "bags"), u.weight(n.bag))
	}
	if n.price > 0 {
		line += fmt.Sprintf(", costing %.2f", n.cost(w))
	}
	return line
}

// thinSupport is said of every second pass.
const thinSupport = "That a second pass mends a stand has thin published support; repeated light sowing under play kept about 90 % density (Cornell, S). Take it for a plan, not a rule."

// standAssumptions are those of the model of a thin stand.
const standAssumptions = "prior: 60 % that the sowing went as sowings do, most seed alive, spread as the field emergence of perennial ryegrass is (68-94 %, Bellotti & Blair 1989, S; taken for every species, M), 40 % that anything is possible (M); " +
	"an eye judges cover to 10 % of the stand (M); a search finds ten seeds where all of them lie, and seed found is living seed (M); one search in fifty and one look in five hundred go wrong altogether (M); lost means more than half; judged from 80 % on; a second pass has a fair chance from one in three"

// choices are the other ways.
func (v *secondPassView) choices(u unitSystem) []string {
	o := v.first.Options
	var out []string
	if v.last != nil {
		s := fmt.Sprintf("Last safe date for it at %g %%: %s", o.Confidence, shortDate(*v.last))
		if *v.last < v.in.asOf {
			s += ", which is past"
		}
		out = append(out, s+".")
	}
	if v.other != nil {
		out = append(out, fmt.Sprintf("%s makes it more surely: %s if sown today.", capital(v.other.Options.Species.Name), percent(v.other.Chance)))
	}
	if !v.worth() {
		dormant := turf.DormantSeeding(o.Species.ID) && v.dormant != nil
		switch {
		case dormant:
			out = append(out, fmt.Sprintf("Fallback: dormant seeding, once the soil at %s is down to %s, in its first such week about %s (University of Minnesota, S; others say 50 °F): the seed lies until spring, some of it is lost over winter.",
				u.depth(5), u.temp(turf.DormantSoilC), shortDate(*v.dormant)))
		case !turf.DormantSeeding(o.Species.ID):
			out = append(out, "Dormant seeding is no fallback: ryegrass is not used for it (University of Minnesota, S, of perennial ryegrass).")
		}
		if v.spring != nil {
			s := fmt.Sprintf("Fallback: wait for spring; in a normal year the soil at %s is back at 50 °F (10 °C) about %s.", u.depth(5), shortDate(*v.spring))
			if o.Host.ID != "none" {
				s += " The host wakes then too and crowds spring seedlings."
			}
			out = append(out, s)
		}
	}
	return out
}

type calendarEntry struct {
	day  climate.Day
	what string
}

// calendar lists what comes, in order.
func (v *secondPassView) calendar() []calendarEntry {
	var out []calendarEntry
	add := func(d *climate.Day, what string) {
		if d != nil && *d >= v.in.asOf {
			out = append(out, calendarEntry{*d, what})
		}
	}
	spread := func(s forecast.StageOutlook) string {
		if s.P10 == nil || s.P90 == nil {
			return ""
		}
		return fmt.Sprintf(" (8 in 10 between %s and %s)", shortDate(*s.P10), shortDate(*s.P90))
	}
	second := laterSowing{0, v.second[0].Outlook}
	if v.report.ClearOn != nil {
		add(v.report.ClearOn, "look again at the first pass: nearly all that lives should be up")
	}
	if !v.worth() {
		second.Outlook = &forecast.Outlook{} // no dates of a sowing that is not to be made
	}
	add(second.Stages[0].P50, "half of the second pass is up"+spread(second.Stages[0]))
	add(second.Stages[1].P50, "third leaf: first cut, with a sharp blade on dry ground"+spread(second.Stages[1]))
	add(second.Stages[2].P50, "established"+spread(second.Stages[2]))
	add(v.last, fmt.Sprintf("last safe date for sowing at %g %%", v.first.Options.Confidence))
	switch {
	case v.frost != nil && *v.frost <= v.in.asOf:
		add(&v.in.asOf, fmt.Sprintf("freezing nights since %s: keep off while the turf is frosted", shortDate(*v.frost)))
	default:
		add(v.frost, "freezing nights begin: from here keep off while the turf is frosted")
	}
	if c, ok := v.first.Cutoff.At(0.5); ok && c < v.in.asOf {
		out = append(out, calendarEntry{c, "the season's cutoff has come"})
	} else if ok {
		out = append(out, calendarEntry{c, "cutoff of the middle season"})
	}
	slices.SortStableFunc(out, func(a, b calendarEntry) int { return cmp.Compare(a.day, b.day) })
	return out
}

type secondPassOut struct {
	Schema     string        `json:"schema"`
	Station    stationOut    `json:"station"`
	Settings   settingsOut   `json:"settings"`
	Trend      climateOut    `json:"trend"`
	Season     int           `json:"season"`
	Species    string        `json:"species"`
	First      climate.Day   `json:"first"`
	AsOf       climate.Day   `json:"as_of"`
	Cover      number        `json:"cover"`
	Found      *string       `json:"seed_found"`
	Judgement  string        `json:"judgement"`
	Lost       number        `json:"lost_probability"`
	ClearOn    *climate.Day  `json:"clear_on"`
	ExpectedUp shareOut      `json:"expected_up"`
	Alive      spreadOut     `json:"alive"`
	Final      spreadOut     `json:"final_cover"`
	Second     []ifSownOut   `json:"second_pass"`
	Worth      bool          `json:"worth_it"`
	LastSafe   *climate.Day  `json:"last_safe"`
	Other      *ifOtherOut   `json:"surer_species"`
	Dormant    *climate.Day  `json:"dormant_seeding_from"`
	Spring     *climate.Day  `json:"spring_soil_10_c"`
	Seed       *seedOut      `json:"seed"`
	Calendar   []calendarOut `json:"calendar"`
	Water      []waterOut    `json:"water"`
	Probe      *probeOut     `json:"probe,omitempty"`
	Assumed    string        `json:"assumptions"`
	Cautions   []string      `json:"cautions"`
}

type shareOut struct {
	Share number `json:"share"`
	Low   number `json:"low"`
	High  number `json:"high"`
}

type calendarOut struct {
	Date climate.Day `json:"date"`
	What string      `json:"what"`
}

func (v *secondPassView) json() secondPassOut {
	r, o := v.report, v.first.Options
	out := secondPassOut{
		Schema: "swardcast.second-pass/1", Station: stationJSON(v.in.input), Settings: settingsOf(v.in, o, v.ensemble.Years), Trend: trendJSON(&v.ensemble.Trend), Season: v.ensemble.Season,
		Species: o.Species.ID, First: v.first.Sow, AsOf: v.in.asOf, Cover: number(v.stand.Cover), Judgement: string(r.Judgement), Lost: number(r.LostProbability),
		ClearOn: r.ClearOn, ExpectedUp: shareOut{number(r.ExpectedUp), number(r.ExpectedLow), number(r.ExpectedHi)},
		Alive: spreadOut{number(r.AliveP10), number(r.AliveP50), number(r.AliveP90)}, Final: spreadOut{number(r.FinalP10), number(r.FinalP50), number(r.FinalP90)},
		Worth: v.worth(), LastSafe: v.last, Spring: v.spring, Calendar: []calendarOut{}, Water: v.water.json(), Probe: v.in.probeJSON(), Assumed: standAssumptions,
		Cautions: v.cautions(),
	}
	if v.stand.Found != forecast.NotDug {
		out.Found = new(string(v.stand.Found))
	}
	for _, s := range v.second {
		out.Second = append(out.Second, ifSownOut{s.inDays, s.Sow, number(s.Chance), number(s.Low), number(s.High), string(s.Verdict)})
	}
	if x := v.other; x != nil {
		out.Other = &ifOtherOut{x.Options.Species.ID, x.Sow, number(x.Chance), number(x.Low), number(x.High), string(x.Verdict)}
	}
	if turf.DormantSeeding(o.Species.ID) {
		out.Dormant = v.dormant
	}
	if v.need != nil {
		out.Seed = new(v.need.json())
	}
	for _, c := range v.calendar() {
		out.Calendar = append(out.Calendar, calendarOut{c.day, c.what})
	}
	return out
}
