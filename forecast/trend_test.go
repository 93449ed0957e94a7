package forecast

import (
	"errors"
	"math"
	"slices"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/weather"
)

func TestAppliedTrend(t *testing.T) {
	for _, c := range []struct{ slope, se, want float64 }{
		{0.4, 0, 0.2}, {-0.4, 0, -0.2},
		{0.4, 0.2, 0.15}, {-0.6, 0.3, -0.225},
		{0.3, 0.3, 0}, {0.1, 0.3, 0}, {-0.1, 0.3, 0}, {0, 0, 0},
		{math.NaN(), math.NaN(), 0}, {0.3, math.NaN(), 0},
	} {
		if got := appliedTrend(c.slope, c.se); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("of %g ± %g °C a decade %g is applied, want %g", c.slope, c.se, got, c.want)
		}
	}
}

// steadyWarming is a station with the same weather every season, each season
// warmer than the one before by a tenth of perDecade.
func steadyWarming(t *testing.T, perDecade float64, seasons int) *Station {
	t.Helper()
	year := weather.Generate(
		weather.Piedmont(),
		5,
		climate.Date(2001, time.May, 1),
		climate.Date(2002, time.April, 30),
	)
	first, end := climate.Date(1990, time.May, 1), climate.Date(1990+seasons, time.May, 1)
	rec := climate.NewRecord(year.Place, first, int(end-first))
	for i := range rec.TMaxC {
		d := rec.Day(i)
		season := climate.Calendar{}.SeasonHolding(d)
		j := year.Index(sameDate(d, 2001-season))
		c := perDecade / 10 * float64(season-1990)
		rec.TMaxC[i], rec.TMinC[i] = year.TMaxC[j]+c, year.TMinC[j]+c
	}
	s, err := NewStation(rec)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Where nothing but the climate differs between seasons, the slope of the air is
// known exactly and half of it is taken out.
func TestTrendOfSteadyWarming(t *testing.T) {
	for _, perDecade := range []float64{1, -1} {
		s := steadyWarming(t, perDecade, 30)
		w, err := s.Window(Options{Season: 2020})
		if err != nil {
			t.Fatal(err)
		}
		// The years of the seasons run from January on, those of the steps from May.
		tr := w.Trend
		if math.Abs(tr.Air.Slope-perDecade) > 0.01 || math.Abs(tr.AppliedC-perDecade/2) > 0.01 || tr.To != 2020 {
			t.Errorf("%+g °C a decade: %+v", perDecade, tr)
		}
		if !(tr.Latest.Slope*perDecade > 0 && tr.Freeze.Slope*perDecade >= 0 && tr.ShiftDays*perDecade > 0) {
			t.Errorf("%+g °C a decade: %+v", perDecade, tr)
		}
		// The mean season is 15.5 years old: half of what the dates moved in them
		// is what they are shifted by.
		if want := w.Trend.Latest.Slope * 1.55 / 2; math.Abs(w.Trend.ShiftDays-want) > 0.3*math.Abs(want) {
			t.Errorf("dates that move %.2f days a decade are shifted %.2f days, want about %.2f",
				w.Trend.Latest.Slope, w.Trend.ShiftDays, want)
		}
		off, err := s.Window(Options{Season: 2020, Trend: TrendOff})
		if err != nil {
			t.Fatal(err)
		}
		if &off.Adjusted[0] != &off.Seasons[0] || off.Trend.AppliedC != 0 || off.Trend.ShiftDays != 0 ||
			off.Trend.Air != w.Trend.Air {
			t.Errorf("trend off: %+v", off.Trend)
		}
		for i := range w.Seasons {
			if *w.Seasons[i].Latest != *off.Seasons[i].Latest {
				t.Fatal("the seasons are not as they came")
			}
		}
		spread := func(seasons []Season) float64 {
			earliest, latest := math.Inf(1), math.Inf(-1)
			for i := range seasons {
				earliest, latest = math.Min(earliest, seasons[i].latest.at), math.Max(latest, seasons[i].latest.at)
			}
			return latest - earliest
		}
		if on, off := spread(w.Adjusted), spread(w.Seasons); !(on < off) {
			t.Errorf("latest dates spread over %g days, as they came over %g", on, off)
		}
		on80, _ := w.LastSafe(80)
		off80, _ := off.LastSafe(80)
		if float64(on80-off80)*perDecade <= 0 {
			t.Errorf("%+g °C a decade: the 80 %% date is %v, without the trend %v", perDecade, on80, off80)
		}
	}
}

// Stationary weather has trends by chance alone: they cancel, and what is applied
// of them moves the dates little.
func TestTrendOfStationaryWeather(t *testing.T) {
	var shifts []float64
	none := 0
	for seed := range uint64(24) {
		w, err := station(t, 200+seed, 0, 31).Dates(Options{})
		if err != nil {
			t.Fatal(err)
		}
		if shifts = append(shifts, w.Trend.ShiftDays); w.Trend.AppliedC == 0 {
			none++
		}
	}
	sum := 0.0
	for _, d := range shifts {
		sum += d
	}
	if mean := sum / 24; math.Abs(mean) > 0.4 || MeanAbsolute(shifts) > 1 || none < 12 {
		t.Errorf("dates shifted by %+.2f days on average, %.2f either way, by none in %d of 24: %.1f",
			mean, MeanAbsolute(shifts), none, shifts)
	}
}

// Few years, or years with few days, show no trend; nothing is applied beyond the
// season after the last one used.
func TestTrendNeedsYears(t *testing.T) {
	w, err := steadyWarming(t, 1, 9).Dates(Options{})
	if err != nil {
		t.Fatal(err)
	}
	if w.Trend.AppliedC != 0 || !math.IsNaN(w.Trend.Air.Slope) || !math.IsNaN(w.Trend.Latest.Slope) {
		t.Errorf("from nine seasons: %+v", w.Trend)
	}
	s := steadyWarming(t, 1, 30)
	rec := *s.Record
	rec.TMaxC = slices.Clone(rec.TMaxC)
	for i := range rec.TMaxC {
		if _, m, _ := rec.Day(i).Date(); m == time.March && rec.Day(i).Year() > 1996 || m == time.May {
			rec.TMaxC[i] = math.NaN()
		}
	}
	gaps, err := NewStation(&rec)
	if err != nil {
		t.Fatal(err)
	}
	if w, err = gaps.Dates(Options{}); err != nil || w.Trend.AppliedC != 0 {
		t.Errorf("years with two months missing: %+v, %v", w.Trend, err)
	}
	if w, err = s.Dates(Options{LastSeason: 2010, FirstSeason: 1990, Season: 2019}); err != nil || w.Trend.To != 2011 {
		t.Errorf("dates of 2019 from seasons up to 2010 are of the climate of %d, %v", w.Trend.To, err)
	}
	if _, err := s.Dates(Options{Trend: "maybe"}); !errors.Is(err, ErrOptions) {
		t.Errorf("trend maybe: %v", err)
	}
}

// The members of an ensemble are in the same climate as the seasons of a window:
// before the season the chances agree.
func TestTrendOfMembers(t *testing.T) {
	s := warming(t, 31, 2, 30)
	w, err := s.Window(Options{})
	if err != nil {
		t.Fatal(err)
	}
	off, err := s.Window(Options{Trend: TrendOff})
	if err != nil {
		t.Fatal(err)
	}
	e, err := s.Ensemble(Options{Season: w.Season}, EnsembleOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if e.Trend != w.Trend || e.Trend.AppliedC < 0.7 {
		t.Errorf("the window has %+v, the ensemble %+v", w.Trend, e.Trend)
	}
	apart := 0.0
	for k := 60; k < 150; k += 5 {
		x, err := e.Outlook(Options{}, w.ByDate[k].Sow)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(x.Chance-w.ByDate[k].Chance) > 0.07 {
			t.Errorf("%v: outlook %.2f, window %.2f", x.Sow, x.Chance, w.ByDate[k].Chance)
		}
		apart = math.Max(apart, w.ByDate[k].Chance-off.ByDate[k].Chance)
	}
	if apart < 0.1 {
		t.Errorf("with 2 °C a decade the trend makes no more of a chance than %.2f", apart)
	}
}

// Measured soil stays in the station: warmed by the trend it keeps its distance
// from the estimate.
func TestTrendKeepsMeasuredSoil(t *testing.T) {
	s := steadyWarming(t, 1, 20)
	soil5, soil10 := slices.Clone(s.Soil.Soil5C), slices.Clone(s.Soil.Soil10C)
	for i := range soil5 {
		soil5[i] -= 1.5
		soil10[i] += 0.5
	}
	truth, err := s.WithSoil(soil5, soil10)
	if err != nil {
		t.Fatal(err)
	}
	tr := s.airTrend(TrendOn, 2010, 1990, 2009)
	a, b := s.inClimate(tr), truth.inClimate(tr)
	for i := range soil5 {
		if math.Abs(b.Soil.Soil5C[i]-a.Soil.Soil5C[i]+1.5) > 1e-9 ||
			math.Abs(b.Soil.Soil10C[i]-a.Soil.Soil10C[i]-0.5) > 1e-9 {
			t.Fatalf("day %d: %.2f and %.2f °C", i, a.Soil.Soil5C[i], b.Soil.Soil5C[i])
		}
	}
	if again := s.inClimate(tr); again != a {
		t.Error("the same climate is worked out again")
	}
	i := s.Record.Index(climate.Date(1991, time.October, 1))
	if got, want := a.Record.TMinC[i]-s.Record.TMinC[i], 19*tr.AppliedC/10; math.Abs(got-want) > 1e-9 {
		t.Errorf("autumn 1991 is warmed by %.3f °C, want %.3f", got, want)
	}
}
