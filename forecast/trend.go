package forecast

import (
	"math"
	"sync"

	"swardcast/climate"
	"swardcast/forecast/soil"
)

// A TrendRule says whether past seasons are brought to the climate of the season
// that is forecast.
type TrendRule string

// The trend rules.
const (
	TrendOn  TrendRule = "on"  // past seasons are warmed, or cooled, by half the trend of the air where it is clear
	TrendOff TrendRule = "off" // past seasons are taken as they came
)

// TrendRules returns every rule.
func TrendRules() []TrendRule { return []TrendRule{TrendOn, TrendOff} }

// A Trend is how the climate moved over the past seasons of a forecast, and what
// the forecast made of it. Slopes come with their interval, IntervalPercent wide;
// they are NaN where fewer than [FewSeasons] seasons have the date.
type Trend struct {
	Air    climate.Trend // of the yearly mean temperature of the air, °C a decade
	Freeze climate.Trend // of the first freezes, days a decade; seasons without one are left out
	Latest climate.Trend // of the latest dates, days a decade; likewise

	// AppliedC is the part of Air's slope by which past seasons were brought to
	// the climate of the season forecast, °C a decade; 0: they were taken as they
	// came.
	AppliedC float64

	// To is the year whose climate they were brought to: that of the season
	// forecast, but no later than the one after the last season used.
	To int

	// ShiftDays is what that makes of the latest dates: the mean over the seasons
	// of the adjusted date less the one that came, days.
	ShiftDays float64
}

const (
	trendShare      = 0.5    // of the slope, applied where it is certain
	trendErrorLevel = 0.6827 // level of the interval that is a standard error to either side
	trendYearDays   = 330    // measured days that the mean of a year needs
)

// appliedTrend is the part of a slope of the air that is applied, °C a decade:
//
//	b/2 × max(0, 1 − (s/b)²)
//
// with its standard error s, half the width of Sen's interval at 68 %. A slope
// smaller than its standard error is not applied at all.
func appliedTrend(b, s float64) float64 {
	if !(math.Abs(b) > s) {
		return 0
	}
	return trendShare * b * (1 - s*s/(b*b))
}

// yearlyAir returns the years from first to last of which the record has at least
// trendYearDays measured days, and the mean temperature of the air in each, °C.
// The year of a season is the twelve months that end with its first six.
func (s *Station) yearlyAir(first, last int) (years, meanC []float64) {
	for year := first; year <= last; year++ {
		end := s.Record.Index(s.Calendar.Half(year))
		from := s.Record.Index(s.Calendar.Half(year-1)) + 1
		sum, n := 0.0, 0
		for i := max(0, from); i <= min(end, s.Record.Len()-1); i++ {
			if !s.Filled[i] {
				sum += (s.Record.TMaxC[i] + s.Record.TMinC[i]) / 2
				n++
			}
		}
		if n >= trendYearDays {
			years, meanC = append(years, float64(year)), append(meanC, sum/float64(n))
		}
	}
	return years, meanC
}

// airTrend is the trend of the air over seasons from first to last and what is
// applied of it for a forecast of a season.
func (s *Station) airTrend(rule TrendRule, season, first, last int) Trend {
	nan := climate.Trend{Slope: math.NaN(), Low: math.NaN(), High: math.NaN()}
	t := Trend{Air: nan, Freeze: nan, Latest: nan, To: min(season, last+1)}
	years, meanC := s.yearlyAir(first, last)
	if len(years) < FewSeasons {
		return t
	}
	slopes := perDecade(years, meanC, IntervalPercent/100.0, trendErrorLevel)
	t.Air = slopes[0]
	if rule == TrendOn {
		e := slopes[1]
		t.AppliedC = appliedTrend(e.Slope, (e.High-e.Low)/2)
	}
	return t
}

// perDecade is the trend of values over years, a decade, at each level.
func perDecade(years, values []float64, levels ...float64) []climate.Trend {
	trends := climate.TheilSens(years, values, levels...)
	for i, t := range trends {
		trends[i] = climate.Trend{Slope: 10 * t.Slope, Low: 10 * t.Low, High: 10 * t.High}
	}
	return trends
}

// adjust works out the trend over the seasons of a window and brings them to the
// climate of its season.
func (s *Station) adjust(w *Window) {
	first, last := w.Seasons[0].Year, w.Seasons[len(w.Seasons)-1].Year
	w.Trend = s.airTrend(w.Options.Trend, w.Season, first, last)
	var freezes, latest [2][]float64
	for i := range w.Seasons {
		se := &w.Seasons[i]
		if se.Freeze != nil {
			freezes[0] = append(freezes[0], float64(se.Year))
			freezes[1] = append(freezes[1], s.offset(se.Year, *se.Freeze))
		}
		if se.Latest != nil {
			latest[0], latest[1] = append(latest[0], float64(se.Year)), append(latest[1], se.latest.at)
		}
	}
	if len(freezes[0]) >= FewSeasons {
		w.Trend.Freeze = perDecade(freezes[0], freezes[1], IntervalPercent/100.0)[0]
	}
	if len(latest[0]) >= FewSeasons {
		w.Trend.Latest = perDecade(latest[0], latest[1], IntervalPercent/100.0)[0]
	}
	w.Adjusted = w.Seasons
	if w.Trend.AppliedC == 0 {
		return
	}
	at := s.inClimate(w.Trend)
	mem := growthMemory.Get().(*memory)
	defer mem.free()
	growth := at.growthIn(mem, &w.Options)
	w.Adjusted = make([]Season, len(w.Seasons))
	sum, n := 0.0, 0.0
	for i := range w.Seasons {
		came := &w.Seasons[i]
		se, reason := at.season(came.Year, &growth, &w.Options)
		if reason == "" {
			se.opens = at.opening(&se, &w.Options)
		} else { // warmed, it would not be over when the record ends
			se = *came
		}
		w.Adjusted[i] = se
		if se.Latest != nil && came.Latest != nil {
			sum += se.latest.at - came.latest.at
			n++
		}
	}
	if n > 0 {
		w.Trend.ShiftDays = sum / n
	}
}

// warmingC is what a day of a past season is warmed by, °C.
func (t *Trend) warmingC(season int) float64 { return t.AppliedC / 10 * float64(t.To-season) }

// inClimate returns the station with the air of every season warmed by the trend,
// and its soil by what the estimate makes of that. What is measured or calibrated
// of the soil stays in it. The last answer is kept, since one station is asked
// for several species.
func (s *Station) inClimate(t Trend) *Station {
	if t.AppliedC == 0 {
		return s
	}
	s.climates.Lock()
	defer s.climates.Unlock()
	if k := s.climates; k.station != nil && k.perDecadeC == t.AppliedC && k.to == t.To {
		return k.station
	}
	out := *s
	out.spliced = true // gaps are judged in the seasons as they came
	rec := *s.Record
	rec.TMaxC, rec.TMinC = s.memory.copyOf(rec.TMaxC), s.memory.copyOf(rec.TMinC)
	for i := 0; i < rec.Len(); {
		season := s.Calendar.SeasonHolding(rec.Day(i))
		c, next := t.warmingC(season), rec.Index(s.Calendar.Last(season))+1
		for ; i < min(next, rec.Len()); i++ {
			rec.TMaxC[i] += c
			rec.TMinC[i] += c
		}
	}
	out.Record = &rec
	warmed, err := soil.Turf().Estimate(&rec, measured(s.Filled))
	if err != nil {
		panic("forecast: " + err.Error()) // the same record was estimated before
	}
	curve := &soil.Curve{First: rec.First, Soil5C: s.memory.copyOf(s.Soil.Soil5C),
		Soil10C: s.memory.copyOf(s.Soil.Soil10C)}
	for i := range curve.Soil5C {
		curve.Soil5C[i] += warmed.Soil5C[i] - s.estimate.Soil5C[i]
		curve.Soil10C[i] += warmed.Soil10C[i] - s.estimate.Soil10C[i]
	}
	out.renew(curve)
	s.climates.station, s.climates.perDecadeC, s.climates.to = &out, t.AppliedC, t.To
	return &out
}

// A climateCache is the last answer of inClimate.
type climateCache struct {
	sync.Mutex
	station    *Station
	perDecadeC float64
	to         int
}
