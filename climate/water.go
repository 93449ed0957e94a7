package climate

import (
	"fmt"
	"math"
)

// HargreavesET0 returns the reference evapotranspiration of a day, mm, from its
// mean temperature and the difference of its highest and lowest, °C, and the
// extraterrestrial radiation in MJ m⁻² d⁻¹. It is never negative; NaN for NaN.
//
//	ET0 = 0.0023 (Tmean + 17.8) √(Tmax − Tmin) · 0.408 Ra
//
// Reference: FAO-56 eq. 52; 0.408 turns MJ m⁻² into mm of water.
func HargreavesET0(meanC, swingC, ra float64) float64 {
	return math.Max(0, 0.0023*(meanC+17.8)*math.Sqrt(math.Max(0, swingC))*0.408*ra)
}

// A Seedbed is the layer of soil that a seed takes water from, modelled as a
// bucket.
type Seedbed struct {
	CapacityMM float64 // water it holds between dry and full, above 0
	StallShare float64 // share of the capacity under which a seed stalls
}

// Topsoil returns a seedbed of 25 mm of loam: 0.16 of its volume is water that a
// plant can take (FAO-56 Table 19 has 0.13–0.18 for loams, from memory), and a
// seed stalls under a quarter of it: an assumption (M).
func Topsoil() Seedbed { return Seedbed{CapacityMM: 25 * 0.16, StallShare: 0.25} }

// Moist returns for each day of a record whether a seedbed without irrigation is
// moist enough at the end of the day for a seed to develop, and the water, mm,
// that would have kept it so: the evaporation that the rain does not cover. Wet
// ground loses the reference evapotranspiration, drying ground a share of it:
//
//	W' = min(capacity, W + rain) exp(−ET0 / capacity)
//
// A day without rain in the record counts as dry, one without a temperature as
// one without evaporation. It returns [ErrNoLatitude] where that is not known,
// and [ErrRecord] for a record that [Record.Validate] refuses. It panics for a
// seedbed that holds no water, such as the zero value.
func (b Seedbed) Moist(r *Record) (moist []bool, needMM []float64, err error) {
	if !(b.CapacityMM > 0) {
		panic(fmt.Sprintf("climate: a seedbed that holds %g mm", b.CapacityMM))
	}
	if err := r.Validate(); err != nil {
		return nil, nil, err
	}
	if r.Place.Latitude == nil {
		return nil, nil, ErrNoLatitude
	}
	ra := ExtraterrestrialRadiationOfYear(*r.Place.Latitude)
	n, yearDay := r.Len(), 366
	moist, needMM = make([]bool, n), make([]float64, n)
	water := b.CapacityMM
	for i := range moist {
		if yearDay++; yearDay > 365 {
			yearDay = r.Day(i).YearDay()
		}
		et := HargreavesET0((r.TMinC[i]+r.TMaxC[i])/2, r.TMaxC[i]-r.TMinC[i], ra[yearDay])
		if math.IsNaN(et) {
			et = 0
		}
		rain := 0.0
		if i < len(r.PrecipMM) && !math.IsNaN(r.PrecipMM[i]) {
			rain = r.PrecipMM[i]
		}
		water = math.Min(b.CapacityMM, water+rain) * math.Exp(-et/b.CapacityMM)
		moist[i] = water >= b.StallShare*b.CapacityMM
		needMM[i] = math.Max(0, et-rain)
	}
	return moist, needMM, nil
}
