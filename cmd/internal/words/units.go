package words

import (
	"fmt"
	"math"
	"strconv"

	"swardcast/forecast/soil"
)

// Celsius converts °F.
func Celsius(f float64) float64 { return (f - 32) / 1.8 }

// Fahrenheit converts °C.
func Fahrenheit(c float64) float64 { return c*1.8 + 32 }

// A System says in which units text is printed.
type System bool

const (
	US     System = false
	Metric System = true
)

// Temp prints a temperature, whole degrees in °F, tenths in °C.
func (u System) Temp(c float64) string {
	if u == Metric {
		return fmt.Sprintf("%.1f °C", RoundTo(c, 1))
	}
	return fmt.Sprintf("%.0f °F", RoundTo(Fahrenheit(c), 0))
}

// Difference prints a difference of temperatures with its sign.
func (u System) Difference(c float64) string {
	if u == Metric {
		return fmt.Sprintf("%+.1f °C", RoundTo(c, 1))
	}
	return fmt.Sprintf("%+.1f °F", RoundTo(c*1.8, 1))
}

// Depth prints a soil depth.
func (u System) Depth(d soil.Depth) string {
	if u == Metric {
		return fmt.Sprintf("%d cm", d)
	}
	return fmt.Sprintf("%.0f in.", math.Round(float64(d)/2.54))
}

// Exact by definition: the international foot and avoirdupois pound.
const (
	MetresPerFoot          = 0.3048
	GramsPerPound          = 453.59237
	SquareFoot             = MetresPerFoot * MetresPerFoot       // m²
	Acre                   = 43560 * SquareFoot                  // m²
	Hectare                = 10000.0                             // m²
	PoundPer1000SquareFeet = GramsPerPound / (1000 * SquareFoot) // g/m²
)

// Area prints an area.
func (u System) Area(m2 float64) string {
	switch {
	case u == Metric && m2 >= 2*Hectare:
		return fmt.Sprintf("%s ha", Figures(m2/Hectare))
	case u == Metric:
		return fmt.Sprintf("%s m²", Figures(m2))
	case m2 >= 2*Acre:
		return fmt.Sprintf("%s acres", Figures(m2/Acre))
	}
	return fmt.Sprintf("%s ft²", Figures(m2/SquareFoot))
}

// Weight prints a weight.
func (u System) Weight(g float64) string {
	switch {
	case u == Metric && g >= 1000:
		return Figures(g/1000) + " kg"
	case u == Metric:
		return Figures(g) + " g"
	case g < GramsPerPound/2:
		return Figures(g/(GramsPerPound/16)) + " oz"
	}
	return Figures(g/GramsPerPound) + " lb"
}

// Rate prints a seeding rate.
func (u System) Rate(gm2 float64) string {
	if u == Metric {
		return Figures(gm2) + " g/m²"
	}
	return Figures(gm2/PoundPer1000SquareFeet) + " lb/1000 ft²"
}

// squareInch is in m².
const squareInch = SquareFoot / 144

// PerArea prints how many stand on a square inch or a square metre.
func (u System) PerArea(perM2 float64) string {
	if u == Metric {
		return Figures(perM2)
	}
	return Figures(perM2 * squareInch)
}

// UnitArea is the area that PerArea counts on.
func (u System) UnitArea() string {
	if u == Metric {
		return "a square metre"
	}
	return "a square inch"
}

// Water prints a depth of water.
func (u System) Water(mm float64) string {
	if u == Metric {
		return fmt.Sprintf("%.1f mm", mm)
	}
	return fmt.Sprintf("%.2f in.", mm/25.4)
}

// KilometresPerMile is exact by definition: the international mile.
const KilometresPerMile = 5280 * MetresPerFoot / 1000

// Distance prints how far a place is away.
func (u System) Distance(km float64) string {
	v, unit := km, "km"
	if u == US {
		v, unit = km/KilometresPerMile, "mi"
	}
	if v < 10 {
		return fmt.Sprintf("%.1f %s", RoundTo(v, 1), unit)
	}
	return fmt.Sprintf("%.0f %s", v, unit)
}

// BothDistances prints how far a place is away in both systems of units, for messages.
func BothDistances(km float64) string {
	return fmt.Sprintf("%s (%s)", Metric.Distance(km), US.Distance(km))
}

// Height prints an elevation, or a difference of two.
func (u System) Height(m float64) string {
	if u == US {
		return fmt.Sprintf("%.0f ft", RoundTo(m/MetresPerFoot, 0))
	}
	return fmt.Sprintf("%.0f m", RoundTo(m, 0))
}

// Figures prints three significant figures, or all before the point.
func Figures(v float64) string {
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
