package recordfile

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardcast/climate"
	"swardcast/climate/check"
)

// A Unit is the unit of a file's temperatures.
type Unit string

// The units.
const (
	Auto       Unit = "auto" // find it out
	Celsius    Unit = "C"
	Fahrenheit Unit = "F"
	Kelvin     Unit = "K"
	TenthsC    Unit = "tenths-C"
)

// Units returns the units that can be asked for.
func Units() []Unit { return []Unit{Auto, Celsius, Fahrenheit, Kelvin, TenthsC} }

// Name returns the unit in words.
func (u Unit) Name() string {
	switch u {
	case Celsius:
		return "°C"
	case Fahrenheit:
		return "°F"
	case Kelvin:
		return "K"
	case TenthsC:
		return "tenths of °C"
	}
	return string(u)
}

// celsius converts a temperature to °C.
func (u Unit) celsius(v float64) float64 {
	switch u {
	case Fahrenheit:
		return (v - 32) / 1.8
	case Kelvin:
		return v - zeroCelsiusK
	case TenthsC:
		return v / 10
	}
	return v
}

// toCelsius brings a series to °C; what means a missing value becomes NaN.
func (u Unit) toCelsius(series []float64) {
	for i, v := range series {
		if u.missing(v) {
			series[i] = math.NaN()
		} else if u != Celsius {
			series[i] = u.celsius(v)
		}
	}
}

const zeroCelsiusK = 273.15

// missing reports whether a value is −99 and so means a missing one: in tenths of a
// degree it is a temperature.
func (u Unit) missing(v float64) bool { return v == -99 && u != TenthsC }

// The ranges of air temperature where turf grows, °C, from which the unit is found.
// A wrong unit puts a record far outside: a summer in °C read as °F peaks under
// 5 °C. Common knowledge of climates, no source.
const (
	coldestNight, hottestDay     = -65, check.HighestEver // but for one value in 200
	coolestSummer, hottestSummer = 13.5, 53               // the 98 % highest temperature of a whole year
	minSwing, maxSwing           = 2.5, 25                // mean difference of a day's highest and lowest
)

const wholeYear = 330 // days that contain a summer

// detectUnit returns the units in which the temperatures of a file are a plausible
// climate. spanDays is the number of days from the first to the last. With one, one of
// the two has no value.
func detectUnit(tmax, tmin []float64, spanDays int, one bool) []Unit {
	var fits []Unit
	var hi, lo []float64 // known values
	for _, u := range []Unit{Celsius, Fahrenheit, Kelvin, TenthsC} {
		switch u {
		case Celsius, TenthsC: // in °F and K the same values are known as in °C
			hi, lo = u.known(tmax), u.known(tmin)
			if u == TenthsC && !(allWhole(hi) && allWhole(lo)) {
				continue
			}
		}
		if one { // of the two
			if len(hi) == 0 {
				hi = slices.Clone(lo)
			} else if len(lo) == 0 {
				lo = slices.Clone(hi)
			}
		}
		if len(hi) == 0 || len(lo) == 0 || u == Kelvin && mean(hi) < zeroCelsiusK+coldestNight {
			continue
		}
		night, day := u.celsius(share(lo, 0.005)), u.celsius(share(hi, 0.995))
		summer := u.celsius(share(hi, 0.98))
		swing := u.celsius(mean(hi)) - u.celsius(mean(lo))
		switch {
		case night < coldestNight || day > hottestDay:
		case !one && (swing < minSwing || swing > maxSwing):
		case spanDays >= wholeYear && (summer < coolestSummer || summer > hottestSummer):
		default:
			fits = append(fits, u)
		}
	}
	return fits
}

// sampled is about how many values the unit is found from.
const sampled = 2000

// known returns values that are not missing in the unit, evenly sampled.
func (u Unit) known(y []float64) []float64 {
	step := 1 + len(y)/sampled
	out := make([]float64, 0, len(y)/step+1)
	for i := 0; i < len(y); i += step {
		if v := y[i]; !math.IsNaN(v) && !u.missing(v) {
			out = append(out, v)
		}
	}
	return out
}

// share returns the value below which a share of the values are; it changes their
// order.
func share(y []float64, p float64) float64 { return climate.Nth(y, int(p*float64(len(y)-1)+0.5)) }

func mean(y []float64) float64 {
	sum := 0.0
	for _, v := range y {
		sum += v
	}
	return sum / float64(len(y))
}

func allWhole(y []float64) bool {
	return !slices.ContainsFunc(y, func(v float64) bool { return v != math.Trunc(v) })
}

// headerUnit returns the unit that the header gives, or Auto.
func headerUnit(l *layout) (Unit, error) {
	hi, lo := Unit(l.units[roleTMax]), Unit(l.units[roleTMin])
	if l.moment {
		hi = Unit(l.units[roleTemp])
	}
	switch {
	case hi == "" && lo == "":
		return Auto, nil
	case hi == "" || lo == "" || hi == lo:
		return max(hi, lo), nil
	}
	return Auto, fmt.Errorf(
		"the header gives the highest temperature in %s and the lowest in %s",
		hi.Name(),
		lo.Name(),
	)
}

func unitNames(units []Unit) string {
	names := make([]string, len(units))
	for i, u := range units {
		names[i] = u.Name()
	}
	return strings.Join(names, " or ")
}

// list joins words as they are written in options.
func list[T ~string](all []T) string {
	var words []string
	for _, w := range all {
		words = append(words, string(w))
	}
	return strings.Join(words, ", ")
}
