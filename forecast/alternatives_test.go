package forecast

import (
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

func TestLaterSowings(t *testing.T) {
	s := station(t, 4, 0, 20)
	day := climate.Date(2003, time.October, 10)
	e := ensemble(t, s, 2003, day)
	later, err := e.LaterSowings(Options{}, day)
	if err != nil {
		t.Fatal(err)
	}
	if len(later) != 4 {
		t.Fatalf("%d sowings", len(later))
	}
	for i, l := range later {
		alone, err := e.Outlook(Options{}, l.Sow)
		if err != nil {
			t.Fatal(err)
		}
		if l.Sow != day+climate.Day(l.InDays) || l.Chance != alone.Chance || l.Low != alone.Low ||
			l.High != alone.High {
			t.Errorf("in %d days, %s: chance %.4f, alone %.4f", l.InDays, l.Sow, l.Chance, alone.Chance)
		}
		if i > 0 && (l.Chance > later[i-1].Chance || l.InDays <= later[i-1].InDays) {
			t.Errorf("chance %.4f in %d days, %.4f before", l.Chance, l.InDays, later[i-1].Chance)
		}
	}
	// At the end of the season those go that lie after it.
	last := s.Calendar.Last(2003)
	for _, c := range []struct {
		from climate.Day
		n    int
	}{{last - 7, 3}, {last - 6, 2}, {last, 1}, {last + 1, 0}} {
		later, err := e.LaterSowings(Options{}, c.from)
		if err != nil || len(later) != c.n {
			t.Errorf("%d days before the last: %d sowings, %v; want %d", last-c.from, len(later), err, c.n)
		}
	}
}

func TestEverySpecies(t *testing.T) {
	s := station(t, 4, 0, 20)
	day := climate.Date(2003, time.October, 10)
	e := ensemble(t, s, 2003, day)
	list, err := e.EverySpecies(Options{Stage: turf.Mow}, day)
	if err != nil {
		t.Fatal(err)
	}
	for i, sp := range turf.All() {
		x := list[i]
		alone, err := e.Outlook(Options{Species: sp, Stage: turf.Mow}, day)
		if err != nil {
			t.Fatal(err)
		}
		if x.Options.Species != sp || x.Options.Stage != turf.Mow || x.Sow != day || x.Chance != alone.Chance {
			t.Errorf("%s: %s to be %s, sown on %s: chance %.4f, alone %.4f",
				sp.ID, x.Options.Species.ID, x.Options.Stage, x.Sow, x.Chance, alone.Chance)
		}
	}
}
