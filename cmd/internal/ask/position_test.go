package ask

import (
	"math"
	"testing"
)

func TestParsePosition(t *testing.T) {
	for s, want := range map[string][2]float64{
		"35.9,-78.8":               {35.9, -78.8},
		" 35.9 , -78.8 ":           {35.9, -78.8},
		"35.9 -78.8":               {35.9, -78.8},
		"35.9;−78.8":               {35.9, -78.8},
		"35°54'N 78°47'W":          {35.9, -78.783333},
		"35°54'N, 78°47'W":         {35.9, -78.783333},
		"35° 54′ 0″ N 78° 47′ W":   {35.9, -78.783333},
		"33°27'36\"S 151°12'30\"E": {-33.46, 151.208333},
		"35.9N 78.8W":              {35.9, -78.8},
		"35.9n,78.8w":              {35.9, -78.8},
		"0,0":                      {0, 0},
	} {
		lat, lon, err := ParsePosition(s)
		if err != nil || math.Abs(lat-want[0]) > 1e-6 || math.Abs(lon-want[1]) > 1e-6 {
			t.Errorf("%q: %g, %g, %v", s, lat, lon, err)
		}
	}
	for _, s := range []string{"", "35.9", "35.9,", "91,0", "0,181", "35°61'N 78°W", "35.5°30'N 78°W", "-35N 78W", "78W 35N", "1e1,2", "NaN,0", "35,9,-78,8", "Raleigh"} {
		if lat, lon, err := ParsePosition(s); err == nil {
			t.Errorf("%q is read as %g, %g", s, lat, lon)
		}
	}
}

func FuzzPosition(f *testing.F) {
	f.Add("35.9,-78.8")
	f.Add("35°54'N 78°47'W")
	f.Fuzz(func(t *testing.T, s string) {
		if lat, lon, err := ParsePosition(s); err == nil && !(math.Abs(lat) <= 90 && math.Abs(lon) <= 180) {
			t.Errorf("%q is %g, %g", s, lat, lon)
		}
	})
}
