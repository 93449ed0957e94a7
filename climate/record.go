package climate

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// A Place is where a station stands. What is not known is nil: of the zero Place
// that is everything.
type Place struct {
	Name       string
	Latitude   *float64 // degrees, north positive
	Longitude  *float64 // degrees, east positive
	ElevationM *float64 // metres above sea level
}

// Coordinates returns the latitude and longitude in degrees and the elevation in
// metres; NaN for what is not known.
func (p Place) Coordinates() (latitude, longitude, elevationM float64) {
	or := func(v *float64) float64 {
		if v == nil {
			return math.NaN()
		}
		return *v
	}
	return or(p.Latitude), or(p.Longitude), or(p.ElevationM)
}

// String returns the name and what is known of the coordinates.
func (p Place) String() string {
	s := p.Name
	for _, c := range []struct {
		name, unit string
		value      *float64
	}{{"latitude", "", p.Latitude}, {"longitude", "", p.Longitude}, {"elevation", " m", p.ElevationM}} {
		if c.value != nil {
			s += fmt.Sprintf(", %s %g%s", c.name, *c.value, c.unit)
		}
	}
	return strings.TrimPrefix(s, ", ")
}

// ErrNoLatitude is the error of a record whose latitude is not known.
var ErrNoLatitude = errors.New("the latitude of the station is not known")

// ErrRecord is the error of a record that [Record.Validate] refuses.
var ErrRecord = errors.New("invalid record")

// A recordError says what is wrong with a record.
type recordError string

func (e recordError) Error() string        { return string(e) }
func (e recordError) Is(target error) bool { return target == ErrRecord }

// A Record is the daily weather of one station: every series has one value a
// civil day without a break from First on, NaN where it is missing.
type Record struct {
	Place    Place
	First    Day
	TMaxC    []float64 // highest air temperature of the day, °C
	TMinC    []float64 // lowest air temperature of the day, °C
	PrecipMM []float64 // precipitation of the day, mm; nil where the source has none
}

// NewRecord returns a record of n missing days. It panics for a negative number.
func NewRecord(place Place, first Day, n int) *Record {
	if n < 0 {
		panic(fmt.Sprintf("climate: a record of %d days", n))
	}
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

// Validate returns an error, [ErrRecord] to [errors.Is], where the record is nil, the
// series differ in length, a value is infinite, or the place cannot be on Earth.
func (r *Record) Validate() error {
	if r == nil {
		return recordError("there is no record")
	}
	n := r.Len()
	if len(r.TMinC) != n || (r.PrecipMM != nil && len(r.PrecipMM) != n) {
		return recordError(fmt.Sprintf("the series of the record differ in length: "+
			"%d highest, %d lowest temperatures, %d precipitation",
			n, len(r.TMinC), len(r.PrecipMM)))
	}
	for _, series := range [][]float64{r.TMaxC, r.TMinC, r.PrecipMM} {
		for i, v := range series {
			if math.Abs(v) > math.MaxFloat64 {
				return recordError(fmt.Sprintf("a value of %s is infinite", r.Day(i)))
			}
		}
	}
	latitude, longitude, elevation := r.Place.Coordinates()
	switch {
	case r.Place.Latitude != nil && !(math.Abs(latitude) <= 90):
		return recordError(fmt.Sprintf("latitude %g is not between -90 and 90", latitude))
	case r.Place.Longitude != nil && !(math.Abs(longitude) <= 180):
		return recordError(fmt.Sprintf("longitude %g is not between -180 and 180", longitude))
	case r.Place.ElevationM != nil && (math.IsNaN(elevation) || math.IsInf(elevation, 0)):
		return recordError(fmt.Sprintf("elevation %g is not a number of metres", elevation))
	}
	return nil
}
