package soil

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/mat"

	"swardcast/climate"
)

// A Reading is a measured soil temperature.
type Reading struct {
	Day     climate.Day
	DepthCM float64
	SoilC   float64
	Hour    float64 // of the day by the clock, 0 to 24; NaN where not noted
}

// The depths that a reading can have, cm. Between 5 and 10 the estimate is
// interpolated; just outside it is that of the nearer depth.
const (
	MinDepthCM = 3.0
	MaxDepthCM = 15.0
)

const (
	// readingSD is the error of a garden thermometer and of where it is put,
	// °C: an assumption (M).
	readingSD = 0.5
	// dailyShare is the daily range of the surface under turf as a share of that
	// of the air: an assumption (M).
	dailyShare = 0.5
	// dailyDepthM is the depth over which the daily wave fades to 1/e: Dutch
	// grassland (Jacobs et al. 2011, Agric. For. Meteorol. 151:774, S).
	dailyDepthM = 0.10
	// warmestHour is when the surface is warmest, by the clock (M).
	warmestHour = 14.0
	// suspectSDs is how many standard deviations of its error a reading must be
	// off to be suspect.
	suspectSDs = 4.0
)

// MaxReadings is how many readings can be used at once.
const MaxReadings = 1000

// A Calibration corrects the estimate to a site from readings of it, on every day.
// It models the error of the estimate as a Gaussian process with the covariance
// seen at stations left out of the fit: patterns of the site over the months, a
// part that is constant within a season, and a part from day to day that fades.
// So few readings change the estimate little, and most at their time of year and
// in their season.
//
// Reference: simple kriging of the residuals, e.g. Rasmussen & Williams 2006,
// Gaussian Processes for Machine Learning, eq. 2.25–2.26 (from memory).
type Calibration struct {
	Used    int
	Suspect []SuspectReading
	// Before is the root mean square error of the estimate at the readings, °C;
	// After that of the estimate calibrated by all the other readings.
	Before, After float64

	calendar climate.Calendar
	readings []Reading
	weights  []float64       // K⁻¹ e
	site     []float64       // posterior mean of the coefficients of the site's patterns; prior 0
	siteCov  *mat.SymDense   // their posterior covariance; prior the unit matrix
	season   map[int]float64 // offset of each season
}

// ErrReading is the error of readings that cannot be used: none or too many, of a
// day that the record does not have, of a depth out of range, or no number.
var ErrReading = errors.New("the readings cannot be used")

// A readingError says what is wrong with readings.
type readingError string

func (e readingError) Error() string        { return string(e) }
func (e readingError) Is(target error) bool { return target == ErrReading }

func readingErrorf(format string, args ...any) error {
	return readingError(fmt.Sprintf(format, args...))
}

// check refuses a reading that is out of range.
func (r *Reading) check() error {
	switch {
	case !(r.DepthCM >= MinDepthCM && r.DepthCM <= MaxDepthCM):
		return readingErrorf("the reading of %s has a depth of %g cm; %g to %g can be used", r.Day, r.DepthCM,
			MinDepthCM, MaxDepthCM)
	case math.IsNaN(r.SoilC) || math.IsInf(r.SoilC, 0):
		return readingErrorf("the reading of %s is %g °C", r.Day, r.SoilC)
	case !math.IsNaN(r.Hour) && !(r.Hour >= 0 && r.Hour <= 24):
		return readingErrorf("the reading of %s is of hour %g", r.Day, r.Hour)
	}
	return nil
}

// ErrSuspect is the error of readings most of which are suspect.
var ErrSuspect = errors.New("most readings stand too far off what can be")

// A SuspectReading is a reading farther off the estimate than its error explains.
type SuspectReading struct {
	Reading
	EstimateC float64
	Index     int // in the list of readings
}

// Calibrate calibrates the estimate of a site by readings. The curve and the air
// must be of the same days: [climate.ErrRecord] otherwise. Readings out of range,
// or of days that the record does not have, are [ErrReading]. Suspect readings are
// listed and not used; where they are more than the others it returns them with
// [ErrSuspect].
func Calibrate(curve *Curve, air *climate.Record, readings []Reading) (*Calibration, error) {
	switch {
	case len(readings) == 0:
		return nil, readingError("no readings")
	case len(readings) > MaxReadings:
		return nil, readingErrorf("%d readings; at most %d are taken in", len(readings), MaxReadings)
	}
	if err := air.Validate(); err != nil {
		return nil, err
	}
	if air.Place.Latitude == nil {
		return nil, climate.ErrNoLatitude
	}
	if n := air.Len(); curve == nil || curve.First != air.First || len(curve.Soil5C) != n || len(curve.Soil10C) != n {
		return nil, fmt.Errorf("%w: the soil and the air are not of the same days", climate.ErrRecord)
	}
	c := &Calibration{calendar: climate.CalendarAt(*air.Place.Latitude), site: make([]float64, len(sitePatterns)),
		season: map[int]float64{}}
	c.siteCov = mat.NewSymDense(len(sitePatterns), nil)
	for k := range sitePatterns {
		c.siteCov.SetSym(k, k, 1)
	}
	var misses, noise []float64
	for k, r := range readings {
		i := int(r.Day - curve.First)
		if err := r.check(); err != nil {
			return nil, err
		}
		if i < 0 || i >= len(curve.Soil5C) {
			return nil, readingErrorf("the reading of %s lies outside the record", r.Day)
		}
		estimate := curve.at(i, r.DepthCM)
		wave := Wave{Amplitude: dailyShare * (air.TMaxC[i] - air.TMinC[i]) / 2, Start: warmestHour - 6, Period: 24,
			Diffusivity: math.Pi * dailyDepthM * dailyDepthM / 24}
		sd := readingSD
		if math.IsNaN(r.Hour) {
			// The hour is not known: anywhere on the daily wave.
			sd = math.Hypot(sd, wave.Amplitude*math.Exp(-r.DepthCM/100/dailyDepthM)/math.Sqrt2)
		} else {
			estimate += wave.At(r.DepthCM/100, r.Hour)
		}
		miss := r.SoilC - estimate
		if math.Abs(miss) > suspectSDs*math.Sqrt(c.covariance(r.Day, r.Day)+sd*sd) {
			c.Suspect = append(c.Suspect, SuspectReading{r, estimate, k})
			continue
		}
		c.readings = append(c.readings, r)
		misses, noise = append(misses, miss), append(noise, sd*sd)
	}
	c.Used = len(c.readings)
	if c.Used == 0 || len(c.Suspect) > c.Used {
		return c, ErrSuspect
	}
	k := mat.NewSymDense(c.Used, nil)
	for i := range c.Used {
		for j := i; j < c.Used; j++ {
			v := c.covariance(c.readings[i].Day, c.readings[j].Day)
			if i == j {
				v += noise[i]
			}
			k.SetSym(i, j, v)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(k) {
		return nil, errors.New("readings that give no calibration: their covariance is singular")
	}
	var w mat.VecDense
	if err := chol.SolveVecTo(&w, mat.NewVecDense(c.Used, misses)); err != nil {
		return nil, err
	}
	c.weights = w.RawVector().Data
	if err := c.parts(&chol); err != nil {
		return nil, err
	}
	// Leave-one-out errors: [K⁻¹ e] / diag K⁻¹ (Rasmussen & Williams 2006, eq.
	// 5.12, from memory).
	var inverse mat.SymDense
	if err := chol.InverseTo(&inverse); err != nil {
		return nil, err
	}
	for i, e := range misses {
		left := c.weights[i] / inverse.At(i, i)
		c.Before += e * e / float64(c.Used)
		c.After += left * left / float64(c.Used)
	}
	c.Before, c.After = math.Sqrt(c.Before), math.Sqrt(c.After)
	if c.Used < 2 {
		c.After = math.NaN() // no other reading to calibrate by
	}
	return c, nil
}

// parts works out the site's patterns and the offset of each season: the covariance
// of the error is P Pᵀ + season + days, so that the patterns' coefficients have
// the posterior mean Pᵀ K⁻¹ e and the covariance I − Pᵀ K⁻¹ P.
func (c *Calibration) parts(chol *mat.Cholesky) error {
	p := mat.NewDense(c.Used, len(sitePatterns), nil)
	for i, r := range c.readings {
		for k := range sitePatterns {
			v := c.pattern(k, r.Day)
			p.Set(i, k, v)
			c.site[k] += v * c.weights[i]
		}
		c.season[c.calendar.SeasonFor(r.Day)] += seasonVariance() * c.weights[i]
	}
	var solved, told mat.Dense
	if err := chol.SolveTo(&solved, p); err != nil {
		return err
	}
	told.Mul(p.T(), &solved)
	for i := range sitePatterns {
		for j := i; j < len(sitePatterns); j++ {
			v := -told.At(i, j)
			if i == j {
				v++
			}
			c.siteCov.SetSym(i, j, v)
		}
	}
	return nil
}

// at is the estimate of day i at a depth.
func (c *Curve) at(i int, depthCM float64) float64 {
	f := math.Max(0, math.Min(1, (depthCM-5)/5))
	return c.Soil5C[i] + f*(c.Soil10C[i]-c.Soil5C[i])
}

// covariance is that of the errors of the estimate on two days, °C².
func (c *Calibration) covariance(a, b climate.Day) float64 {
	v := dayCovariance(math.Abs(float64(a - b)))
	for k := range sitePatterns {
		v += c.pattern(k, a) * c.pattern(k, b)
	}
	if c.calendar.SeasonFor(a) == c.calendar.SeasonFor(b) {
		v += seasonVariance()
	}
	return v
}

// seasonVariance is the variance of the part that is constant within a season,
// mean of the depths, °C².
func seasonVariance() float64 {
	return (residual5.SeasonSD*residual5.SeasonSD + residual10.SeasonSD*residual10.SeasonSD) / 2
}

// dayCovariance is the covariance of the part that fades, for two days so many days
// apart, mean of the depths, °C².
func dayCovariance(days float64) float64 {
	v := 0.0
	for _, r := range []*Residual{&residual5, &residual10} {
		v += r.DaySD * r.DaySD * r.fading(days) / 2
	}
	return v
}

// fading is the correlation of the errors of days so many days apart.
func (r *Residual) fading(days float64) float64 {
	return r.Slow*math.Exp(-days/r.SlowDays) + (1-r.Slow)*math.Exp(-days/r.FastDays)
}

// SitePatterns returns the patterns of a site's error over the months of the
// northern year, January first, °C. Changing the result changes no other caller's.
func SitePatterns() [][12]float64 { return slices.Clone(sitePatterns[:]) }

// pattern is the value of a site pattern on a day, between the middles of the
// months.
func (c *Calibration) pattern(k int, d climate.Day) float64 {
	if c.calendar.South {
		d += 182
	}
	y, m, day := d.Date()
	days := float64(climate.Date(y, m+1, 1) - climate.Date(y, m, 1))
	x := float64(m-time.January) + (float64(day)-0.5)/days - 0.5
	lower := math.Floor(x)
	p := func(i float64) float64 { return sitePatterns[k][(int(i)+12)%12] }
	return p(lower) + (x-lower)*(p(lower+1)-p(lower))
}

// fadedDays is how many days from a reading its part from day to day has faded.
const fadedDays = 200

// Offset returns what is to be added to the estimate on a day, at either depth,
// °C.
func (c *Calibration) Offset(d climate.Day) float64 {
	sum := c.season[c.calendar.SeasonFor(d)]
	for k, m := range c.site {
		sum += c.pattern(k, d) * m
	}
	for i, r := range c.readings {
		if apart := math.Abs(float64(d - r.Day)); apart < fadedDays {
			sum += c.weights[i] * dayCovariance(apart)
		}
	}
	return sum
}

// SiteSD returns the standard deviation of the site's error that remains on a day,
// at either depth, °C.
func (c *Calibration) SiteSD(d climate.Day) float64 {
	p := mat.NewVecDense(len(sitePatterns), nil)
	for k := range sitePatterns {
		p.SetVec(k, c.pattern(k, d))
	}
	return math.Sqrt(math.Max(0, mat.Inner(p, c.siteCov, p)))
}

// Apply returns the curve with the offset of each day added.
func (c *Calibration) Apply(curve *Curve) *Curve {
	out := &Curve{First: curve.First, Soil5C: make([]float64, len(curve.Soil5C)),
		Soil10C: make([]float64, len(curve.Soil10C))}
	for i := range curve.Soil5C {
		o := c.Offset(curve.First + climate.Day(i))
		out.Soil5C[i], out.Soil10C[i] = curve.Soil5C[i]+o, curve.Soil10C[i]+o
	}
	return out
}
