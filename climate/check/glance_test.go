package check

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"swardcast/climate"
)

// spoilt returns a copy of a record with so many faults of every kind.
func spoilt(r *climate.Record, random *rand.Rand, faults int) *climate.Record {
	out := *r
	out.TMaxC, out.TMinC = slices.Clone(r.TMaxC), slices.Clone(r.TMinC)
	for range faults {
		i, n := random.IntN(out.Len()), 1+random.IntN(2*stuckDays)
		one, both := series(&out)[random.IntN(2)].values, [2][]float64{out.TMaxC, out.TMinC}
		to := min(i+n, out.Len())
		switch random.IntN(9) {
		case 0:
			one[i] = []float64{-95, 61, LowestEver, HighestEver, 0, -17.8}[random.IntN(6)]
		case 1:
			both[0][i], both[1][i] = 0, 0
		case 2:
			both[0][i], both[1][i] = -17.78, -17.8
		case 3:
			one[i] += float64(random.IntN(80) - 40)
		case 4:
			for k := i; k < to; k++ {
				one[k] = one[i]
			}
		case 5:
			for k := i; k < to; k++ {
				one[k] = math.NaN()
			}
		case 6:
			for k := i; k < min(i+n/5+1, out.Len()); k++ {
				both[0][k], both[1][k] = both[1][k], both[0][k]
			}
		case 7:
			for k := i; k < to; k++ {
				one[k] = 90*random.Float64() - 40
			}
		case 8:
			from := random.IntN(out.Len() - to + i + 1)
			copy(both[0][i:to], both[0][from:])
			copy(both[1][i:to], both[1][from:])
		}
	}
	return &out
}

// What a glance rules out no test finds, whatever an earlier one removes.
func FuzzGlance(f *testing.F) {
	good := record(6)
	for seed := range uint64(12) {
		f.Add(seed, uint8(seed))
	}
	f.Fuzz(func(t *testing.T, seed uint64, faults uint8) {
		r := spoilt(good, rand.New(rand.NewPCG(seed, 0)), int(faults%12))
		plain := spoilt(r, rand.New(rand.NewPCG(seed, 1)), 0)
		got, want := runTests(r, glanceAt(r)), runTests(plain, nil)
		if !slices.Equal(got, want) {
			t.Errorf("with a glance\n%v\nwithout\n%v", got, want)
		}
		same := func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }
		if !slices.EqualFunc(r.TMaxC, plain.TMaxC, same) || !slices.EqualFunc(r.TMinC, plain.TMinC, same) {
			t.Error("other values are removed with a glance")
		}
	})
}

// A glance at a good record rules out every test that it can rule out.
func TestGlanceAtAGoodRecord(t *testing.T) {
	if g := *glanceAt(record(12)); g != (glance{}) {
		t.Errorf("a glance at a good record sees %+v", g)
	}
}

// The median is near 0 where the values in order say so.
func FuzzRangesNear(f *testing.F) {
	f.Add(uint64(1), uint16(400), 1.0)
	f.Add(uint64(2), uint16(3), 0.99)
	f.Add(uint64(3), uint16(0), 0.0)
	f.Fuzz(func(t *testing.T, seed uint64, n uint16, middle float64) {
		random := rand.New(rand.NewPCG(seed, 0))
		r := climate.NewRecord(climate.Place{}, 0, int(n%1000))
		var ranges []float64
		for i := range r.TMaxC {
			if random.IntN(9) > 0 {
				r.TMinC[i] = math.Round(10*random.NormFloat64()) / 10
				r.TMaxC[i] = r.TMinC[i] + middle + math.Round(random.NormFloat64()*10)/10
				ranges = append(ranges, r.TMaxC[i]-r.TMinC[i])
			}
		}
		if slices.ContainsFunc(ranges, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }) {
			return
		}
		known, near := rangesNear(r)
		if known != len(ranges) {
			t.Fatalf("%d known, want %d", known, len(ranges))
		}
		if known == 0 {
			return
		}
		slices.Sort(ranges)
		m := ranges[known/2]
		if near != (math.Abs(m) < minRangeC) {
			t.Errorf("near %v, the median is %g", near, m)
		}
		if got := medianRange(r, known); got != m {
			t.Errorf("median %g, want %g", got, m)
		}
	})
}
