package recordfile

import (
	"fmt"
	"math"
	"strings"

	"swardcast/climate"
)

// A RainUnit is the unit of a file's precipitation.
type RainUnit string

// The units of precipitation.
const (
	RainAuto       RainUnit = "auto" // find it out
	Millimetres    RainUnit = "mm"
	Inches         RainUnit = "in"
	TenthsMM       RainUnit = "tenths-mm"
	HundredthsInch RainUnit = "hundredths-in"
)

// RainUnits returns the units that can be asked for.
func RainUnits() []RainUnit {
	return []RainUnit{RainAuto, Millimetres, Inches, TenthsMM, HundredthsInch}
}

// Name returns the unit in words.
func (u RainUnit) Name() string {
	switch u {
	case Inches:
		return "in."
	case TenthsMM:
		return "tenths of mm"
	case HundredthsInch:
		return "hundredths of an inch"
	}
	return string(u)
}

// millimetres returns how many millimetres the unit is.
func (u RainUnit) millimetres() float64 {
	switch u {
	case Inches:
		return 25.4
	case TenthsMM:
		return 0.1
	case HundredthsInch:
		return 0.254
	}
	return 1
}

// rainBeside is the unit that precipitation has beside temperatures in a unit, where
// nothing else is said.
var rainBeside = map[Unit]RainUnit{Celsius: Millimetres, Kelvin: Millimetres, Fahrenheit: Inches, TenthsC: TenthsMM}

// What rain can be, in mm. The largest day and year are the records of the World
// Meteorological Organization (Foc-Foc, La Réunion, January 1966; Mawsynram, India, its
// mean), from memory. The mean of a day with rain, of a record, is our own bound: the
// stations that it was looked at on have 2 to 20 mm.
const (
	largestDay       = 1825
	largestYear      = 12000
	leastOfWetDay    = 1.2
	greatestOfWetDay = 30
	wetDays          = 30 // with rain, for the unit to be judged
)

// A rainfall is what the unit is judged by, in the unit of the file.
type rainfall struct {
	wet           int // days with rain
	mean          float64
	largest, year float64
	whole         bool
}

func rainfallOf(y []float64) rainfall {
	r := rainfall{whole: true}
	known, sum := 0, 0.0
	for _, v := range y {
		if math.IsNaN(v) {
			continue
		}
		known++
		if v > 0 {
			r.wet++
			sum += v
			if v > r.largest {
				r.largest = v
			}
			if r.whole {
				r.whole = v == math.Trunc(v)
			}
		}
	}
	if known > 0 {
		r.year = sum / float64(known) * 365.25
	}
	if r.wet > 0 {
		r.mean = sum / float64(r.wet)
	}
	return r
}

// fits reports whether the rain can be in the unit.
func (r rainfall) fits(u RainUnit) bool {
	mm := u.millimetres()
	switch {
	case (u == TenthsMM || u == HundredthsInch) && !r.whole, r.largest*mm > largestDay:
		return false
	case r.wet < wetDays:
		return true
	}
	return r.year*mm <= largestYear && r.mean*mm >= leastOfWetDay && r.mean*mm <= greatestOfWetDay
}

// convertRain finds the unit of the precipitation and brings it to mm. Rain of a
// doubtful unit is left out, and the file says why.
func (p *parser) convertRain(rec *climate.Record, f *File) {
	if rec.PrecipMM == nil {
		return
	}
	if !anyKnown(rec.PrecipMM) {
		rec.PrecipMM = nil
		return
	}
	r := rainfallOf(rec.PrecipMM)
	unit, reason := rainBeside[f.Unit], "as goes with the temperatures"
	stated := false
	switch told := p.options.Rain; {
	case told != "" && told != RainAuto:
		unit, reason, stated = told, "as told", true
	case p.layout.units[rolePrecip] != "":
		unit, reason = RainUnit(p.layout.units[rolePrecip]), "from the header"
	}
	if !stated && !r.fits(unit) {
		var fits []RainUnit
		var names []string
		for _, u := range RainUnits()[1:] {
			if u != unit && r.fits(u) {
				fits, names = append(fits, u), append(names, u.Name())
			}
		}
		if reason == "from the header" || len(fits) != 1 {
			looks := ""
			if len(names) > 0 {
				looks = "; it looks like " + strings.Join(names, " or ")
			}
			mm := unit.millimetres()
			f.Cautions = append(f.Cautions,
				fmt.Sprintf("The rain of the file is left out: in %s (%s) a day with rain would "+
					"have %.3g mm, the wettest %.4g mm, a year %.4g mm%s.", unit.Name(),
					reason, r.mean*mm, r.largest*mm, r.year*mm, looks))
			rec.PrecipMM, f.RainDoubtful, f.RainFits = nil, true, fits
			return
		}
		unit, reason = fits[0], "found from the values"
	}
	f.PrecipUnit, f.PrecipReason = unit.Name(), reason
	switch unit {
	case Millimetres:
	case TenthsMM:
		for i, v := range rec.PrecipMM {
			rec.PrecipMM[i] = v / 10 // the nearest, which times 0.1 is not
		}
	default:
		for i, v := range rec.PrecipMM {
			rec.PrecipMM[i] = v * unit.millimetres()
		}
	}
}
