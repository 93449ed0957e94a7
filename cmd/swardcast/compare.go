package main

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/gocarina/gocsv"
	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/page"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

var compareCommand = &command{
	name:    "compare",
	summary: "Which species still make it here, one station or several",
	usage:   "[FILE...]",
	help: `Puts species side by side for a sow date: when each is up, mown and established,
its last safe date, its chance, and the seed at its rate, the surest first.
Species that share a letter are not told apart: seed lots of one differ as much
as the species do. With several files it gives the chance of each species at
each station.

Examples:
  swardcast compare my-station.csv --lat 33.8 --sow 2026-10-05
  swardcast compare my-station.csv --lat 40.9 --host none --use new-lawn
  swardcast compare north.csv south.csv --lat 46.1,33.8 --format csv
`,
	setup: func(f *pflag.FlagSet) func(*program, []string) error {
		var st stationFlags
		var tf turfFlags
		var out outputFlags
		var sow dateFlag
		f.Var(&sow, "sow", "day of sowing (default the as-of day, or the best day where that is before the opening)")
		use := newChoice(string(turf.HomeLawn), words(turf.Uses())...)
		f.Var(use, "use", "what the stand is for, which sets the seeding rate")
		tf.declare(f)
		tf.declareConfidence(f)
		var all []string
		for _, sp := range turf.All() {
			all = append(all, sp.ID)
		}
		tf.species = all
		f.Lookup("species").DefValue = "all"
		st.declare(f)
		st.declareProbe(f)
		out.declare(f, "text", "json", "csv", "html", "svg", "png")
		out.declareCharts(f, "chance", "safe", "species")
		return func(p *program, args []string) error {
			return p.compare(args, &st, &tf, &out, sow, turf.Use(use.value))
		}
	},
}

// A comparison is the species at one station.
type comparison struct {
	in       *stationInput
	season   int
	sow      climate.Day
	ensemble *forecast.Ensemble
	entries  []compared // the surest first
}

// A compared species has its outlook and its window.
type compared struct {
	outlook        *forecast.Outlook
	safe           *climate.Day
	compactLetters string
	rate           *turf.Rate
}

func (p *program) compare(args []string, st *stationFlags, tf *turfFlags, out *outputFlags, sow dateFlag, use turf.Use) error {
	options, err := tf.options()
	if err != nil {
		return err
	}
	files := [][]string{args}
	if len(args) > 1 {
		files = nil
		for _, a := range args {
			files = append(files, []string{a})
		}
	}
	var all []*comparison
	lats := st.lats
	if err := st.checkSeveral(len(files)); err != nil {
		return err
	}
	progress := p.progress("stations", len(files))
	defer progress.clear() // where a file cannot be read
	for i, f := range files {
		if len(lats) > 1 {
			st.lats = lats[i : i+1]
		}
		in, err := p.openStation(f, st)
		if err != nil {
			return err
		}
		if err := p.calibrate(in, st.probe); err != nil {
			return err
		}
		c, err := p.newComparison(in, options, sow, use)
		if err != nil {
			return err
		}
		all = append(all, c)
		progress.step()
	}
	progress.clear()
	return p.give(out, answer{
		text: func(u unitSystem) []byte {
			if len(all) == 1 {
				return all[0].text(u)
			}
			return matrixText(all, u)
		},
		json:  func() any { return comparisonJSON(all) },
		csv:   func() ([]byte, error) { return comparisonCSV(all) },
		about: all[0].in.about(all[0].season),
		page: func(u unitSystem) (*page.Page, error) {
			if len(all) > 1 {
				return matrixPage(all, u), nil
			}
			return all[0].page(u)
		},
		chart: func(name string, _ unitSystem) (*chart.Chart, error) {
			if len(all) > 1 {
				return nil, &usageError{"a chart is of one station", "compare one FILE, or --format html"}
			}
			return all[0].chart(name)
		},
	})
}

func (p *program) newComparison(in *stationInput, options []forecast.Options, sow dateFlag, use turf.Use) (*comparison, error) {
	c := &comparison{in: in, sow: sow.day, season: in.Calendar.SeasonFor(in.asOf)}
	if sow.set {
		c.season = in.Calendar.SeasonHolding(sow.day)
	}
	windows := make([]*forecast.Window, len(options))
	for i, o := range options {
		o.Season = c.season
		var err error
		if windows[i], err = in.Dates(o); err != nil {
			return nil, seasonsError(in, err)
		}
	}
	if !sow.set {
		c.sow = in.asOf
		opens, ok := windows[0].Opens.At(0.2)
		if best := windows[0].Best; best != nil && best.Sow > c.sow && (ok && c.sow < opens || in.Calendar.SeasonHolding(c.sow) != c.season) {
			c.sow = best.Sow
		}
	}
	e, err := p.ensemble(in, options[0], c.season, "")
	if err != nil {
		return nil, err
	}
	c.ensemble = e
	for i, o := range options {
		x, err := e.Outlook(o, c.sow)
		if err != nil {
			return nil, seasonsError(in, err)
		}
		entry := compared{outlook: x, safe: dayOrNull(windows[i].Safe())}
		if r, ok := turf.RateFor(o.Species.ID, use); ok {
			entry.rate = &r
		}
		c.entries = append(c.entries, entry)
	}
	stage := options[0].Stage
	need := func(a, b compared) int {
		return cmp.Compare(a.outlook.Options.Species.ThermalTime(stage), b.outlook.Options.Species.ThermalTime(stage))
	}
	// The surest first; of equally sure ones that which needs least.
	slices.SortStableFunc(c.entries, func(a, b compared) int {
		// To a thousandth: what is as good as nothing has no order.
		chance := func(x compared) float64 { return roundTo(x.outlook.Chance, 3) }
		return cmp.Or(cmp.Compare(chance(b), chance(a)), need(a, b))
	})
	if options[0].Unwatered {
		return c, nil // what tells species apart is then the rain, not the warmth alone
	}
	byNeed := slices.Clone(c.entries)
	slices.SortStableFunc(byNeed, need)
	var species []turf.Species
	for _, x := range byNeed {
		species = append(species, x.outlook.Options.Species)
	}
	for i, l := range forecast.CompactLetters(species, stage) {
		k := slices.IndexFunc(c.entries, func(x compared) bool { return x.outlook == byNeed[i].outlook })
		c.entries[k].compactLetters = l
	}
	return c, nil
}

// sentence is the answer.
func (c *comparison) sentence() string {
	best := c.entries[0].outlook
	var making []string
	for _, x := range c.entries {
		if x.outlook.Verdict == forecast.Likely {
			making = append(making, x.outlook.Options.Species.Name)
		}
	}
	head := fmt.Sprintf("Sown on %s at %s, no species is likely to %s before the cutoff; the surest is %s, with %s.", longDate(c.sow), c.in.displayName(),
		stageVerbs[best.Options.Stage], best.Options.Species.Name, percent(best.Chance))
	switch {
	case best.Verdict == forecast.No:
		head = fmt.Sprintf("Sown on %s at %s, no species will %s before the cutoff.", longDate(c.sow), c.in.displayName(), stageVerbs[best.Options.Stage])
	case len(making) == len(c.entries) && len(making) > 1:
		head = fmt.Sprintf("Sown on %s at %s, every species is likely to %s before the cutoff.", longDate(c.sow), c.in.displayName(), stageVerbs[best.Options.Stage])
	case len(making) > 0:
		head = fmt.Sprintf("Sown on %s at %s, these are likely to %s before the cutoff: %s.", longDate(c.sow), c.in.displayName(), stageVerbs[best.Options.Stage], strings.Join(making, ", "))
	}
	return head
}

func (c *comparison) text(u unitSystem) []byte {
	var b strings.Builder
	best := c.entries[0].outlook
	b.WriteString(wrap("", c.sentence()))
	fmt.Fprintf(&b, "\n%s  chance         up     mow tillered last safe\n", pad("species", 23))
	for _, x := range c.entries {
		o := x.outlook
		fmt.Fprintf(&b, "%s %s %s %s %s %s %s %s\n", pad(o.Options.Species.Name, 22), pad(x.compactLetters, 2), padLeft(percent(o.Chance), 5),
			pad(fmt.Sprintf("%.0f–%.0f", 100*o.Low, 100*o.High), 6), padLeft(dateOr(o.Stages[0].P50), 6), padLeft(dateOr(o.Stages[1].P50), 7),
			padLeft(dateOr(o.Stages[2].P50), 8), padLeft(dateOr(x.safe), 9))
	}
	b.WriteString(wrap("", fmt.Sprintf("Species that share a letter are not told apart by the warmth they need: seed lots of one differ as much. Dates are those of the middle season; last safe at %g %%; – for none.", best.Options.Confidence)))
	b.WriteString(c.rates(u))
	b.WriteString("\n" + factsText(c.facts(u)) + cautionsText(c.cautions()))
	return []byte(b.String())
}

// facts are what the comparison rests on.
func (c *comparison) facts(u unitSystem) []fact {
	facts := append(stationFacts(c.in.input), ensembleFact(c.ensemble, c.in))
	return append(append(facts, modelFacts(c.in, &c.entries[0].outlook.Options, &c.ensemble.Trend, u)...),
		fact{"species", "swardcast species lists every figure with its standing; swardcast seed the rates' sources"})
}

func (c *comparison) cautions() []string {
	return append(seasonCautions(c.entries[0].outlook.Members), cautions()...)
}

// rates lists the seed of each species at its published rate.
func (c *comparison) rates(u unitSystem) string {
	var b strings.Builder
	for _, x := range c.entries {
		if x.rate == nil {
			continue
		}
		sp := &x.outlook.Options.Species
		fmt.Fprintf(&b, "  %s %s  %s seeds %s\n", pad(sp.Name, 22), pad(u.rate(x.rate.Usual), 18), padLeft(perArea(u, x.rate.Usual*sp.SeedsPerGram.Value), 6), areaWord(u))
	}
	if n := len(c.entries) - strings.Count(b.String(), "\n"); n > 0 && b.Len() > 0 {
		fmt.Fprintf(&b, "  (no rate is published for this use of the other %d)\n", n)
	}
	if b.Len() == 0 {
		return "\nNo seeding rate is published for this use of these species.\n"
	}
	return "\nSeed at the published rate (swardcast seed tells the sources)\n" + b.String()
}

// matrixCell is the width of a station's column.
const matrixCell = 14

// matrixSentence tells which species are likely to make it everywhere.
func matrixSentence(all []*comparison) string {
	verb := stageVerbs[all[0].entries[0].outlook.Options.Stage]
	var making []string
	for _, x := range all[0].entries {
		sp := &x.outlook.Options.Species
		if !slices.ContainsFunc(all, func(c *comparison) bool { return c.of(sp.ID).outlook.Verdict != forecast.Likely }) {
			making = append(making, sp.Name)
		}
	}
	switch {
	case len(making) == 0:
		return fmt.Sprintf("No species is likely to %s before the cutoff at %s.", verb, allStations(all))
	case len(making) == len(all[0].entries) && len(making) > 1:
		return fmt.Sprintf("Every species is likely to %s before the cutoff at %s.", verb, allStations(all))
	}
	return fmt.Sprintf("Likely to %s before the cutoff at %s: %s.", verb, allStations(all), strings.Join(making, ", "))
}

func allStations(all []*comparison) string {
	if len(all) == 2 {
		return "both stations"
	}
	return fmt.Sprintf("all %d stations", len(all))
}

func matrixTitle(all []*comparison) string {
	o := &all[0].entries[0].outlook.Options
	return fmt.Sprintf("Chance to %s before the cutoff, species by station, and the last safe date at %g %%", stageVerbs[o.Stage], o.Confidence)
}

// matrixCautions are those of several stations, each short record by its name.
func matrixCautions(all []*comparison) []string {
	var out []string
	for _, c := range all {
		for _, s := range seasonCautions(c.entries[0].outlook.Members) {
			out = append(out, c.in.displayName()+": "+s)
		}
	}
	return append(out, cautions()...)
}

// matrixText is the chance of each species at each station.
func matrixText(all []*comparison, u unitSystem) []byte {
	var b strings.Builder
	b.WriteString(wrap("", matrixSentence(all)) + "\n" + wrap("", matrixTitle(all)) + "\n")
	const most = 4 // stations side by side
	order := all[0].entries
	for i, c := range all {
		b.WriteString(wrap(fmt.Sprintf("%4d  ", i+1), fmt.Sprintf("%s, latitude %g; sown on %s; %d past %s, %s to %s", c.in.displayName(), *c.in.checked.Place.Latitude, longDate(c.sow), len(c.ensemble.Years),
			plural(len(c.ensemble.Years), "season", "seasons"), longDate(c.in.checked.First), longDate(c.in.checked.Last()))))
	}
	b.WriteString("\n")
	for from := 0; from < len(all); from += most {
		group := all[from:min(from+most, len(all))]
		b.WriteString(pad("station", 23))
		for i := range group {
			b.WriteString(padLeft(fmt.Sprint(from+i+1), matrixCell))
		}
		b.WriteString("\n" + pad("sown on", 23))
		for _, c := range group {
			b.WriteString(padLeft(shortDate(c.sow), matrixCell))
		}
		b.WriteString("\n")
		for _, x := range order {
			b.WriteString(pad(x.outlook.Options.Species.Name, 23))
			for _, c := range group {
				e := c.of(x.outlook.Options.Species.ID)
				safe := "–"
				if e.safe != nil {
					safe = shortDate(*e.safe)
				}
				b.WriteString(padLeft(percent(e.outlook.Chance)+" "+padLeft(safe, 6), matrixCell))
			}
			b.WriteString("\n")
		}
		b.WriteString("\n")
	}
	b.WriteString(wrap("", "Thresholds: "+thresholdText(&all[0].entries[0].outlook.Options, u)+".") + "\n")
	b.WriteString(cautionsText(matrixCautions(all)))
	return []byte(b.String())
}

// of is the entry of a species.
func (c *comparison) of(id string) *compared {
	return &c.entries[slices.IndexFunc(c.entries, func(x compared) bool { return x.outlook.Options.Species.ID == id })]
}

type compareOut struct {
	Schema   string              `json:"schema"`
	Stations []compareStationOut `json:"stations"`
	Cautions []string            `json:"cautions"`
}

type compareStationOut struct {
	Station  stationOut          `json:"station"`
	Settings settingsOut         `json:"settings"`
	Trend    climateOut          `json:"trend"`
	Season   int                 `json:"season"`
	Sow      climate.Day         `json:"sow"`
	AsOf     climate.Day         `json:"as_of"`
	Species  []compareSpeciesOut `json:"species"`
}

type compareSpeciesOut struct {
	ID             string       `json:"id"`
	Name           string       `json:"name"`
	CompactLetters string       `json:"not_told_apart"`
	Chance         number       `json:"chance"`
	ChanceLow      number       `json:"chance_low"`
	ChanceHigh     number       `json:"chance_high"`
	Verdict        string       `json:"verdict"`
	Stages         []stageOut   `json:"stages"`
	LastSafe       *climate.Day `json:"last_safe"`
	RateGM2        *number      `json:"rate_g_m2"`
	SeedsM2        *number      `json:"seeds_m2"`
}

func comparisonJSON(all []*comparison) compareOut {
	out := compareOut{Schema: "swardcast.compare/1", Cautions: cautions()}
	for _, c := range all {
		s := compareStationOut{Station: stationJSON(c.in.input), Settings: settingsOf(c.in, c.entries[0].outlook.Options, c.ensemble.Years), Trend: trendJSON(&c.ensemble.Trend), Season: c.season, Sow: c.sow, AsOf: c.in.asOf}
		for _, x := range c.entries {
			o := x.outlook
			e := compareSpeciesOut{o.Options.Species.ID, o.Options.Species.Name, x.compactLetters, number(o.Chance), number(o.Low), number(o.High), string(o.Verdict),
				stagesJSON(o), x.safe, nil, nil}
			if x.rate != nil {
				e.RateGM2 = new(number(x.rate.Usual))
				e.SeedsM2 = new(number(x.rate.Usual * o.Options.Species.SeedsPerGram.Value))
			}
			s.Species = append(s.Species, e)
		}
		out.Stations = append(out.Stations, s)
	}
	return out
}

type compareRow struct {
	Station        string `csv:"station"`
	Species        string `csv:"species"`
	Sow            string `csv:"sow"`
	Chance         number `csv:"chance"`
	Low            number `csv:"chance_low"`
	High           number `csv:"chance_high"`
	Verdict        string `csv:"verdict"`
	CompactLetters string `csv:"not_told_apart"`
	UpP50          string `csv:"emerged_p50"`
	MowP50         string `csv:"mow_p50"`
	TilleredP5     string `csv:"tillered_p50"`
	LastSafe       string `csv:"last_safe"`
	RateGM2        number `csv:"rate_g_m2"`
	SeedsM2        number `csv:"seeds_m2"`
}

func comparisonCSV(all []*comparison) ([]byte, error) {
	date := func(d *climate.Day) string {
		if d == nil {
			return ""
		}
		return d.String()
	}
	var rows []compareRow
	for _, c := range all {
		for _, x := range c.entries {
			o := x.outlook
			r := compareRow{Station: cellText(c.in.displayName()), Species: o.Options.Species.ID, Sow: c.sow.String(), Chance: number(o.Chance), Low: number(o.Low), High: number(o.High),
				Verdict: string(o.Verdict), CompactLetters: x.compactLetters, UpP50: date(o.Stages[0].P50), MowP50: date(o.Stages[1].P50), TilleredP5: date(o.Stages[2].P50),
				LastSafe: date(x.safe), RateGM2: unknownNumber, SeedsM2: unknownNumber}
			if x.rate != nil {
				r.RateGM2, r.SeedsM2 = number(x.rate.Usual), number(x.rate.Usual*o.Options.Species.SeedsPerGram.Value)
			}
			rows = append(rows, r)
		}
	}
	var b bytes.Buffer
	err := gocsv.Marshal(rows, &b)
	return b.Bytes(), err
}
