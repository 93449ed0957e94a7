package main

import (
	"fmt"
	"math"
	"time"

	"gonum.org/v1/gonum/mat"
)

var depths = [2]int{5, 10}

func inAutumn(m time.Month) bool { return m >= time.August && m <= time.November }

// Parts of the year that a variant is judged on.
var spans = []struct {
	name string
	has  func(time.Month) bool
}{
	{"Aug–Nov", inAutumn},
	{"Jul–Apr", func(m time.Month) bool { return m >= time.July || m <= time.April }},
	{"year", func(time.Month) bool { return true }},
}

// moments are the sums of squares and products of one station's columns and
// observations, each divided by their number, so that stations weigh the same.
type moments struct {
	n    float64
	xx   *mat.SymDense
	xy   *mat.VecDense
	yy   float64
	mean float64
}

func newMoments(columns int) *moments {
	return &moments{xx: mat.NewSymDense(columns, nil), xy: mat.NewVecDense(columns, nil)}
}

func (m *moments) add(x []float64, y, w float64) {
	m.n += w
	m.yy += w * y * y
	m.mean += w * y
	m.xx.SymRankOne(m.xx, w, mat.NewVecDense(len(x), x))
	m.xy.AddScaledVec(m.xy, w*y, mat.NewVecDense(len(x), x))
}

func (m *moments) finish() {
	if m.n == 0 {
		return
	}
	m.xx.ScaleSym(1/m.n, m.xx)
	m.xy.ScaleVec(1/m.n, m.xy)
	m.yy /= m.n
	m.mean /= m.n
}

// error returns root mean square, mean and standard deviation of the error of
// coefficients b on the days of m.
func (m *moments) error(b mat.Vector) (rmse, bias, sd float64) {
	square := m.yy - 2*mat.Dot(b, m.xy) + mat.Inner(b, m.xx, b)
	// The first column is 1: its row of xx holds the means of the columns.
	bias = m.mean
	for k := range b.Len() {
		bias -= b.AtVec(k) * m.xx.At(0, k)
	}
	return math.Sqrt(square), bias, math.Sqrt(math.Max(0, square-bias*bias))
}

// A score is the error at one station that the fit had not seen.
type score struct{ rmse, bias, sd float64 }

// A verdict is how a variant does.
type verdict struct {
	variant
	final     [2]*mat.VecDense   // coefficients of the fit to every station
	leftOut   [2][]*mat.VecDense // coefficients without each station
	scores    [2][][]score       // by depth, span of the year, station
	condition [2]float64         // of the standardised columns
	fit       [2][]*moments      // by depth and station
	judged    [2][][]*moments    // by depth, span of the year, station
}

// judge fits a variant to all stations, and for each to those that are neither
// it nor its neighbour.
func judge(stations []*station, v variant) (*verdict, error) {
	out := &verdict{variant: v}
	for d := range depths {
		fits := make([]*moments, len(stations))
		judged := make([][]*moments, len(spans))
		for k := range judged {
			judged[k] = make([]*moments, len(stations))
		}
		for si, s := range stations {
			columns := len(v.columns(s, 0))
			fits[si] = newMoments(columns)
			for k := range judged {
				judged[k][si] = newMoments(columns)
			}
			for i, y := range s.observed[d] {
				if math.IsNaN(y) || !s.days[i].usable {
					continue
				}
				x, month := v.columns(s, i), s.days[i].month
				w := 1.0
				if v.weight != nil {
					w = v.weight(month)
				}
				if w > 0 {
					fits[si].add(x, y, w)
				}
				for k := range spans {
					if spans[k].has(month) {
						judged[k][si].add(x, y, 1)
					}
				}
			}
			fits[si].finish()
			for k := range judged {
				judged[k][si].finish()
			}
		}
		out.fit[d], out.judged[d] = fits, judged
		var err error
		if out.final[d], out.condition[d], err = solve(fits, v.ridge, func(int) bool { return true }); err != nil {
			return nil, fmt.Errorf("%s: %w", v.name, err)
		}
		out.scores[d] = make([][]score, len(spans))
		for si := range stations {
			b, _, err := solve(
				fits,
				v.ridge,
				func(j int) bool { return j != si && !neighbours(stations[si], stations[j]) },
			)
			if err != nil {
				return nil, fmt.Errorf("%s without %s: %w", v.name, stations[si].name, err)
			}
			out.leftOut[d] = append(out.leftOut[d], b)
			for k := range spans {
				rmse, bias, sd := judged[k][si].error(b)
				out.scores[d][k] = append(out.scores[d][k], score{rmse, bias, sd})
			}
		}
	}
	return out, nil
}

// solve finds the coefficients that fit the stations kept, and the condition
// number of the columns once each has mean 0 and variance 1.
func solve(fits []*moments, ridge float64, keep func(int) bool) (*mat.VecDense, float64, error) {
	k := fits[0].xy.Len()
	sum := newMoments(k)
	n := 0.0
	for i, m := range fits {
		if !keep(i) {
			continue
		}
		n++
		sum.xx.AddSym(sum.xx, m.xx)
		sum.xy.AddVec(sum.xy, m.xy)
	}
	standard := mat.NewSymDense(k-1, nil)
	variance := func(i int) float64 {
		m := sum.xx.At(0, i) / n
		return sum.xx.At(i, i)/n - m*m
	}
	const still = 1e-12 // of a column that never varies, such as frost in an autumn fit
	for i := 1; i < k; i++ {
		if variance(i) < still {
			// It tells nothing: its coefficient is 0.
			standard.SetSym(i-1, i-1, 1)
			sum.xx.SetSym(i, i, 1)
			continue
		}
		for j := i; j < k; j++ {
			if variance(j) < still {
				continue
			}
			c := sum.xx.At(i, j)/n - sum.xx.At(0, i)/n*sum.xx.At(0, j)/n
			standard.SetSym(i-1, j-1, c/math.Sqrt(variance(i)*variance(j)))
		}
	}
	for i := 1; i < k; i++ {
		sum.xx.SetSym(i, i, sum.xx.At(i, i)+ridge*n*math.Max(0, variance(i)))
	}
	var chol mat.Cholesky
	if !chol.Factorize(sum.xx) {
		return nil, 0, fmt.Errorf("the columns depend on each other")
	}
	var b mat.VecDense
	if err := chol.SolveVecTo(&b, sum.xy); err != nil {
		return nil, 0, err
	}
	return &b, math.Sqrt(mat.Cond(standard, 2)), nil
}
