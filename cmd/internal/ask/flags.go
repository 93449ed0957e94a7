package ask

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
)

// A choice is a flag that takes one of some words.
type Choice struct {
	Value string
	words []string
}

func NewChoice(value string, words ...string) *Choice { return &Choice{value, words} }

func (c *Choice) String() string { return c.Value }
func (c *Choice) Type() string   { return strings.Join(c.words, "|") }
func (c *Choice) Set(s string) error {
	if !slices.Contains(c.words, s) {
		return fmt.Errorf("it is one of %s", strings.Join(c.words, ", "))
	}
	c.Value = s
	return nil
}

// words turns a list of text types into strings.
func Names[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	return out
}

// A temperature is a flag that takes a number with F or C.
type Temperature struct {
	C     float64
	Given bool
	text  string // shown as the default
}

func (t *Temperature) String() string { return t.text }
func (t *Temperature) Type() string   { return "TEMP" }
func (t *Temperature) Set(s string) error {
	c, err := ParseTemperature(s)
	if err != nil {
		return err
	}
	t.C, t.Given, t.text = c, true, s
	return nil
}

// ParseTemperature reads a number with F or C, such as 28F or -2.2C, in °C.
func ParseTemperature(s string) (float64, error) {
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
		return words.Celsius(v), nil
	}
	return 0, bad
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
			return nil, cli.Usagef("", "--threshold %q: %v", text, err)
		}
		out = append(out, c)
	}
	return out, nil
}

// A Date takes a date YYYY-MM-DD.
type Date struct {
	Day   climate.Day
	Given bool
}

func (d *Date) String() string {
	if !d.Given {
		return ""
	}
	return d.Day.String()
}
func (d *Date) Type() string { return "DATE" }
func (d *Date) Set(s string) error {
	day, err := climate.ParseDay(s)
	if err != nil {
		return err
	}
	d.Day, d.Given = day, true
	return nil
}

// A Years takes FIRST-LAST.
type Years struct{ First, Last int }

func (y *Years) String() string {
	if y.First == 0 {
		return ""
	}
	return fmt.Sprintf("%d-%d", y.First, y.Last)
}
func (y *Years) Type() string { return "FIRST-LAST" }
func (y *Years) Set(s string) error {
	a, b, ok := strings.Cut(s, "-")
	first, errA := strconv.Atoi(a)
	last, errB := strconv.Atoi(b)
	if !ok || errA != nil || errB != nil || first < 1 || last < first || last > 9999 {
		return fmt.Errorf("write two years, such as 1995-2020")
	}
	y.First, y.Last = first, last
	return nil
}
