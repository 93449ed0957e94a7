package forecast

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/weather"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// handStation is a station of one season whose soil is given by hand, the same
// at both depths, with one freezing night.
func handStation(t *testing.T, freeze climate.Day, soilAt func(climate.Day) float64) *Station {
	t.Helper()
	first, last := climate.Date(2020, time.January, 10), climate.Date(2021, time.June, 30)
	rec := climate.NewRecord(climate.Place{Latitude: new(40.0)}, first, int(last-first)+1)
	s := &Station{Record: rec, Filled: make([]bool, rec.Len()), Soil: &soil.Curve{First: first}}
	for i := range rec.TMaxC {
		rec.TMaxC[i], rec.TMinC[i] = 20, 10
		v := soilAt(rec.Day(i))
		s.Soil.Soil5C = append(s.Soil.Soil5C, v)
		s.Soil.Soil10C = append(s.Soil.Soil10C, v)
	}
	if i := rec.Index(freeze); i >= 0 && i < rec.Len() {
		rec.TMinC[i] = -2.2 // 28 °F in a record of tenths
	}
	s.renew(s.Soil)
	s.Normal5C = climate.Normal{Mean: 15, Cos: []float64{-10}, Sin: []float64{0}}
	s.Normal10C = s.Normal5C
	return s
}

// stepSoil is 30 °C to 9 September, 20 °C to 31 October, 10 °C from then on.
func stepSoil(d climate.Day) float64 {
	switch {
	case d <= climate.Date(2020, time.September, 9):
		return 30
	case d <= climate.Date(2020, time.October, 31):
		return 20
	}
	return 10
}

// A season worked out by hand. Perennial ryegrass is tillered after 373 °C d.
//
// Opening, 75 °F = 23.9 °C: after 9 September the trailing week holds k days of
// 20 and 7−k of 30 °C: 30 − 10k/7 > 23.9 for k ≤ 4, last on the 13th; so the
// 14th. Dormancy, 55 °F = 12.8 °C: the smoothed step is 10 + 10 Φ((½ − k)/7) on
// day k of November, to the fineness of days, at most 12.8 from Φ⁻¹(0.278) =
// −0.589 on: k ≥ 4.6, the 5th. Latest date before the freeze of 20 November: its
// 20 days of November give 200 °C d, the 173 that lack take 9 days of 20: 23
// October. Before dormancy: 5 days give 50, the 323 that lack take 17 days: 15
// October.
func TestSeasonByHand(t *testing.T) {
	freeze := climate.Date(2020, time.November, 20)
	s := handStation(t, freeze, stepSoil)
	for _, c := range []struct {
		rule   CutoffRule
		cause  Cause
		cutoff climate.Day
		latest climate.Day
	}{
		{CutoffFreeze, CauseFreeze, freeze, climate.Date(2020, time.October, 23)},
		{CutoffDormancy, CauseDormancy, climate.Date(2020, time.November, 5), climate.Date(2020, time.October, 15)},
		{CutoffEarliest, CauseDormancy, climate.Date(2020, time.November, 5), climate.Date(2020, time.October, 15)},
	} {
		w, err := s.Window(Options{Cutoff: c.rule})
		if err != nil {
			t.Fatal(err)
		}
		if len(w.Seasons) != 1 {
			t.Fatalf("%d seasons: %v", len(w.Seasons), w.Dropped)
		}
		se := w.Seasons[0]
		if se.Year != 2020 || se.Opens != climate.Date(2020, time.September, 14) {
			t.Errorf("season %d opens %v", se.Year, se.Opens)
		}
		if *se.Freeze != freeze || *se.Dormancy != climate.Date(2020, time.November, 5) {
			t.Errorf("freeze %v, dormancy %v", se.Freeze, se.Dormancy)
		}
		if se.Cause != c.cause || *se.Cutoff != c.cutoff || *se.Latest != c.latest {
			t.Errorf("%s: %s on %v, latest %v; want %s, %v, %v", c.rule, se.Cause, se.Cutoff, se.Latest, c.cause,
				c.cutoff, c.latest)
		}
	}
	// Sown on 23 October it takes to 20 November, 28 days; on the 24th, to the
	// 22nd, 29 days.
	g := s.growth(&Options{Species: *ryegrass()})
	w, _ := s.Window(Options{})
	first := climate.Date(2020, time.July, 1)
	days := s.daysTo(&w.Seasons[0], &g, ryegrass().ThermalTime(turf.Tillered), s.offsets(2020, first, first+199),
		s.Calendar.Days(w.Seasons[0].Year, seasonDays))
	for sow, want := range map[climate.Day]float64{climate.Date(2020, time.October, 23): 28,
		climate.Date(2020, time.October, 24): 29} {
		if got := days[sow-first]; got != want {
			t.Errorf("sown %v tillered after %g days, want %g", sow, got, want)
		}
	}
}

func ryegrass() *turf.Species {
	s, _ := turf.Find("perennial-ryegrass")
	return &s
}

func TestSeasonWithoutCutoff(t *testing.T) {
	s := handStation(t, 0, func(climate.Day) float64 { return 18 })
	w, err := s.Window(Options{})
	if err != nil {
		t.Fatal(err)
	}
	se := w.Seasons[0]
	// 373 / 18 asks for 21 days, 10 to 30 April.
	if se.Cause != CauseNone || se.Cutoff != nil || *se.Latest != climate.Date(2021, time.April, 10) {
		t.Errorf("%s, %v, latest %v", se.Cause, se.Cutoff, se.Latest)
	}
	if se.Opens != se.First {
		t.Errorf("opens %v", se.Opens)
	}
}

func TestSeasonWithoutLatest(t *testing.T) {
	s := handStation(t, climate.Date(2020, time.July, 10), stepSoil)
	w, err := s.Window(Options{Cutoff: CutoffFreeze})
	if err != nil {
		t.Fatal(err)
	}
	if w.Seasons[0].Latest != nil {
		t.Errorf("ten days are enough: %v", w.Seasons[0].Latest)
	}
	for _, d := range w.ByDate {
		if d.Chance != 0 {
			t.Fatalf("chance %g on %v", d.Chance, d.Sow)
		}
	}
	if w.Best != nil {
		t.Errorf("a best day: %v", w.Best)
	}
}

func station(t testing.TB, seed uint64, warmer float64, years int) *Station {
	t.Helper()
	rec := weather.Generate(weather.Piedmont(), seed, climate.Date(1990, time.January, 1),
		climate.Date(1990+years, time.June, 30))
	for i := range rec.TMaxC {
		rec.TMaxC[i] += warmer
		rec.TMinC[i] += warmer
	}
	s, err := NewStation(rec)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The latest date by one backward pass is that of a search over every date.
func TestLatestIsTheLastThatMakesIt(t *testing.T) {
	for seed := range uint64(8) {
		s := station(t, seed, 0, 12)
		for _, sp := range turf.All() {
			w, err := s.Window(Options{Species: sp})
			if err != nil {
				t.Fatal(err)
			}
			g := s.growth(&Options{Species: sp})
			for _, se := range w.Seasons {
				end := se.Last
				if se.Cutoff != nil {
					end = *se.Cutoff
				}
				var latest *climate.Day
				for sow := se.First; sow <= end; sow++ {
					sum := 0.0
					for d := sow; d <= end; d++ {
						sum += g.degreeDays[s.Record.Index(d)]
					}
					// Running sums round in the last digits; no season
					// hangs on a millionth of a degree day.
					if sum >= sp.ThermalTime(turf.Tillered)-1e-6 {
						latest = new(sow)
					}
				}
				if (latest == nil) != (se.Latest == nil) || latest != nil && *latest != *se.Latest {
					t.Fatalf("%s, season %d: latest %v, searched %v", sp.ID, se.Year, se.Latest, latest)
				}
			}
		}
	}
}

func TestChances(t *testing.T) {
	const seeds = 6
	moved := 0.0
	for seed := range uint64(seeds) {
		s := station(t, seed, 0, 25)
		w, err := s.Window(Options{})
		if err != nil {
			t.Fatal(err)
		}
		before := 1.0
		for _, d := range w.ByDate {
			if !(d.Chance >= 0 && d.Chance <= before && d.Low >= 0 && d.Low <= d.Chance && d.Chance <= d.High &&
				d.High <= 1) {
				t.Fatalf("%v: %g to %g to %g after %g", d.Sow, d.Low, d.Chance, d.High, before)
			}
			before = d.Chance
			for _, q := range d.Days {
				if !math.IsNaN(q.P50) && !(q.P10 <= q.P50 && q.P50 <= q.P90) {
					t.Fatalf("%v: days %v", d.Sow, q)
				}
			}
			if d.Days[0].P50 > d.Days[1].P50 || d.Days[1].P50 > d.Days[2].P50 {
				t.Fatalf("%v: stages out of order: %v", d.Sow, d.Days)
			}
		}
		// The error of a date must not move its chance away from the share of
		// seasons: over all days by less than the day that a date is known to, and
		// on the whole by less. At a last safe date, where the chance is the
		// confidence between that day and the next, by two seasons of the 25 at
		// most and half a season, to which a share is known.
		days := 0.0
		for _, d := range w.ByDate {
			days += d.Chance - shareFrom(w, d.Sow)
		}
		if math.Abs(days) > 1 {
			t.Errorf("seed %d: the chances are moved by %+.2f days", seed, days)
		}
		moved += days / seeds
		for _, c := range []float64{50, 80} {
			safe, ok := w.LastSafe(c)
			if !ok {
				t.Fatal("no safe date")
			}
			share := (shareFrom(w, safe) + shareFrom(w, safe+1)) / 2
			if math.Abs(share-c/100) > 2.5/25 {
				t.Errorf("seed %d: of the seasons %.2f make the %g %% date", seed, share, c)
			}
		}
		late, _ := w.LastSafe(50)
		for c := 55.0; c < 100; c += 5 {
			safe, ok := w.LastSafe(c)
			if ok && safe > late {
				t.Errorf("more confidence gives a later date: %g %% %v after %v", c, safe, late)
			}
			if ok {
				late = safe
			}
		}
		if opens, _ := w.Opens.At(0.5); w.Best == nil || w.Best.Sow < opens-25 || w.Best.Sow > late+40 {
			t.Errorf("best %v, opens %v", w.Best, opens)
		}
	}
	if math.Abs(moved) > 0.5 {
		t.Errorf("on average the chances are moved by %+.2f days", moved)
	}
}

// One definition: the last safe date at a confidence is the last day on which the
// chance that is given for it is at least the confidence, in a window, without the
// chances of its days, and in an outlook. The quantiles of the latest date say the
// same.
func TestLastSafeIsTheChance(t *testing.T) {
	for seed := range uint64(8) {
		s := station(t, 40+seed, float64(seed%3)*0.2, []int{7, 9, 25, 40}[seed%4])
		o := Options{Cutoff: CutoffRules()[seed%3], Season: []int{0, 2003, 2004}[seed%3]}
		w, err := s.Window(o)
		if err != nil {
			t.Fatal(err)
		}
		dates, err := s.Dates(o)
		if err != nil {
			t.Fatal(err)
		}
		asOf := s.Record.Last() - climate.Day(150*(seed%3))
		e, err := s.Ensemble(Options{}, EnsembleOptions{AsOf: &asOf})
		if err != nil {
			t.Fatal(err)
		}
		x, err := e.Outlook(o, s.Calendar.First(e.Season))
		if err != nil {
			t.Fatal(err)
		}
		for _, percent := range []float64{1, 33, 50, 66.6, 80, 90, 95, 99, 99.9} {
			safe, ok := w.LastSafe(percent)
			lastSafe(t, s.Calendar, w.Season, percent, safe, ok,
				func(d climate.Day) float64 { return w.ByDate[d-w.ByDate[0].Sow].Chance })
			if d, found := dates.LastSafe(percent); d != safe || found != ok {
				t.Errorf("seed %d: %s by the dates alone, %s with the chances", seed, d, safe)
			}
			if d, found := w.Latest.At(1 - percent/100); max(d-safe, safe-d) > 1 || found != ok {
				t.Errorf("seed %d: the latest date is %s at %g %%, the last safe one %s", seed, d, percent, safe)
			}
			safe, ok = x.LastSafe(percent)
			lastSafe(t, s.Calendar, e.Season, percent, safe, ok, func(d climate.Day) float64 {
				sown, err := e.Outlook(o, d)
				if err != nil {
					t.Fatal(err)
				}
				return sown.Chance
			})
		}
		for _, d := range w.ByDate {
			if c := dates.Chance(d.Sow); c != d.Chance {
				t.Fatalf("seed %d, %s: %g by the dates alone, %g with the chances", seed, d.Sow, c, d.Chance)
			}
		}
	}
}

// lastSafe asks that a date is the last of a season whose chance is at least so much,
// or, where there is none, that the first has less.
func lastSafe(t *testing.T, c climate.Calendar, season int, percent float64, safe climate.Day, ok bool,
	chance func(climate.Day) float64) {
	t.Helper()
	if !ok {
		if p := chance(c.First(season)); p >= percent/100 {
			t.Errorf("no date is safe at %g %%, but the first of the season has %.4f", percent, p)
		}
		return
	}
	if p := chance(safe); p < percent/100 {
		t.Errorf("%s is safe at %g %%, its chance is %.4f", safe, percent, p)
	}
	if safe < c.Last(season) && chance(safe+1) >= percent/100 {
		t.Errorf("%s is the last safe date at %g %%, the next day's chance is %.4f", safe, percent, chance(safe+1))
	}
}

// shareFrom is the share of a window's seasons whose latest date is on or after a
// day.
func shareFrom(w *Window, d climate.Day) float64 {
	share := 0.0
	for i := range w.Adjusted {
		if w.Adjusted[i].latest.at >= float64(w.latest.calendar.Offset(w.Season, d)) {
			share += 1 / float64(len(w.Adjusted))
		}
	}
	return share
}

// A warmer record never has an earlier latest date: the soil is warmer, the
// freeze and dormancy later. Soils of an autumn stay under the optimum.
func TestWarmerIsNeverEarlier(t *testing.T) {
	for seed := range uint64(5) {
		for _, rule := range CutoffRules() {
			before, err := station(t, seed, 0, 12).Window(Options{Cutoff: rule})
			if err != nil {
				t.Fatal(err)
			}
			after, err := station(t, seed, 0.7, 12).Window(Options{Cutoff: rule})
			if err != nil {
				t.Fatal(err)
			}
			for i, se := range before.Seasons {
				if x := after.Seasons[i]; se.Latest != nil && (x.Latest == nil || *x.Latest < *se.Latest) {
					t.Errorf("%s, season %d: latest %v, 0.7 °C warmer %v", rule, se.Year, se.Latest, x.Latest)
				}
			}
		}
	}
}

// The interval of a chance narrows with the seasons.
func TestIntervalWidensForFewSeasons(t *testing.T) {
	width := func(first, last int) float64 {
		s := station(t, 3, 0, 30)
		w, err := s.Window(Options{FirstSeason: first, LastSeason: last})
		if err != nil {
			t.Fatal(err)
		}
		widest := 0.0
		for _, d := range w.ByDate {
			widest = math.Max(widest, d.High-d.Low)
		}
		return widest
	}
	few, some, many := width(2000, 2005), width(2000, 2011), width(1990, 2019)
	if !(few > some && some > many) {
		t.Errorf("widest interval of 6, 12 and 30 seasons: %.2f, %.2f, %.2f", few, some, many)
	}
}

func TestSeasonsChosen(t *testing.T) {
	s := station(t, 1, 0, 36)
	w, err := s.Window(Options{})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(w.Seasons); n != MaxSeasons || w.Seasons[n-1].Year != 2025 {
		t.Errorf("%d seasons to %d", n, w.Seasons[n-1].Year)
	}
	if w, err = s.Window(Options{FirstSeason: 1992, LastSeason: 1999}); err != nil || len(w.Seasons) != 8 ||
		w.Seasons[0].Year != 1992 {
		t.Errorf("1992-1999: %d seasons, %v", len(w.Seasons), err)
	}
	if _, err = s.Window(Options{FirstSeason: 1900, LastSeason: 1910}); !errors.Is(err, ErrNoSeasons) {
		t.Errorf("seasons before the record: %v", err)
	}
}

func TestFewSeasonsGiveNoQuantile(t *testing.T) {
	s := station(t, 1, 0, 36)
	for n := 1; n <= 6; n++ {
		w, err := s.Window(Options{FirstSeason: 2000, LastSeason: 1999 + n})
		if err != nil {
			t.Fatal(err)
		}
		if _, ok := w.LastSafe(80); ok != (n >= MinSeasons) {
			t.Errorf("%d seasons: safe date %v", n, ok)
		}
	}
}

// Gaps drop a season only where they decide it, and say so.
func TestGaps(t *testing.T) {
	base := weather.Generate(weather.Piedmont(), 4, climate.Date(1990, time.January, 1),
		climate.Date(2005, time.June, 30))
	for _, c := range []struct {
		name    string
		from    climate.Day
		days    int
		dropped string // part of the reason, "" for kept
	}{
		{"a short one in October", climate.Date(1998, time.October, 20), 4, ""},
		{"a week in October", climate.Date(1998, time.October, 20), 7, "7 days in a row are missing up to 1998-10-26"},
		{"all of July", climate.Date(1998, time.July, 1), 31, ""},
		{"after the cutoff", climate.Date(1999, time.January, 10), 40, ""},
		{"the weeks that hide the freeze", climate.Date(1998, time.October, 25), 60, "days in a row are missing"},
	} {
		rec := *base
		rec.TMinC = append([]float64(nil), base.TMinC...)
		for i := range c.days {
			rec.TMinC[rec.Index(c.from)+i] = math.NaN()
		}
		s, err := NewStation(&rec)
		if err != nil {
			t.Fatal(err)
		}
		w, err := s.Window(Options{FirstSeason: 1990, LastSeason: 2004})
		if err != nil {
			t.Fatal(err)
		}
		reason := ""
		for _, d := range w.Dropped {
			if d.Season == 1998 {
				reason = d.Reason
			}
		}
		if (c.dropped == "") != (reason == "") || !strings.Contains(reason, c.dropped) {
			t.Errorf("%s: dropped for %q, want %q", c.name, reason, c.dropped)
		}
	}
}

func TestRunningSeasonIsDropped(t *testing.T) {
	s := station(t, 2, 0, 20)
	part, err := NewStation(s.Record.Until(climate.Date(2009, time.September, 20)))
	if err != nil {
		t.Fatal(err)
	}
	w, err := part.Window(Options{})
	if err != nil {
		t.Fatal(err)
	}
	last := w.Dropped[len(w.Dropped)-1]
	if last.Season != 2009 || !strings.Contains(last.Reason, "still running") {
		t.Errorf("dropped %v", w.Dropped)
	}
	if w.Season != 2009 {
		t.Errorf("dates are told for %d", w.Season)
	}
}

// The same weather half a year later and on the other half of the Earth gives
// the same window half a year later, but for the distance of the sun.
func TestSouthernHemisphere(t *testing.T) {
	north := station(t, 5, 0, 25)
	rec := *north.Record
	rec.Place.Latitude = new(-*rec.Place.Latitude)
	rec.First += 184
	south, err := NewStation(&rec)
	if err != nil {
		t.Fatal(err)
	}
	a, errA := north.Window(Options{FirstSeason: 1992, LastSeason: 2012, Season: 2010})
	b, errB := south.Window(Options{FirstSeason: 1993, LastSeason: 2013, Season: 2011})
	if errA != nil || errB != nil {
		t.Fatal(errA, errB)
	}
	for _, p := range []float64{0.1, 0.2, 0.5, 0.8} {
		x, okX := a.Latest.At(p)
		y, okY := b.Latest.At(p)
		if d := y - x - 184; !okX || !okY || d < -3 || d > 3 {
			t.Errorf("%g quantile of the latest date: %v in the north, %v in the south", p, x, y)
		}
	}
	for i, se := range a.Seasons {
		// The sun moves dormancy a day, past a freeze on the same day or the next.
		near := se.Freeze != nil && se.Dormancy != nil && max(*se.Freeze-*se.Dormancy, *se.Dormancy-*se.Freeze) <= 1
		if se.Cause != b.Seasons[i].Cause && !near {
			t.Errorf(
				"season %d ends by %s in the north, %s in the south",
				a.Seasons[i].Year,
				a.Seasons[i].Cause,
				b.Seasons[i].Cause,
			)
		}
	}
}

func TestSeasonFor(t *testing.T) {
	for _, c := range []struct {
		south  bool
		day    string
		season int
	}{
		{false, "2026-06-30", 2026}, {false, "2026-07-01", 2026}, {false, "2026-12-31", 2026},
		{false, "2027-01-01", 2027},
		{true, "2026-01-01", 2026}, {true, "2026-06-30", 2026}, {true, "2026-07-01", 2027}, {true, "2026-12-31", 2027},
	} {
		d, err := climate.ParseDay(c.day)
		if err != nil {
			t.Fatal(err)
		}
		if got := (climate.Calendar{South: c.south}).SeasonFor(d); got != c.season {
			t.Errorf("south %v, %s: season %d, want %d", c.south, c.day, got, c.season)
		}
	}
}

func TestNewStationRefuses(t *testing.T) {
	good := weather.Generate(weather.Piedmont(), 1, climate.Date(2001, 1, 1), climate.Date(2004, 12, 31))
	with := func(change func(*climate.Record)) *climate.Record {
		r := *good
		change(&r)
		return &r
	}
	tropics := weather.Piedmont()
	tropics.Place.Latitude, tropics.Amplitude, tropics.Mean = new(0.5), 0.4, 26
	for name, c := range map[string]struct {
		rec  *climate.Record
		want error
	}{
		"forty days": {good.Until(good.First + 39), climate.ErrTooShort},
		"wrong half": {with(func(r *climate.Record) { r.Place.Latitude = new(-36.0) }), ErrHemisphere},
		"at the equator": {weather.Generate(tropics, 1, climate.Date(2001, 1, 1), climate.Date(2004, 12, 31)),
			ErrNoAutumn},
	} {
		if _, err := NewStation(c.rec); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
	for name, rec := range map[string]*climate.Record{
		"latitude 95": with(func(r *climate.Record) { r.Place.Latitude = new(95.0) }),
		"no latitude": with(func(r *climate.Record) { r.Place.Latitude = nil }),
		"uneven":      with(func(r *climate.Record) { r.TMinC = r.TMinC[1:] }),
	} {
		if _, err := NewStation(rec); err == nil {
			t.Errorf("%s is accepted", name)
		}
	}
}

func TestOptionsRefused(t *testing.T) {
	s := station(t, 1, 0, 10)
	for _, o := range []Options{
		{Stage: "flowering"}, {Cutoff: "never"}, {Confidence: 100}, {Confidence: -1}, {Confidence: math.NaN()},
		{FirstSeason: 2001, LastSeason: 2000},
	} {
		if _, err := s.Window(o); !errors.Is(err, ErrOptions) {
			t.Errorf("accepted: %+v", o)
		}
	}
}

func BenchmarkNewStation(b *testing.B) {
	rec := weather.Generate(weather.Piedmont(), 1, climate.Date(1996, 1, 1), climate.Date(2026, 6, 30))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewStation(rec); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWindow(b *testing.B) {
	s := station(b, 1, 0, 31)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Window(Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDates(b *testing.B) {
	s := station(b, 1, 0, 31)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Dates(Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
