package ask

import (
	"swardcast/cmd/internal/words"
	"swardcast/forecast/turf"
)

// A Ground is the seed for a share of some ground, as far as what is given allows.
type Ground struct {
	Need    *turf.Need // nil without any rate
	Area    bool       // the area is given; else Need is of 1000 ft²
	NewLawn bool       // the use has no published rate: that of a new lawn is taken
	LeftG   *float64   // seed at hand, g; nil where it is not given
}

// Ground works out the seed for a share of the ground, like Need, but goes on without
// an area or a rate. The other flags are checked alike.
func (s *SeedFlags) Ground(sp turf.Species, share float64) (*Ground, error) {
	g := &Ground{Area: s.area.Given || len(s.rectangles)+len(s.circles) > 0}
	with := *s
	if s.left.Given {
		g.LeftG = &with.left.Value
	}
	if !g.Area {
		with.area = Quantity{Value: 1000 * words.SquareFoot / share, Given: true}
	}
	known := s.rate.Given
	if _, ok := turf.RateFor(sp.ID, turf.Use(s.use.Value)); ok {
		known = true
	} else if _, ok := turf.RateFor(sp.ID, turf.NewLawn); ok && !known {
		known, g.NewLawn = true, true
		with.use = NewChoice(string(turf.NewLawn), Names(turf.Uses())...)
	}
	if !known {
		with.rate = Quantity{Value: 1, Given: true}
	}
	need, err := with.Need(sp, share)
	if err == nil && known {
		g.Need = need
	}
	return g, err
}
