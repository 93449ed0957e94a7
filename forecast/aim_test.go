package forecast

import (
	"errors"
	"math"
	"slices"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/weather"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// An aim begins when sowing has opened, or a month before it ends, and ends with the
// last safe date or the solstice; its first half is the best.
func TestAimHolds(t *testing.T) {
	seen := map[AimBound]int{}
	for seed := range uint64(4) {
		for _, warmer := range []float64{-7, -4, 0, 4, 9} {
			s := station(t, seed, warmer, 25)
			for _, host := range turf.Hosts() {
				for _, percent := range []float64{50, 80, 90} {
					w, err := s.Window(Options{Host: host, Confidence: percent})
					if err != nil {
						t.Fatal(err)
					}
					safe, ok := w.Safe()
					median, _ := w.Opens.At(0.5)
					if !ok || median > safe {
						if w.Aim != nil {
							t.Errorf("an aim where no date is safe after the opening: %+v", w.Aim)
						}
						continue
					}
					a := w.Aim
					if a == nil {
						if _, late := w.Has(WarnAfterWinter); !late && median <= s.Solstice(w.Season) {
							t.Errorf("warmer %g, %s, %g %%: no aim", warmer, host.ID, percent)
						}
						continue
					}
					seen[a.Bound]++
					if _, narrow := w.Has(WarnNarrow); narrow != (a.Bound == AimMedian) {
						t.Errorf("warmer %g: %+v, narrow: %t", warmer, a, narrow)
					}
					if a.From > a.BestUntil || a.BestUntil > a.Until || a.Until != min(safe, s.Solstice(w.Season)) {
						t.Errorf("warmer %g: aim %+v, safe %s", warmer, a, safe)
					}
					if opened := w.ByDate[a.From-w.ByDate[0].Sow].Open; a.Bound == AimOpens && opened < 0.5 {
						t.Errorf("warmer %g: sowing has opened in %.2f on %s", warmer, opened, a.From)
					}
					if late, ok := w.Opens.At(aimOpen); a.Bound == AimOpens && (!ok || a.From != late) ||
						a.Bound == AimMedian && a.From != median {
						t.Errorf("warmer %g: %+v, opens %s and %s", warmer, a, median, late)
					}
					if a.Until == safe && a.Until-a.From > aimDays && a.Bound != AimMedian {
						t.Errorf("warmer %g: %d days long", warmer, a.Until-a.From)
					}
					if got := w.ByDate[a.Until-w.ByDate[0].Sow].Chance; got != a.Chance {
						t.Errorf("warmer %g: chance %g on the last day, %g by date", warmer, a.Chance, got)
					}
				}
			}
		}
	}
	for _, b := range []AimBound{AimOpens, AimMedian, AimLength} {
		if seen[b] == 0 {
			t.Errorf("no aim is bound by %s: %v", b, seen)
		}
	}
}

// A last safe date comes later with more frost borne, earlier with colder soil and a
// slower species; a later sowing has less chance.
func TestSensitivities(t *testing.T) {
	for seed := range uint64(4) {
		s := station(t, seed, 0, 25)
		w, err := s.Window(Options{})
		if err != nil {
			t.Fatal(err)
		}
		safe, _ := w.Safe()
		list, err := s.Sensitivities(w, safe)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[ChangeKind]int{}
		for _, c := range list {
			seen[c.Kind]++
			if c.LastSafe == nil {
				t.Fatalf("%s: no date", c.Kind)
			}
			switch {
			case c.Kind == ChangeFreeze && (*c.LastSafe < safe || c.FreezeC >= turf.KillingFreezeC || c.Sow != safe),
				c.Kind == ChangeSoil && (*c.LastSafe >= safe || c.Chance >= w.Aim.Chance),
				c.Kind == ChangeSow && (*c.LastSafe != safe || c.Sow != safe+sowStepDays || c.Chance >= w.Aim.Chance),
				c.Kind == ChangeSpecies && (c.Species.ID != "kentucky-bluegrass" || *c.LastSafe >= safe):
				t.Errorf("seed %d: safe %s, %+v to %s", seed, safe, c, c.LastSafe)
			}
		}
		if seen[ChangeFreeze] != 1 || seen[ChangeSoil] != 1 || seen[ChangeSow] != 1 || seen[ChangeSpecies] != 1 {
			t.Errorf("%v", seen)
		}
	}
}

// A freeze that cannot end the season is not asked about; a species in the middle has
// a quicker and a slower beside it.
func TestSensitivitiesThatMatter(t *testing.T) {
	s := station(t, 1, 0, 20)
	fescue, _ := turf.Find("tall-fescue")
	w, err := s.Window(Options{Species: fescue, Cutoff: CutoffDormancy})
	if err != nil {
		t.Fatal(err)
	}
	list, err := s.Sensitivities(w, w.ByDate[90].Sow)
	if err != nil {
		t.Fatal(err)
	}
	var species []string
	for _, c := range list {
		if c.Kind == ChangeFreeze {
			t.Error("a freeze, with dormancy alone ending the season")
		}
		if c.Kind == ChangeSpecies {
			species = append(species, c.Species.ID)
		}
	}
	if len(species) != 2 || species[0] != "annual-ryegrass" || species[1] != "kentucky-bluegrass" {
		t.Errorf("%v", species)
	}
}

// Given the season so far, what is changed moves the chance the same way.
func TestEnsembleSensitivities(t *testing.T) {
	s := station(t, 4, 0, 20)
	sow := climate.Date(2003, time.October, 15)
	e := ensemble(t, s, 2003, sow)
	base, err := e.Outlook(Options{}, sow)
	if err != nil {
		t.Fatal(err)
	}
	list, err := e.Sensitivities(Options{}, sow)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range list {
		if c.Kind == ChangeFreeze && c.Chance < base.Chance || c.Kind != ChangeFreeze && c.Chance >= base.Chance {
			t.Errorf("%s: %g, without it %g", c.Kind, c.Chance, base.Chance)
		}
	}
	again, err := e.Outlook(Options{}, sow)
	if err != nil || again.Chance != base.Chance {
		t.Errorf("the ensemble has changed: %g, %g, %v", base.Chance, again.Chance, err)
	}
}

func TestWithSoilOffset(t *testing.T) {
	s := station(t, 1, 0, 6)
	warm, err := s.WithSoilOffset(1.5)
	if err != nil {
		t.Fatal(err)
	}
	for i := range s.Soil.Soil5C {
		if math.Abs(warm.Soil.Soil5C[i]-s.Soil.Soil5C[i]-1.5) > 1e-9 ||
			math.Abs(warm.smoothed(soil.Depth10).at(i)-s.smoothed(soil.Depth10).at(i)-1.5) > 1e-9 {
			t.Fatalf("day %d: %g from %g", i, warm.Soil.Soil5C[i], s.Soil.Soil5C[i])
		}
	}
	if math.Abs(warm.Normal10C.Mean-s.Normal10C.Mean-1.5) > 1e-6 {
		t.Errorf("normal mean %g from %g", warm.Normal10C.Mean, s.Normal10C.Mean)
	}
	if _, err := s.WithSoilOffset(math.NaN()); !errors.Is(err, climate.ErrThreshold) {
		t.Errorf("%v", err)
	}
}

// What is left falls with the day; a quicker species is better, and spring comes
// after today.
func TestInstead(t *testing.T) {
	s := station(t, 2, 0, 25)
	fescue, _ := turf.Find("tall-fescue")
	none, _ := turf.FindHost("none")
	w, err := s.Window(Options{Species: fescue, Host: none})
	if err != nil {
		t.Fatal(err)
	}
	safe, _ := w.Safe()
	before := 1.0
	for _, late := range []climate.Day{1, 8, 20, 60} {
		today := safe + late
		x, err := s.Instead(w, today)
		if err != nil {
			t.Fatal(err)
		}
		if x.Chance >= before || x.NextWeek > x.Chance || x.Verdict != VerdictOf(x.Chance) {
			t.Errorf("%d days late: %g after %g, %g a week on", late, x.Chance, before, x.NextWeek)
		}
		before = x.Chance
		if q := x.Quicker; q != nil &&
			(q.Chance <= x.Chance+SurerBy ||
				q.Species.ThermalTime(turf.Tillered) >= fescue.ThermalTime(turf.Tillered)) {
			t.Errorf("%d days late: %+v", late, q)
		}
		if x.Spring == nil || *x.Spring <= today || *x.Spring-today > 366 || x.Next == nil || x.Next.From <= today {
			t.Errorf("%d days late: spring %v, next %+v", late, x.Spring, x.Next)
		}
	}
}

// Bermudagrass does not survive the winters of northern Minnesota, and does those of
// the Carolina piedmont and of Kansas (common practice).
func TestHostOutsideItsRange(t *testing.T) {
	zoysia, _ := turf.FindHost("zoysiagrass")
	none, _ := turf.FindHost("none")
	for _, c := range []struct {
		warmer float64
		host   turf.Host
		want   bool
	}{{0, turf.Host{}, false}, {-15, turf.Host{}, true}, {-15, zoysia, true}, {-15, none, false}} {
		s := station(t, 3, c.warmer, 12)
		w, err := s.Dates(Options{Host: c.host})
		if err != nil {
			t.Fatal(err)
		}
		x, got := w.Has(WarnHostWinter)
		month, mean, ok := s.ColdestMonth()
		if got != c.want || !ok || got && (x.TempC != mean || x.Month != month || mean >= x.LimitC) {
			t.Errorf("%g °C warmer, %s: coldest %s %.1f, warned %v %+v", c.warmer, c.host.ID, month, mean, got, x)
		}
		if got && w.Warnings[0].Kind != WarnHostWinter {
			t.Errorf("the gravest is %s", w.Warnings[0].Kind)
		}
	}
}

// ColdestMonth is that of a record made by hand.
func TestColdestMonth(t *testing.T) {
	rec := weather.Generate(
		weather.Piedmont(),
		1,
		climate.Date(2000, time.January, 1),
		climate.Date(2003, time.December, 31),
	)
	for i := range rec.TMaxC {
		_, m, _ := rec.Day(i).Date()
		rec.TMaxC[i], rec.TMinC[i] = 15-3*math.Abs(float64(m)-7)+4, 15-3*math.Abs(float64(m)-7)-2
	}
	s, err := NewStation(rec)
	if err != nil {
		t.Fatal(err)
	}
	if m, c, ok := s.ColdestMonth(); !ok || m != time.January || math.Abs(c-(-2)) > 1e-9 {
		t.Errorf("%s %g %t, want January -2", m, c, ok)
	}
}

// Every kind of warning is given where it is due, and none to a usual window.
func TestWarnings(t *testing.T) {
	s := station(t, 1, 0, 30)
	last := s.Calendar.SeasonFor(s.Record.Last())
	never := -60.0
	late, _ := turf.FindHost("bermudagrass")
	late.Open.TempC = 17 // cool enough only in October
	for _, c := range []struct {
		warmer float64
		o      Options
		want   WarningKind
	}{
		{0, Options{}, ""},
		{0, Options{FirstSeason: last - 3, LastSeason: last - 1}, WarnTooFew},
		{0, Options{FirstSeason: last - 7, LastSeason: last - 1}, WarnFew},
		{0, Options{Confidence: 99}, WarnConfidence},
		{0, Options{Cutoff: CutoffFreeze, FreezeC: &never}, WarnNoCutoff},
		{8, Options{Stage: turf.Emerged, Confidence: 20}, WarnAfterWinter},
		{-14, Options{}, WarnHostCold},
		{-14, Options{}, WarnNoSafeDate},
		{0, Options{Host: late}, WarnOpensLate},
	} {
		w, err := station(t, 1, c.warmer, 30).Dates(c.o)
		if err != nil {
			t.Fatal(err)
		}
		if c.want == "" {
			if len(w.Warnings) != 0 {
				t.Errorf("a usual window: %+v", w.Warnings)
			}
			continue
		}
		if _, ok := w.Has(c.want); !ok {
			t.Errorf("no %s: %+v", c.want, w.Warnings)
		}
		if c.want == WarnTooFew && (w.Aim != nil || len(w.Warnings) != 1) {
			t.Errorf("too few: %+v, %+v", w.Aim, w.Warnings)
		}
	}
	end := s.Record.Last()
	if _, ok := s.RecordEnded(end + endedDays); ok {
		t.Error("two months are no long time")
	}
	if x, ok := s.RecordEnded(end + endedDays + 1); !ok || x.Day != end {
		t.Errorf("%+v %t", x, ok)
	}
}

// An ensemble warns of what its own members and its day give reason to.
func TestEnsembleWarnings(t *testing.T) {
	s := station(t, 4, 0, 8)
	e := ensemble(t, s, 1997, climate.Date(1997, time.October, 1))
	x, err := e.Outlook(Options{}, e.AsOf)
	if err != nil {
		t.Fatal(err)
	}
	list := e.Warnings(x)
	if len(list) != 1 || list[0].Kind != WarnFew || list[0].Seasons != len(e.Years) {
		t.Errorf("%d past seasons: %+v", len(e.Years), list)
	}
}

// A sowing whose outcome is in the record is warned of as hindsight, one to come is not.
func TestHindsightIsWarnedOf(t *testing.T) {
	s := station(t, 4, 0, 20)
	for asOf, want := range map[climate.Day]bool{
		climate.Date(2005, time.October, 1): false, climate.Date(2006, time.May, 1): true,
	} {
		e := ensemble(t, s, 2005, asOf)
		x, err := e.Outlook(Options{}, climate.Date(2005, time.September, 28))
		if err != nil {
			t.Fatal(err)
		}
		got := slices.ContainsFunc(e.Warnings(x), func(w Warning) bool {
			return w.Kind == WarnHindsight && w.Day == x.Sow
		})
		if got != want {
			t.Errorf("as of %s: warned of hindsight: %t", asOf, got)
		}
	}
}

// A record that ended years ago gives a sowing of this year the odds of its past
// seasons, and warns.
func TestLongEndedRecord(t *testing.T) {
	s := station(t, 4, 0, 20)
	last := s.Record.Last().Year()
	today := climate.Date(last+3, time.July, 20)
	w, err := s.Dates(Options{Season: last + 3})
	if err != nil {
		t.Fatal(err)
	}
	sow := climate.Date(last+3, time.October, 12)
	c, err := s.Compare(CompareOptions{AsOf: &today, Sow: &sow, Options: make([]Options, 1)})
	if err != nil {
		t.Fatal(err)
	}
	x := c.Species[0].Outlook
	if !c.Ensemble.Alone || len(c.Ensemble.Years) != len(w.Seasons) {
		t.Errorf("alone: %t, %d of %d seasons", c.Ensemble.Alone, len(c.Ensemble.Years), len(w.Seasons))
	}
	// The same seasons, except for a trend in what is left of the year before.
	if math.Abs(x.Chance-w.Chance(sow)) > 0.03 {
		t.Errorf("chance %.3f, of the past seasons %.3f", x.Chance, w.Chance(sow))
	}
	if list := c.Ensemble.Warnings(x); len(list) == 0 || list[0].Kind != WarnRecordEnded {
		t.Errorf("warnings %+v", list)
	}
	// Too late this year: the next season is planned, on the last of its best days.
	today = climate.Date(last+3, time.December, 10)
	if c, err = s.Compare(CompareOptions{AsOf: &today}); err != nil {
		t.Fatal(err)
	}
	first, err := s.Dates(Options{Species: turf.All()[0], Season: last + 4})
	if err != nil {
		t.Fatal(err)
	}
	if c.Season != last+4 || c.Sow != first.Aim.BestUntil {
		t.Errorf("in December the season of %d is planned, sown on %s", c.Season, c.Sow)
	}
	_, err = s.Ensemble(Options{Season: last + 5}, EnsembleOptions{AsOf: &today})
	if !errors.Is(err, ErrOutsideRecord) {
		t.Errorf("a season more than a year ahead: %v", err)
	}
}
