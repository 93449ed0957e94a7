package forecast_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/forecast"
)

// realPlaces are stations of the US Climate Reference Network where overseeding is done. From
// day to day their air varies so little that the estimate of the soil has no term of it: what
// the estimate takes from the whole record is then the latitude and where it starts.
var realPlaces = map[string]float64{"GA_Watkinsville_5_SSE": 33.8, "AL_Gadsden_19_N": 34.3, "GA_Newton_11_SW": 31.2}

// changed is a copy of a record with other temperatures and days.
func changed(r *climate.Record, change func(c *climate.Record)) *climate.Record {
	c := *r
	c.TMaxC, c.TMinC = slices.Clone(r.TMaxC), slices.Clone(r.TMinC)
	change(&c)
	return &c
}

func stationOf(t *testing.T, r *climate.Record) *forecast.Station {
	t.Helper()
	s, err := forecast.NewStation(r)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func windowOf(t *testing.T, s *forecast.Station, o forecast.Options) *forecast.Window {
	t.Helper()
	w, err := s.Dates(o)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// warm makes the air and the soil of some days of a station warmer, and nothing else that was
// worked out of them.
func warm(s *forecast.Station, from, to climate.Day, byC float64) {
	for d := max(from, s.Record.First); d <= min(to, s.Record.Last()); d++ {
		i := s.Record.Index(d)
		s.Record.TMaxC[i] += byC
		s.Record.TMinC[i] += byC
		s.Soil.Soil5C[i] += byC
		s.Soil.Soil10C[i] += byC
	}
}

// sameForecast reports whether two forecasts are of the same day and alike, whatever came of
// them. The normal course of the air and its variability are of the whole record
// ([forecast.Station.Hindcast]), so that chances may differ by less than 0.01. A season that
// took part in its own forecast would move it by one in the number of past seasons, 0.06 and
// more.
func sameForecast(a, b forecast.Case) bool {
	near := math.Abs(a.Chance-b.Chance) < 0.01
	a.Made, a.Chance = b.Made, b.Chance
	return near && a == b
}

// A past season is forecast from what came before it. Whatever its own weather is made to be,
// the forecasts of it before it began are the same, and only what came of them is another;
// seasons before it are judged as they were.
func TestJudgedSeasonIsNotInItsForecast(t *testing.T) {
	for name, latitude := range realPlaces {
		o := forecast.HindcastOptions{Leads: []forecast.Lead{forecast.LeadSeason}}
		hindcast := func(byC float64) (*forecast.Hindcast, int) {
			s := realStation(t, name, latitude)
			judged := s.Calendar.SeasonFor(s.Record.Last()) - 3
			warm(s, s.Calendar.First(judged), s.Calendar.Last(judged), byC)
			h, err := s.Hindcast(context.Background(), o)
			if err != nil {
				t.Fatal(err)
			}
			return h, judged
		}
		was, judged := hindcast(0)
		of, outcomes := 0, 0
		for _, byC := range []float64{6, -6} {
			now, _ := hindcast(byC)
			for i, c := range now.Cases {
				if c.Season > judged {
					break
				}
				old := was.Cases[i]
				if c.Season == judged {
					of++
					if c.Made != old.Made {
						outcomes++
					}
				}
				if !sameForecast(c, old) || c.Season < judged && c.Made != old.Made {
					t.Errorf("%s, season %d %+g °C: %+v, was %+v", name, judged, byC, c, old)
				}
			}
		}
		if of == 0 || outcomes == 0 {
			t.Errorf("%s: %d forecasts of %d, of which %d came out otherwise", name, of, judged, outcomes)
		}
	}
}

// After the last day on which a forecast of a season is made its weather changes none of them,
// whenever they are made.
func TestWeatherAfterAForecastIsNotInIt(t *testing.T) {
	const name = "AL_Gadsden_19_N"
	hindcast := func(change func(s *forecast.Station, judged int)) (*forecast.Hindcast, int) {
		s := realStation(t, name, realPlaces[name])
		judged := s.Calendar.SeasonFor(s.Record.Last()) - 3
		change(s, judged)
		h, err := s.Hindcast(context.Background(), forecast.HindcastOptions{})
		if err != nil {
			t.Fatal(err)
		}
		return h, judged
	}
	was, judged := hindcast(func(*forecast.Station, int) {})
	var last climate.Day
	for _, c := range was.Cases {
		if c.Season == judged {
			last = max(last, c.Sow+13) // two weeks after sowing the day before is known
		}
	}
	now, _ := hindcast(func(s *forecast.Station, judged int) { warm(s, last+1, s.Calendar.Last(judged), 6) })
	of := 0
	for i, c := range now.Cases {
		if c.Season > judged {
			break
		}
		old := was.Cases[i]
		if c.Season == judged {
			of++
		}
		if !sameForecast(c, old) {
			t.Errorf("%+v, was %+v", c, old)
		}
	}
	if of != 5*len(forecast.Leads()) {
		t.Errorf("%d forecasts of %d", of, judged)
	}
	// A day of sowing week, on the other hand, is in the forecasts made after it.
	sooner, _ := hindcast(func(s *forecast.Station, judged int) { warm(s, last-20, last-10, 12) })
	if slices.EqualFunc(was.Cases, sooner.Cases, func(a, b forecast.Case) bool { return a.Chance == b.Chance }) {
		t.Error("the weather after sowing is in no forecast")
	}
}

// All that is asked of a season at hand is answered without the weather of its days to come.
func TestDaysToComeAreInNoAnswer(t *testing.T) {
	for name, latitude := range realPlaces {
		answers := func(byC, mm float64) string {
			s := realStation(t, name, latitude)
			season := s.Calendar.SeasonFor(s.Record.Last()) - 2
			asOf := climate.Date(season, time.October, 12)
			warm(s, asOf+1, s.Calendar.Last(season), byC)
			for d := asOf + 1; d <= s.Calendar.Last(season) && s.Record.PrecipMM != nil; d++ {
				s.Record.PrecipMM[s.Record.Index(d)] += mm
			}
			o := forecast.Options{Season: season, Trend: forecast.TrendOff}
			e, err := s.Ensemble(
				o,
				forecast.EnsembleOptions{AsOf: &asOf, Past: []int{season - 5, season - 4, season - 3,
					season - 2, season - 1}},
			)
			if err != nil {
				t.Fatal(err)
			}
			x, err := e.Outlook(o, asOf-20)
			if err != nil {
				t.Fatal(err)
			}
			report, err := e.Judge(x, forecast.Stand{Cover: 0.4})
			if err != nil {
				t.Fatal(err)
			}
			cold, err := e.ColdSoil(asOf, 10)
			if err != nil {
				t.Fatal(err)
			}
			water, total, _ := e.Water(asOf+1, 14)
			safe, _ := x.LastSafe(80)
			text := fmt.Sprint(
				x.Chance,
				x.Low,
				x.High,
				x.Open,
				x.ThermalTime,
				x.BehindDays,
				safe,
				*x.Winter,
				cold,
				water,
				total,
				report.LostProbability,
				report.ClearOn,
				e.Known,
				e.Unknown,
			)
			for _, st := range x.Stages {
				text += fmt.Sprint(st.Days, st.ReachedNow, st.NeverBefore)
			}
			return text
		}
		clean := answers(0, 0)
		for _, c := range [][2]float64{{15, 0}, {-15, 0}, {0, 30}} {
			if spoiled := answers(c[0], c[1]); spoiled != clean {
				t.Errorf("%s, days to come %+g °C and %g mm: %s\nwithout %s", name, c[0], c[1], spoiled, clean)
			}
		}
	}
}

// Rows of a forecast for days that the record has change nothing, neither of those before a gap
// nor of those after one.
func TestRowsNeverReplaceTheRecord(t *testing.T) {
	t.Run("invented", func(t *testing.T) { rowsNeverReplace(t, invented(t).Record) })
	t.Run("real", func(t *testing.T) { rowsNeverReplace(t, realRecord(t, "GA_Watkinsville_5_SSE", 33.8)) })
}

func rowsNeverReplace(t *testing.T, record *climate.Record) {
	asOf := climate.Date(2018, time.October, 12)
	outlook := func(firstRow climate.Day) string {
		r := changed(record, func(c *climate.Record) {
			for k := range 9 { // nothing is known of these days
				i := c.Index(asOf) - 20 + k
				c.TMaxC[i], c.TMinC[i] = math.NaN(), math.NaN()
			}
		})
		s := stationOf(t, r)
		rows := climate.NewRecord(climate.Place{}, firstRow, int(asOf-firstRow)+8)
		for i := range rows.TMaxC {
			if d := rows.Day(i); d <= asOf && (d < asOf-20 || d > asOf-12) {
				rows.TMaxC[i], rows.TMinC[i] = 45, 35 // another weather than there was
			} else {
				rows.TMaxC[i], rows.TMinC[i] = 24, 13
			}
		}
		for i := range rows.TMaxC {
			if d := rows.Day(i); firstRow <= asOf && d >= asOf-20 && d <= asOf-12 {
				rows.TMaxC[i], rows.TMinC[i] = math.NaN(), math.NaN() // the gap stays one
			}
		}
		e, err := s.Ensemble(forecast.Options{Season: 2018}, forecast.EnsembleOptions{AsOf: &asOf, Ahead: rows})
		if err != nil {
			t.Fatal(err)
		}
		x, err := e.Outlook(forecast.Options{}, asOf-30)
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprint(
			x.Chance,
			x.Open,
			x.ThermalTime,
			x.Stages[0].Days,
			x.Stages[2].Days,
			e.Ahead,
			e.Known,
			e.Unknown,
		)
	}
	if with, without := outlook(asOf-60), outlook(asOf+1); with != without {
		t.Errorf("rows of 60 days that the record has: %s\nwithout them %s", with, without)
	}
}

// 28 years later the calendar has the same leap days, so that dates are moved and nothing else.
// The normal course is of a year of 365.2425 days and ends up a fifth of a day off: chances may
// differ by 0.01, dates by a day.
func TestTwentyEightYearsLater(t *testing.T) {
	const days = 28*365 + 7
	for name, latitude := range realPlaces {
		r := realRecord(t, name, latitude)
		a := windowOf(t, stationOf(t, r), forecast.Options{})
		b := windowOf(t, stationOf(t, changed(r, func(c *climate.Record) { c.First += days })), forecast.Options{})
		if b.Season != a.Season+28 || len(a.Seasons) != len(b.Seasons) || len(a.Dropped) != len(b.Dropped) {
			t.Fatalf("%s: season %d of %d, then %d of %d", name, a.Season, len(a.Seasons), b.Season, len(b.Seasons))
		}
		for i := range a.Seasons {
			x, y := &a.Seasons[i], &b.Seasons[i]
			for _, d := range [][2]*climate.Day{
				{&x.Opens, &y.Opens}, {x.Freeze, y.Freeze}, {x.Dormancy, y.Dormancy}, {x.Latest, y.Latest},
			} {
				if (d[0] == nil) != (d[1] == nil) || d[0] != nil && apart(*d[0]+days, *d[0]+days, *d[1], *d[1]) > 1 {
					t.Errorf("%s, %d: %v, then %v", name, x.Year, d[0], d[1])
				}
			}
			if x.Freeze != nil && *x.Freeze+days != *y.Freeze {
				t.Errorf("%s: the freeze of %v, then of %v", name, *x.Freeze, *y.Freeze)
			}
		}
		for _, m := range []time.Month{time.September, time.October, time.November} {
			d := inSeason(a, m, 10)
			if p, q := a.Chance(d), b.Chance(d+days); math.Abs(p-q) > 0.01 {
				t.Errorf("%s, %v: chance %.4f, then %.4f", name, d, p, q)
			}
		}
	}
}

// South of the equator half a year later the same weather has the same dates. The sun is not
// quite the same: it is 3 % nearer in January. Dates may differ by three days, chances by 0.1.
func TestSouthernMirror(t *testing.T) {
	for name, latitude := range realPlaces {
		r := realRecord(t, name, latitude)
		a := windowOf(t, stationOf(t, r), forecast.Options{})
		b := windowOf(t, stationOf(t, changed(r, func(c *climate.Record) {
			c.First -= 181 // 1 July to 1 January
			c.Place.Latitude = new(-latitude)
		})), forecast.Options{})
		if len(a.Seasons) != len(b.Seasons) {
			t.Fatalf("%s: %d seasons, mirrored %d", name, len(a.Seasons), len(b.Seasons))
		}
		north, south := climate.Calendar{}, climate.Calendar{South: true}
		offset := func(w *forecast.Window, c climate.Calendar, d climate.Day) int { return c.Offset(w.Season, d) }
		for which, pair := range map[string][2]forecast.Dates{"opening": {a.Opens, b.Opens}, "cutoff": {a.Cutoff, b.Cutoff},
			"latest date": {a.Latest, b.Latest}} {
			x, okX := pair[0].At(0.5)
			y, okY := pair[1].At(0.5)
			if !okX || !okY || math.Abs(float64(offset(a, north, x)-offset(b, south, y))) > 3 {
				t.Errorf("%s, %s: %v, mirrored %v", name, which, x, y)
			}
		}
		for k := 60; k <= 150; k += 15 {
			p, q := a.Chance(north.Day(a.Season, k)), b.Chance(south.Day(b.Season, k))
			if math.Abs(p-q) > 0.1 {
				t.Errorf("%s, day %d of the season: chance %.3f, mirrored %.3f", name, k, p, q)
			}
		}
	}
}

// The warmer the air all year, the later the season of every year opens, freezes and ends.
func TestWarmthDelaysEverySeason(t *testing.T) {
	later := func(was, now *climate.Day) bool { return now == nil || was != nil && *now >= *was }
	for name, latitude := range realPlaces {
		r := realRecord(t, name, latitude)
		var before *forecast.Window
		for _, byC := range []float64{0, 0.5, 1, 2, 3} {
			w := windowOf(t, stationOf(t, changed(r, func(c *climate.Record) {
				for i := range c.TMaxC {
					c.TMaxC[i] += byC
					c.TMinC[i] += byC
				}
			})), forecast.Options{Trend: forecast.TrendOff})
			if before != nil {
				for i := range w.Seasons {
					x := &w.Seasons[i]
					k := slices.IndexFunc(before.Seasons, func(s forecast.Season) bool { return s.Year == x.Year })
					if k < 0 {
						continue
					}
					was := &before.Seasons[k]
					if !later(&was.Opens, &x.Opens) || !later(was.Freeze, x.Freeze) || !later(was.Cutoff, x.Cutoff) {
						t.Errorf(
							"%s, %d, %+g °C: opens %v, then %v; cutoff %v, then %v",
							name,
							x.Year,
							byC,
							was.Opens,
							x.Opens,
							was.Cutoff,
							x.Cutoff,
						)
					}
				}
				if a, okA := before.Cutoff.At(0.5); okA {
					if b, okB := w.Cutoff.At(0.5); okB && b < a {
						t.Errorf("%s, %+g °C: cutoff %v, then %v", name, byC, a, b)
					}
				}
			}
			before = w
		}
	}
}
