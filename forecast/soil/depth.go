package soil

import (
	"errors"
	"fmt"
)

// A Depth is one at which the soil is modelled, cm.
type Depth int

// The depths.
const (
	Depth5  Depth = 5
	Depth10 Depth = 10
)

// Depths returns every depth, from the shallowest down.
func Depths() []Depth { return []Depth{Depth5, Depth10} }

// ErrDepth is the error of a depth at which the soil is not modelled.
var ErrDepth = errors.New("the soil is modelled at 5 and 10 cm")

// Check returns [ErrDepth] where the soil is not modelled at the depth.
func (d Depth) Check() error {
	if d == Depth5 || d == Depth10 {
		return nil
	}
	return fmt.Errorf("%w, not at %d cm", ErrDepth, int(d))
}

// must panics where the soil is not modelled at the depth.
func (d Depth) must() {
	if err := d.Check(); err != nil {
		panic("soil: " + err.Error())
	}
}
