package forecast

import (
	"slices"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// advised is the advice about a first sowing of 1 October 2003, looked at on a day.
func advised(t *testing.T, s *Station, o Options, look climate.Day, stand Stand) *Advice {
	t.Helper()
	a, err := ensemble(t, s, 2003, look).Advise(o, climate.Date(2003, time.October, 1), stand, Supply{Unknown: true})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func kinds(list []Coming) []ComingKind {
	var out []ComingKind
	for _, c := range list {
		out = append(out, c.Kind)
	}
	return out
}

// Early in the season a look comes first, and the days of the first sowing; once
// nearly all is up, the days of a second.
func TestAdviseInTime(t *testing.T) {
	s := station(t, 4, 0, 20)
	look := climate.Date(2003, time.October, 3)
	a := advised(t, s, Options{}, look, Stand{})
	if !a.Decision.TooSoon || a.Decision.Best.Action != WaitUntil || a.Decision.Find(SowNow) != nil {
		t.Errorf("two days after sowing: %+v", a.Decision)
	}
	for _, k := range []ComingKind{LookAgain, FirstMow, FirstTillered} {
		if !slices.Contains(kinds(a.Coming), k) {
			t.Errorf("%s is not among what comes: %v", k, kinds(a.Coming))
		}
	}
	look = climate.Date(2003, time.October, 9)
	a = advised(t, s, Options{}, look, Stand{Found: NoSeed})
	if a.Second[0].Sow != look || a.Decision.Best.Action != SowNow {
		t.Errorf("bare and no seed: %+v", a.Decision.Best)
	}
	if a.LastSafe == nil || *a.LastSafe <= look {
		t.Fatalf("last safe date %v", a.LastSafe)
	}
	// The last safe date is that of the members' latest dates at 80 %.
	if d, ok := a.Second[0].LastSafe(80); !ok || d != *a.LastSafe {
		t.Errorf("last safe date %s, want %s", a.LastSafe, d)
	}
	if a.Decision.WorthUntil == nil || *a.Decision.WorthUntil <= look || a.Decision.ChanceUntil > a.Second[0].Chance {
		t.Errorf("worth until %v: %.2f", a.Decision.WorthUntil, a.Decision.ChanceUntil)
	}
	want := []ComingKind{
		LookAgain,
		SecondUp,
		SecondMow,
		SecondTillered,
		LastSafeSowing,
		LastWorthSowing,
		FrostBegins,
		CutoffExpected,
	}
	for _, k := range want {
		if !slices.Contains(kinds(a.Coming), k) {
			t.Errorf("%s is not among what comes: %v", k, kinds(a.Coming))
		}
	}
	if !slices.IsSortedFunc(a.Coming, func(a, b Coming) int { return int(a.Day - b.Day) }) {
		t.Errorf("out of order: %+v", a.Coming)
	}
	for _, c := range a.Coming {
		if c.P10 != nil && !(*c.P10 <= c.Day && c.Day <= *c.P90) {
			t.Errorf("%s on %s, between %s and %s", c.Kind, c.Day, c.P10, c.P90)
		}
	}
}

// In winter it is too late: no days of a second sowing come, and there is a fallback.
func TestAdviseTooLate(t *testing.T) {
	s := station(t, 4, 0, 20)
	look := climate.Date(2003, time.December, 20)
	a := advised(t, s, Options{Species: species(t, "kentucky-bluegrass")}, look, Stand{Cover: 0.1})
	if a.Decision.Best.Action != Stop || a.Decision.WorthUntil != nil || a.Second[0].Chance >= StopBelow {
		t.Errorf("on %s a second sowing has a chance of %.2f: %+v", look, a.Second[0].Chance, a.Decision)
	}
	for _, k := range []ComingKind{SecondUp, SecondMow, SecondTillered, LastSafeSowing, LastWorthSowing,
		CutoffExpected, FrostBegins} {
		if slices.Contains(kinds(a.Coming), k) {
			t.Errorf("%s is among what comes: %v", k, kinds(a.Coming))
		}
	}
	i := slices.Index(kinds(a.Coming), FrostHasBegun)
	if i < 0 || a.Coming[i].Day != look || *a.Coming[i].Since != *a.Frost || *a.Frost > look {
		t.Errorf("frost since %v: %+v", a.Frost, a.Coming)
	}
	if !slices.Contains(kinds(a.Coming), CutoffHasBeenSeen) || a.LastSafe == nil || *a.LastSafe >= look {
		t.Errorf("the cutoff and the last safe date, %v, lie before %s: %+v", a.LastSafe, look, a.Coming)
	}
	// The soil at 5 cm comes back to 10 °C in spring, and not before.
	if a.Instead.Spring == nil || a.Instead.Spring.Year() != 2004 ||
		s.Normal5C.At(*a.Instead.Spring-5) >= SpringSoilC || s.Normal5C.At(*a.Instead.Spring+5) <= SpringSoilC {
		t.Errorf("spring on %v", a.Instead.Spring)
	}
}

// The first frost is that of 0 °C in the air: at some stations and days it comes
// before the killing freeze, and never after it.
func TestAdviseFrost(t *testing.T) {
	sooner := 0
	for seed := range uint64(4) {
		a := advised(t, station(t, seed, 0, 20), Options{}, climate.Date(2003, time.October, 10), Stand{Cover: 0.2})
		killing, ok := a.First.Freeze.At(0.5)
		if a.Frost == nil || !ok || *a.Frost > killing {
			t.Fatalf("first frost %v, killing freeze %s", a.Frost, killing)
		}
		if *a.Frost < killing-3 {
			sooner++
		}
	}
	if sooner == 0 {
		t.Error("the first frost never comes before the killing freeze")
	}
}

// Dormant seeding waits for cold soil; ryegrass is not sown so.
func TestAdviseDormant(t *testing.T) {
	s := station(t, 4, -6, 20) // a cold station
	look := climate.Date(2003, time.November, 10)
	a := advised(t, s, Options{Species: species(t, "kentucky-bluegrass")}, look, Stand{Cover: 0.1})
	d, err := ensemble(t, s, 2003, look).ColdSoil(look, turf.DormantSoilC)
	if err != nil || d == nil || a.Instead.Dormant == nil || *a.Instead.Dormant != *d || *d < look {
		t.Errorf("dormant seeding from %v, the soil is cold from %s", a.Instead.Dormant, d)
	}
	if a = advised(t, s, Options{Species: species(t, "perennial-ryegrass")}, look, Stand{Cover: 0.1}); a.Instead.Dormant != nil {
		t.Errorf("dormant seeding of ryegrass from %s", a.Instead.Dormant)
	}
}

// A surer species is clearly quicker and better by SurerBy; no built-in one has a
// better chance that is clearly quicker.
func TestAdviseSurer(t *testing.T) {
	s := station(t, 4, 0, 20)
	found := 0
	for look := climate.Date(2003, time.October, 3); look < climate.Date(2003, time.November, 10); look += 4 {
		all, err := ensemble(t, s, 2003, look).EverySpecies(Options{}, look)
		if err != nil {
			t.Fatal(err)
		}
		for _, sp := range turf.All() {
			a := advised(t, s, Options{Species: sp}, look, Stand{Cover: 0.2})
			now, best := a.Second[0].Chance, a.Second[0].Chance+SurerBy
			for _, x := range all {
				if !NoClearDifference(&x.Options.Species, &sp, turf.Tillered) && x.Chance > best {
					best = x.Chance
				}
			}
			switch {
			case a.Surer == nil && best > now+SurerBy:
				t.Errorf("%s on %s: %.3f, and none surer, though one has %.3f", sp.ID, look, now, best)
			case a.Surer != nil && (a.Surer.Chance != best || a.Surer.Sow != look):
				t.Errorf("%s on %s: %.3f, %s %.3f, the best has %.3f",
					sp.ID, look, now, a.Surer.Options.Species.ID, a.Surer.Chance, best)
			case a.Surer != nil:
				found++
			}
		}
	}
	if found == 0 {
		t.Error("no species was ever surer than another")
	}
}

// A first sowing after the look, or a cover that is no share, is refused.
func TestAdviseErrors(t *testing.T) {
	s := station(t, 4, 0, 20)
	look := climate.Date(2003, time.October, 10)
	e := ensemble(t, s, 2003, look)
	if _, err := e.Advise(Options{}, look+1, Stand{}, Supply{}); err == nil {
		t.Error("a first sowing to come is judged")
	}
	if _, err := e.Advise(Options{}, look-5, Stand{Cover: 1.2}, Supply{}); err == nil {
		t.Error("a cover of 120 % is judged")
	}
}

func species(t *testing.T, id string) turf.Species {
	t.Helper()
	sp, ok := turf.Find(id)
	if !ok {
		t.Fatalf("no species %s", id)
	}
	return sp
}
