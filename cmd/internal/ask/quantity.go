package ask

import (
	"errors"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
)

// A Quantity is a flag that takes a number with a unit.
type Quantity struct {
	Value float64 // in the unit of factor 1
	Unit  string  // as it was typed, in its short form, such as ac
	Given bool
	text  string
	kind  string // as shown in the help
	zero  bool   // it can be 0
	units units
}

func (q *Quantity) String() string  { return q.text }
func (q *Quantity) Type() string    { return q.kind }
func (q *Quantity) Example() string { return q.units.examples[0] }
func (q *Quantity) Units() []string {
	return slices.Sorted(maps.Keys(q.units.factors))
}
func (q *Quantity) Set(s string) error {
	v, err := parseQuantity(s, q.units)
	if q.zero && err == errNotAbove && !strings.HasPrefix(strings.TrimSpace(s), "-") {
		err = nil
	}
	if err != nil {
		return err
	}
	_, unit := numberAndUnit(s)
	q.Value, q.Unit, q.Given, q.text = v, shortUnit(unit), true, s
	return nil
}

// units are those of one kind of quantity.
type units struct {
	factors  map[string]float64 // by the unit in its short form
	usual    []string           // to choose from where none is typed
	examples []string
}

var (
	areaUnits = units{map[string]float64{"ft2": words.SquareFoot, "yd2": 9 * words.SquareFoot, "m2": 1,
		"ac": words.Acre, "ha": words.Hectare}, []string{"ft2", "m2"}, []string{"5000ft2", "450m2", "0.5ac", "0.2ha"}}
	lengthUnits = units{map[string]float64{"ft": words.MetresPerFoot, "yd": 3 * words.MetresPerFoot, "m": 1},
		[]string{"ft", "m"}, []string{"18ft", "6m"}}
	weightUnits = units{map[string]float64{"lb": words.GramsPerPound, "oz": words.GramsPerPound / 16, "kg": 1000,
		"g": 1},
		[]string{"lb", "kg"}, []string{"12lb", "5kg"}}
	rateUnits = units{map[string]float64{"lb/1000ft2": words.PoundPer1000SquareFeet,
		"lb/ac": words.GramsPerPound / words.Acre, "g/m2": 1, "kg/ha": 0.1},
		[]string{"lb/1000ft2", "g/m2"}, []string{"5lb/1000ft2", "25g/m2"}}
)

// shortUnits are the short forms of the units that people write, without blanks and
// dots.
var shortUnits = map[string]string{
	"'": "ft", "feet": "ft", "foot": "ft", "yard": "yd", "yards": "yd",
	"meter": "m", "meters": "m", "metre": "m", "metres": "m",
	"sqft": "ft2", "sqfeet": "ft2", "sqfoot": "ft2", "squarefeet": "ft2", "squarefoot": "ft2", "squareft": "ft2",
	"sf": "ft2", "ft^2": "ft2", "feet2": "ft2", "1000": "1000ft2",
	"sqyd": "yd2", "sqyards": "yd2", "sqyard": "yd2", "squareyards": "yd2", "squareyard": "yd2", "yd^2": "yd2",
	"sqm": "m2", "sqmeters": "m2", "sqmetres": "m2", "squaremeters": "m2", "squaremetres": "m2", "squaremeter": "m2",
	"squaremetre": "m2", "m^2": "m2",
	"acre": "ac", "acres": "ac", "hectare": "ha", "hectares": "ha",
	"lbs": "lb", "pound": "lb", "pounds": "lb", "ounce": "oz", "ounces": "oz",
	"kgs": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg", "gram": "g", "grams": "g",
}

// shortUnit is the short form of a unit, such as lb/1000ft2 for lbs per 1,000 sq. ft.
func shortUnit(s string) string {
	s = strings.ReplaceAll(strings.ToLower(strings.TrimSpace(s)), " per ", "/")
	s = strings.TrimPrefix(s, "per ")
	s = strings.NewReplacer(" ", "", ".", "", ",", "", "²", "2", "’", "'", "′", "'").Replace(s)
	parts := strings.Split(s, "/")
	for i, part := range parts {
		number, unit := numberAndUnit(part)
		if short, ok := shortUnits[unit]; ok {
			part = number + short
		}
		if short, ok := shortUnits[part]; ok {
			part = short
		}
		parts[i] = part
	}
	return strings.Join(parts, "/")
}

// numberAndUnit takes a text apart before the first character that no number has.
func numberAndUnit(s string) (number, unit string) {
	s = strings.TrimSpace(s)
	i := strings.IndexFunc(s, func(r rune) bool { return (r < '0' || r > '9') && !strings.ContainsRune(".,+-", r) })
	if i < 0 {
		i = len(s)
	}
	return s[:i], strings.ToLower(strings.TrimSpace(s[i:]))
}

var (
	decimal   = regexp.MustCompile(`^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]{1,3})?$`)
	thousands = regexp.MustCompile(`^[+-]?[0-9]{1,3}(,[0-9]{3})+(\.[0-9]+)?$`)
	commaOnly = regexp.MustCompile(`^[+-]?[0-9]+,[0-9]+$`)
)

// plainNumber reads digits with a decimal point, an exponent, or commas that part
// thousands.
func plainNumber(s string) (float64, bool) {
	if thousands.MatchString(s) {
		s = strings.ReplaceAll(s, ",", "")
	}
	if !decimal.MatchString(s) {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

var (
	errNotAbove   = errors.New("it is not above 0")
	errNoQuantity = errors.New("it is too small or too large to be meant")
)

// Quantities in m, m², g and g/m² lie between these; so products and quotients of
// a few of them stay far from where numbers end.
const minQuantity, maxQuantity = 1e-6, 1e24

// parseQuantity reads a number above 0 and a unit, such as 5000ft2, 3,200 sq ft or
// 0.5 acre.
func parseQuantity(s string, of units) (float64, error) {
	number, unit := numberAndUnit(s)
	v, ok := plainNumber(number)
	factor, known := of.factors[shortUnit(unit)]
	switch {
	case !ok && commaOnly.MatchString(number) && known:
		point := strings.Replace(number, ",", ".", 1)
		return 0, cli.Valuef([]string{point + shortUnit(unit)}, "did you mean %s? Commas part thousands, as in 3,200",
			point)
	case !ok:
		return 0, cli.Valuef(of.examples, "write a number with its unit")
	case !known:
		var list []string
		for _, u := range of.usual {
			list = append(list, number+u)
		}
		if unit == "" {
			return 0, cli.Valuef(list, "in which unit? write a number with one of the units %s", of.list())
		}
		return 0, cli.Valuef(list, "write a number with one of the units %s", of.list())
	case math.IsInf(v*factor, 0):
		return 0, errNoQuantity
	case v <= 0:
		return 0, errNotAbove
	}
	if v *= factor; v < minQuantity || v > maxQuantity {
		return 0, errNoQuantity
	}
	return v, nil
}

func (of *units) list() string {
	var list []string
	for u := range of.factors {
		list = append(list, u)
	}
	slices.Sort(list)
	return strings.Join(list, ", ")
}

// between stands between the sides of a rectangle.
var between = regexp.MustCompile(`\s*(?:x|×|\*|\bby\b)\s*`)

// parseRectangle reads LENGTHxWIDTH with units, such as 60ftx40ft or 60 x 40 ft, in
// m².
func parseRectangle(s string) (float64, error) {
	bad := cli.Valuef([]string{"60ftx40ft"}, "write length x width with units")
	sides := between.Split(strings.ToLower(strings.TrimSpace(s)), -1)
	if len(sides) != 2 {
		return 0, bad
	}
	if _, unit := numberAndUnit(sides[0]); unit == "" {
		_, unit = numberAndUnit(sides[1])
		sides[0] += unit
	}
	length, errA := parseQuantity(sides[0], lengthUnits)
	width, errB := parseQuantity(sides[1], lengthUnits)
	if errA != nil || errB != nil {
		return 0, bad
	}
	return length * width, nil
}

// parseCircle reads a diameter with its unit, such as 18ft, in m².
func parseCircle(s string) (float64, error) {
	d, err := parseQuantity(s, lengthUnits)
	if err != nil {
		return 0, cli.Valuef([]string{"18ft"}, "write the diameter with its unit")
	}
	return math.Pi * d * d / 4, nil
}
