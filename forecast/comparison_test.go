package forecast_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

func compared(t *testing.T, o forecast.CompareOptions) (*forecast.Station, *forecast.Comparison) {
	t.Helper()
	s, err := demoStation()
	if err != nil {
		t.Fatal(err)
	}
	c, err := s.Compare(o)
	if err != nil {
		t.Fatal(err)
	}
	return s, c
}

// Each species has the outlook and the last safe date that it has on its own, and the
// order is that of the chance, then of the thermal time.
func TestCompareIsEachSpeciesAlone(t *testing.T) {
	sow := climate.Date(2026, time.October, 10)
	s, c := compared(t, forecast.CompareOptions{Sow: &sow})
	if c.Season != 2026 || c.Sow != sow || len(c.Species) != len(turf.All()) {
		t.Fatalf("%d species sown on %s in the season of %d", len(c.Species), c.Sow, c.Season)
	}
	if slices.Contains(c.Ensemble.Years, 2026) || len(c.Ensemble.Years) != 30 {
		t.Errorf("the members have the weather of %v", c.Ensemble.Years)
	}
	for i, x := range c.Species {
		o := forecast.Options{Species: x.Outlook.Options.Species, Season: 2026}
		alone, err := c.Ensemble.Outlook(o, sow)
		if err != nil {
			t.Fatal(err)
		}
		if alone.Chance != x.Outlook.Chance || alone.Low != x.Outlook.Low || alone.High != x.Outlook.High {
			t.Errorf("%s: chance %g beside others, %g alone", o.Species.ID, x.Outlook.Chance, alone.Chance)
		}
		w, err := s.Dates(o)
		if err != nil {
			t.Fatal(err)
		}
		if safe, ok := w.Safe(); ok != (x.LastSafe != nil) || ok && safe != *x.LastSafe {
			t.Errorf("%s: last safe %v, alone %s", o.Species.ID, x.LastSafe, safe)
		}
		if i == 0 {
			continue
		}
		before := c.Species[i-1].Outlook
		a, b := math.Round(1000*before.Chance), math.Round(1000*x.Outlook.Chance)
		if b > a ||
			a == b && o.Species.ThermalTime(turf.Tillered) < before.Options.Species.ThermalTime(turf.Tillered) {
			t.Errorf("%s, %g, comes after %s, %g", o.Species.ID, x.Outlook.Chance, before.Options.Species.ID,
				before.Chance)
		}
	}
}

// Two species share a letter if and only if there is no clear difference; with rain
// only there is no letter.
func TestCompareLetters(t *testing.T) {
	sow := climate.Date(2026, time.October, 10)
	_, c := compared(t, forecast.CompareOptions{Sow: &sow})
	for i, a := range c.Species {
		if a.CompactLetters == "" {
			t.Errorf("%s has no letter", a.Outlook.Options.Species.ID)
		}
		for _, b := range c.Species[i+1:] {
			alike := forecast.NoClearDifference(&a.Outlook.Options.Species, &b.Outlook.Options.Species, turf.Tillered)
			if shared := strings.ContainsAny(a.CompactLetters, b.CompactLetters); shared != alike {
				t.Errorf("%s is %s, %s is %s; no clear difference: %v", a.Outlook.Options.Species.ID,
					a.CompactLetters, b.Outlook.Options.Species.ID, b.CompactLetters, alike)
			}
		}
	}
	_, c = compared(t, forecast.CompareOptions{Sow: &sow, Options: []forecast.Options{{Unwatered: true}}})
	if c.Species[0].CompactLetters != "" {
		t.Errorf("without watering: %q", c.Species[0].CompactLetters)
	}
}

// Without a sow date it is today within the window, and the last of the best days before it.
func TestCompareSowingDay(t *testing.T) {
	for _, x := range []struct{ asOf, want climate.Day }{
		{climate.Date(2020, time.October, 1), climate.Date(2020, time.October, 1)},
		{climate.Date(2020, time.December, 1), climate.Date(2020, time.December, 1)},
		{climate.Date(2020, time.July, 10), 0},
		{climate.Date(2020, time.May, 20), 0}, // between two seasons
	} {
		s, c := compared(t, forecast.CompareOptions{AsOf: &x.asOf})
		w, err := s.Dates(forecast.Options{Species: turf.All()[0], Season: 2020})
		if err != nil {
			t.Fatal(err)
		}
		if x.want == 0 {
			x.want = w.Aim.BestUntil
		}
		if c.Season != 2020 || c.Sow != x.want {
			t.Errorf("as of %s: season %d, sown on %s, want %s", x.asOf, c.Season, c.Sow, x.want)
		}
	}
}

func TestCompareOf(t *testing.T) {
	fescue, _ := turf.Find("tall-fescue")
	_, c := compared(t, forecast.CompareOptions{Options: []forecast.Options{{}, {Species: fescue}}})
	if x := c.Of("tall-fescue"); x == nil || x.Outlook.Options.Species != fescue {
		t.Errorf("%+v", x)
	}
	if c.Of("perennial-ryegrass") == nil || c.Of("red-fescue") != nil {
		t.Error("other species than those compared")
	}
}

func TestCompareRefuses(t *testing.T) {
	s, err := demoStation()
	if err != nil {
		t.Fatal(err)
	}
	for name, o := range map[string][]forecast.Options{
		"none":             {},
		"of two stages":    {{Stage: turf.Mow}, {Stage: turf.Emerged}},
		"a confidence 100": {{Confidence: 100}},
	} {
		if c, err := s.Compare(forecast.CompareOptions{Options: o}); !errors.Is(err, forecast.ErrOptions) {
			t.Errorf("%s: %v, %v", name, c, err)
		}
	}
	early := []forecast.Options{{FirstSeason: 1900, LastSeason: 1950}}
	if _, err := s.Compare(forecast.CompareOptions{Options: early}); !errors.Is(err, forecast.ErrNoSeasons) {
		t.Errorf("of seasons that the record does not have: %v", err)
	}
}
