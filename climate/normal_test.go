package climate

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// Check values from SciPy 1.10.1, scipy.linalg.lstsq on the same 771 rows.
func TestFitNormalIsLeastSquares(t *testing.T) {
	const from, n = 425, 900
	y := make([]float64, n)
	for i := range y {
		d := float64(from + i)
		y[i] = 12 + 9*math.Cos(2*math.Pi*(d-200)/365.2425) + 1.5*math.Sin(4*math.Pi*(d-30)/365.2425) +
			float64((from+i)*7919%101)/50
		if (from+i)%7 == 0 {
			y[i] = math.NaN()
		}
	}
	f, err := FitNormal(normalEpoch+from, y, 2)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"mean", f.Mean, 13.003830740495}, {"cos 1", f.Cos[0], -8.595307236805}, {"sin 1", f.Sin[0], -2.647260270730},
		{"cos 2", f.Cos[1], -1.285246643470}, {"sin 2", f.Sin[1], 0.777264892152},
		{"amplitude", f.Amplitude(), 8.99373634459309},
	} {
		if math.Abs(c.got-c.want) > 1e-9 {
			t.Errorf("%s: %.12f, SciPy gives %.12f", c.name, c.got, c.want)
		}
	}
}

func TestNormalPeakAndCrossings(t *testing.T) {
	// Warmest 200 days into the cycle, 19 July of 2000; 12 ± 9.
	sin, cos := math.Sincos(2 * math.Pi * 200 / TropicalYear)
	f := Normal{Mean: 12, Cos: []float64{9 * cos}, Sin: []float64{9 * sin}}
	for _, year := range []int{1999, 2000, 2023, 2024} {
		peak := f.Peak(year)
		if peak.Year() != year || math.Abs(f.At(peak)-21) > 0.01 {
			t.Errorf("the peak of %d is %v with %.3f", year, peak, f.At(peak))
		}
	}
	c := f.Crossings(12, Date(2001, 1, 1), Date(2001, 12, 31))
	if len(c) != 2 || !c[0].Rising || c[1].Rising {
		t.Fatalf("crossings of the mean: %v", c)
	}
	// The wave passes its mean a quarter of a year before and after the peak.
	for i, want := range []Day{f.Peak(2001) - 91, f.Peak(2001) + 92} {
		if d := c[i].Day - want; d < -1 || d > 1 {
			t.Errorf("crossing %v, want %v to a day", c[i].Day, want)
		}
	}
	if c := f.Crossings(22, Date(2001, 1, 1), Date(2001, 12, 31)); len(c) != 0 {
		t.Errorf("crossings above the peak: %v", c)
	}
}

func TestFitNormalNeedsTheYear(t *testing.T) {
	for _, n := range []int{0, 40, 180} {
		y := make([]float64, n)
		if _, err := FitNormal(0, y, 2); !errors.Is(err, ErrTooShort) {
			t.Errorf("%d days: %v", n, err)
		}
	}
	// Five years of which nothing but the summers is there.
	y := missing(5 * 365)
	for i := range y {
		if d := i % 365; d > 150 && d < 240 {
			y[i] = 20
		}
	}
	if _, err := FitNormal(Date(2001, 1, 1), y, 2); !errors.Is(err, ErrTooShort) {
		t.Errorf("summers alone: %v", err)
	}
}

// Series fitted together get the normals they get alone, gaps or not.
func TestFitNormalsTogether(t *testing.T) {
	first, n := Date(1999, 3, 1), 3000
	a, b := make([]float64, n), make([]float64, n)
	for i := range a {
		d := float64(i)
		a[i], b[i] = 12+9*math.Cos(d/58)+math.Sin(7*d), 3-4*math.Sin(d/58)+math.Cos(3*d)
		if i%97 < 5 {
			a[i] = math.NaN()
		}
		if i%89 < 3 {
			b[i] = math.NaN()
		}
	}
	together, err := FitNormals(first, 3, a, b)
	if err != nil {
		t.Fatal(err)
	}
	for i, y := range [][]float64{a, b} {
		alone, err := FitNormal(first, y, 3)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range []Day{first, first + 100, first + 250} {
			if x, y := together[i].At(d), alone.At(d); x != y {
				t.Errorf("series %d on %v: %g, alone %g", i, d, x, y)
			}
		}
	}
	if _, err := FitNormals(first, 3, a, slices.Repeat([]float64{math.NaN()}, n)); err == nil {
		t.Error("a series without values is fitted")
	}
}

// plainNormal fits a course term by term: what FitNormal does with sums in closed form.
func plainNormal(first Day, values []float64, harmonics int) *mat.VecDense {
	k := 2*harmonics + 1
	g, b := mat.NewSymDense(k, nil), mat.NewVecDense(k, nil)
	for i, v := range values {
		if math.IsNaN(v) {
			continue
		}
		x := mat.NewVecDense(k, nil)
		x.SetVec(0, 1)
		for h := 1; h <= harmonics; h++ {
			sin, cos := math.Sincos(2 * math.Pi * float64(h) * float64(first+Day(i)-normalEpoch) / TropicalYear)
			x.SetVec(2*h-1, cos)
			x.SetVec(2*h, sin)
		}
		g.SymRankOne(g, 1, x)
		b.AddScaledVec(b, v, x)
	}
	var chol mat.Cholesky
	if !chol.Factorize(g) || chol.Cond() > 0.999*maxNormalCondition {
		return nil
	}
	var c mat.VecDense
	if err := chol.SolveVecTo(&c, b); err != nil {
		return nil
	}
	return &c
}

// The sums in closed form fit what sums term by term do, whatever the gaps.
func FuzzNormal(f *testing.F) {
	f.Add(int32(0), uint64(1), uint16(900), uint8(2), uint8(0))
	f.Add(int32(-40000), uint64(2), uint16(11000), uint8(3), uint8(60))
	f.Add(int32(20000), uint64(3), uint16(365), uint8(1), uint8(200))
	f.Add(int32(9000), uint64(4), uint16(130), uint8(2), uint8(1))
	f.Fuzz(func(t *testing.T, first int32, seed uint64, n uint16, harmonics, gaps uint8) {
		first, harmonics = first%100000, harmonics%5
		random := rand.New(rand.NewPCG(seed, 0))
		y := make([]float64, n)
		missing := false
		for i := range y {
			if random.IntN(256) < int(gaps) {
				missing = !missing
			}
			if y[i] = 30 * random.NormFloat64(); missing {
				y[i] = math.NaN()
			}
		}
		want := plainNormal(Day(first), y, int(harmonics))
		got, err := FitNormal(Day(first), y, int(harmonics))
		if err != nil || want == nil {
			return // too few values, or at the limit of the condition
		}
		for i := range want.Len() {
			v := got.Mean
			if i > 0 {
				v = [][]float64{got.Sin, got.Cos}[i%2][(i-1)/2]
			}
			if math.Abs(v-want.AtVec(i)) > 1e-9 {
				t.Errorf("unknown %d: %g, term by term %g", i, v, want.AtVec(i))
			}
		}
		for i, v := range got.Series(Day(first), int(n)) {
			if at := got.At(Day(first) + Day(i)); math.Abs(v-at) > 1e-9 {
				t.Fatalf("day %d: %g in a series, %g alone", i, v, at)
			}
		}
	})
}
