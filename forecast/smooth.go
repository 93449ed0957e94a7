package forecast

import (
	"math"
	"sync"

	"swardcast/forecast/soil"
)

// Dormancy is read from the soil smoothed by a Gaussian, so that it does not hang
// on a single cold week. docs/validation.md compares the other definitions that
// were tried.
const (
	smoothSD    = 7            // of the Gaussian, days
	smoothReach = 3 * smoothSD // days to either side that have a weight
	smoothTail  = 2 * smoothSD // days after which those to come hardly change a day any more
)

// smoothWeights are those of the days from smoothReach before to smoothReach
// after; they sum to 1.
var smoothWeights = gaussianWeights(smoothSD, smoothReach)

func gaussianWeights(sd float64, reach int) []float64 {
	w := make([]float64, 2*reach+1)
	sum := 0.0
	for i := range w {
		k := float64(i - reach)
		w[i] = math.Exp(-k * k / (2 * sd * sd))
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// smooth returns a daily series smoothed by a Gaussian:
//
//	s(i) = Σk w(k) y(i+k),  w(k) ∝ exp(−k² / 2·7²),  |k| ≤ 21
//
// Near the ends the weights are scaled so that those of the days there are sum
// to 1.
func smooth(y []float64, m *memory) []float64 {
	out := m.take(len(y))
	smoothDays(out, y, 0, len(y))
	return out
}

// smoothDays sets the days from one up to another of a smoothed series.
func smoothDays(out, y []float64, first, end int) {
	half := smoothWeights[smoothReach:]
	for i := first; i < end; i++ {
		if i >= smoothReach && i+smoothReach+4 <= len(y) && i+4 <= end {
			// Four days at a time, each as if alone: their sums do not wait for each other.
			around := y[i-smoothReach : i+smoothReach+4]
			w := half[0]
			at := around[smoothReach:][:4]
			a, b, c, d := w*at[0], w*at[1], w*at[2], w*at[3]
			for k := 1; k <= smoothReach; k++ {
				w, before, after := half[k], around[smoothReach-k:][:4], around[smoothReach+k:][:4]
				a += w * (before[0] + after[0])
				b += w * (before[1] + after[1])
				c += w * (before[2] + after[2])
				d += w * (before[3] + after[3])
			}
			out[i], out[i+1], out[i+2], out[i+3] = a, b, c, d
			i += 3
			continue
		}
		if i >= smoothReach && i+smoothReach < len(y) {
			around := y[i-smoothReach : i+smoothReach+1]
			sum := half[0] * around[smoothReach]
			for k := 1; k <= smoothReach; k++ {
				sum += half[k] * (around[smoothReach-k] + around[smoothReach+k])
			}
			out[i] = sum
			continue
		}
		from, to := max(0, i-smoothReach), min(len(y)-1, i+smoothReach)
		sum, weight := 0.0, 0.0
		w := smoothWeights[from-i+smoothReach:]
		for k, v := range y[from : to+1] {
			sum += w[k] * v
			weight += w[k]
		}
		out[i] = sum / weight
	}
}

// A smoothing is a series smoothed as far as its days are asked for: dormancy looks at a
// third of the year.
type smoothing struct {
	sync.Mutex
	y, smooth []float64
	known     []bool // of each block of days
}

// smoothBlock is how many days are smoothed together.
const smoothBlock = 32

// at returns a smoothed day.
func (s *smoothing) at(i int) float64 {
	if b := i / smoothBlock; !s.known[b] {
		smoothDays(s.smooth, s.y, b*smoothBlock, min((b+1)*smoothBlock, len(s.y)))
		s.known[b] = true
	}
	return s.smooth[i]
}

// smoothed returns the soil at a depth smoothed by a Gaussian with a standard
// deviation of seven days, °C, by day of the record, which dormancy looks at. The
// last two weeks of a record still move as days come.
func (s *Station) smoothed(depth soil.Depth) *smoothing {
	x := &s.means.smooth10
	if depth == soil.Depth5 {
		x = &s.means.smooth5
	}
	x.Lock()
	defer x.Unlock()
	if x.smooth == nil {
		x.y = s.Soil.At(depth)
		x.smooth, x.known = s.memory.take(len(x.y)), make([]bool, len(x.y)/smoothBlock+1)
	}
	return x
}

// smoothErrorSD is the standard deviation of the error of the smoothed soil at a
// depth, the site's part left out, °C.
func smoothErrorSD(depth soil.Depth) float64 {
	if depth == soil.Depth5 {
		return smoothErrorSD5
	}
	return smoothErrorSD10
}

var (
	smoothErrorSD5  = soil.ResidualAt(soil.Depth5).WeightedMeanSD(smoothWeights)
	smoothErrorSD10 = soil.ResidualAt(soil.Depth10).WeightedMeanSD(smoothWeights)
)
