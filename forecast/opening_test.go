package forecast

import (
	"math"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// hot makes a station's air so many °C over the limits of heat on some days, and under them on
// the others.
func hot(s *Station, excess func(climate.Day) float64) {
	for i := range s.Record.TMaxC {
		x := excess(s.Record.Day(i))
		s.Record.TMinC[i], s.Record.TMaxC[i] = turf.HeatNightC+x, turf.HeatDayC+x
	}
}

func TestOpeningByAir(t *testing.T) {
	day := func(m time.Month, d int) climate.Day { return climate.Date(2020, m, d) }
	none, _ := turf.FindHost("none")
	spell := func(from, to climate.Day) func(climate.Day) float64 {
		return func(d climate.Day) float64 {
			if d >= from && d <= to {
				return 1
			}
			return -1
		}
	}
	for _, c := range []struct {
		name   string
		excess func(climate.Day) float64
		opens  climate.Day
	}{
		// Of the five days up to the 23rd two are hot, and the mean is under the limit; up to
		// the 22nd three are: the 23rd opens.
		{"heat in August", spell(day(time.August, 1), day(time.August, 20)), day(time.August, 23)},
		{"two hot days", spell(day(time.August, 1), day(time.August, 2)), day(time.July, 1)},
		{"no heat", func(climate.Day) float64 { return -2 }, day(time.July, 1)},
		{"the last of two spells", func(d climate.Day) float64 {
			july := spell(day(time.July, 1), day(time.July, 20))
			september := spell(day(time.September, 1), day(time.September, 9))
			return math.Max(july(d), september(d))
		}, day(time.September, 12)},
	} {
		s := handStation(t, 0, fallSoil)
		hot(s, c.excess)
		w, err := s.Window(Options{Host: none, Cutoff: CutoffDormancy})
		if err != nil {
			t.Fatal(err)
		}
		se := w.Seasons[0]
		if w.Options.Opening != OpeningHeat || se.Opens != c.opens {
			t.Errorf("%s: %s opens %s, want %s", c.name, w.Options.Opening, se.Opens, c.opens)
		}
		// The air is measured: what opens is known to the day.
		if c.opens > se.First && (se.OpenBy(c.opens-1) != 0 || se.OpenBy(c.opens) != 1) {
			t.Errorf("%s: open by the day before %g, by the day %g", c.name, se.OpenBy(c.opens-1), se.OpenBy(c.opens))
		}
	}
	// By the air with a host: 85 °F by day, and a week's mean.
	s := handStation(t, 0, fallSoil)
	hot(s, spell(day(time.July, 1), day(time.September, 20)))
	w, err := s.Window(Options{Opening: OpeningAir, Cutoff: CutoffDormancy})
	if err != nil {
		t.Fatal(err)
	}
	// Up to the 23rd four of seven days are hot, up to the 24th three.
	if w.Seasons[0].Opens != day(time.September, 24) {
		t.Errorf("by the air it opens %s", w.Seasons[0].Opens)
	}
	if _, err := s.Window(Options{Opening: "moon"}); err == nil {
		t.Error("a rule that is none")
	}
}

// A sowing before the opening shows both: the chance of the date as it is, and that of a
// sowing that is not too early.
func TestInWindow(t *testing.T) {
	for seed := range uint64(3) {
		w, err := station(t, seed, 0, 15).Window(Options{})
		if err != nil {
			t.Fatal(err)
		}
		before := 0
		for _, d := range w.ByDate {
			if d.InWindow > d.Chance+1e-12 || d.InWindow > d.Open+1e-12 || d.InWindow < 0 {
				t.Fatalf("%s: %g of %g in time and %g open", d.Sow, d.InWindow, d.Chance, d.Open)
			}
			if d.BeforeOpening() {
				before++
			}
		}
		if before == 0 || w.ByDate[0].InWindow > 0.1 {
			t.Errorf("%d days before the opening, 1 July %.2f in the window", before, w.ByDate[0].InWindow)
		}
	}
}

// A closed stand counts the air: the latest date is that from which its degree days reach 1000
// by the cutoff.
func TestCoveredStage(t *testing.T) {
	none, _ := turf.FindHost("none")
	fescue, _ := turf.Find("tall-fescue")
	s := station(t, 1, 0, 12)
	o := Options{Species: fescue, Host: none, Stage: turf.Covered}
	w, err := s.Window(o)
	if err != nil {
		t.Fatal(err)
	}
	o.Stage = turf.Tillered
	tillered, err := s.Window(o)
	if err != nil {
		t.Fatal(err)
	}
	for k, se := range w.Seasons {
		if se.Latest == nil {
			continue
		}
		sum := func(from climate.Day) (sum float64) {
			for d := from; d <= *se.Cutoff; d++ {
				i := s.Record.Index(d)
				sum += math.Max(0, (s.Record.TMaxC[i]+s.Record.TMinC[i])/2)
			}
			return sum
		}
		if sum(*se.Latest) < 1000 || sum(*se.Latest+1) >= 1000 {
			t.Errorf("%d: %g °C d from %s", se.Year, sum(*se.Latest), *se.Latest)
		}
		if *se.Latest >= *tillered.Seasons[k].Latest {
			t.Errorf("%d: covered from %s, tillered from %s", se.Year, *se.Latest, *tillered.Seasons[k].Latest)
		}
	}
	if _, err := s.Window(Options{Stage: turf.Covered}); err == nil {
		t.Error("perennial ryegrass has no figure of cover")
	}
}
