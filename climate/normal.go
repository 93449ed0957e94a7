package climate

import (
	"errors"
	"fmt"
	"math"
	"sync"
	"time"

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

// FitNormals is [FitNormal] for several series of the same days. It returns
// [ErrRecord] where they differ in length. It panics for a negative number of
// harmonics.
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
	turns := turnsOf(harmonics)
	normals := make([]Normal, len(series))
	for s, y := range series {
		e := newNormalEquations(harmonics)
		for i := 0; i < len(y); {
			from := i
			for i < len(y) && !math.IsNaN(y[i]) {
				i++
			}
			if i > from {
				e.addDays(first+Day(from), i-from)
				e.addValues(first+Day(from), y[from:i], turns)
			}
			for i < len(y) && math.IsNaN(y[i]) {
				i++
			}
		}
		var err error
		if normals[s], err = e.solve(); err != nil {
			return nil, err
		}
	}
	return normals, nil
}

// covers returns [ErrTooShort] where days without a break hold too little of the year for
// so many harmonics.
func covers(first Day, days, harmonics int) error {
	e := newNormalEquations(harmonics)
	e.addDays(first, days)
	_, err := e.solve()
	return err
}

// normalEquations are those of a least-squares fit of a mean and harmonics: G c = b,
// with the unknowns in the order mean, cos 1, sin 1, cos 2, sin 2, …
type normalEquations struct {
	harmonics, days int

	// Σ cos(mωt) and Σ sin(mωt) over the days, by m up to twice the harmonics. The
	// products of two harmonics, whose sums G holds, are made of these.
	cos, sin []float64

	b []float64
}

func newNormalEquations(harmonics int) normalEquations {
	return normalEquations{harmonics: harmonics, cos: make([]float64, 2*harmonics+1),
		sin: make([]float64, 2*harmonics+1), b: make([]float64, 2*harmonics+1)}
}

// angle is ωt, the part of the year gone by as an angle, of a moment in days from the
// start of 1970.
func angle(day float64) float64 { return 2 * math.Pi * (day - float64(normalEpoch)) / TropicalYear }

// addDays takes in days without a break, by the sum of a harmonic over n days with
// their middle at t,
//
//	Σ cos(mωt(i)) = cos(mωt) sin(mωn/2) / sin(mω/2),
//
// and the same with sin(mωt) for the sine.
func (e *normalEquations) addDays(first Day, n int) {
	e.days += n
	e.cos[0] += float64(n)
	middle := angle(float64(first) + float64(n-1)/2)
	for m := 1; m < len(e.cos); m++ {
		half := float64(m) * math.Pi / TropicalYear
		sum := math.Sin(half*float64(n)) / math.Sin(half)
		sin, cos := math.Sincos(float64(m) * middle)
		e.cos[m] += cos * sum
		e.sin[m] += sin * sum
	}
}

// addValues takes in the values of days without a break.
func (e *normalEquations) addValues(first Day, values []float64, t *turns) {
	for ; len(values) > 0; first, values = first+turnDays, values[min(turnDays, len(values)):] {
		block := values[:min(turnDays, len(values))]
		for _, v := range block {
			e.b[0] += v
		}
		for h := range e.harmonics {
			cos, sin := t.cos[h][:len(block)], t.sin[h][:len(block)]
			// Even and odd days apart, since each sum waits for itself.
			var evenCos, evenSin, oddCos, oddSin float64
			for j := 1; j < len(block); j += 2 {
				v, w := block[j-1], block[j]
				evenCos += v * cos[j-1]
				evenSin += v * sin[j-1]
				oddCos += w * cos[j]
				oddSin += w * sin[j]
			}
			if j := len(block) - 1; j%2 == 0 {
				evenCos += block[j] * cos[j]
				evenSin += block[j] * sin[j]
			}
			sumCos, sumSin := evenCos+oddCos, evenSin+oddSin
			s, c := math.Sincos(float64(h+1) * angle(float64(first)))
			e.b[1+2*h] += c*sumCos - s*sumSin
			e.b[2+2*h] += s*sumCos + c*sumSin
		}
	}
}

// gram is G:
//
//	cos j cos k = (cos(j−k) + cos(j+k))/2,  sin j sin k = (cos(j−k) − cos(j+k))/2,
//	sin j cos k = (sin(j+k) + sin(j−k))/2
func (e *normalEquations) gram() *mat.SymDense {
	g := mat.NewSymDense(len(e.b), nil)
	g.SetSym(0, 0, e.cos[0])
	for j := 1; j <= e.harmonics; j++ {
		g.SetSym(0, 2*j-1, e.cos[j])
		g.SetSym(0, 2*j, e.sin[j])
		for k := 1; k <= j; k++ {
			g.SetSym(2*j-1, 2*k-1, (e.cos[j-k]+e.cos[j+k])/2)
			g.SetSym(2*j, 2*k, (e.cos[j-k]-e.cos[j+k])/2)
			g.SetSym(2*j, 2*k-1, (e.sin[j+k]+e.sin[j-k])/2)
			g.SetSym(2*k, 2*j-1, (e.sin[j+k]-e.sin[j-k])/2)
		}
	}
	return g
}

// solve fits the course.
func (e *normalEquations) solve() (Normal, error) {
	if e.days < 10*len(e.b) {
		return Normal{}, ErrTooShort
	}
	var chol mat.Cholesky
	if !chol.Factorize(e.gram()) || chol.Cond() > maxNormalCondition {
		return Normal{}, ErrTooShort
	}
	var c mat.VecDense
	if err := chol.SolveVecTo(&c, mat.NewVecDense(len(e.b), e.b)); err != nil {
		return Normal{}, fmt.Errorf("fit of the normal course: %w", err)
	}
	f := Normal{Mean: c.AtVec(0), Cos: make([]float64, e.harmonics), Sin: make([]float64, e.harmonics)}
	for h := range e.harmonics {
		f.Cos[h], f.Sin[h] = c.AtVec(1+2*h), c.AtVec(2+2*h)
	}
	return f, nil
}

// turnDays is how many days are summed up, or worked out, from the angle of one.
const turnDays = 64

// turns hold cos(hωj) and sin(hωj), by harmonic h from 1 and by days j from the first
// of a block. From the angle A of that first day the addition theorem gives the rest:
//
//	cos(A + hωj) = cos A cos(hωj) − sin A sin(hωj),  and so the sine.
type turns struct{ cos, sin [][]float64 }

// newTurns works out the turns of so many harmonics, for days in blocks of turnDays.
func newTurns(harmonics int) *turns {
	all := make([]float64, 2*harmonics*turnDays)
	t := &turns{make([][]float64, harmonics), make([][]float64, harmonics)}
	for h := range harmonics {
		t.cos[h], t.sin[h] = all[2*h*turnDays:(2*h+1)*turnDays], all[(2*h+1)*turnDays:(2*h+2)*turnDays]
		for j := range turnDays {
			t.sin[h][j], t.cos[h][j] = math.Sincos(float64(h+1) * 2 * math.Pi * float64(j) / TropicalYear)
		}
	}
	return t
}

// usualHarmonics is the most harmonics that the courses of this module have.
const usualHarmonics = 3

var usualTurns = sync.OnceValue(func() *turns { return newTurns(usualHarmonics) })

// turnsOf returns the turns of so many harmonics, or of more.
func turnsOf(count int) *turns {
	if count <= usualHarmonics {
		return usualTurns()
	}
	return newTurns(count)
}

// At returns the normal value of a day.
func (f Normal) At(d Day) float64 { return f.Series(d, 1)[0] }

// Series returns the normal values of n days from first on. It panics for a negative
// number of days.
func (f Normal) Series(first Day, n int) []float64 {
	if n < 0 {
		panic(fmt.Sprintf("climate: a course of %d days", n))
	}
	y, t := make([]float64, n), turnsOf(len(f.Cos))
	for i := 0; i < n; i += turnDays {
		block := y[i:min(i+turnDays, n)]
		for j := range block {
			block[j] = f.Mean
		}
		for h := range f.Cos {
			s, c := math.Sincos(float64(h+1) * angle(float64(first+Day(i))))
			a, b := f.Cos[h]*c+f.Sin[h]*s, f.Sin[h]*c-f.Cos[h]*s
			cos, sin := t.cos[h][:len(block)], t.sin[h][:len(block)]
			for j := range block {
				block[j] += a*cos[j] + b*sin[j]
			}
		}
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
// at or beyond the threshold while the day before was not yet; none where last comes
// before first.
func (f Normal) Crossings(threshold float64, first, last Day) []Crossing {
	if last < first {
		return nil
	}
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
