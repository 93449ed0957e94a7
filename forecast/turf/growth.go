package turf

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Stage is a stage of development of a sowing.
type Stage string

// The stages in their order.
const (
	Emerged  Stage = "emerged"  // half of the seed that will come up is up
	Mow      Stage = "mow"      // third leaf: first cut
	Tillered Stage = "tillered" // first tiller: established

	// Covered is a closed stand. It counts the air, not the soil, and few species have a
	// figure of it ([Species.Has]), so it is none of Stages.
	Covered Stage = "covered"
)

// Has reports whether the species has a figure of a stage: of every one of [Stages], of
// Covered where one was published.
func (s *Species) Has(stage Stage) bool {
	return slices.Contains(Stages(), stage) || stage == Covered && s.Covered.Value > 0
}

// Stages returns the stages that every species has, in the order a plant reaches them.
func Stages() []Stage { return []Stage{Emerged, Mow, Tillered} }

// A Response is the degree days a day gives at its soil temperature: nothing up to
// Base, rising by one degree day a degree up to Optimum, flat over Plateau,
// and falling in a straight line to nothing at Ceiling. All in °C.
//
// Reference: the rate of germination rises linearly from the base to the
// optimum and falls to the ceiling temperature (Larsen & Bibby 2005; Black,
// Moot & Lucas 2006); how it falls beyond the optimum is a straight line here,
// for want of figures.
type Response struct{ Base, Optimum, Plateau, Ceiling float64 }

// DegreeDays returns the degree days of a day with soil at t °C; NaN for NaN.
func (r Response) DegreeDays(t float64) float64 {
	top := r.Optimum + r.Plateau
	switch {
	case t <= r.Base || t >= r.Ceiling:
		return 0
	case t <= r.Optimum:
		return t - r.Base
	case t <= top:
		return r.Optimum - r.Base
	}
	return (r.Optimum - r.Base) * (r.Ceiling - t) / (r.Ceiling - top)
}

// Germinating returns the response of germination, above the species' base.
func (s *Species) Germinating() Response {
	return Response{s.Base.Value, s.Optimum.Value, s.Plateau.Value, s.Ceiling.Value}
}

// Growth returns the response of emergence and of the later stages, above 0 °C.
func (s *Species) Growth() Response {
	return Response{0, s.Optimum.Value, s.Plateau.Value, s.Ceiling.Value}
}

// ThermalTime returns the thermal time from sowing to a stage, °C d above 0 °C: of the
// soil at 5 cm, of the air for [Covered]. It panics for a stage that is neither of
// [Stages] nor Covered.
func (s *Species) ThermalTime(stage Stage) float64 {
	switch stage {
	case Emerged:
		return s.Emerged.Value
	case Mow:
		return s.Mow.Value
	case Tillered:
		return s.Tillered.Value
	case Covered:
		return s.Covered.Value
	}
	panic(fmt.Sprintf("turf: no stage %q", stage))
}

// DaysAt returns the days from sowing to a stage in soil that stays at one temperature,
// °C; infinite where nothing grows. It panics for a stage that is none of [Stages].
//
//	days = thermal time / degree days of a day
func (s *Species) DaysAt(stage Stage, soilC float64) float64 {
	return s.ThermalTime(stage) / s.Growth().DegreeDays(soilC)
}

// GerminatedShare returns the share of the viable seed that has germinated
// after the given thermal time above the species' base:
//
//	Φ((ln θ − ln θ50) / σ)
//
// Reference: thermal-time model with log-normal spread, e.g. Larsen & Bibby
// 2005 with the spread of the species table.
func (s *Species) GerminatedShare(thermalTime float64) float64 {
	return s.share(thermalTime, s.Germination.Value)
}

// EmergedShare returns the share of the seed that will come up which is up
// after the given thermal time above 0 °C. The seeds spread as in germination.
func (s *Species) EmergedShare(thermalTime float64) float64 {
	return s.share(thermalTime, s.Emerged.Value)
}

func (s *Species) share(thermalTime, median float64) float64 {
	if thermalTime <= 0 {
		return 0
	}
	return distuv.LogNormal{Mu: math.Log(median), Sigma: s.Spread.Value}.CDF(thermalTime)
}

// Seed lots and cultivars of a species differ. The log standard deviation of
// the thermal time to emergence between seed lots is from half germination in 4–7 d
// over eight cultivars of perennial ryegrass (Kim & Jung 2009, S): ln(7/4) is
// the range of eight draws, 2.85 standard deviations (D). That of the leaf
// interval is an assumption (M).
const (
	LotLogSD          = 0.20
	LeafIntervalLogSD = 0.10
)

// ThermalTimeSD returns the standard deviation, between seed lots, of the thermal
// time that a stage needs, °C d. It panics like [Species.ThermalTime].
func (s *Species) ThermalTimeSD(stage Stage) float64 {
	up := s.Emerged.Value
	return math.Hypot(LotLogSD*up, LeafIntervalLogSD*(s.ThermalTime(stage)-up))
}
