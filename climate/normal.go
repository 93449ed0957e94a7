package climate

import (
	"errors"
	"fmt"
	"math"
	"time"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// TropicalYear is the mean length of the Gregorian year in days, the period of
// every annual cycle here.
const TropicalYear = 365.2425

// A Normal is the mean course of a quantity over the year:
//
//	y(t) = Mean + Σk Cos[k] cos(2π(k+1)t) + Sin[k] sin(2π(k+1)t)
//
// with t the part of the year gone by, counted from the start of 2000.
type Normal struct {
	Mean     float64
	Cos, Sin []float64
}

var normalEpoch = Date(2000, 1, 1)

// ErrTooShort is the error of a series that does not hold enough of the year
// to fit its normal course.
var ErrTooShort = errors.New("the series does not cover the year well enough to fit its normal course")

// The normal equations of a series that holds the whole year have a condition
// number of 2 in the 1-norm, with two harmonics one of nine months 23 and one
// of half a year 865. Beyond this limit the missing part of the year would be
// invented.
const maxNormalCondition = 110

// FitNormal fits the mean course with the given number of harmonics to a daily
// series by linear least squares, leaving out NaN. It returns [ErrTooShort]
// where values are too few or stand in one part of the year only.
func FitNormal(first Day, values []float64, harmonics int) (Normal, error) {
	f, err := FitNormals(first, harmonics, values)
	if err != nil {
		return Normal{}, err
	}
	return f[0], nil
}

// FitNormals is [FitNormal] for several series of the same days, of which the
// harmonics and, on days that all have, their products are worked out once. It
// returns [ErrRecord] where they differ in length. It panics for a negative
// number of harmonics.
func FitNormals(first Day, harmonics int, series ...[]float64) ([]Normal, error) {
	if harmonics < 0 {
		panic(fmt.Sprintf("climate: %d harmonics", harmonics))
	}
	if len(series) == 0 {
		return nil, nil
	}
	for _, y := range series {
		if len(y) != len(series[0]) {
			return nil, recordError(fmt.Sprintf("the series differ in length: %d and %d days", len(series[0]), len(y)))
		}
	}
	k := 2*harmonics + 1
	shared := newNormalEquations(k)
	own := make([]normalEquations, len(series))
	for s := range own {
		own[s] = newNormalEquations(k)
	}
	basis := newBasis(first, harmonics)
	for i := range series[0] {
		x, all := basis.next(), true
		for s := range series {
			if v := series[s][i]; math.IsNaN(v) {
				all = false
			} else {
				own[s].addValue(x, v)
			}
		}
		if all {
			shared.addDay(x)
			continue
		}
		for s := range series {
			if !math.IsNaN(series[s][i]) {
				own[s].addDay(x)
			}
		}
	}
	normals := make([]Normal, len(series))
	for s := range own {
		var err error
		if normals[s], err = own[s].solve(&shared, harmonics); err != nil {
			return nil, err
		}
	}
	return normals, nil
}

// normalEquations are those of a least-squares fit: G c = b.
type normalEquations struct {
	days int
	g    []float64 // upper triangle, by row
	b    []float64
}

func newNormalEquations(k int) normalEquations {
	return normalEquations{g: make([]float64, k*k), b: make([]float64, k)}
}

func (e *normalEquations) addDay(x []float64) {
	e.days++
	for i, xi := range x {
		row := e.g[i*len(x):][:len(x)]
		for j := i; j < len(x); j++ {
			row[j] += xi * x[j]
		}
	}
}

func (e *normalEquations) addValue(x []float64, v float64) {
	b := e.b[:len(x)]
	for i, xi := range x {
		b[i] += xi * v
	}
}

// solve fits the course from these days and those of shared.
func (e *normalEquations) solve(shared *normalEquations, harmonics int) (Normal, error) {
	k := len(e.b)
	if e.days+shared.days < 10*k {
		return Normal{}, ErrTooShort
	}
	g := make([]float64, len(e.g))
	floats.AddTo(g, e.g, shared.g)
	var chol mat.Cholesky
	if !chol.Factorize(mat.NewSymDense(k, g)) || chol.Cond() > maxNormalCondition {
		return Normal{}, ErrTooShort
	}
	var c mat.VecDense
	if err := chol.SolveVecTo(&c, mat.NewVecDense(k, e.b)); err != nil {
		return Normal{}, fmt.Errorf("fit of the normal course: %w", err)
	}
	f := Normal{Mean: c.AtVec(0), Cos: make([]float64, harmonics), Sin: make([]float64, harmonics)}
	for h := range harmonics {
		f.Cos[h], f.Sin[h] = c.AtVec(1+2*h), c.AtVec(2+2*h)
	}
	return f, nil
}

// A basis yields the harmonics of successive days. The annual angle is
// computed anew every anewDays; the days between and its multiples follow by
// the addition theorem.
type basis struct {
	day      int
	sin, cos float64 // of the day before
	x        []float64
}

// anewDays keeps the rounding of the addition theorem within some 1e-15.
const anewDays = 16

var sinDay, cosDay = math.Sincos(2 * math.Pi / TropicalYear)

func newBasis(first Day, harmonics int) *basis {
	return &basis{day: int(first - normalEpoch), sin: math.NaN(), cos: math.NaN(),
		x: append([]float64{1}, make([]float64, 2*harmonics)...)}
}

func (b *basis) next() []float64 {
	cos, sin := b.cos*cosDay-b.sin*sinDay, b.sin*cosDay+b.cos*sinDay
	if b.day%anewDays == 0 || sin != sin {
		sin, cos = math.Sincos(2 * math.Pi * float64(b.day) / TropicalYear)
	}
	b.day++
	b.sin, b.cos = sin, cos
	c, s := cos, sin
	for i := 1; i < len(b.x); i += 2 {
		b.x[i], b.x[i+1] = c, s
		c, s = c*cos-s*sin, s*cos+c*sin
	}
	return b.x
}

// At returns the normal value of a day.
func (f Normal) At(d Day) float64 { return f.Series(d, 1)[0] }

// Series returns the normal values of n days from first on.
func (f Normal) Series(first Day, n int) []float64 {
	y, basis := make([]float64, n), newBasis(first, len(f.Cos))
	for i := range y {
		x := basis.next()
		v := f.Mean
		for h := range f.Cos {
			v += f.Cos[h]*x[1+2*h] + f.Sin[h]*x[2+2*h]
		}
		y[i] = v
	}
	return y
}

// Amplitude returns half the swing of the annual (first) harmonic.
func (f Normal) Amplitude() float64 {
	if len(f.Cos) == 0 {
		return 0
	}
	return math.Hypot(f.Cos[0], f.Sin[0])
}

// Peak returns the day of the given year on which the annual (first) harmonic
// is highest. It panics for a course without harmonics, which has no peak.
func (f Normal) Peak(year int) Day {
	if len(f.Cos) == 0 || len(f.Sin) == 0 {
		panic("climate: the peak of a normal course without harmonics")
	}
	start := Date(year, 1, 1)
	angle := math.Atan2(f.Sin[0], f.Cos[0]) / (2 * math.Pi) * TropicalYear
	ahead := math.Mod(angle-float64(start-normalEpoch), TropicalYear)
	if ahead < 0 {
		ahead += TropicalYear
	}
	return start + Day(math.Round(ahead))
}

// A Crossing is a day on which a course passes a threshold.
type Crossing struct {
	Day    Day
	Rising bool
}

// Crossings returns the days from first to last on which the normal course is
// at or beyond the threshold while the day before was not yet.
func (f Normal) Crossings(threshold float64, first, last Day) []Crossing {
	var found []Crossing
	y := f.Series(first-1, int(last-first)+2)
	for i := 1; i < len(y); i++ {
		before, now := y[i-1] >= threshold, y[i] >= threshold
		if before != now {
			found = append(found, Crossing{first + Day(i-1), now})
		}
	}
	return found
}

// WarmInNorthernSummer reports whether a normal course peaks nearer to July than
// to January. It panics where [Normal.Peak] does.
func (f Normal) WarmInNorthernSummer() bool {
	_, month, _ := f.Peak(2001).Date()
	return month >= time.May && month <= time.October
}
