package forecast

import (
	"math"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// What any spring must hold: dates in their order, chances that fall, and the same dates from
// the chances as from the quantiles.
func TestSpring(t *testing.T) {
	none, _ := turf.FindHost("none")
	fescue, _ := turf.Find("tall-fescue")
	for seed := range uint64(3) {
		s := station(t, seed, 0, 15)
		x, err := s.Spring(Options{Species: fescue, Host: none})
		if err != nil {
			t.Fatal(err)
		}
		back, ok1 := x.Wakes.At(0.5)
		dormant, ok2 := x.Dormant.At(0.5)
		if !ok1 || ok2 && dormant >= back || len(x.Years) < MinSeasons {
			t.Fatalf("dormant %v, back %v, %d springs", dormant, back, len(x.Years))
		}
		heat, ok := x.Heat.At(0.5)
		if last, ok3 := x.Last.At(0.5); ok && ok3 && last >= heat {
			t.Errorf("last %s, heat %s", last, heat)
		}
		before, soil := 1.0, 0.0
		for _, c := range x.ByDate {
			if c.Before > before+1e-12 || c.Soil < soil-1e-12 || c.Before < 0 || c.Soil > 1 {
				t.Fatalf("%s: %g after %g, %g after %g", c.Sow, c.Before, before, c.Soil, soil)
			}
			before, soil = c.Before, c.Soil
		}
		covered, err := s.Spring(Options{Species: fescue, Host: none, Stage: turf.Covered})
		if err != nil {
			t.Fatal(err)
		}
		a, okA := x.Last.At(0.5)
		b, okB := covered.Last.At(0.5)
		if okA && okB && b >= a {
			t.Errorf("covered by the heat if sown by %s, established by %s", b, a)
		}
	}
	if _, err := station(t, 1, 0, 3).Spring(Options{}); err == nil {
		t.Error("three springs are enough")
	}
}

// The host wakes when the week's soil is at 58 °F; 100 days before the opening, or dormancy, of
// the next season it is to be free.
func TestLetGo(t *testing.T) {
	s := station(t, 2, 0, 15)
	x, err := s.Spring(Options{})
	if err != nil {
		t.Fatal(err)
	}
	w, err := s.Dates(Options{})
	if err != nil {
		t.Fatal(err)
	}
	opens, _ := w.Opens.At(0.5)
	dormant, ok := w.Dormancy.At(0.5)
	y, m, d := opens.Date()
	if want := climate.Date(y+1, m, d) - 100; x.LetGo.BeforeSowing == nil || *x.LetGo.BeforeSowing != want {
		t.Errorf("let go by %v, want %s", x.LetGo.BeforeSowing, want)
	}
	if ok && *x.LetGo.BeforeDormancy <= *x.LetGo.BeforeSowing != (dormant <= opens) {
		t.Errorf("%v and %v", *x.LetGo.BeforeDormancy, *x.LetGo.BeforeSowing)
	}
	for _, year := range x.Years {
		up, ok := s.wakes(year)
		if !ok {
			continue
		}
		week := s.weekly(soil.Depth10)
		if i := s.Record.Index(up); week[i] < turf.WakeSoilC || week[i-1] >= turf.WakeSoilC {
			t.Errorf("%s: %.1f after %.1f °C", up, week[i], week[i-1])
		}
	}
}

// A place without winter has no last safe date, and its days of use fall with the sow date.
func TestNoWinter(t *testing.T) {
	w, err := station(t, 1, 12, 20).Window(Options{})
	if err != nil {
		t.Fatal(err)
	}
	if w.ColdEnds() || 2*w.WithCutoff() >= len(w.Adjusted) {
		t.Fatal("the invented place still has a winter")
	}
	if d, ok := w.LastSafe(80); ok {
		t.Errorf("a last safe date on %s", d)
	}
	if _, ok := w.LastInTime(50); !ok {
		t.Error("no date to judge by")
	}
	s := station(t, 1, 12, 20)
	before := math.Inf(1)
	for k := range 4 {
		use := s.Use(w, climate.Date(w.Season, time.October, 20)+climate.Day(15*k))
		if use.Days.P50 > before {
			t.Errorf("%g days of use after %g", use.Days.P50, before)
		}
		before = use.Days.P50
	}
	cold, err := station(t, 1, 0, 20).Window(Options{})
	if err != nil || !cold.ColdEnds() {
		t.Errorf("a usual place: %v", err)
	}
}

// A plan is in the order of its days, each with its evidence, what comes before the sowing
// before it.
func TestPlan(t *testing.T) {
	none, _ := turf.FindHost("none")
	fescue, _ := turf.Find("tall-fescue")
	for name, o := range map[string]Options{"host": {}, "lawn": {Host: none, Species: fescue}} {
		s := station(t, 3, 0, 15)
		season := s.Calendar.SeasonFor(s.Record.Last())
		asOf := climate.Date(season, time.September, 10)
		e, err := s.Ensemble(o, EnsembleOptions{AsOf: &asOf})
		if err != nil {
			t.Fatal(err)
		}
		sow := asOf + 14
		p, err := e.Plan(o, sow)
		if err != nil {
			t.Fatal(err)
		}
		at := map[PlanKind]climate.Day{}
		for k, step := range p.Steps {
			if k > 0 && step.Day < p.Steps[k-1].Day {
				t.Errorf("%s: %s on %s after %s", name, step.Kind, step.Day, p.Steps[k-1].Day)
			}
			if step.Evidence.Meaning() == "" || step.Source == "" && step.Evidence != turf.Practice {
				t.Errorf("%s: %s rests on %q %q", name, step.Kind, step.Evidence, step.Source)
			}
			if _, ok := at[step.Kind]; !ok {
				at[step.Kind] = step.Day
			}
			if step.Until != nil && *step.Until < step.Day {
				t.Errorf("%s: %s to %s", step.Kind, step.Day, *step.Until)
			}
		}
		order := []PlanKind{PlanLastHerbicide, PlanMowLow, PlanSow, PlanUp, PlanMow, PlanHerbicide}
		for k := range order[1:] {
			if a, b := at[order[k]], at[order[k+1]]; a == 0 || b == 0 || a > b {
				t.Errorf("%s: %s on %s, %s on %s", name, order[k], a, order[k+1], b)
			}
		}
		if at[PlanSow] != sow || at[PlanFeed] != at[PlanUp]+21 {
			t.Errorf("%s: sown %s, up %s, fed %s", name, at[PlanSow], at[PlanUp], at[PlanFeed])
		}
		_, host := at[PlanStopFeeding]
		_, spring := at[PlanSpring]
		if host != (name == "host") || spring == host || (at[PlanHostWakes] != 0) != host {
			t.Errorf("%s: %v", name, at)
		}
	}
}
