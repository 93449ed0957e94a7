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

// years are the usable seasons of a station but one.
func yearsBut(t *testing.T, s *Station, season int) []int {
	t.Helper()
	w, err := s.Window(Options{FirstSeason: 1900, LastSeason: 2100})
	if err != nil {
		t.Fatal(err)
	}
	var years []int
	for _, se := range w.Seasons {
		if se.Year != season {
			years = append(years, se.Year)
		}
	}
	return years
}

func ensemble(t *testing.T, s *Station, season int, asOf climate.Day) *Ensemble {
	t.Helper()
	e, err := s.Ensemble(Options{Season: season}, EnsembleOptions{AsOf: new(asOf), Past: yearsBut(t, s, season)})
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// Once a season is over, every member is the season as it was: the outlook of a
// date is what the window found, and nothing is left to chance but the site.
func TestOutlookOfAPastSeason(t *testing.T) {
	s := station(t, 3, 0, 20)
	w, err := s.Window(Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, se := range w.Seasons[:5] {
		e := ensemble(t, s, se.Year, se.Last)
		for _, shift := range []climate.Day{-12, 0, 1, 12} {
			sow := *se.Latest + shift
			x, err := e.Outlook(Options{}, sow)
			if err != nil {
				t.Fatal(err)
			}
			if !x.Decided || x.Members != len(e.Years) {
				t.Fatalf("season %d: decided %v, %d of %d members", se.Year, x.Decided, x.Members, len(e.Years))
			}
			if made := shift <= 0; (x.Chance > 0.5) != made {
				t.Errorf("season %d, sown %d days from the latest date: chance %.2f", se.Year, shift, x.Chance)
			}
			g := s.growth(&Options{Species: *ryegrass()})
			days := s.daysTo(&se, &g, ryegrass().ThermalTime(turf.Emerged), s.offsets(se.Year, se.First, se.Last),
				s.Calendar.Days(se.Year, seasonDays))
			if want := days[sow-se.First]; x.Stages[0].Days.P50 != want {
				t.Errorf("season %d, sown %v: up after %g days, window says %g",
					se.Year, sow, x.Stages[0].Days.P50, want)
			}
		}
	}
}

// One past season says little of the outcomes: the interval tells, though no
// other season contradicts it.
func TestOneMemberIsNotCertain(t *testing.T) {
	s := station(t, 3, 0, 20)
	season := s.Record.Last().Year() - 1
	years := yearsBut(t, s, season)
	e, err := s.Ensemble(Options{Season: season}, EnsembleOptions{AsOf: new(s.Calendar.First(season) + 60),
		Past: years[:1]})
	if err != nil {
		t.Fatal(err)
	}
	x, err := e.Outlook(Options{}, s.Calendar.First(season)+70)
	if err != nil {
		t.Fatal(err)
	}
	// Jeffreys' 80 % interval of one in one begins near 0.35.
	if x.Decided || x.Chance < 0.95 || x.Low > 0.5 {
		t.Errorf("from one season: %.2f (%.2f to %.2f), decided %v", x.Chance, x.Low, x.High, x.Decided)
	}
}

// Several sow dates at once are what each is alone.
func TestOutlooks(t *testing.T) {
	s := station(t, 3, 0, 25)
	season := s.Record.Last().Year() - 1
	first := s.Calendar.First(season)
	e := ensemble(t, s, season, first+80)
	sows := []climate.Day{first + 60, first + 80, first + 110}
	all, err := e.Outlooks(Options{}, sows)
	if err != nil {
		t.Fatal(err)
	}
	for i, sow := range sows {
		one, err := e.Outlook(Options{}, sow)
		if err != nil {
			t.Fatal(err)
		}
		if all[i].Sow != sow || all[i].Chance != one.Chance || all[i].Stages[2].Days != one.Stages[2].Days ||
			all[i].Verdict != one.Verdict {
			t.Errorf("%s: %v among several, %v alone", sow, all[i], one)
		}
	}
	if !(all[0].Chance > all[2].Chance) {
		t.Errorf("chances %g and %g do not fall", all[0].Chance, all[2].Chance)
	}
}

// The quantiles of the soil over the other years hold the share of days they say.
func TestSoilSpread(t *testing.T) {
	s := station(t, 4, 0, 30)
	from := s.Record.Last() - 364
	spread, err := s.SoilSpread(soil.Depth10, from, s.Record.Last())
	if err != nil {
		t.Fatal(err)
	}
	below, n := 0.0, 0.0
	for k, q := range spread {
		if !(q.P10 < q.P50 && q.P50 < q.P90) {
			t.Fatalf("day %d: %v", k, q)
		}
		for years := range 28 {
			if n++; s.Soil.Soil10C[s.Record.Index(sameDate(from+climate.Day(k), -1-years))] < q.P10 {
				below++
			}
		}
	}
	if share := below / n; math.Abs(share-0.1) > 0.02 {
		t.Errorf("%.3f of the days lie under their 10 %% quantile", share)
	}
	if q, err := station(t, 4, 0, MinSeasons-1).SoilSpread(soil.Depth10, from, from); err != nil ||
		!math.IsNaN(q[0].P50) {
		t.Errorf("%v from too few years", q)
	}
}

// The members have the days gone by in common, and from then on the air of
// their years with a soil that does not jump.
func TestMembersAreJoined(t *testing.T) {
	s := station(t, 5, 0, 15)
	asOf := climate.Date(2000, time.October, 10)
	e := ensemble(t, s, 2000, asOf)
	for k, m := range e.members {
		i := m.Record.Index(asOf)
		for d := asOf - 60; d <= asOf; d++ {
			if m.Soil.Soil5C[m.Record.Index(d)] != s.Soil.Soil5C[s.Record.Index(d)] {
				t.Fatalf("%v: soil of the days gone by differs", d)
			}
		}
		j := s.Record.Index(sameDate(asOf+1, e.Years[k]-2000))
		if m.Record.TMaxC[i+1] != s.Record.TMaxC[j]+e.Trend.warmingC(e.Years[k]) {
			t.Fatalf("member %d does not go on with %v", k, s.Record.Day(j))
		}
		// The air may jump by 25 °C; ten days of memory let the soil at 10 cm
		// follow by half of that at the most.
		if step := math.Abs(m.Soil.Soil10C[i+1] - m.Soil.Soil10C[i]); step > 6 {
			t.Errorf("member %d: the soil jumps by %.1f °C", k, step)
		}
	}
}

// With no day gone by but the season's eve, the outlook is the window's chance
// but for what the soil remembers.
func TestOutlookBeforeTheSeason(t *testing.T) {
	s := station(t, 7, 0, 30)
	w, err := s.Window(Options{})
	if err != nil {
		t.Fatal(err)
	}
	last := s.Record.Last() // 30 June
	e, err := s.Ensemble(Options{Season: w.Season}, EnsembleOptions{AsOf: new(last), Past: yearsBut(t, s, w.Season)})
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range w.ByDate[60:140] {
		x, err := e.Outlook(Options{}, d.Sow)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(x.Chance-d.Chance) > 0.06 {
			t.Errorf("%v: outlook %.2f, window %.2f", d.Sow, x.Chance, d.Chance)
		}
	}
}

func TestOutlookProperties(t *testing.T) {
	for seed := range uint64(4) {
		s := station(t, seed, 0, 16)
		e := ensemble(t, s, 1998, climate.Date(1998, time.October, 1))
		lastChance, lastUp := 1.0, climate.Day(0)
		for sow := climate.Date(1998, time.August, 20); sow < climate.Date(1999, time.January, 10); sow += 5 {
			x, err := e.Outlook(Options{}, sow)
			if err != nil {
				t.Fatal(err)
			}
			if !(x.Chance >= 0 && x.Chance <= lastChance+1e-12 && x.Low <= x.Chance && x.Chance <= x.High &&
				x.Low >= 0 && x.High <= 1) {
				t.Fatalf("%v: %g in %g to %g after %g", sow, x.Chance, x.Low, x.High, lastChance)
			}
			lastChance = x.Chance
			for k, st := range x.Stages {
				if !(st.ReachedNow >= 0 && st.ReachedNow <= 1 && st.Low <= st.ReachedNow && st.ReachedNow <= st.High) {
					t.Fatalf("%v: reached %g in %g to %g", sow, st.ReachedNow, st.Low, st.High)
				}
				if k > 0 && st.ReachedNow > x.Stages[k-1].ReachedNow {
					t.Fatalf("%v: more have reached %s than the stage before", sow, st.Stage)
				}
			}
			if up := x.Stages[0].P50; up != nil {
				if *up < lastUp {
					t.Fatalf("sown %v, up %v: sown five days before, up %v", sow, *up, lastUp)
				}
				lastUp = *up
			}
			if x.EmergedFraction > 0 && sow > e.AsOf {
				t.Fatalf("%v: up before it is sown", sow)
			}
		}
	}
}

// A forecast of cold puts the stages off, one of warmth brings them on.
func TestForecastRowsCount(t *testing.T) {
	s := station(t, 9, 0, 16)
	asOf := climate.Date(2000, time.October, 5)
	rows := func(shift float64) *climate.Record {
		r := climate.NewRecord(s.Record.Place, asOf+1, 10)
		for i := range r.TMaxC {
			r.TMaxC[i], r.TMinC[i] = 20+shift, 10+shift
		}
		return r
	}
	up := map[float64]float64{}
	for _, shift := range []float64{-10, 0, 8} {
		e, err := s.Ensemble(Options{Season: 2000}, EnsembleOptions{AsOf: new(asOf), Past: yearsBut(t, s, 2000),
			Ahead: rows(shift)})
		if err != nil {
			t.Fatal(err)
		}
		if e.Ahead != 10 {
			t.Errorf("%d forecast rows used", e.Ahead)
		}
		x, err := e.Outlook(Options{}, asOf+1)
		if err != nil {
			t.Fatal(err)
		}
		up[shift] = x.Stages[0].Days.P50
	}
	if !(up[-10] > up[0] && up[0] > up[8]) {
		t.Errorf("days to come up in cold, usual and warm days ahead: %v", up)
	}
	if _, err := s.Ensemble(Options{Season: 2000}, EnsembleOptions{AsOf: new(asOf), Past: yearsBut(t, s, 2000),
		Ahead: rows(0).Until(asOf)}); !errors.Is(err, ErrNoDaysAhead) {
		t.Errorf("a forecast without rows: %v", err)
	}
}

// A soil 3 °C colder than that of every other season is behind, one like it is
// not.
func TestBehind(t *testing.T) {
	base := weather.Generate(weather.Piedmont(), 12, climate.Date(1990, 1, 1), climate.Date(2010, 6, 30))
	outlook := func(shift float64) *Outlook {
		rec := *base
		rec.TMaxC, rec.TMinC = append([]float64(nil), base.TMaxC...), append([]float64(nil), base.TMinC...)
		for y := 1990; y < 2010; y++ {
			// Each autumn gets the same weather, so that the middle one is
			// known; the last one is shifted.
			from, src := rec.Index(climate.Date(y, time.August, 1)), rec.Index(climate.Date(2000, time.August, 1))
			for k := range 120 {
				rec.TMaxC[from+k], rec.TMinC[from+k] = base.TMaxC[src+k], base.TMinC[src+k]
				if y == 2009 {
					rec.TMaxC[from+k] += shift
					rec.TMinC[from+k] += shift
				}
			}
		}
		s, err := NewStation(&rec)
		if err != nil {
			t.Fatal(err)
		}
		var years []int
		for y := 1991; y < 2009; y++ {
			years = append(years, y)
		}
		e, err := s.Ensemble(Options{Season: 2009}, EnsembleOptions{AsOf: new(climate.Date(2009, time.October, 15)),
			Past: years})
		if err != nil {
			t.Fatal(err)
		}
		x, err := e.Outlook(Options{}, climate.Date(2009, time.October, 1))
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	if x := outlook(0); math.Abs(x.BehindDays) > 0.5 {
		t.Errorf("the same weather is %.1f days behind", x.BehindDays)
	}
	cold, warm := outlook(-3).BehindDays, outlook(3).BehindDays
	// 15 days of about 18 °C: 3 °C less are 45 °C d, two and a half days.
	if cold < 1.5 || cold > 4 || warm > -1 || warm < -4 {
		t.Errorf("3 °C colder: %.1f days behind, warmer: %.1f", cold, warm)
	}
}

func TestEnsembleRefuses(t *testing.T) {
	s := station(t, 1, 0, 12)
	_, err := s.Ensemble(Options{Season: 2010}, EnsembleOptions{Past: []int{1995, 1996}})
	if !errors.Is(err, ErrOutsideRecord) {
		t.Errorf("a season years ahead: %v", err)
	}
	if _, err := s.Ensemble(Options{Season: s.Calendar.SeasonFor(s.Record.First)},
		EnsembleOptions{AsOf: new(s.Record.First)}); !errors.Is(err, ErrOutsideRecord) {
		t.Errorf("today before the record: %v", err)
	}
	if _, err := s.Ensemble(Options{Season: 2000}, EnsembleOptions{AsOf: new(climate.Date(2000, time.October, 1)),
		Past: []int{}}); !errors.Is(err, ErrNoSeasons) {
		t.Errorf("no past seasons: %v", err)
	}
}

// Without past seasons named, those of Dates but the season itself are taken.
func TestEnsembleChoosesPastSeasons(t *testing.T) {
	s := station(t, 1, 0, 12)
	asOf := climate.Date(2000, time.October, 1)
	e, err := s.Ensemble(Options{}, EnsembleOptions{AsOf: &asOf})
	if err != nil {
		t.Fatal(err)
	}
	if want := yearsBut(t, s, 2000); e.Season != 2000 || !slices.Equal(e.Years, want) {
		t.Errorf("season %d with %v, want 2000 with %v", e.Season, e.Years, want)
	}
	few, err := s.Ensemble(Options{FirstSeason: 1995, LastSeason: 2000}, EnsembleOptions{AsOf: &asOf})
	if err != nil || !slices.Equal(few.Years, []int{1995, 1996, 1997, 1998, 1999}) {
		t.Errorf("1995 to 2000: %v, %v", few.Years, err)
	}
}

// A gap that hides the freeze must not read as if none had come: past seasons
// stand in for it.
func TestGapInTheSeasonSoFar(t *testing.T) {
	s := station(t, 13, 0, 20)
	w, err := s.Window(Options{Cutoff: CutoffFreeze})
	if err != nil {
		t.Fatal(err)
	}
	se := w.Seasons[len(w.Seasons)-3]
	freeze := *se.Cutoff
	sow := *se.Latest + 6 // too late, as it turned out
	asOf := freeze + 5
	chance := func(gap climate.Day) (*Outlook, *Ensemble) {
		rec := *s.Record
		rec.TMinC = append([]float64(nil), s.Record.TMinC...)
		for d := freeze - gap; d < freeze+gap; d++ {
			rec.TMinC[rec.Index(d)] = math.NaN()
		}
		part, err := NewStation(&rec)
		if err != nil {
			t.Fatal(err)
		}
		e, err := part.Ensemble(Options{Season: se.Year},
			EnsembleOptions{AsOf: new(asOf), Past: yearsBut(t, s, se.Year)})
		if err != nil {
			t.Fatal(err)
		}
		x, err := e.Outlook(Options{Cutoff: CutoffFreeze}, sow)
		if err != nil {
			t.Fatal(err)
		}
		return x, e
	}
	whole, e := chance(0)
	if e.Unknown != 0 || e.Known != asOf || !whole.Decided || whole.Chance > 0.45 {
		t.Errorf("without a gap: %d days unknown, chance %.2f", e.Unknown, whole.Chance)
	}
	gap, e := chance(6)
	if e.Unknown < 8 || e.Known >= freeze || gap.Decided {
		t.Errorf("with a gap: %d days unknown, known to %v, decided %v", e.Unknown, e.Known, gap.Decided)
	}
	if gap.High-gap.Low <= whole.High-whole.Low {
		t.Errorf("the gap makes it surer: %.2f–%.2f against %.2f–%.2f", gap.Low, gap.High, whole.Low, whole.High)
	}
}

// Today may lie after the record's end: the days between are not known.
func TestTodayAfterTheRecord(t *testing.T) {
	s := station(t, 13, 0, 20)
	part, err := NewStation(s.Record.Until(climate.Date(2005, time.October, 1)))
	if err != nil {
		t.Fatal(err)
	}
	e, err := part.Ensemble(Options{Season: 2005}, EnsembleOptions{AsOf: new(climate.Date(2005, time.October, 20)),
		Past: yearsBut(t, part, 2005)})
	if err != nil {
		t.Fatal(err)
	}
	if e.Unknown != 19 || e.Known != climate.Date(2005, time.October, 1) {
		t.Errorf("%d days unknown, known to %v", e.Unknown, e.Known)
	}
	x, err := e.Outlook(Options{}, climate.Date(2005, time.October, 3))
	if err != nil {
		t.Fatal(err)
	}
	if x.EmergedFraction < 0.5 || !math.IsNaN(x.BehindDays) {
		t.Errorf("up %.2f, behind %g", x.EmergedFraction, x.BehindDays)
	}
}

// Sown between two seasons, long before the opening: answered like any other day.
func TestSownBeforeTheSeason(t *testing.T) {
	s := station(t, 13, 0, 20)
	e, err := s.Ensemble(Options{Season: 2004}, EnsembleOptions{AsOf: new(climate.Date(2004, time.October, 20)),
		Past: yearsBut(t, s, 2004)})
	if err != nil {
		t.Fatal(err)
	}
	x, err := e.Outlook(Options{}, climate.Date(2004, time.May, 20))
	if err != nil {
		t.Fatal(err)
	}
	if x.EmergedFraction < 0.99 || x.Chance < 0.9 || math.Abs(x.BehindDays) > 20 || x.Stages[0].P50 == nil {
		t.Errorf("%+v", x)
	}
}

func TestVerdicts(t *testing.T) {
	for chance, want := range map[float64]Verdict{0: TooLate, 0.019: TooLate, 0.02: Unlikely,
		0.33: Unlikely, 0.34: Doubtful, 0.66: Doubtful, 0.67: Likely, 1: Likely} {
		if got := VerdictOf(chance); got != want {
			t.Errorf("%g is %s", chance, got)
		}
	}
}
