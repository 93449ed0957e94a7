package forecast

import (
	"reflect"
	"testing"
)

// The dates alone are those of the whole window.
func TestDatesAreThoseOfTheWindow(t *testing.T) {
	for _, years := range []int{3, 12, 34} {
		s := station(t, uint64(years), 0, years)
		whole, err := s.Window(Options{})
		if err != nil {
			t.Fatal(err)
		}
		dates, err := s.Dates(Options{})
		if err != nil {
			t.Fatal(err)
		}
		if dates.ByDate != nil || len(whole.ByDate) == 0 {
			t.Errorf("%d and %d dates", len(dates.ByDate), len(whole.ByDate))
		}
		if !reflect.DeepEqual(dates.Seasons, whole.Seasons) || !reflect.DeepEqual(dates.Best, whole.Best) {
			t.Errorf("%d years: seasons or best day differ", years)
		}
		for _, p := range []float64{0.1, 0.2, 0.5, 0.8, 0.9} {
			for k, kind := range [][2]Dates{{dates.Opens, whole.Opens}, {dates.Latest, whole.Latest},
				{dates.Cutoff, whole.Cutoff}, {dates.Freeze, whole.Freeze}, {dates.Dormancy, whole.Dormancy}} {
				a, okA := kind[0].At(p)
				b, okB := kind[1].At(p)
				if a != b || okA != okB {
					t.Errorf("%d years, kind %d at %g: %v, %v", years, k, p, a, b)
				}
			}
		}
	}
}
