package forecast

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"swardcast/climate"
	"swardcast/forecast/soil"
)

// A Station is a record made ready for forecasts: its gaps filled, its soil
// temperature estimated. It is safe for concurrent use.
type Station struct {
	Record              *climate.Record  // without missing temperatures
	Filled              []bool           // days on which a temperature was missing
	Soil                *soil.Curve      // daily mean soil temperature
	Normal5C, Normal10C climate.Normal   // normal course of the soil
	Calendar            climate.Calendar // of its hemisphere

	Site *soil.Calibration // from readings of the site; nil where there are none

	spliced  bool          // a member of an ensemble: what was missing is judged elsewhere
	means    *soilMeans    // of Soil
	estimate *soil.Curve   // the soil from the air alone
	run      *soilRuns     // of the estimate
	climates *climateCache // the station in the climate of another year
	memory   *memory       // for series of a station that is gone as soon as it has answered; nil: new ones
}

// soilMeans are means of the soil, by depth, and what else does not hang on the species,
// each worked out when it is asked for.
type soilMeans struct {
	weekly5, weekly10 laterSeries
	smooth5, smooth10 smoothing

	air, cold, harden laterSeries // of a winterCourse

	winter struct {
		once              sync.Once
		snow, dry, noRain bool
	}
	seedbed struct {
		once   sync.Once
		moist  []bool
		needMM []float64
	}

	lock     sync.Mutex
	openings map[openingQuestion]*openings
}

// laterSeries is a series that is worked out when it is asked for.
type laterSeries struct {
	once sync.Once
	y    []float64
}

func (l *laterSeries) get(y func() []float64) []float64 {
	l.once.Do(func() { l.y = y() })
	return l.y
}

// memory gives series of the same memory again after each reset. They are not zero.
type memory struct {
	series [][]float64
	next   int
}

// take returns a series of n values: of nil a new one.
func (m *memory) take(n int) []float64 {
	if m == nil {
		return make([]float64, n)
	}
	if m.next == len(m.series) {
		m.series = append(m.series, nil)
	}
	y := &m.series[m.next]
	m.next++
	if cap(*y) < n {
		*y = make([]float64, n+n/8)
	}
	return (*y)[:n]
}

// copyOf returns a copy of a series.
func (m *memory) copyOf(y []float64) []float64 {
	out := m.take(len(y))
	copy(out, y)
	return out
}

func (m *memory) reset() { m.next = 0 }

// minAmplitude is the annual swing of the soil, °C either side, under which
// nothing can be called an autumn. Lands within 10° of the equator stay below
// it, the mildest oceanic shores of the middle latitudes (5 °C) above it (M).
const minAmplitude = 2.5

// ErrNoLatitude is the error of a record whose latitude is not known.
var ErrNoLatitude = climate.ErrNoLatitude

// NewStation fills the gaps of a record and estimates its soil temperature. It
// returns [climate.ErrRecord] for a record that [climate.Record.Validate] refuses,
// [ErrNoLatitude] for one without a latitude, [climate.ErrTooShort] for one that
// does not cover the year, [ErrNoAutumn] where the soil has no seasons, and
// [ErrHemisphere] where they are those of the other hemisphere.
func NewStation(rec *climate.Record) (*Station, error) {
	if rec == nil || rec.Place.Latitude == nil {
		if err := rec.Validate(); err != nil {
			return nil, err
		}
		return nil, ErrNoLatitude
	}
	latitude := *rec.Place.Latitude
	air, filled, err := climate.Fill(rec)
	if err != nil {
		return nil, err
	}
	curve, err := soil.Turf().Estimate(air, measured(filled))
	if err != nil {
		return nil, err
	}
	s := &Station{Record: air, Filled: filled, Calendar: climate.CalendarAt(latitude), estimate: curve}
	if err := s.setSoil(curve); err != nil {
		return nil, err
	}
	if a := s.Normal10C.Amplitude(); a < minAmplitude {
		return nil, fmt.Errorf("%w: the soil at latitude %.1f swings only %.1f °C to either side over the year, "+
			"so there is no cooling to sow into",
			ErrNoAutumn, latitude, a)
	}
	if north := s.Normal10C.WarmInNorthernSummer(); north == s.Calendar.South {
		half := map[bool]string{true: "northern", false: "southern"}
		return nil, fmt.Errorf("%w: it is warmest about %s, in summer of the %s hemisphere, but its latitude is %.1f",
			ErrHemisphere, s.Normal10C.Peak(rec.Last().Year()).Format("2 January"), half[north], latitude)
	}
	return s, nil
}

// measured reports on which days nothing was filled.
func measured(filled []bool) func(int) bool { return func(i int) bool { return !filled[i] } }

// borrowing returns a copy of the station whose series lie in memory that is used again
// once done is called. Nothing of the copy may be kept until then, nor may it be used at
// the same time elsewhere.
func (s *Station) borrowing() (own *Station, done func()) {
	out := *s
	out.renew(s.Soil)
	out.memory = growthMemory.Get().(*memory)
	return &out, out.memory.free
}

// setSoil gives the station its soil and what follows from it.
func (s *Station) setSoil(curve *soil.Curve) (err error) {
	s.renew(curve)
	s.Normal5C, s.Normal10C, err = curve.Normals()
	return err
}

// renew gives the station a soil and forgets what was worked out of another.
func (s *Station) renew(curve *soil.Curve) {
	s.Soil, s.means, s.run, s.climates = curve, &soilMeans{}, &soilRuns{}, &climateCache{}
}

// Calibrate returns a copy of the station with its soil calibrated by readings
// of the site, and what they tell.
func (s *Station) Calibrate(readings []soil.Reading) (*Station, *soil.Calibration, error) {
	c, err := soil.Calibrate(s.Soil, s.Record, readings)
	if err != nil {
		return nil, c, err
	}
	out := *s
	out.Site = c
	if err := out.setSoil(c.Apply(s.Soil)); err != nil {
		return nil, nil, err
	}
	return &out, c, nil
}

// WithSoil returns a copy of the station whose soil is that of sensors, daily
// means, one a day of the record, °C; NaN where missing. A day without both values
// keeps the estimate and counts as filled. It returns [climate.ErrRecord] where
// the series are not as long as the record or a value is infinite.
func (s *Station) WithSoil(soil5C, soil10C []float64) (*Station, error) {
	if n := s.Record.Len(); len(soil5C) != n || len(soil10C) != n {
		return nil, fmt.Errorf("%w: soil of %d and %d days, a record of %d",
			climate.ErrRecord, len(soil5C), len(soil10C), n)
	}
	out := *s
	out.Filled = slices.Clone(s.Filled)
	curve := &soil.Curve{First: s.Soil.First, Soil5C: slices.Clone(s.Soil.Soil5C),
		Soil10C: slices.Clone(s.Soil.Soil10C)}
	for i := range out.Filled {
		if math.IsNaN(soil5C[i]) || math.IsNaN(soil10C[i]) {
			out.Filled[i] = true
			continue
		}
		if math.IsInf(soil5C[i], 0) || math.IsInf(soil10C[i], 0) {
			return nil, fmt.Errorf("%w: the soil of %s is infinite", climate.ErrRecord, s.Record.Day(i))
		}
		curve.Soil5C[i], curve.Soil10C[i] = soil5C[i], soil10C[i]
	}
	if err := out.setSoil(curve); err != nil {
		return nil, err
	}
	return &out, nil
}

// SoilSpread returns, for every day between two, the quantiles of the daily mean
// soil temperature at 5 or 10 cm on its date in all the other years of the record,
// °C; NaN where fewer than [MinSeasons] hold it.
// It returns [soil.ErrDepth] for a depth that is not modelled, and [ErrOptions] where to
// comes before from.
func (s *Station) SoilSpread(depth soil.Depth, from, to climate.Day) ([]Spread, error) {
	if err := depth.Check(); err != nil {
		return nil, err
	}
	if to < from {
		return nil, fmt.Errorf("%w: the days run from %s back to %s", ErrOptions, from, to)
	}
	soil := s.Soil.At(depth)
	out := make([]Spread, 0, to-from+1)
	var column []float64
	for d := from; d <= to; d++ {
		column = column[:0]
		for year := s.Record.First.Year(); year <= s.Record.Last().Year(); year++ {
			other := sameDate(d, year-d.Year())
			if i := s.Record.Index(other); other != d && i >= 0 && i < len(soil) {
				column = append(column, soil[i])
			}
		}
		q := Spread{math.NaN(), math.NaN(), math.NaN()}
		if len(column) >= MinSeasons {
			slices.Sort(column)
			q = Spread{climate.Quantile(0.1, column), climate.Quantile(0.5, column), climate.Quantile(0.9, column)}
		}
		out = append(out, q)
	}
	return out, nil
}

// trailingMean returns the mean of each day and the n-1 days before it, NaN on the
// first n-1 days.
func trailingMean(y []float64, n int, m *memory) []float64 {
	out := m.take(len(y))
	sum := 0.0
	for i, v := range y {
		sum += v
		if i >= n {
			sum -= y[i-n]
		}
		if i < n-1 {
			out[i] = math.NaN()
		} else {
			out[i] = sum / float64(n)
		}
	}
	return out
}

// weekly returns the trailing weekly means of the soil at a depth, °C, which the
// opening looks at; NaN on the first six days.
func (s *Station) weekly(depth soil.Depth) []float64 {
	means := &s.means.weekly10
	if depth == soil.Depth5 {
		means = &s.means.weekly5
	}
	return means.get(func() []float64 { return trailingMean(s.Soil.At(depth), weekDays, s.memory) })
}

func (s *Station) normal(depth soil.Depth) climate.Normal {
	if depth == soil.Depth5 {
		return s.Normal5C
	}
	return s.Normal10C
}
