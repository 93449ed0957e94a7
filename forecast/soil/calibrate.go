package soil

import (
	"errors"
	"fmt"
	"math"
	"time"

	"gonum.org/v1/gonum/mat"

	"swardcast/climate"
)

// A Reading is a soil temperature that a thermometer showed.
type Reading struct {
	Day     climate.Day
	DepthCM float64
	SoilC   float64
	Hour    float64 // of the day by the clock, 0 to 24; NaN where not noted
}

// The depths that a reading can have, cm. Between 5 and 10 the estimate is
// interpolated; just outside it is that of the nearer depth.
const (
	ShallowestCM = 3.0
	DeepestCM    = 15.0
)

const (
	// readingSD is the error of a garden thermometer and of where it is put,
	// °C: an assumption (M).
	readingSD = 0.5
	// dailyShare is what the surface under turf swings of what the air does
	// over a day: an assumption (M).
	dailyShare = 0.5
	// dailyDepthM is the depth over which the daily wave fades to 1/e: Dutch
	// grassland (Jacobs et al. 2011, Agric. For. Meteorol. 151:774, S).
	dailyDepthM = 0.10
	// warmestHour is when the surface is warmest, by the clock (M).
	warmestHour = 14.0
	// doubtSDs is how many standard deviations off what can be a reading must
	// stand to be doubted.
	doubtSDs = 4.0
)

// MostReadings is how many readings are taken in.
const MostReadings = 1000

// A Calibration is what readings tell of a site: how far its soil lies from the
// estimate, on every day. It takes the error of the estimate for a Gaussian
// process with the covariance that the stations left out of the fit show: site
// patterns that follow the months, a part that stays with a season, and days
// that fade. So few readings move the estimate little, the time of year in
// which they stand most, and the season they are of more than others.
//
// Reference: simple kriging of the residuals, e.g. Rasmussen & Williams 2006,
// Gaussian Processes for Machine Learning, eq. 2.25–2.26 (from memory).
type Calibration struct {
	Used          int
	Doubted       []DoubtedReading
	Before, After float64 // root mean square by which each reading misses the estimate, and the estimate calibrated by the others, °C

	calendar climate.Calendar
	readings []Reading
	weights  []float64 // K⁻¹ e
	chol     mat.Cholesky
}

// A DoubtedReading is one that stands too far off what can be.
type DoubtedReading struct {
	Reading
	EstimateC float64
	Index     int // in the list of readings
}

// Calibrate works out what readings tell of a site. Readings on days that the
// curve does not have are an error, and so are depths out of range.
func Calibrate(curve *Curve, air *climate.Record, readings []Reading) (*Calibration, error) {
	if len(readings) == 0 {
		return nil, errors.New("no readings")
	}
	if len(readings) > MostReadings {
		return nil, fmt.Errorf("%d readings; at most %d are taken in", len(readings), MostReadings)
	}
	c := &Calibration{calendar: climate.CalendarAt(air.Place.Latitude)}
	var misses, noise []float64
	for k, r := range readings {
		i := int(r.Day - curve.First)
		if i < 0 || i >= len(curve.Soil5C) {
			return nil, fmt.Errorf("the reading of %s lies outside the record", r.Day)
		}
		if !(r.DepthCM >= ShallowestCM && r.DepthCM <= DeepestCM) {
			return nil, fmt.Errorf("the reading of %s has a depth of %g cm; %g to %g can be used", r.Day, r.DepthCM, ShallowestCM, DeepestCM)
		}
		estimate := curve.at(i, r.DepthCM)
		wave := Wave{Amplitude: dailyShare * (air.TMaxC[i] - air.TMinC[i]) / 2, Start: warmestHour - 6, Period: 24, Diffusivity: math.Pi * dailyDepthM * dailyDepthM / 24}
		sd := readingSD
		if math.IsNaN(r.Hour) {
			// Anywhere on the daily wave.
			sd = math.Hypot(sd, wave.Amplitude*math.Exp(-r.DepthCM/100/dailyDepthM)/math.Sqrt2)
		} else {
			estimate += wave.At(r.DepthCM/100, r.Hour)
		}
		miss := r.SoilC - estimate
		if math.Abs(miss) > doubtSDs*math.Sqrt(c.covariance(r.Day, r.Day)+sd*sd) {
			c.Doubted = append(c.Doubted, DoubtedReading{r, estimate, k})
			continue
		}
		c.readings = append(c.readings, r)
		misses, noise = append(misses, miss), append(noise, sd*sd)
	}
	c.Used = len(c.readings)
	if c.Used == 0 {
		return c, nil
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
	if !c.chol.Factorize(k) {
		return nil, errors.New("the readings cannot be told apart")
	}
	var w mat.VecDense
	if err := c.chol.SolveVecTo(&w, mat.NewVecDense(c.Used, misses)); err != nil {
		return nil, err
	}
	c.weights = w.RawVector().Data
	// What a reading misses by when the others alone calibrate:
	// [K⁻¹ e] / diag K⁻¹ (Rasmussen & Williams 2006, eq. 5.12, from memory).
	var inverse mat.SymDense
	if err := c.chol.InverseTo(&inverse); err != nil {
		return nil, err
	}
	for i, e := range misses {
		left := c.weights[i] / inverse.At(i, i)
		c.Before += e * e / float64(c.Used)
		c.After += left * left / float64(c.Used)
	}
	c.Before, c.After = math.Sqrt(c.Before), math.Sqrt(c.After)
	return c, nil
}

// at is the estimate of day i at a depth.
func (c *Curve) at(i int, depthCM float64) float64 {
	f := math.Max(0, math.Min(1, (depthCM-5)/5))
	return c.Soil5C[i] + f*(c.Soil10C[i]-c.Soil5C[i])
}

// covariance is that of the errors of two days, the errors of readings left out.
func (c *Calibration) covariance(a, b climate.Day) float64 {
	v := c.site(a, b)
	if c.calendar.SeasonFor(a) == c.calendar.SeasonFor(b) {
		v += (Residual5.SeasonSD*Residual5.SeasonSD + Residual10.SeasonSD*Residual10.SeasonSD) / 2
	}
	for _, r := range []*Residual{&Residual5, &Residual10} {
		v += r.DaySD * r.DaySD * r.fading(math.Abs(float64(a-b))) / 2
	}
	return v
}

// fading is the correlation of the errors of days so many days apart.
func (r *Residual) fading(days float64) float64 {
	return r.Slow*math.Exp(-days/r.SlowDays) + (1-r.Slow)*math.Exp(-days/r.FastDays)
}

// site is the covariance of the site's part.
func (c *Calibration) site(a, b climate.Day) float64 {
	v := 0.0
	for k := range SitePatterns {
		v += c.pattern(k, a) * c.pattern(k, b)
	}
	return v
}

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
	p := func(i float64) float64 { return SitePatterns[k][(int(i)+12)%12] }
	return p(lower) + (x-lower)*(p(lower+1)-p(lower))
}

// Offset returns what is to be added to the estimate on a day, at either depth,
// °C.
func (c *Calibration) Offset(d climate.Day) float64 {
	sum := 0.0
	for i, r := range c.readings {
		sum += c.weights[i] * c.covariance(d, r.Day)
	}
	return sum
}

// SiteSD returns the standard deviation of what remains of the site's error on
// a day, °C.
func (c *Calibration) SiteSD(d climate.Day) float64 {
	v := c.site(d, d)
	if c.Used > 0 {
		k := mat.NewVecDense(c.Used, nil)
		for i, r := range c.readings {
			k.SetVec(i, c.site(d, r.Day))
		}
		var solved mat.VecDense
		if err := c.chol.SolveVecTo(&solved, k); err == nil {
			v -= mat.Dot(k, &solved)
		}
	}
	return math.Sqrt(math.Max(0, v))
}

// Apply returns the curve with the offset of each day added.
func (c *Calibration) Apply(curve *Curve) *Curve {
	out := &Curve{First: curve.First, Soil5C: make([]float64, len(curve.Soil5C)), Soil10C: make([]float64, len(curve.Soil10C))}
	for i := range curve.Soil5C {
		o := c.Offset(curve.First + climate.Day(i))
		out.Soil5C[i], out.Soil10C[i] = curve.Soil5C[i]+o, curve.Soil10C[i]+o
	}
	return out
}
