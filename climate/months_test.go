package climate_test

import (
	"math"
	"testing"
	"time"

	"swardcast/climate"
)

// A record from 10 January to 3 March 2004 with a run of five days missing in January
// and four single ones in February.
func TestMonthsByHand(t *testing.T) {
	r := climate.NewRecord(climate.Place{}, climate.Date(2004, 1, 10), 22+29+3)
	for i := range r.TMaxC {
		r.TMaxC[i], r.TMinC[i] = 10, 0
	}
	for _, d := range []climate.Day{
		climate.Date(2004, 1, 12), climate.Date(2004, 1, 13), climate.Date(2004, 1, 14), climate.Date(2004,
			1, 15), climate.Date(2004, 1, 16),
		climate.Date(2004, 2, 1), climate.Date(2004, 2, 3), climate.Date(2004, 2, 5), climate.Date(2004, 2, 7),
	} {
		r.TMinC[r.Index(d)] = math.NaN() // half a day is no day
	}
	for _, c := range []struct {
		rule     climate.Completeness
		complete [3]bool
	}{
		{climate.WMO(), [3]bool{false, true, true}},
		{climate.Strict(), [3]bool{false, false, true}},
		{climate.Loose(), [3]bool{true, true, true}},
	} {
		want := []climate.Month{
			{
				2004,
				time.January,
				22,
				5,
				c.complete[0],
			}, {2004, time.February, 29, 4, c.complete[1]}, {2004, time.March, 3, 0, c.complete[2]},
		}
		got := c.rule.Months(r)
		if len(got) != len(want) {
			t.Fatalf("%s: %v", c.rule.Name, got)
		}
		for i := range want {
			if got[i] != want[i] {
				t.Errorf("%s: %+v, want %+v", c.rule.Name, got[i], want[i])
			}
		}
	}
}
