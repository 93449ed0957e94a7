package main

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/forecast"
)

var freezeCommand = &command{
	name:    "freeze",
	summary: "When the first and last freeze come, 10 to 90 %, and the trend",
	usage:   "[FILE]",
	help: `Goes through the past autumns and springs of the station for the first and the
last day at or below each threshold, and tells by which date it had come in 10
to 90 percent of seasons. A season without the event counts as later than every
date, so that a date may be missing where it comes too seldom. The trend is the
median slope over the seasons in which it came, with its 90 % interval.

Examples:
  swardcast freeze my-station.csv --lat 33.8
  swardcast freeze my-station.csv --lat 33.8 --threshold 24F --years 1995-2024
`,
	setup: func(f *pflag.FlagSet) func(*program, []string) error {
		var st stationFlags
		var out outputFlags
		var years yearRange
		season := f.Int("season", 0, "season the dates are told for (default the one at or after the last day)")
		thresholds := f.StringSlice("threshold", []string{"36F", "32F", "28F"}, "air temperatures, with F or C")
		f.Lookup("threshold").DefValue = "36F,32F,28F"
		f.Var(&years, "years", "seasons to use, by the year they are named after (default the latest 30 usable)")
		rule := declareCompleteness(f)
		st.declare(f)
		out.declare(f, "text", "json")
		return func(p *program, args []string) error {
			limits, err := temperatures("threshold", *thresholds)
			if err != nil {
				return err
			}
			if *season < 0 || *season > 9999 {
				return &usageError{fmt.Sprintf("season %d is not a year", *season), ""}
			}
			return p.freeze(args, &st, &out, limits, years, *season, completenessOf(rule.value))
		}
	},
}

// temperatures reads the list of a flag, °C.
func temperatures(flag string, list []string) ([]float64, error) {
	var out []float64
	for _, t := range list {
		c, err := parseTemperature(t)
		if err != nil {
			return nil, &usageError{fmt.Sprintf("--%s %q: %v", flag, t, err), ""}
		}
		out = append(out, c)
	}
	return out, nil
}

// calendar is that of the station's hemisphere, which its warm season tells
// where the latitude is not known, and must not contradict where it is.
func (in *input) calendar() (climate.Calendar, error) {
	c, err := in.checked.Calendar()
	switch {
	case errors.Is(err, climate.ErrHemisphere):
		return c, &dataError{fmt.Errorf("%s: %w", in.name, err), fmt.Sprintf("--lat %g", -*in.checked.Place.Latitude)}
	case err != nil:
		return c, &dataError{fmt.Errorf("%s: %w", in.name, err), ""}
	}
	return c, nil
}

type freezeView struct {
	in       *input
	season   int
	calendar climate.Calendar
	limits   []float64
	autumn   []*climate.FreezeTable
	spring   []*climate.FreezeTable
	rule     climate.Completeness
}

func (p *program) freeze(args []string, st *stationFlags, out *outputFlags, limits []float64, years yearRange, season int, rule climate.Completeness) error {
	in, err := p.openRecord(args, st)
	if err != nil {
		return err
	}
	if in.refusal != nil {
		return in.refusal
	}
	if len(limits) == 0 {
		return &usageError{"no threshold given", "--threshold 28F"}
	}
	calendar, err := in.calendar()
	if err != nil {
		return err
	}
	v := &freezeView{in: in, season: season, calendar: calendar, limits: limits, rule: rule}
	if v.season == 0 {
		v.season = v.calendar.SeasonFor(in.asOf)
	}
	asked := climate.FreezeOptions{FirstSeason: years.first, LastSeason: years.last, Completeness: rule}
	for _, limit := range limits {
		first, err := climate.FirstFreezes(in.checked, v.calendar, limit, asked)
		if err != nil {
			return &dataError{fmt.Errorf("%s: %w", in.name, err), ""}
		}
		last, err := climate.LastFreezes(in.checked, v.calendar, limit, asked)
		if err != nil {
			return &dataError{fmt.Errorf("%s: %w", in.name, err), ""}
		}
		v.autumn, v.spring = append(v.autumn, first), append(v.spring, last)
	}
	if v.autumn[0].Seasons() == 0 && v.spring[0].Seasons() == 0 {
		why := ""
		if d := v.autumn[0].Dropped; len(d) > 0 {
			why = fmt.Sprintf(": of %d, the latest, %d: %s", len(d), d[len(d)-1].Season, d[len(d)-1].Reason)
		}
		return &dataError{fmt.Errorf("%s: no season of the record can be used%s", in.name, why), ""}
	}
	return p.give(out, answer{text: v.text, json: func() any { return v.json() }})
}

// tenths are the shares told: 10 to 90 %.
var tenths = []float64{0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9}

type freezeOut struct {
	Schema     string         `json:"schema"`
	Station    stationOut     `json:"station"`
	Season     int            `json:"season"`
	Thresholds []thresholdOut `json:"thresholds"`
	Method     string         `json:"method"`
	Cautions   []string       `json:"cautions"`
}

type thresholdOut struct {
	TempC         number                  `json:"temp_c"`
	Seasons       int                     `json:"seasons"`
	OccurredShare number                  `json:"occurred_share"`
	First         map[string]*climate.Day `json:"first"`
	FirstTrend    trendOut                `json:"first_trend"`
	Dropped       []droppedOut            `json:"seasons_dropped"`
	Springs       int                     `json:"springs"`
	SpringShare   number                  `json:"spring_share"`
	Last          map[string]*climate.Day `json:"last"`
	LastTrend     trendOut                `json:"last_trend"`
}

type trendOut struct {
	Days number `json:"days_per_decade"`
	Low  number `json:"low"`
	High number `json:"high"`
}

func (v *freezeView) json() freezeOut {
	out := freezeOut{Schema: "swardcast.freeze/1", Station: stationJSON(v.in), Season: v.season, Method: v.method(), Cautions: v.cautions()}
	dates := func(t *climate.FreezeTable) map[string]*climate.Day {
		m := map[string]*climate.Day{}
		for _, p := range tenths {
			m[fmt.Sprintf("p%.0f", 100*p)] = dayOrNull(t.At(p, v.season))
		}
		return m
	}
	trend := func(t climate.Trend) trendOut { return trendOut{number(t.Slope), number(t.Low), number(t.High)} }
	for i, limit := range v.limits {
		a, s := v.autumn[i], v.spring[i]
		out.Thresholds = append(out.Thresholds, thresholdOut{
			TempC: number(limit), Seasons: a.Seasons(), OccurredShare: number(a.Share()), First: dates(a), FirstTrend: trend(a.Trend), Dropped: droppedJSON(a.Dropped),
			Springs: s.Seasons(), SpringShare: number(s.Share()), Last: dates(s), LastTrend: trend(s.Trend),
		})
	}
	return out
}

func (v *freezeView) method() string {
	return fmt.Sprintf("empirical quantiles, (n+1/3)p + 1/3, type 8 of Hyndman & Fan 1996, over the seasons; seasons without the event count as later than every date in autumn, as earlier in spring; "+
		"missing days by the rule %q; trend by Theil and Sen with its %.0f %% interval over the seasons with the event", v.rule.Name, 100*climate.TrendLevel)
}

func (v *freezeView) text(u unitSystem) []byte {
	var b strings.Builder
	// The killing freeze, or the coldest asked for, answers first.
	k := 0
	for i, limit := range v.limits {
		if limit < v.limits[k] {
			k = i
		}
	}
	t := v.autumn[k]
	name, limit := v.in.displayName(), u.temp(v.limits[k])
	switch mid, ok := t.At(0.5, v.season); {
	case t.Seasons() < forecast.MinSeasons:
		b.WriteString(wrap("", fmt.Sprintf("Too few seasons at %s for freeze dates: %d can be used, %d are needed.", name, t.Seasons(), forecast.MinSeasons)))
	case !ok:
		b.WriteString(wrap("", fmt.Sprintf("At %s the air does not reach %s in most seasons: it did in %d of %d.", name, limit, t.Came, t.Seasons())))
	default:
		early, _ := t.At(0.1, v.season)
		s := fmt.Sprintf("The first %s at %s comes about %s in the middle season, and by %s in 1 season of 10", limit, name, shortDate(mid), shortDate(early))
		if late, ok := t.At(0.9, v.season); ok {
			s += fmt.Sprintf("; in 9 of 10 it has come by %s", shortDate(late))
		}
		b.WriteString(wrap("", s+"."))
	}
	b.WriteString("\n" + v.table("First freeze of autumn: share of seasons in which it has come by the date", v.autumn, u))
	b.WriteString("\n" + v.table("Last freeze of spring: share of years in which it has come by the date", v.spring, u))
	facts := stationFacts(v.in)
	if t.Seasons() > 0 {
		facts = append(facts, fact{"seasons", fmt.Sprintf("%d, of the years %d to %d", t.Seasons(), t.Dates[0].Season, t.Dates[t.Seasons()-1].Season)})
	}
	for _, d := range t.Dropped {
		facts = append(facts, fact{"", fmt.Sprintf("left out %d: %s", d.Season, d.Reason)})
	}
	facts = append(facts, fact{"method", v.method()},
		fact{"thresholds", fmt.Sprintf("frost %s, freeze %s, hard or killing freeze %s: US National Weather Service, S", u.temp(celsius(36)), u.temp(0), u.temp(celsius(28)))})
	b.WriteString("\n" + factsText(facts))
	for _, c := range v.cautions() {
		b.WriteString(wrap("  - ", c))
	}
	return []byte(b.String())
}

func (v *freezeView) cautions() []string {
	out := []string{"A station in a town, on a slope or by water freezes later than the low ground near by: look where your thermometer stands."}
	if n := v.autumn[0].Seasons(); n < forecast.FewSeasons {
		out = append(out, fmt.Sprintf("Short record: %d usable %s; freeze dates of so few are rough, and under %d none is given.", n, plural(n, "season", "seasons"), forecast.MinSeasons))
	}
	return out
}

// shown are the shares of the text's table.
var shown = []float64{0.1, 0.2, 0.3, 0.5, 0.7, 0.8, 0.9}

func (v *freezeView) table(title string, tables []*climate.FreezeTable, u unitSystem) string {
	var b strings.Builder
	b.WriteString(title + "\n" + pad("", 9))
	for _, p := range shown {
		b.WriteString(padLeft(fmt.Sprintf("%.0f %%", 100*p), 8))
	}
	b.WriteString("  in seasons\n")
	for i, limit := range v.limits {
		t := tables[i]
		b.WriteString(padLeft(u.temp(limit), 9))
		for _, p := range shown {
			cell := "–"
			if d, ok := t.At(p, v.season); ok {
				cell = shortDate(d)
			}
			b.WriteString(padLeft(cell, 8))
		}
		fmt.Fprintf(&b, "  %d of %d\n", t.Came, t.Seasons())
	}
	for i, limit := range v.limits {
		if tr := tables[i].Trend; !math.IsNaN(tr.Slope) && tables[i].Came >= forecast.FewSeasons {
			fmt.Fprintf(&b, "  trend of %s: %+.1f days a decade (%.0f %% interval %+.1f to %+.1f)\n", u.temp(limit), roundTo(tr.Slope, 1), 100*climate.TrendLevel, roundTo(tr.Low, 1), roundTo(tr.High, 1))
		}
	}
	return b.String()
}
