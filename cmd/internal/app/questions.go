package app

import (
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/compare"
	"swardcast/cmd/internal/freeze"
	"swardcast/cmd/internal/hindcast"
	"swardcast/cmd/internal/outlook"
	"swardcast/cmd/internal/plan"
	"swardcast/cmd/internal/record"
	"swardcast/cmd/internal/secondpass"
	"swardcast/cmd/internal/seed"
	"swardcast/cmd/internal/soil"
	"swardcast/cmd/internal/species"
	"swardcast/cmd/internal/spring"
	"swardcast/cmd/internal/window"
	"swardcast/forecast/turf"
)

// Commands are those of the app: all that answer for one station from files.
var Commands = []*cli.Command{
	window.Command, outlook.Command, secondpass.Command, compare.Command, seed.Command, plan.Command,
	spring.Command, soil.Command, freeze.Command, hindcast.Command, record.Command, species.Command,
}

// A Question is a command as the app asks it.
type Question struct {
	ID       string   `json:"id"`       // of its command
	Title    string   `json:"title"`    // on the page
	Also     bool     `json:"also"`     // stands in the second row
	NoRecord bool     `json:"noRecord"` // needs no weather
	Own      []string `json:"own"`      // flags that are of this question
	Turf     []string `json:"turf"`     // flags of the turf and its seed
	More     []string `json:"more"`     // flags that are seldom needed
	Probe    []string `json:"probe"`    // flags of the soil readings
	// Needs are flags without which it is not asked: one of each list.
	Needs [][]string `json:"needs"`
	// Demo are values given at first where the demo station answers, whose record ends
	// in summer.
	Demo map[string]string `json:"demo"`
	// Forms and Charts are what the command can write, by name.
	Forms    []string `json:"forms"`
	Charts   []string `json:"charts"`
	Readings bool     `json:"readings"` // takes soil readings
}

var (
	sown     = []string{"species", "host", "unwatered"}
	ground   = []string{"use", "area", "seed-left", "bag", "price"}
	label    = []string{"rectangle", "circle", "rate", "purity", "germination", "coating", "overlap", "loss"}
	question = []string{
		"stage", "confidence", "cutoff", "freeze-temp", "opening", "open-soil", "dormancy-soil",
		"years", "season", "completeness", "trend",
	}
)

// Questions are the questions in the order of the page.
func Questions() []Question {
	autumn := map[string]string{"first": "2025-10-05", "as-of": "2025-10-19", "cover": "40", "seed-found": "no"}
	list := []Question{
		{ID: "window", Title: "When to sow", Turf: sown, More: append([]string{"as-of"}, question...)},
		{ID: "outlook", Title: "I have sowed", Own: []string{"sow", "as-of", "ahead"}, Turf: sown, More: question,
			Demo: map[string]string{"sow": "2025-10-05", "as-of": "2025-10-12"}},
		{ID: "second-pass", Title: "It came up thin", Own: []string{"first", "cover", "seed-found", "as-of", "ahead"},
			Turf: joined(sown, ground), More: joined(label, question), Needs: [][]string{{"first"}, {"cover"}}, Demo: autumn},
		{ID: "compare", Title: "Which grass", Own: []string{"sow", "as-of"}, Turf: []string{"host", "use", "unwatered"},
			More: question, Demo: map[string]string{"sow": "2026-10-05"}},
		{ID: "seed", Title: "How much seed", NoRecord: true, Turf: append([]string{"species"}, ground...), More: label,
			Needs: [][]string{{"area", "rectangle", "circle"}}, Demo: map[string]string{"area": "5000 ft2"}},
		{ID: "plan", Title: "What to do when", Own: []string{"sow", "as-of", "ahead"}, Turf: joined(sown, ground),
			More: joined(append([]string{"part"}, label...), question), Demo: map[string]string{"sow": "2026-10-05"}},
		{ID: "spring", Title: "Winter and spring", Also: true, Turf: sown, More: append([]string{"as-of"}, question...)},
		{ID: "soil", Title: "Soil today", Also: true, Own: []string{"as-of", "depth"}, More: []string{"threshold"}},
		{ID: "freeze", Title: "Freezes", Also: true, More: []string{"as-of", "threshold", "years", "season", "completeness"}},
		{ID: "hindcast", Title: "How far to trust it", Also: true, Turf: sown, More: append([]string{"as-of"}, question...)},
		{ID: "record", Title: "The weather file", Also: true, More: []string{"as-of", "completeness"}},
		{ID: "species", Title: "The grasses", Also: true, NoRecord: true},
	}
	for i := range list {
		q := &list[i]
		flags := q.flags()
		has := func(name string) bool { return flags.Lookup(name) != nil }
		q.More = slices.DeleteFunc(joined(q.More, nil), func(name string) bool { return !has(name) })
		q.Own, q.Turf, q.Probe, q.Charts = joined(q.Own, nil), joined(q.Turf, nil), []string{}, []string{}
		if q.Needs == nil {
			q.Needs = [][]string{}
		}
		q.Forms = strings.Split(flags.Lookup("format").Value.Type(), "|")
		if f := flags.Lookup("chart"); f != nil {
			q.Charts = strings.Split(f.Value.Type(), "|")
		}
		if q.Readings = has("probe"); q.Readings {
			q.Probe = append(q.Probe, "probe")
		}
	}
	return list
}

// joined is a list of its own, never nil.
func joined(a, b []string) []string { return append(append([]string{}, a...), b...) }

// find returns the question of an ID.
func find(id string) (*Question, bool) {
	list := Questions()
	i := slices.IndexFunc(list, func(q Question) bool { return q.ID == id })
	if i < 0 {
		return nil, false
	}
	return &list[i], true
}

// Fields are the flags that the question has a field for.
func (q *Question) Fields() []string { return slices.Concat(q.Own, q.Turf, q.More, q.Probe) }

// flags are those of its command.
func (q *Question) flags() *pflag.FlagSet {
	for _, c := range Commands {
		if c.Name == q.ID {
			return c.Flags()
		}
	}
	panic("app: no command " + q.ID)
}

// with are the flags of which one must be given for another to mean something to a
// question; "" is one that always is.
func with(question, flag string) []string {
	areas := []string{"area", "rectangle", "circle", "part"}
	if question == "plan" && !slices.Contains(areas, flag) && (slices.Contains(ground, flag) || slices.Contains(label, flag)) {
		return areas
	}
	return []string{""}
}

// fieldOf is the field of a flag.
func fieldOf(flag string) Field {
	list := Fields()
	return list[slices.IndexFunc(list, func(f Field) bool { return f.Flag == flag })]
}

// A Kind says how a field is filled in.
type Kind string

// The kinds of fields.
const (
	Choice  Kind = "choice"
	Day     Kind = "day"
	Percent Kind = "percent"
	Typed   Kind = "typed"  // a text, read as people write it
	Switch  Kind = "switch" // "yes" or blank
	Lines   Kind = "lines"  // texts, one a line
	Chosen  Kind = "file"   // the name of a file
)

// A Field is a flag as the page asks for it.
type Field struct {
	Flag    string   `json:"flag"`
	Label   string   `json:"label"`
	Kind    Kind     `json:"kind"`
	Options []Option `json:"options"` // of a choice, the first where nothing is given
	File    bool     `json:"file"`    // a file may be chosen too, whose name is the value
	US      string   `json:"us"`      // example of a typed value in US units
	Metric  string   `json:"metric"`
	Says    string   `json:"says"` // what it is, where the label does not say it
}

// An Option is a value of a choice; "" is the program's own.
type Option struct {
	Value string `json:"value"`
	Says  string `json:"says"`
}

// Reads are the fields that say how the files of a station are read.
func Reads() []Field {
	units := []Option{{"", "as the file says"}}
	for _, u := range recordfile.Units()[1:] {
		units = append(units, Option{string(u), u.Name()})
	}
	return []Field{
		{Flag: "lat", Label: "Latitude", Kind: Typed, US: "35.9", Metric: "48.2", Says: "degrees, south negative; the nearest degree will do"},
		{Flag: "name", Label: "Name of the station", Kind: Typed},
		{Flag: "station", Label: "Station in the file", Kind: Typed},
		{Flag: "temp-unit", Label: "Unit of the temperatures", Kind: Choice, Options: units},
		{Flag: "rain-unit", Label: "Unit of the rain", Kind: Choice, Options: []Option{{"", "as the file says"}, {"mm", "mm"},
			{"in", "inches"}, {"tenths-mm", "tenths of mm"}, {"hundredths-in", "hundredths of an inch"}}},
		{Flag: "date-order", Label: "Dates", Kind: Choice, Options: []Option{{"", "as the file says"}, {"day-first", "day first"},
			{"month-first", "month first"}, {"swapped", "day and month swapped on days 1 to 12"}}},
		{Flag: "columns", Label: "Columns", Kind: Typed, US: "date=1,tmax=2,tmin=3", Metric: "date=1,tmax=2,tmin=3",
			Says: "names of the header, or numbers from 1"},
	}
}

// Fields are those of the questions.
func Fields() []Field {
	return []Field{
		{Flag: "sow", Label: "Sown, or to be sown", Kind: Day},
		{Flag: "first", Label: "First sowing", Kind: Day},
		{Flag: "cover", Label: "Cover that you see, %", Kind: Percent, Says: "share of the stand you want"},
		{Flag: "seed-found", Label: "Seed found on digging", Kind: Choice,
			Options: []Option{{"", "did not dig"}, {"no", "none"}, {"few", "a few"}, {"yes", "plenty"}}},
		{Flag: "as-of", Label: "Today", Kind: Day, Says: "blank: the last day of the record"},
		{Flag: "ahead", Label: "The days ahead", Kind: Choice, File: true, Options: []Option{{"", "as in other years"},
			{"warm:7", "a week warmer than normal"}, {"warm:14", "two weeks warmer"}, {"warm:21", "three weeks warmer"},
			{"cool:7", "a week cooler than normal"}, {"cool:14", "two weeks cooler"}, {"cool:21", "three weeks cooler"}}},
		{Flag: "depth", Label: "Depth", Kind: Choice, Options: []Option{{"", "4 in. (10 cm)"}, {"5", "2 in. (5 cm)"}}},

		{Flag: "species", Label: "Grass to sow", Kind: Choice, File: true, Options: speciesOptions()},
		{Flag: "host", Label: "Into", Kind: Choice, Options: hostOptions()},
		{Flag: "unwatered", Label: "Rain only, no watering", Kind: Switch},
		{Flag: "use", Label: "What for", Kind: Choice, Options: []Option{{"", "home lawn"}, {"sports-field", "sports field"},
			{"fairway", "fairway"}, {"fine-turf", "fine turf"}, {"putting-green", "putting green"},
			{"new-lawn", "new lawn on bare soil"}, {"thicken", "to thicken a thin lawn"}}},
		{Flag: "area", Label: "Area", Kind: Typed, US: "5000 sq ft", Metric: "450 m2"},
		{Flag: "seed-left", Label: "Seed in the shed", Kind: Typed, US: "12 lb", Metric: "5 kg"},
		{Flag: "bag", Label: "Bag", Kind: Typed, US: "50 lb", Metric: "20 kg"},
		{Flag: "price", Label: "Price", Kind: Typed, US: "95/bag", Metric: "4.50/kg"},

		{Flag: "part", Label: "Several areas", Kind: Lines, US: "greens: 12000 ft2, putting-green", Metric: "greens: 1100 m2, putting-green",
			Says: "one a line, instead of the area above: name: area, use"},
		{Flag: "rectangle", Label: "Rectangles to add", Kind: Lines, US: "60 ft x 40 ft", Metric: "18 m x 12 m", Says: "length x width, one a line"},
		{Flag: "circle", Label: "Circles to add", Kind: Lines, US: "18 ft", Metric: "5.5 m", Says: "diameter, one a line"},
		{Flag: "rate", Label: "Rate of your own", Kind: Typed, US: "7 lb/1000 ft2", Metric: "35 g/m2"},
		{Flag: "purity", Label: "Purity on the label, %", Kind: Percent},
		{Flag: "germination", Label: "Germination on the label, %", Kind: Percent},
		{Flag: "coating", Label: "Coating, % of the weight", Kind: Percent, Says: "where the label gives no purity"},
		{Flag: "overlap", Label: "Sown twice, %", Kind: Percent},
		{Flag: "loss", Label: "Seed to be lost, %", Kind: Percent},
		{Flag: "stage", Label: "How far before the cold", Kind: Choice, Options: []Option{{"", "established"}, {"emerged", "up"},
			{"mow", "ready to mow"}, {"covered", "closed (tall fescue)"}}},
		{Flag: "confidence", Label: "Safe in how many of 100 years", Kind: Percent, US: "80", Metric: "80"},
		{Flag: "cutoff", Label: "What ends the season", Kind: Choice, Options: []Option{{"", "freeze or dormancy, the earlier"},
			{"freeze", "the killing freeze"}, {"dormancy", "dormancy of the turf"}}},
		{Flag: "freeze-temp", Label: "Killing freeze at", Kind: Typed, US: "28F", Metric: "-2.2C"},
		{Flag: "opening", Label: "What opens sowing", Kind: Choice, Options: []Option{{"", "as the turf wants"},
			{"soil", "soil cool enough"}, {"air", "days cool enough"}, {"heat", "end of the heat for disease"}}},
		{Flag: "open-soil", Label: "Soil cool enough at", Kind: Typed, US: "75F", Metric: "24C"},
		{Flag: "dormancy-soil", Label: "Dormant at a soil of", Kind: Typed, US: "55F", Metric: "13C"},
		{Flag: "threshold", Label: "Temperatures to count", Kind: Typed, US: "32F, 28F", Metric: "0C, -2C", Says: "several with a comma between"},
		{Flag: "probe", Label: "A file of readings", Kind: Chosen, File: true, Says: "CSV or xlsx; it takes the place of those typed here"},
		{Flag: "years", Label: "Past autumns to use", Kind: Typed, US: "1995-2020", Metric: "1995-2020"},
		{Flag: "season", Label: "Season to plan", Kind: Typed, US: "2026", Metric: "2026"},
		{Flag: "completeness", Label: "Missing days allowed", Kind: Choice, Options: []Option{{"", "4 in a row, 10 in all"},
			{"strict", "none"}, {"loose", "15 in a row, 30 in all"}}},
		{Flag: "trend", Label: "Warming of the climate", Kind: Choice, Options: []Option{{"", "taken into account where clear"},
			{"off", "left out"}}},
	}
}

// speciesOptions are the built-in species, the program's own first.
func speciesOptions() []Option {
	var list []Option
	for _, sp := range turf.All() {
		if o := (Option{sp.ID, sp.Name}); sp.ID == window.Command.Flags().Lookup("species").DefValue {
			list = append([]Option{{"", sp.Name}}, list...)
		} else {
			list = append(list, o)
		}
	}
	return list
}

// hostOptions are the hosts, the program's own first.
func hostOptions() []Option {
	var list []Option
	for i, h := range turf.Hosts() {
		o := Option{h.ID, h.ID}
		if h.ID == "none" {
			o.Says = "bare soil, or a cool-season lawn"
		}
		if i == 0 {
			o.Value = ""
		}
		list = append(list, o)
	}
	return list
}
