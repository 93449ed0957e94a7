package ask

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"swardcast/cmd/internal/words"
)

// A quantity is a flag that takes a number with a unit.
type Quantity struct {
	Value float64 // in the unit of factor 1
	Given bool
	text  string
	kind  string // as shown in the help
	zero  bool   // nothing may be told too
	units map[string]float64
}

func (q *Quantity) String() string { return q.text }
func (q *Quantity) Type() string   { return q.kind }
func (q *Quantity) Set(s string) error {
	v, err := parseQuantity(s, q.units)
	if q.zero && err == errNotAbove && !strings.HasPrefix(s, "-") {
		err = nil
	}
	if err != nil {
		return err
	}
	q.Value, q.Given, q.text = v, true, s
	return nil
}

var (
	areaUnits   = map[string]float64{"ft2": words.SquareFoot, "sqft": words.SquareFoot, "ft²": words.SquareFoot, "m2": 1, "sqm": 1, "m²": 1, "ac": words.Acre, "acre": words.Acre, "acres": words.Acre, "ha": words.Hectare}
	lengthUnits = map[string]float64{"ft": words.MetresPerFoot, "yd": 3 * words.MetresPerFoot, "m": 1}
	weightUnits = map[string]float64{"lb": words.GramsPerPound, "lbs": words.GramsPerPound, "oz": words.GramsPerPound / 16, "kg": 1000, "g": 1}
	rateUnits   = map[string]float64{"lb/1000ft2": words.PoundPer1000SquareFeet, "lb/1000sqft": words.PoundPer1000SquareFeet, "lb/ac": words.GramsPerPound / words.Acre, "g/m2": 1, "kg/ha": 0.1}
)

var (
	errNotAbove   = errors.New("it is not above 0")
	errNoQuantity = errors.New("it is too small or too large to be meant")
)

// Quantities in m, m², g and g/m² lie between these; so products and quotients of
// a few of them stay far from where numbers end.
const minQuantity, maxQuantity = 1e-6, 1e24

// parseQuantity reads a number above 0 and a unit, such as 5000ft2 or 0.5 ac.
func parseQuantity(s string, units map[string]float64) (float64, error) {
	i := strings.IndexFunc(s, func(r rune) bool { return (r < '0' || r > '9') && r != '.' && r != '-' && r != '+' })
	if i < 0 {
		i = len(s)
	}
	v, err := strconv.ParseFloat(s[:i], 64)
	factor, ok := units[strings.ToLower(strings.TrimSpace(s[i:]))]
	if err != nil || !ok || math.IsNaN(v) || math.IsInf(v*factor, 0) {
		return 0, fmt.Errorf("write a number with one of the units %s", unitList(units))
	}
	if v <= 0 {
		return 0, errNotAbove
	}
	if v *= factor; v < minQuantity || v > maxQuantity {
		return 0, errNoQuantity
	}
	return v, nil
}

func unitList(units map[string]float64) string {
	var list []string
	for u := range units {
		list = append(list, u)
	}
	slices.Sort(list)
	return strings.Join(list, ", ")
}

// parseRectangle reads LENGTHxWIDTH with units, such as 60ftx40ft, in m².
func parseRectangle(s string) (float64, error) {
	a, b, ok := strings.Cut(strings.ToLower(s), "x")
	length, errA := parseQuantity(a, lengthUnits)
	width, errB := parseQuantity(b, lengthUnits)
	if !ok || errA != nil || errB != nil {
		return 0, fmt.Errorf("write length x width with units, such as 60ftx40ft")
	}
	return length * width, nil
}

// parseCircle reads a diameter with its unit, such as 18ft, in m².
func parseCircle(s string) (float64, error) {
	d, err := parseQuantity(s, lengthUnits)
	if err != nil {
		return 0, fmt.Errorf("write the diameter with its unit, such as 18ft")
	}
	return math.Pi * d * d / 4, nil
}
