package forecast

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"swardcast/climate"
)

// Cold soil before sowing opens is last winter's, and no dormancy of this season.
func TestNoDormancyBeforeTheOpening(t *testing.T) {
	s := handStation(t, 0, func(d climate.Day) float64 {
		if d <= climate.Date(2020, time.July, 25) {
			return 10
		}
		return stepSoil(d)
	})
	w, err := s.Window(Options{Cutoff: CutoffDormancy})
	if err != nil {
		t.Fatal(err)
	}
	if se := w.Seasons[0]; se.Opens != climate.Date(2020, time.September, 14) || se.Dormancy == nil ||
		*se.Dormancy != climate.Date(2020, time.November, 5) {
		t.Errorf("opens %v, dormant %v", se.Opens, se.Dormancy)
	}
}

// A month without rain on record is a gap where seed lives on rain alone, and none where
// it is watered.
func TestMissingRainIsAGap(t *testing.T) {
	rec := *station(t, 8, 0, 20).Record
	rec.PrecipMM = slices.Clone(rec.PrecipMM)
	for d := climate.Date(2000, time.September, 10); d <= climate.Date(2000, time.November, 10); d++ {
		rec.PrecipMM[rec.Index(d)] = math.NaN()
	}
	s, err := NewStation(&rec)
	if err != nil {
		t.Fatal(err)
	}
	for _, unwatered := range []bool{false, true} {
		w, err := s.Window(Options{Unwatered: unwatered})
		if err != nil {
			t.Fatal(err)
		}
		if used := slices.Contains(w.Years(), 2000); used == unwatered {
			t.Errorf("unwatered %v: season used %v", unwatered, used)
		}
	}
}

// A season whose record ends before a freeze says nothing of freezes, nor of dormancy; one
// that ends without any counts as never.
func TestUndecidedSeasonsHaveNoFreeze(t *testing.T) {
	s := station(t, 3, 0, 20)
	median := func(more ...Season) climate.Day {
		w := &Window{Season: 2009}
		for year := 2000; year < 2006; year++ {
			day := climate.Date(year, time.November, 1) + climate.Day(5*(year-2000))
			w.Adjusted = append(w.Adjusted, Season{Year: year, First: s.Calendar.First(year),
				Last: s.Calendar.Last(
					year,
				), RecordEnd: s.Calendar.Last(year), Freeze: &day, Dormancy: &day, calendar: s.Calendar})
		}
		w.Adjusted = append(w.Adjusted, more...)
		s.collect(w)
		d, ok := w.Freeze.At(0.5)
		dormancy, okDormancy := w.Dormancy.At(0.5)
		if !ok || !okDormancy || dormancy != d {
			t.Fatalf("medians: freeze %v, %v, dormancy on the same days %v, %v", d, ok, dormancy, okDormancy)
		}
		return d
	}
	open := Season{Year: 2006, First: s.Calendar.First(2006), Last: s.Calendar.Last(2006), calendar: s.Calendar}
	whole := open
	open.RecordEnd, whole.RecordEnd = climate.Date(2007, time.January, 20), whole.Last
	if got, want := median(open), median(); got != want {
		t.Errorf("with an undecided season the median freeze is %v, without it %v", got, want)
	}
	if got, want := median(whole), median(); got <= want {
		t.Errorf("with a season without a freeze the median freeze is %v, without it %v", got, want)
	}
}

// Rows of days gone by, in a file that begins before today, make those to come no less
// sure: the day after today is one day ahead.
func TestLeadOfRowsCountsFromToday(t *testing.T) {
	s := station(t, 17, 0, 32)
	asOf := climate.Date(2019, time.October, 10)
	spread := func(early int) float64 {
		r := climate.NewRecord(s.Record.Place, asOf+1-climate.Day(early), 3+early)
		for i := range r.TMaxC {
			r.TMaxC[i], r.TMinC[i] = 20, 10
		}
		e, err := s.Ensemble(Options{Trend: TrendOff}, EnsembleOptions{AsOf: &asOf, Ahead: r})
		if err != nil {
			t.Fatal(err)
		}
		_, sd := spreadOn(e, asOf+1)
		return sd
	}
	if got, want := spread(6), spread(0); math.Abs(got-want) > 0.05 {
		t.Errorf("a day ahead spreads by %.2f °C with six rows before it, by %.2f without", got, want)
	}
}

// The weather of the season judged, after the day it is judged on, changes nothing of
// its forecast.
func TestNoLeakOfDaysToCome(t *testing.T) {
	asOf := climate.Date(2005, time.October, 10)
	of := func(spoil bool) (*Outlook, climate.Day) {
		s := station(t, 5, 0, 20)
		if spoil {
			for d := asOf + 1; d <= s.Calendar.Last(2005); d++ {
				i := s.Record.Index(d)
				s.Record.TMaxC[i] -= 20
				s.Record.TMinC[i] -= 20
			}
		}
		e, err := s.Ensemble(Options{Trend: TrendOff, Season: 2005},
			EnsembleOptions{AsOf: &asOf, Past: yearsBut(t, s, 2005)})
		if err != nil {
			t.Fatal(err)
		}
		x, err := e.Outlook(Options{}, asOf)
		if err != nil {
			t.Fatal(err)
		}
		safe, _ := x.LastSafe(80)
		return x, safe
	}
	clean, safe := of(false)
	spoiled, other := of(true)
	if x, y := fmt.Sprintf("%+v", clean.Stages), fmt.Sprintf("%+v", spoiled.Stages); x != y || safe != other ||
		clean.Chance != spoiled.Chance {
		t.Errorf("chance %g and %g, last safe %v and %v: %s\n%s", clean.Chance, spoiled.Chance, safe, other, x, y)
	}
}

// Nine in ten surviving seeds of a slow seed lot are up by the day of clarity. Worked by
// hand in soil of 18 °C: half of perennial ryegrass is up after 110 °C d above freezing,
// its slow tenth, lots included, after 110 exp(1.2816 √(0.45² + 0.20²)) = 206.8 °C d. That
// takes twelve days, the day of sowing included; without the spread of lots it were eleven.
func TestDayOfClarityHasTheSeedLot(t *testing.T) {
	s := handStation(t, 0, func(climate.Day) float64 { return 18 })
	sow := climate.Date(2020, time.October, 1)
	o, err := Options{}.withDefaults()
	if err != nil {
		t.Fatal(err)
	}
	e := &Ensemble{Season: 2020, AsOf: sow, station: s, members: []*Station{s, s, s, s, s, s}}
	clear := e.clearOn(&Outlook{Sow: sow, Options: o})
	if got := *clear - sow; got != 11 {
		t.Errorf("clear %d days after sowing, by hand 11", got)
	}
}

// Once a season is over, nothing of its weather is open: the interval of a date that was
// far in time is narrow, however few the past seasons.
func TestIntervalOfADecidedSeason(t *testing.T) {
	s := station(t, 3, 0, 20)
	w, err := s.Window(Options{})
	if err != nil {
		t.Fatal(err)
	}
	se := w.Seasons[3]
	e, err := s.Ensemble(Options{Season: se.Year, Trend: TrendOff},
		EnsembleOptions{AsOf: &se.Last, Past: []int{w.Seasons[0].Year}})
	if err != nil {
		t.Fatal(err)
	}
	x, err := e.Outlook(Options{}, *se.Latest-45)
	if err != nil {
		t.Fatal(err)
	}
	if !x.Decided || x.High-x.Low > 0.02 {
		t.Errorf("decided %v: %.3f, from %.3f to %.3f", x.Decided, x.Chance, x.Low, x.High)
	}
	// No season is left open: near its latest date the chance is that of its own date.
	members, _, err := e.seasons(Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, days := range []climate.Day{-4, 0, 4, 12} {
		sow := *se.Latest + days
		x, err := e.Outlook(Options{}, sow)
		if err != nil {
			t.Fatal(err)
		}
		if want := members.Seasons[0].latest.from(s.offset(se.Year, sow)); x.Chance != want {
			t.Errorf("sown %d days after the latest date: chance %.4f, want %.4f", days, x.Chance, want)
		}
	}
}

// A confidence that so few seasons cannot support is warned of, one that they can is not.
func TestConfidenceBeyondTheSeasons(t *testing.T) {
	s := station(t, 3, 0, 9)
	w, err := s.Window(Options{})
	if err != nil {
		t.Fatal(err)
	}
	most := w.MaxConfidence()
	if !(most > 50 && most < 99) {
		t.Fatalf("%d seasons support %g %%", len(w.Seasons), most)
	}
	for confidence, want := range map[float64]bool{most - 1: false, (most + 100) / 2: true} {
		w, err := s.Window(Options{Confidence: confidence})
		if err != nil {
			t.Fatal(err)
		}
		x, warned := w.Has(WarnConfidence)
		if warned != want || warned && (x.Seasons != len(w.Seasons) || x.Percent != most) {
			t.Errorf("%g %% of %g %%: %v, %+v", confidence, most, warned, x)
		}
	}
}
