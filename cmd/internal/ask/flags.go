package ask

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
)

// A Choice is a flag that takes one of some words, or the beginning of one.
type Choice struct {
	Value string
	words []string
	// other says what a word that is none of them could stand for: the word to type
	// instead and a message; nil or "": nothing.
	other func(typed string) (instead, message string)
}

func NewChoice(value string, words ...string) *Choice { return &Choice{Value: value, words: words} }

func (c *Choice) String() string  { return c.Value }
func (c *Choice) Type() string    { return strings.Join(c.words, "|") }
func (c *Choice) Words() []string { return c.words }
func (c *Choice) Example() string { return c.words[0] }
func (c *Choice) Set(s string) error {
	found := cli.Match(s, c.words)
	switch {
	case len(found) == 1:
		c.Value = found[0]
		return nil
	case len(found) > 1:
		return cli.Valuef(found, "it could be %s", cli.Or(found))
	}
	if c.other != nil {
		if instead, message := c.other(s); instead != "" {
			return cli.Valuef([]string{instead}, "%s", message)
		}
	}
	return cli.Valuef(cli.Nearest(s, c.words), "it is one of %s", strings.Join(c.words, ", "))
}

// Names turns a list of text types into strings.
func Names[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	return out
}

// A Temperature is a flag that takes a number with F or C.
type Temperature struct {
	C     float64
	Given bool
	text  string // shown as the default
	limit plausible
}

// plausible is the range in which a temperature can be meant, °C; the zero value is any.
type plausible struct {
	low, high float64
	of        string // what it is: a killing freeze
}

// The range of each threshold. A killing freeze lies between the 36 °F at which frost is
// forecast (US National Weather Service) and 14 °F, well under the −6 °C that kills
// seedlings of ryegrass not yet hardened (Eagles et al. 1993). Seed of cool-season
// grasses comes up in soil of 50 °F and more, and services open sowing at 70 to 80 °F
// (common practice, no source). Turf is dormant between frozen ground and the 65 °F
// below which warm-season grasses slow down (common practice, no source). A freeze
// date is asked for from −40 up to 50 °F.
var (
	killingFreezes = plausible{words.Celsius(14), words.Celsius(36), "a killing freeze of the air"}
	openings       = plausible{words.Celsius(50), words.Celsius(86), "soil that is cool enough to sow"}
	dormancies     = plausible{words.Celsius(32), words.Celsius(65), "the soil in which turf goes dormant"}
	freezes        = plausible{-40, words.Celsius(50), "a freeze or frost of the air"}
)

const roundedTemperature = 0.06 // °C, of a limit typed in the other unit

func (l *plausible) holds(c float64) bool {
	return *l == plausible{} || c >= l.low-roundedTemperature && c <= l.high+roundedTemperature
}

// check refuses a temperature that cannot be meant, and says how it was understood and
// what the other unit would be.
func (l *plausible) check(typed string, c float64) error {
	if l.holds(c) {
		return nil
	}
	var instead []string
	number, unit := numberAndUnit(typed)
	for _, other := range []string{"F", "C"} {
		v, err := ParseTemperature(number + other)
		if err == nil && l.holds(v) && !strings.HasSuffix(unit, strings.ToLower(other)) {
			instead = append(instead, number+other)
		}
	}
	return cli.Valuef(instead, "that is %.1f °C (%.0f °F); %s is between %.0f and %.0f °F", c,
		words.Fahrenheit(c), l.of, words.Fahrenheit(l.low), words.Fahrenheit(l.high))
}

func (t *Temperature) String() string  { return t.text }
func (t *Temperature) Type() string    { return "TEMP" }
func (t *Temperature) Example() string { return "28F" }
func (t *Temperature) Units() []string { return []string{"F", "C"} }
func (t *Temperature) Set(s string) error {
	c, err := ParseTemperature(s)
	if err != nil {
		return err
	}
	if err := t.limit.check(s, c); err != nil {
		return err
	}
	t.C, t.Given, t.text = c, true, s
	return nil
}

// temperatureUnits are the units as people write them, without blanks, ° and dots,
// and whether they are °F.
var temperatureUnits = map[string]bool{
	"f": true, "degf": true, "degreesf": true, "fahrenheit": true, "degreesfahrenheit": true,
	"c": false, "degc": false, "degreesc": false, "celsius": false, "degreescelsius": false,
}

// ParseTemperature reads a number with F or C, such as 28F or -2.2 °C, in °C.
func ParseTemperature(s string) (float64, error) {
	number, unit := numberAndUnit(s)
	v, ok := plainNumber(number)
	fahrenheit, known := temperatureUnits[strings.NewReplacer(" ", "", "°", "", "º", "", ".", "").Replace(unit)]
	switch {
	case !ok || math.Abs(v) > 200 || !known && unit != "":
		return 0, cli.Valuef([]string{"28F", "-2C"}, "write a number with F or C")
	case unit == "":
		return 0, cli.Valuef([]string{number + "F", number + "C"}, "write a number with F or C: is it °F or °C?")
	case fahrenheit:
		return words.Celsius(v), nil
	}
	return v, nil
}

// Thresholds is a flag that takes a list of temperatures.
type Thresholds struct {
	list  *[]string
	limit plausible
}

// DeclareThresholds declares the flag of a list of temperatures.
func DeclareThresholds(f *pflag.FlagSet, usage string, usual ...string) Thresholds {
	t := Thresholds{list: f.StringSlice("threshold", usual, usage)}
	f.Lookup("threshold").DefValue = strings.Join(usual, ",")
	return t
}

// OfFreezes are the same thresholds, which must be those of a frost or freeze.
func (t Thresholds) OfFreezes() Thresholds { return Thresholds{t.list, freezes} }

// Celsius are the temperatures, °C.
func (t Thresholds) Celsius() ([]float64, error) {
	var out []float64
	for _, text := range *t.list {
		c, err := ParseTemperature(text)
		if err == nil {
			err = t.limit.check(text, c)
		}
		if err != nil {
			return nil, cli.FlagError("threshold", text, err)
		}
		out = append(out, c)
	}
	return out, nil
}

// Years is a flag that takes FIRST-LAST.
type Years struct{ First, Last int }

func (y *Years) String() string {
	if y.First == 0 {
		return ""
	}
	return fmt.Sprintf("%d-%d", y.First, y.Last)
}
func (y *Years) Type() string    { return "FIRST-LAST" }
func (y *Years) Example() string { return "1995-2020" }

var twoYears = regexp.MustCompile(`^\s*([0-9]{1,4})\s*(?:-|–|\.\.|to)\s*([0-9]{1,4})\s*$`)

func (y *Years) Set(s string) error {
	m := twoYears.FindStringSubmatch(s)
	if m == nil {
		instead := y.Example()
		if year := strings.TrimSpace(s); len(year) == 4 && strings.Trim(year, "0123456789") == "" {
			instead = year + "-" + year
		}
		return cli.Valuef([]string{instead}, "write two years, the first and the last")
	}
	first, _ := strconv.Atoi(m[1])
	last, _ := strconv.Atoi(m[2])
	switch {
	case first < 1:
		return cli.Valuef([]string{y.Example()}, "there is no year %d", first)
	case last < first:
		return cli.Valuef([]string{m[2] + "-" + m[1]}, "the first year comes after the last")
	}
	y.First, y.Last = first, last
	return nil
}
