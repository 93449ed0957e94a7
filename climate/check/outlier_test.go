package check

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"swardcast/climate"
)

// plainMedian is the median by the quantile of all values.
func plainMedian(x []float64) float64 { return climate.Quantile(0.5, slices.Sorted(slices.Values(x))) }

// plainBiweight is what a window's values give one by one, as Lanzante has it.
func plainBiweight(x []float64) (mean, below, above float64) {
	m := plainMedian(x)
	var off, offBelow, offAbove []float64
	for _, v := range x {
		off = append(off, math.Abs(v-m))
		if v <= m {
			offBelow = append(offBelow, m-v)
		}
		if v >= m {
			offAbove = append(offAbove, v-m)
		}
	}
	side := func(off []float64) float64 {
		mad := plainMedian(off)
		if mad == 0 {
			return math.Inf(1)
		}
		var top, bottom float64
		for _, d := range off {
			if u := d / (biweightReach * mad); u < 1 {
				top += d * d * math.Pow(1-u*u, 4)
				bottom += (1 - u*u) * (1 - 5*u*u)
			}
		}
		return math.Sqrt(float64(len(off))*top) / math.Abs(bottom)
	}
	mean = m
	if mad := plainMedian(off); mad > 0 {
		var sumW, sumWX float64
		for _, v := range x {
			if u := (v - m) / (biweightReach * mad); math.Abs(u) < 1 {
				w := math.Pow(1-u*u, 2)
				sumW += w
				sumWX += w * v
			}
		}
		mean = sumWX / sumW
	}
	return mean, side(offBelow), side(offAbove)
}

// Values counted are the values ordered, and both give what values one by one do.
func FuzzCounted(f *testing.F) {
	f.Add(uint64(1), uint16(450), 8.0, 0.1)
	f.Add(uint64(2), uint16(451), 5.0, 1/1.8)
	f.Add(uint64(3), uint16(120), 6.0, 0.1/1.8)
	f.Add(uint64(4), uint16(300), 7.0, 0.01)
	f.Add(uint64(5), uint16(2), 0.1, 0.1)
	f.Add(uint64(6), uint16(101), 60.0, 1e-9)
	f.Fuzz(func(t *testing.T, seed uint64, n uint16, spread, grid float64) {
		if n == 0 || !(grid > 1e-12 && grid < 1e3 && spread < 1e3) {
			return
		}
		random := rand.New(rand.NewPCG(seed, 0))
		x := make([]float64, n%2000+1)
		for i := range x {
			x[i] = math.Round((10+spread*random.NormFloat64())/grid) * grid
		}
		list := ordered(slices.Clone(x), nil)
		if l, of := newLevels(x); l != nil {
			for range 2 { // the counts are clean again
				if got := l.counted(nil, of[:len(of)/3], of[len(of)/3:]); !slices.Equal(got, list) {
					t.Fatalf("counted %v, ordered %v", got, list)
				}
			}
		}
		if got, _ := median(list, total(list)); got != plainMedian(x) {
			t.Errorf("median %g, want %g", got, plainMedian(x))
		}
		var got, want [3]float64
		got[0], got[1], got[2] = biweights(list, total(list))
		want[0], want[1], want[2] = plainBiweight(x)
		for i := range got {
			if got[i] != want[i] && !(math.Abs(got[i]-want[i]) <= 1e-9*(1+math.Abs(want[i]))) {
				t.Errorf("%v, one by one %v", got, want)
			}
		}
	})
}

// Readings in tenths of °C, in whole °F and in tenths of °F are counted.
func TestLevels(t *testing.T) {
	for _, grid := range []float64{0.1, 1 / 1.8, 0.1 / 1.8} {
		var x []float64
		for k := math.Ceil(LowestEver / grid); k*grid <= HighestEver; k++ {
			x = append(x, k*grid)
		}
		if l, _ := newLevels(x); l == nil || len(l.value) != len(x) {
			t.Errorf("%d readings %.3f °C apart are not as many levels", len(x), grid)
		}
	}
	for _, x := range [][]float64{{1, 1.01}, {1, 99}} {
		if l, _ := newLevels(x); l != nil {
			t.Errorf("%v are counted", x)
		}
	}
}
