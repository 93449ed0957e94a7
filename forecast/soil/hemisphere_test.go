package soil_test

import (
	"math"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast/soil"
)

// The error of the estimate follows the seasons, not the months: readings of the
// south move its soil as the same readings half a year apart do in the north.
func TestReadingsOfTheSouth(t *testing.T) {
	const half, n = 182, 800
	at := func(first climate.Day, latitude float64) *soil.Calibration {
		air := climate.NewRecord(climate.Place{Latitude: &latitude}, first, n)
		curve := &soil.Curve{First: first, Soil5C: make([]float64, n), Soil10C: make([]float64, n)}
		var readings []soil.Reading
		for i := range n {
			wave := math.Cos(2 * math.Pi * float64(i-14) / climate.TropicalYear)
			air.TMaxC[i], air.TMinC[i] = 20+10*wave, 10+10*wave
			curve.Soil5C[i], curve.Soil10C[i] = 16+9*wave, 16+8*wave
			// From September to November of the first year.
			if i >= 62 && i < 153 && i%7 == 0 {
				readings = append(readings, soil.Reading{Day: air.Day(i), DepthCM: 10, SoilC: curve.Soil10C[i] + 1.5,
					Hour: math.NaN()})
			}
		}
		c, err := soil.Calibrate(curve, air, readings)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	july := climate.Date(2010, time.July, 1)
	north, south := at(july, 38), at(july-half, -38)
	if north.Used != 13 || south.Used != 13 {
		t.Fatalf("%d and %d readings taken in", north.Used, south.Used)
	}
	swing := 0.0
	for d := july; d < july+600; d += 5 {
		if a, b := north.Offset(d), south.Offset(d-half); math.Abs(a-b) > 0.02 {
			t.Errorf("%v: offset %.3f °C in the north, %.3f in the south half a year before", d, a, b)
		}
		if a, b := north.SiteSD(d), south.SiteSD(d-half); math.Abs(a-b) > 0.02 {
			t.Errorf("%v: error of the site %.3f °C in the north, %.3f in the south half a year before", d, a, b)
		}
		swing = math.Max(swing, math.Abs(north.SiteSD(d)-north.SiteSD(d+half)))
	}
	// The test can fail: the error differs between the halves of the year.
	if swing < 0.1 {
		t.Errorf("the error of the site differs by %.3f °C between the halves of the year", swing)
	}
}
