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
}

func (t *Temperature) String() string  { return t.text }
func (t *Temperature) Type() string    { return "TEMP" }
func (t *Temperature) Example() string { return "28F" }
func (t *Temperature) Set(s string) error {
	c, err := ParseTemperature(s)
	if err != nil {
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
type Thresholds struct{ list *[]string }

// DeclareThresholds declares the flag of a list of temperatures.
func DeclareThresholds(f *pflag.FlagSet, usage string, usual ...string) Thresholds {
	t := Thresholds{f.StringSlice("threshold", usual, usage)}
	f.Lookup("threshold").DefValue = strings.Join(usual, ",")
	return t
}

// Celsius are the temperatures, °C.
func (t Thresholds) Celsius() ([]float64, error) {
	var out []float64
	for _, text := range *t.list {
		c, err := ParseTemperature(text)
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
