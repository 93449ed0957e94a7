package forecast_test

import (
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// Over a year the soil is too warm, right, too cold and right again, and each state
// ends where the normal year passes its threshold the way it must.
func TestSoilState(t *testing.T) {
	whole, err := demoStation()
	if err != nil {
		t.Fatal(err)
	}
	host, _ := turf.FindHost("bermudagrass")
	for _, c := range []struct {
		month  time.Month
		state  forecast.SoilState
		below  bool // the next crossing is a fall
		within int  // days
	}{
		{time.July, forecast.SoilTooWarm, true, 90}, {time.October, forecast.SoilRight, true, 75},
		{time.January, forecast.SoilTooCold, false, 90}, {time.April, forecast.SoilRight, false, 90},
	} {
		today := climate.Date(2020, c.month, 15)
		s, err := forecast.NewStation(whole.Record.Until(today))
		if err != nil {
			t.Fatal(err)
		}
		y, err := s.SoilYear(soil.Depth10, nil)
		if err != nil {
			t.Fatal(err)
		}
		state, next := y.State(host.Open.TempC)
		if state != c.state || next == nil || next.Rising == c.below || *next.Normal <= today ||
			*next.Normal > today+climate.Day(c.within) {
			t.Errorf("%s: %s at %.1f °C, next %+v", today, state, y.NowC, next)
		}
	}
}
