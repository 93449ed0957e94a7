package forecast

import (
	"fmt"
	"math"

	"swardcast/climate"
	"swardcast/forecast/soil"
)

// A SoilYear is the past year of the soil at one depth, beside its normal year.
type SoilYear struct {
	Depth    soil.Depth
	From, To climate.Day // the year up to the last day of the record, or the record where that is shorter

	NowC    float64 // daily mean of the last day
	Normal  climate.Normal
	Warmest Extreme // of the normal year
	Coldest Extreme

	Crossings []SoilCrossing // of the thresholds, in their order, each falling before rising
}

// An Extreme is the day on which the normal soil is warmest or coldest.
type Extreme struct {
	Day   climate.Day
	TempC float64
}

// A SoilCrossing is when the soil passes a threshold on its way up or down.
type SoilCrossing struct {
	ThresholdC float64
	Rising     bool
	Normal     *climate.Day // in the normal year; nil where it does not pass it
	// PastYear is the last day of the past year on which the trailing weekly mean
	// passed it, within crossingNear days of the normal one; nil for none.
	PastYear *climate.Day
}

// crossingNear is how many days off the normal crossing one of the past year may
// lie: a thaw in winter is no crossing of autumn.
const crossingNear = 45

// SoilYear returns the past year of the soil at a depth, and when it and the
// normal year cross thresholds, °C. A threshold that neither crosses has no entry.
// It returns [soil.ErrDepth] for a depth that is not modelled, and
// [climate.ErrThreshold] for a threshold that is not finite.
func (s *Station) SoilYear(depth soil.Depth, thresholdsC []float64) (*SoilYear, error) {
	if err := depth.Check(); err != nil {
		return nil, err
	}
	last := s.Record.Last()
	y, m, d := last.Date()
	out := &SoilYear{Depth: depth, From: max(s.Record.First, climate.Date(y-1, m, d)+1), To: last,
		NowC: s.Soil.At(depth)[s.Record.Index(last)], Normal: s.normal(depth)}
	out.Warmest, out.Coldest = extremes(out.Normal, last)
	for _, c := range thresholdsC {
		if math.IsNaN(c) || math.IsInf(c, 0) {
			return nil, fmt.Errorf("%w: %g °C", climate.ErrThreshold, c)
		}
		crossings := out.Normal.Crossings(c, last-364, last)
		for _, rising := range []bool{false, true} {
			x := SoilCrossing{ThresholdC: c, Rising: rising}
			from, to := out.From, last
			for _, n := range crossings {
				if n.Rising == rising {
					x.Normal = new(n.Day)
					from, to = max(from, n.Day-crossingNear), min(to, n.Day+crossingNear)
				}
			}
			x.PastYear = s.crossed(depth, c, rising, from, to)
			if x.Normal != nil || x.PastYear != nil {
				out.Crossings = append(out.Crossings, x)
			}
		}
	}
	return out, nil
}

// extremes are the warmest and the coldest day of a normal course in the year up
// to a day.
func extremes(n climate.Normal, last climate.Day) (warmest, coldest Extreme) {
	y := n.Series(last-364, 365)
	hi, lo := 0, 0
	for i := range y {
		if y[i] > y[hi] {
			hi = i
		}
		if y[i] < y[lo] {
			lo = i
		}
	}
	at := func(i int) Extreme {
		d := last - 364 + climate.Day(i)
		return Extreme{d, n.At(d)}
	}
	return at(hi), at(lo)
}

// crossed is the last day between two on which the trailing weekly mean passed
// the threshold: after it the soil stayed beyond.
func (s *Station) crossed(depth soil.Depth, thresholdC float64, rising bool, from, to climate.Day) *climate.Day {
	week := s.weekly(depth)
	for i := s.Record.Index(to); i > 0 && i >= s.Record.Index(from); i-- {
		before, now := week[i-1] >= thresholdC, week[i] >= thresholdC
		if before != now && now == rising {
			return new(s.Record.Day(i))
		}
	}
	return nil
}

// A SoilDay is the air and the soil of one day, daily means of the soil, °C.
type SoilDay struct {
	Day                 climate.Day
	TMaxC, TMinC        float64 // air, gaps filled
	Soil5C, Soil10C     float64
	Normal5C, Normal10C float64
	Filled              bool // an air temperature was missing
}

// SoilDays returns the air and the soil of the days of the record between two.
func (s *Station) SoilDays(from, to climate.Day) []SoilDay {
	rec := s.Record
	i, j := max(0, rec.Index(from)), min(rec.Len(), rec.Index(to)+1)
	normal5, normal10 := s.Normal5C.Series(rec.First, rec.Len()), s.Normal10C.Series(rec.First, rec.Len())
	out := make([]SoilDay, 0, max(0, j-i))
	for ; i < j; i++ {
		out = append(out, SoilDay{rec.Day(i), rec.TMaxC[i], rec.TMinC[i], s.Soil.Soil5C[i], s.Soil.Soil10C[i],
			normal5[i], normal10[i], s.Filled[i]})
	}
	return out
}
