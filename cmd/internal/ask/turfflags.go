package ask

import (
	"slices"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/cmd/internal/cli"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// byHost is the opening rule that the host sets.
const byHost = "by-host"

// TurfFlags say what is sown, into what, before what.
type TurfFlags struct {
	Species             []string
	host, stage, cutoff *Choice
	opening             *Choice
	freeze, open, dorm  Temperature
	years               Years
	completeness, trend *Choice
	unwatered           bool
	Season              int
	Confidence          float64
}

// Declare declares the flags.
func (t *TurfFlags) Declare(f *pflag.FlagSet) {
	f.StringSliceVar(&t.Species, "species", []string{"perennial-ryegrass"},
		"`species` to sow, by name or the beginning of it, several by commas, or all; or a parameter file of your own")
	f.Lookup("species").DefValue = "perennial-ryegrass"
	cli.MarkInput(f, "species")
	cli.MarkWords(f, "species", append(SpeciesIDs(), "all")...)
	t.host = newHost()
	f.Var(t.host, "host", "turf you sow into; none is bare soil or a cool-season lawn")
	t.stage = NewChoice(string(turf.Tillered), Names(append(turf.Stages(), turf.Covered))...)
	f.Var(t.stage, "stage", "how far the grass must be before the cold: up, fit to mow, established (tillered), "+
		"or a closed stand, for which only tall fescue has a figure")
	t.cutoff = NewChoice(string(forecast.CutoffEarliest), Names(forecast.CutoffRules())...)
	f.Var(t.cutoff, "cutoff",
		"the cold that ends the season for seedlings: a killing freeze, dormant turf, or what comes first")
	t.freeze = Temperature{text: "28F", limit: killingFreezes}
	t.open = Temperature{text: "75F", limit: openings}
	t.dorm = Temperature{text: "by host", limit: dormancies}
	f.Var(&t.freeze, "freeze-temp", "air temperature that counts as a killing freeze")
	f.Var(&t.open, "open-soil", "soil temperature at 4 in. (10 cm) below which it is cool enough to sow")
	t.opening = NewChoice(byHost, append([]string{byHost}, Names(forecast.OpeningRules())...)...)
	f.Var(t.opening, "opening", "what opens sowing: soil cool enough (with a host), days down to 85F (air), "+
		"or the end of the heat that favors seedling disease (without a host)")
	f.Var(&t.dorm, "dormancy-soil",
		"soil temperature at which the turf goes dormant: 55F at 4 in. (10 cm) with a warm-season host, "+
			"40F at 2 in. (5 cm) with none")
	f.BoolVar(&t.unwatered, "unwatered", false,
		"no irrigation: seed comes up only on days when rain keeps the seedbed moist (an estimate)")
	t.completeness = DeclareCompleteness(f)
	t.trend = NewChoice(string(forecast.TrendOn), Names(forecast.TrendRules())...)
	f.Var(t.trend, "trend", "bring past autumns to the climate of the coming one, where their trend is clear")
	f.Var(&t.years, "years", "past autumns to use, such as 1995-2020 (default the latest 30 usable)")
	t.Confidence = 80
}

// DeclareConfidence declares the flag of commands that give a last safe date.
func (t *TurfFlags) DeclareConfidence(f *pflag.FlagSet) {
	DeclarePercent(f, &t.Confidence, "confidence", 80, 100, "share of seasons in which a safe date held",
		"`percent` of seasons in which a safe date must have held")
}

// DeclareSeason declares the flag of commands that give dates of any season.
func (t *TurfFlags) DeclareSeason(f *pflag.FlagSet) {
	f.IntVar(&t.Season, "season", 0,
		"`year` of the season that dates are given for (default the one at or after the last day)")
}

// DeclareCompleteness declares the flag of the rule for missing days.
func DeclareCompleteness(f *pflag.FlagSet) *Choice {
	var rules []string
	for _, c := range climate.Completenesses() {
		rules = append(rules, c.Name)
	}
	c := NewChoice(climate.WMO().Name, rules...)
	f.Var(c, "completeness",
		"days that a season may lack: wmo 4 in a row and 10 in all, strict none, loose 15 and 30")
	return c
}

// CompletenessOf is the rule of a name.
func CompletenessOf(name string) climate.Completeness {
	for _, c := range climate.Completenesses() {
		if c.Name == name {
			return c
		}
	}
	panic("ask: no completeness rule " + name)
}

// Options turns the flags into one set of options a species.
func (t *TurfFlags) Options(p *cli.Program) ([]forecast.Options, error) {
	if !(t.Confidence > 0 && t.Confidence < 100) {
		return nil, cli.Usagef("--confidence 80%", "--confidence %g: it must lie between 0 and 100 percent",
			t.Confidence)
	}
	if t.Season != 0 && (t.Season < 1 || t.Season > 9999) {
		return nil, cli.Usagef("", "--season %d: it is not a year", t.Season)
	}
	host, _ := turf.FindHost(t.host.Value)
	if t.open.Given {
		host.Open.TempC, host.Open.Source = t.open.C, "your figure"
	}
	if t.dorm.Given {
		host.Dormancy.TempC, host.Dormancy.Source = t.dorm.C, "your figure"
	}
	if host.Open.TempC <= host.Dormancy.TempC {
		return nil, cli.Usagef("leave one of --open-soil and --dormancy-soil out",
			"sowing opens below %.1f °C, and turf goes dormant at %.1f °C: it would be dormant before sowing opens",
			host.Open.TempC, host.Dormancy.TempC)
	}
	opening := forecast.OpeningRule(t.opening.Value)
	switch {
	case opening == byHost && t.open.Given:
		opening = forecast.OpeningSoil
	case opening == byHost:
		opening = ""
	case opening != forecast.OpeningSoil && t.open.Given:
		return nil, cli.Usagef("--opening soil", "--open-soil is not used with --opening %s", opening)
	}
	o := forecast.Options{
		Opening: opening,
		Host:    host, Stage: turf.Stage(t.stage.Value), Cutoff: forecast.CutoffRule(t.cutoff.Value),
		Completeness: CompletenessOf(t.completeness.Value),
		FirstSeason:  t.years.First, LastSeason: t.years.Last, Season: t.Season, Confidence: t.Confidence,
		Unwatered: t.unwatered, Trend: forecast.TrendRule(t.trend.Value),
	}
	if t.freeze.Given {
		o.FreezeC = new(t.freeze.C)
	}
	var list []forecast.Options
	for _, name := range t.Species {
		var found []turf.Species
		var err error
		if name == "all" {
			found = turf.All()
		} else {
			found, err = FindSpecies(p, name)
		}
		if err != nil {
			return nil, err
		}
		for _, sp := range found {
			if !slices.ContainsFunc(list, func(x forecast.Options) bool { return x.Species == sp }) {
				o.Species = sp
				list = append(list, o)
			}
		}
	}
	for _, x := range list {
		if !x.Species.Has(x.Stage) {
			return nil, cli.Usagef("--species tall-fescue", "--stage %s: no figure of it is known for %s", x.Stage, x.Species.Name)
		}
	}
	if len(list) == 0 {
		return nil, cli.Usagef("--species perennial-ryegrass", "--species is empty")
	}
	return list, nil
}
