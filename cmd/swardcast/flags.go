package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/recordfile"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// A choice is a flag that takes one of some words.
type choice struct {
	value string
	words []string
}

func newChoice(value string, words ...string) *choice { return &choice{value, words} }

func (c *choice) String() string { return c.value }
func (c *choice) Type() string   { return strings.Join(c.words, "|") }
func (c *choice) Set(s string) error {
	if !slices.Contains(c.words, s) {
		return fmt.Errorf("it is one of %s", strings.Join(c.words, ", "))
	}
	c.value = s
	return nil
}

// words turns a list of text types into strings.
func words[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	return out
}

// A temperature is a flag that takes a number with F or C.
type temperature struct {
	c    float64
	set  bool
	text string // shown as the default
}

func (t *temperature) String() string { return t.text }
func (t *temperature) Type() string   { return "TEMP" }
func (t *temperature) Set(s string) error {
	c, err := parseTemperature(s)
	if err != nil {
		return err
	}
	t.c, t.set, t.text = c, true, s
	return nil
}

// parseTemperature reads a number with F or C, such as 28F or -2.2C, in °C.
func parseTemperature(s string) (float64, error) {
	bad := fmt.Errorf("write a number with F or C, such as 28F or -2C")
	s = strings.TrimSpace(s)
	if s == "" {
		return 0, bad
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(s[:len(s)-1], "°")), 64)
	if err != nil || math.IsNaN(v) || math.Abs(v) > 200 {
		return 0, bad
	}
	switch s[len(s)-1] {
	case 'C', 'c':
		return v, nil
	case 'F', 'f':
		return celsius(v), nil
	}
	return 0, bad
}

// A dateFlag takes a date YYYY-MM-DD.
type dateFlag struct {
	day climate.Day
	set bool
}

func (d *dateFlag) String() string {
	if !d.set {
		return ""
	}
	return d.day.String()
}
func (d *dateFlag) Type() string { return "DATE" }
func (d *dateFlag) Set(s string) error {
	day, err := climate.ParseDay(s)
	if err != nil {
		return err
	}
	d.day, d.set = day, true
	return nil
}

// A yearRange takes FIRST-LAST.
type yearRange struct{ first, last int }

func (y *yearRange) String() string {
	if y.first == 0 {
		return ""
	}
	return fmt.Sprintf("%d-%d", y.first, y.last)
}
func (y *yearRange) Type() string { return "FIRST-LAST" }
func (y *yearRange) Set(s string) error {
	a, b, ok := strings.Cut(s, "-")
	first, errA := strconv.Atoi(a)
	last, errB := strconv.Atoi(b)
	if !ok || errA != nil || errB != nil || first < 1 || last < first || last > 9999 {
		return fmt.Errorf("write two years, such as 1995-2020")
	}
	y.first, y.last = first, last
	return nil
}

// stationFlags tell where a record is from and how to read it.
type stationFlags struct {
	lats           []float64 // one, or one a FILE
	lon, elevation float64
	name, station  string
	probe          string
	columns        map[string]string
	unit           *choice
	asOf           dateFlag
	flags          *pflag.FlagSet
}

func (s *stationFlags) declare(f *pflag.FlagSet) {
	f.Float64SliceVar(&s.lats, "lat", nil, "latitude in `degrees`, south negative, where the file does not give it; of several files one each, in their order")
	f.Float64Var(&s.lon, "lon", 0, "longitude in `degrees`, west negative")
	f.Float64Var(&s.elevation, "elevation", 0, "elevation in `metres`")
	f.Lookup("lat").DefValue = "[]" // which is not printed
	f.StringVar(&s.name, "name", "", "name of the station")
	f.StringVar(&s.station, "station", "", "ID or name of the station to read, where the file holds several")
	s.declareReading(f)
}

// declareReading declares the flags that hold for several files at once.
func (s *stationFlags) declareReading(f *pflag.FlagSet) {
	s.flags = f
	s.unit = newChoice(string(recordfile.Auto), words(recordfile.Units())...)
	f.Var(s.unit, "temp-unit", "unit of the temperatures in the file")
	f.StringToStringVar(&s.columns, "columns", nil, "what columns hold where their names do not say it, by name or number: date=Day,tmax=High,tmin=3 (also year, month, day, precip, station, element, value)")
	f.Lookup("columns").DefValue = "[]"
	f.Var(&s.asOf, "as-of", "pretend today is this day: later rows are not read (default the last day)")
}

// declareProbe declares the flag of the user's own soil readings.
func (s *stationFlags) declareProbe(f *pflag.FlagSet) {
	f.StringVar(&s.probe, "probe", "", "your own soil readings (date,depth_cm,soil_c or soil_f, time): calibrates the soil to the site")
}

// place overrides what the file says with what the flags say.
func (s *stationFlags) place(p *climate.Place) {
	if len(s.lats) > 0 {
		p.Latitude = &s.lats[0]
	}
	if s.flags.Changed("lon") {
		p.Longitude = &s.lon
	}
	if s.flags.Changed("elevation") {
		p.ElevationM = &s.elevation
	}
	if s.flags.Changed("name") {
		p.Name = s.name
	}
}

// checkSeveral refuses what cannot be told of several files at once.
func (s *stationFlags) checkSeveral(files int) error {
	if files < 2 {
		return nil
	}
	if n := len(s.lats); n > 0 && n != files {
		return &usageError{fmt.Sprintf("%d files, %d latitudes", files, n), "give one each, as in --lat 46.1,33.8, or none where the files have them"}
	}
	for _, name := range []string{"name", "lon", "elevation", "station", "probe"} {
		if s.flags.Changed(name) {
			return &usageError{fmt.Sprintf("--%s cannot be that of several files", name), ""}
		}
	}
	return nil
}

// check refuses a place that is not on Earth.
func (s *stationFlags) check() error {
	for _, lat := range s.lats {
		if !(math.Abs(lat) <= 90) {
			return &usageError{fmt.Sprintf("latitude %g is not between -90 and 90", lat), ""}
		}
	}
	if len(s.lats) > 1 {
		return &usageError{fmt.Sprintf("%d latitudes for one FILE", len(s.lats)), ""}
	}
	if !(math.Abs(s.lon) <= 180) {
		return &usageError{fmt.Sprintf("longitude %g is not between -180 and 180", s.lon), ""}
	}
	if s.flags.Changed("elevation") && !(s.elevation >= minElevationM && s.elevation <= maxElevationM) {
		return &usageError{fmt.Sprintf("elevation %g is not between %d and %d m", s.elevation, minElevationM, maxElevationM), ""}
	}
	return nil
}

// The shore of the Dead Sea and the top of Mount Everest, rounded outwards.
const minElevationM, maxElevationM = -450, 9000

// turfFlags say what is sown, into what, before what.
type turfFlags struct {
	species             []string
	host, stage, cutoff *choice
	freeze, open, dorm  temperature
	years               yearRange
	completeness        *choice
	trend               *choice
	unwatered           bool
	season              int
	confidence          float64
}

func (t *turfFlags) declare(f *pflag.FlagSet) {
	f.StringSliceVar(&t.species, "species", []string{"perennial-ryegrass"}, "species sown, by the names of swardcast species, or a parameter file of your own")
	f.Lookup("species").DefValue = "perennial-ryegrass"
	var hosts []string
	for _, h := range turf.Hosts() {
		hosts = append(hosts, h.ID)
	}
	t.host = newChoice(hosts[0], hosts...)
	f.Var(t.host, "host", "turf that is overseeded, none for bare soil or a cool-season lawn")
	t.stage = newChoice(string(turf.Tillered), words(turf.Stages())...)
	f.Var(t.stage, "stage", "what must be reached before the cutoff")
	t.cutoff = newChoice(string(forecast.CutoffEarliest), words(forecast.CutoffRules())...)
	f.Var(t.cutoff, "cutoff", "what ends the season for seedlings")
	t.freeze, t.open, t.dorm = temperature{text: "28F"}, temperature{text: "75F"}, temperature{text: "by host"}
	f.Var(&t.freeze, "freeze-temp", "killing freeze of the air")
	f.Var(&t.open, "open-soil", "soil temperature at 4 in. (10 cm) below which sowing opens")
	f.Var(&t.dorm, "dormancy-soil", "soil temperature of dormancy: 55F at 4 in. (10 cm) with a warm-season host, 40F at 2 in. (5 cm) with none")
	f.BoolVar(&t.unwatered, "unwatered", false, "nobody waters: seed comes up only on days that rain keeps the seedbed moist (an estimate)")
	t.completeness = declareCompleteness(f)
	t.trend = declareTrend(f)
	f.Var(&t.years, "years", "seasons to use, by the year they are named after (default the latest 30 usable)")
	t.confidence = 80
}

// declareConfidence declares the flag of commands that tell a last safe date.
func (t *turfFlags) declareConfidence(f *pflag.FlagSet) {
	f.Float64Var(&t.confidence, "confidence", 80, "percent of seasons that a safe date must have made")
}

// declareSeason declares the flag of commands that tell dates of any season.
func (t *turfFlags) declareSeason(f *pflag.FlagSet) {
	f.IntVar(&t.season, "season", 0, "season the dates are told for (default the one at or after the last day)")
}

// declareCompleteness declares the flag of the rule for missing days.
func declareCompleteness(f *pflag.FlagSet) *choice {
	var rules []string
	for _, c := range climate.Completenesses() {
		rules = append(rules, c.Name)
	}
	c := newChoice(climate.WMO.Name, rules...)
	f.Var(c, "completeness", "days that may be missing where they decide: wmo 4 in a row and 10 in all, strict none, loose 15 and 30")
	return c
}

// completenessOf is the rule of a name.
func completenessOf(name string) climate.Completeness {
	for _, c := range climate.Completenesses() {
		if c.Name == name {
			return c
		}
	}
	panic("swardcast: no completeness rule " + name)
}

// options turns the flags into one set of options a species.
func (t *turfFlags) options() ([]forecast.Options, error) {
	if !(t.confidence > 0 && t.confidence < 100) {
		return nil, &usageError{fmt.Sprintf("confidence %g is not between 0 and 100 percent", t.confidence), ""}
	}
	if t.season != 0 && (t.season < 1 || t.season > 9999) {
		return nil, &usageError{fmt.Sprintf("season %d is not a year", t.season), ""}
	}
	host, _ := turf.FindHost(t.host.value)
	if t.open.set {
		host.Open.TempC, host.Open.Source = t.open.c, "as told"
	}
	if t.dorm.set {
		host.Dormancy.TempC, host.Dormancy.Source = t.dorm.c, "as told"
	}
	o := forecast.Options{
		Host: host, Stage: turf.Stage(t.stage.value), Cutoff: forecast.CutoffRule(t.cutoff.value),
		Completeness: completenessOf(t.completeness.value),
		FirstSeason:  t.years.first, LastSeason: t.years.last, Season: t.season, Confidence: t.confidence,
		Unwatered: t.unwatered, Trend: forecast.TrendRule(t.trend.value),
	}
	if t.freeze.set {
		o.FreezeC = new(t.freeze.c)
	}
	var list []forecast.Options
	for _, name := range t.species {
		found, err := findSpecies(name)
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
	if len(list) == 0 {
		return nil, &usageError{"no species given", "swardcast species"}
	}
	return list, nil
}

// findSpecies finds a built-in species by its ID, or reads a parameter file.
func findSpecies(name string) ([]turf.Species, error) {
	if sp, ok := turf.Find(name); ok {
		return []turf.Species{sp}, nil
	}
	if strings.ContainsAny(name, `./\`) {
		var list []turf.Species
		err := readFile(name, func(r io.Reader) (err error) {
			list, err = readSpecies(r, name)
			return err
		})
		return list, err
	}
	var near []string
	for _, sp := range turf.All() {
		if strings.Contains(sp.ID, name) || strings.Contains(name, strings.Split(sp.ID, "-")[0]) {
			near = append(near, sp.ID)
		}
	}
	hint := "swardcast species lists them"
	if len(near) > 0 {
		hint = "--species " + strings.Join(near, " or ")
	}
	return nil, &usageError{fmt.Sprintf("unknown species %q", name), hint}
}

// outputFlags say in which form and where the answer goes.
type outputFlags struct {
	format *choice
	chart  *choice // the chart of the formats svg and png
	output string
	units  *choice
	color  *choice
	flags  *pflag.FlagSet
}

func (o *outputFlags) declare(f *pflag.FlagSet, formats ...string) {
	o.flags = f
	o.units = newChoice("us", "us", "metric")
	f.Var(o.units, "units", "units of text, pages and charts; JSON and CSV are always SI")
	o.format = newChoice(formats[0], formats...)
	f.Var(o.format, "format", "form of the answer")
	o.color = newChoice("auto", "auto", "always", "never")
	f.Var(o.color, "color", "colour in text; auto: on a terminal, unless NO_COLOR is set or TERM is dumb")
	f.StringVarP(&o.output, "output", "o", "", "`file` to write, whole or not at all (default standard output)")
}

// declareCharts declares the flag of commands that draw charts.
func (o *outputFlags) declareCharts(f *pflag.FlagSet, names ...string) {
	o.chart = newChoice(names[0], names...)
	f.Var(o.chart, "chart", "chart that the formats svg and png draw")
}

// isPicture tells whether a chart alone is asked for.
func (o *outputFlags) isPicture() bool { return o.format.value == "svg" || o.format.value == "png" }
