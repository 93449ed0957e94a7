package climate

import (
	"errors"
	"math"
	"slices"
	"testing"
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
			// Only the order of the sums differs.
			if x, y := together[i].At(d), alone.At(d); math.Abs(x-y) > 1e-11 {
				t.Errorf("series %d on %v: %g, alone %g", i, d, x, y)
			}
		}
	}
	if _, err := FitNormals(first, 3, a, slices.Repeat([]float64{math.NaN()}, n)); err == nil {
		t.Error("a series without values is fitted")
	}
}
