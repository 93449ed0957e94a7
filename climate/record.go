package climate

import (
	"fmt"
	"math"
)

// A Place is where a station stands. Values that are not known are NaN.
type Place struct {
	Name       string
	Latitude   float64 // degrees, north positive
	Longitude  float64 // degrees, east positive
	ElevationM float64 // metres above sea level
}

// UnknownPlace returns a Place of which nothing is known.
func UnknownPlace() Place {
	return Place{Latitude: math.NaN(), Longitude: math.NaN(), ElevationM: math.NaN()}
}

// A Record is the daily weather of one station: every series has one value a
// civil day without a break from First on, NaN where it is missing.
type Record struct {
	Place    Place
	First    Day
	TMaxC    []float64 // highest air temperature of the day, °C
	TMinC    []float64 // lowest air temperature of the day, °C
	PrecipMM []float64 // precipitation of the day, mm; nil where the source has none
}

// NewRecord returns a record of n missing days.
func NewRecord(place Place, first Day, n int) *Record {
	return &Record{Place: place, First: first, TMaxC: missing(n), TMinC: missing(n)}
}

func missing(n int) []float64 {
	s := make([]float64, n)
	for i := range s {
		s[i] = math.NaN()
	}
	return s
}

// Len returns the number of days, missing ones included.
func (r *Record) Len() int { return len(r.TMaxC) }

// Last returns the last day. It has no meaning for a record without days.
func (r *Record) Last() Day { return r.First + Day(r.Len()) - 1 }

// Day returns the day at index i.
func (r *Record) Day(i int) Day { return r.First + Day(i) }

// Index returns the index of a day, which lies outside 0 to Len()-1 where the
// record does not have the day.
func (r *Record) Index(d Day) int { return int(d - r.First) }

// Until returns the part of the record that ends on the given day. It shares
// its series with r.
func (r *Record) Until(last Day) *Record {
	n := min(max(r.Index(last)+1, 0), r.Len())
	part := *r
	part.TMaxC, part.TMinC = r.TMaxC[:n], r.TMinC[:n]
	if r.PrecipMM != nil {
		part.PrecipMM = r.PrecipMM[:n]
	}
	return &part
}

// Missing reports whether either air temperature of day i is missing.
func (r *Record) Missing(i int) bool {
	return math.IsNaN(r.TMaxC[i]) || math.IsNaN(r.TMinC[i])
}

// Validate returns an error where the series differ in length or the place
// cannot be on Earth.
func (r *Record) Validate() error {
	n := r.Len()
	if len(r.TMinC) != n || (r.PrecipMM != nil && len(r.PrecipMM) != n) {
		return fmt.Errorf("the series of the record differ in length: %d highest, %d lowest temperatures, %d precipitation",
			n, len(r.TMinC), len(r.PrecipMM))
	}
	if math.Abs(r.Place.Latitude) > 90 {
		return fmt.Errorf("latitude %g is not between -90 and 90", r.Place.Latitude)
	}
	if math.Abs(r.Place.Longitude) > 180 {
		return fmt.Errorf("longitude %g is not between -180 and 180", r.Place.Longitude)
	}
	return nil
}
