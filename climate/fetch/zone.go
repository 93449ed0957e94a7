package fetch

import (
	"fmt"
	"math"
	"time"

	"swardcast/climate"
)

// SolarZone is the zone of mean solar time at a longitude in degrees, to the minute:
// four minutes a degree. It stands in where the civil zone of a place is not known.
func SolarZone(longitude float64) *time.Location {
	minutes := int(math.Round(4 * longitude))
	sign, n := '+', minutes
	if minutes < 0 {
		sign, n = '-', -minutes
	}
	return time.FixedZone(fmt.Sprintf("UTC%c%02d:%02d", sign, n/60, n%60), 60*minutes)
}

// DayAt returns the civil day of an instant in a zone.
func DayAt(t time.Time, zone *time.Location) climate.Day {
	y, m, d := t.In(zone).Date()
	return climate.Date(y, m, d)
}

// startOf is the first instant of a civil day in a zone.
func startOf(d climate.Day, zone *time.Location) time.Time {
	y, m, day := d.Date()
	return time.Date(y, m, day, 0, 0, 0, 0, zone)
}
