package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Exact by definition: the international foot and avoirdupois pound.
const (
	metresPerFoot = 0.3048
	gramsPerPound = 453.59237
	ft2           = metresPerFoot * metresPerFoot // m²
	acre          = 43560 * ft2                   // m²
	hectare       = 10000.0                       // m²
	lbPer1000     = gramsPerPound / (1000 * ft2)  // g/m²
)

// A quantity is a flag that takes a number with a unit.
type quantity struct {
	value float64 // in the unit of factor 1
	set   bool
	text  string
	kind  string // as shown in the help
	zero  bool   // nothing may be told too
	units map[string]float64
}

func (q *quantity) String() string { return q.text }
func (q *quantity) Type() string   { return q.kind }
func (q *quantity) Set(s string) error {
	v, err := parseQuantity(s, q.units)
	if q.zero && err == errNotAbove && !strings.HasPrefix(s, "-") {
		err = nil
	}
	if err != nil {
		return err
	}
	q.value, q.set, q.text = v, true, s
	return nil
}

var (
	areaUnits   = map[string]float64{"ft2": ft2, "sqft": ft2, "ft²": ft2, "m2": 1, "sqm": 1, "m²": 1, "ac": acre, "acre": acre, "acres": acre, "ha": hectare}
	lengthUnits = map[string]float64{"ft": metresPerFoot, "yd": 3 * metresPerFoot, "m": 1}
	weightUnits = map[string]float64{"lb": gramsPerPound, "lbs": gramsPerPound, "oz": gramsPerPound / 16, "kg": 1000, "g": 1}
	rateUnits   = map[string]float64{"lb/1000ft2": lbPer1000, "lb/1000sqft": lbPer1000, "lb/ac": gramsPerPound / acre, "g/m2": 1, "kg/ha": 0.1}
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

// area prints an area.
func (u unitSystem) area(m2 float64) string {
	switch {
	case u == metric && m2 >= 2*hectare:
		return fmt.Sprintf("%s ha", figures(m2/hectare))
	case u == metric:
		return fmt.Sprintf("%s m²", figures(m2))
	case m2 >= 2*acre:
		return fmt.Sprintf("%s acres", figures(m2/acre))
	}
	return fmt.Sprintf("%s ft²", figures(m2/ft2))
}

// weight prints a weight.
func (u unitSystem) weight(g float64) string {
	switch {
	case u == metric && g >= 1000:
		return figures(g/1000) + " kg"
	case u == metric:
		return figures(g) + " g"
	case g < gramsPerPound/2:
		return figures(g/(gramsPerPound/16)) + " oz"
	}
	return figures(g/gramsPerPound) + " lb"
}

// rate prints a seeding rate.
func (u unitSystem) rate(gm2 float64) string {
	if u == metric {
		return figures(gm2) + " g/m²"
	}
	return figures(gm2/lbPer1000) + " lb/1000 ft²"
}

// water prints a depth of water.
func (u unitSystem) water(mm float64) string {
	if u == metric {
		return fmt.Sprintf("%.1f mm", mm)
	}
	return fmt.Sprintf("%.2f in.", mm/25.4)
}

// figures prints three significant figures, or all before the point.
func figures(v float64) string {
	switch {
	case math.Abs(v) >= 100:
		return strconv.FormatFloat(math.Round(v), 'f', 0, 64)
	case math.Abs(v) >= 10:
		return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
	case math.Abs(v) >= 1:
		return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', 3, 64)
}
