package ask

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A Position is a flag that takes a latitude and a longitude.
type Position struct {
	Latitude, Longitude float64 // degrees, north and east positive
	Given               bool
	text                string
}

func (p *Position) String() string { return p.text }
func (p *Position) Type() string   { return "LAT,LON" }
func (p *Position) Set(s string) error {
	lat, lon, err := ParsePosition(s)
	if err != nil {
		return err
	}
	*p = Position{lat, lon, true, s}
	return nil
}

// ParsePosition reads a latitude and a longitude: decimal degrees with a comma or
// blanks between, north and east positive, such as 35.9,-78.8; or degrees, minutes and
// seconds with the quarter, such as 35°54'N 78°47'W.
func ParsePosition(s string) (lat, lon float64, err error) {
	bad := fmt.Errorf(`write latitude and longitude, such as 35.9,-78.8 or "35°54'N 78°47'W"`)
	parts := strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ';' })
	if len(parts) == 1 {
		parts = quarters(s)
	}
	if len(parts) != 2 {
		return 0, 0, bad
	}
	lat, okLat := angle(parts[0], "N", "S")
	lon, okLon := angle(parts[1], "E", "W")
	if !okLat || !okLon {
		return 0, 0, bad
	}
	if !(math.Abs(lat) <= 90 && math.Abs(lon) <= 180) {
		return 0, 0, fmt.Errorf("latitude %g or longitude %g is not on Earth; %w", lat, lon, bad)
	}
	return lat, lon, nil
}

// quarters cuts a position without a comma behind N or S, or else at its blank.
func quarters(s string) []string {
	if i := strings.IndexAny(strings.ToUpper(s), "NS"); i >= 0 && len(s) == len(strings.ToUpper(s)) {
		return []string{s[:i+1], s[i+1:]}
	}
	return strings.Fields(s)
}

// angle reads degrees, with minutes and seconds or not, and the letter of a quarter or
// a sign.
func angle(s, positive, negative string) (float64, bool) {
	s = strings.ToUpper(strings.TrimSpace(s))
	s = strings.Replace(s, "−", "-", 1)
	sign := 1.0
	switch {
	case strings.HasSuffix(s, positive):
		s = s[:len(s)-1]
	case strings.HasSuffix(s, negative):
		s, sign = s[:len(s)-1], -1
	case strings.HasPrefix(s, "-"):
		s, sign = s[1:], -1
	}
	// Marks of degrees, minutes and seconds.
	fields := strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" °º'’′\"”″", r) })
	if len(fields) < 1 || len(fields) > 3 {
		return 0, false
	}
	total, unit := 0.0, 1.0
	for i, f := range fields {
		v, ok := plainDecimal(f)
		if !ok || i > 0 && v >= 60 || i < len(fields)-1 && v != math.Trunc(v) {
			return 0, false
		}
		total += v / unit
		unit *= 60
	}
	return sign * total, true
}

// plainDecimal reads digits with one decimal point or none.
func plainDecimal(s string) (float64, bool) {
	if s == "" || strings.Trim(s, "0123456789.") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}
