package forecast

import (
	"fmt"
	"math"

	"swardcast/climate"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// A ChangeKind is what is taken otherwise to see how much an answer depends on it.
type ChangeKind string

// The kinds of change.
const (
	ChangeFreeze  ChangeKind = "freeze"  // the killing freeze is FreezeC
	ChangeSoil    ChangeKind = "soil"    // the soil is warmer than estimated by SoilC, negative for colder
	ChangeSow     ChangeKind = "sow"     // sown SowDays later
	ChangeSpecies ChangeKind = "species" // another species

	ChangeCover   ChangeKind = "cover"      // another cover of a thin stand
	ChangeDigging ChangeKind = "seed-found" // digging, where nobody has dug
)

// A Sensitivity is what one change makes of an answer.
type Sensitivity struct {
	Kind    ChangeKind
	FreezeC float64
	SoilC   float64
	SowDays int
	Species turf.Species // sown; another than asked for in a ChangeSpecies

	Sow      climate.Day  // day that Chance is of
	Chance   float64      // that the stage is reached by the cutoff
	LastSafe *climate.Day // at the confidence of the options; nil for none
}

// How far a sensitivity goes.
const (
	freezeStepC = -4 / 1.8 // °C: 24 °F in place of 28
	soilStepC   = -1.0     // °C; about the error of the estimate at a station that it was not fitted on
	sowStepDays = 3
)

// changes are the changes to options that are worth a look: a freeze only where it
// can end the season, and species that need a clearly different thermal time, the
// quickest and the slowest.
func changes(o *Options) []Sensitivity {
	var list []Sensitivity
	if o.Cutoff != CutoffDormancy {
		list = append(list, Sensitivity{Kind: ChangeFreeze, FreezeC: *o.FreezeC + freezeStepC, Species: o.Species})
	}
	list = append(list,
		Sensitivity{Kind: ChangeSoil, SoilC: soilStepC, Species: o.Species},
		Sensitivity{Kind: ChangeSow, SowDays: sowStepDays, Species: o.Species})
	need := func(sp turf.Species) float64 { return sp.ThermalTime(o.Stage) }
	var quick, slow *turf.Species
	for _, sp := range turf.All() {
		switch {
		case NoClearDifference(&sp, &o.Species, o.Stage):
		case need(sp) < need(o.Species) && (quick == nil || need(sp) < need(*quick)):
			quick = &sp
		case need(sp) > need(o.Species) && (slow == nil || need(sp) > need(*slow)):
			slow = &sp
		}
	}
	for _, sp := range []*turf.Species{quick, slow} {
		if sp != nil {
			list = append(list, Sensitivity{Kind: ChangeSpecies, Species: *sp})
		}
	}
	return list
}

// options are those of an answer with the change made.
func (c *Sensitivity) options(o Options) Options {
	o.Species = c.Species
	if c.Kind == ChangeFreeze {
		o.FreezeC = new(c.FreezeC)
	}
	return o
}

// Sensitivities returns what changes make of the last safe date of a window, and of
// the chance of sowing on a day of its season. The errors are those of
// [Station.Dates].
func (s *Station) Sensitivities(w *Window, sow climate.Day) ([]Sensitivity, error) {
	list := changes(&w.Options)
	for i := range list {
		c := &list[i]
		c.Sow = sow + climate.Day(c.SowDays)
		if c.Kind == ChangeSow { // nothing else of the window
			c.by(w)
			continue
		}
		at := s
		if c.Kind == ChangeSoil {
			var err error
			if at, err = s.WithSoilOffset(c.SoilC); err != nil {
				return nil, err
			}
		}
		x, err := at.Dates(c.options(w.Options))
		if err != nil {
			return nil, err
		}
		c.by(x)
	}
	return list, nil
}

// by takes the chance of its day and the last safe date from a window.
func (c *Sensitivity) by(w *Window) {
	c.Chance = w.Chance(c.Sow)
	if d, ok := w.Safe(); ok {
		c.LastSafe = &d
	}
}

// Sensitivities returns what changes make of the chance of a sowing, given the
// season so far. LastSafe is that of the season under way. The errors are those of
// [Ensemble.Outlook].
func (e *Ensemble) Sensitivities(o Options, sow climate.Day) ([]Sensitivity, error) {
	o, err := o.withDefaults()
	if err != nil {
		return nil, err
	}
	var list []Sensitivity
	for _, c := range changes(&o) {
		if c.Sow = sow + climate.Day(c.SowDays); c.Sow > e.station.Calendar.Last(e.Season) {
			continue
		}
		at, err := e.with(&c)
		if err != nil {
			return nil, err
		}
		if err := at.follows([]climate.Day{c.Sow}); err != nil {
			return nil, err
		}
		x, _, err := at.seasons(c.options(o))
		if err != nil {
			return nil, err
		}
		c.Chance = x.Chance(c.Sow)
		if d, ok := x.Latest.At(1 - o.Confidence/100); ok {
			c.LastSafe = &d
		}
		list = append(list, c)
	}
	return list, nil
}

// WithSoilOffset returns a copy of the station whose soil is warmer than estimated
// by so many °C on every day, negative for colder. It returns
// [climate.ErrThreshold] for an offset that is not finite.
func (s *Station) WithSoilOffset(c float64) (*Station, error) {
	if math.IsNaN(c) || math.IsInf(c, 0) {
		return nil, fmt.Errorf("%w: %g °C", climate.ErrThreshold, c)
	}
	out := *s
	if err := out.setSoil(lifted(s.Soil, c)); err != nil {
		return nil, err
	}
	return &out, nil
}

// lifted returns a curve that is warmer by so many °C.
func lifted(curve *soil.Curve, c float64) *soil.Curve {
	up := func(y []float64) []float64 {
		out := make([]float64, len(y))
		for i, v := range y {
			out[i] = v + c
		}
		return out
	}
	return &soil.Curve{First: curve.First, Soil5C: up(curve.Soil5C), Soil10C: up(curve.Soil10C)}
}

// with returns the ensemble with the soil of a change.
func (e *Ensemble) with(c *Sensitivity) (*Ensemble, error) {
	if c.Kind != ChangeSoil {
		return e, nil
	}
	return e.withSoilOffset(c.SoilC)
}

// withSoilOffset returns a copy of the ensemble whose soil is warmer by so many °C.
func (e *Ensemble) withSoilOffset(c float64) (*Ensemble, error) {
	out := *e
	var err error
	if out.station, err = e.station.WithSoilOffset(c); err != nil {
		return nil, err
	}
	out.members = make([]*Station, len(e.members))
	for i, m := range e.members {
		x := *m
		x.renew(lifted(m.Soil, c))
		out.members[i] = &x
	}
	return &out, nil
}
