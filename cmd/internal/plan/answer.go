package plan

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// An Area is one that is sown, with the seed that it takes.
type Area struct {
	Name string // "" where there is only one
	Need *turf.Need
}

// An Answer is the plan of a sowing.
type Answer struct {
	In       *ask.Station
	Ensemble *forecast.Ensemble
	Plan     *forecast.Plan
	Areas    []Area
}

// New works out the plan of a sowing in the ensemble's season.
func New(in *ask.Station, e *forecast.Ensemble, o forecast.Options, sow climate.Day, areas []Area) (*Answer, error) {
	p, err := e.Plan(o, sow)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", in.Name, err)
	}
	return &Answer{In: in, Ensemble: e, Plan: p, Areas: areas}, nil
}

// total is the seed of all areas, g, with its bags and its cost; bags is 0 where their size is
// not known, cost 0 where the price is not. Bags are counted over all areas: what one leaves
// over the next takes.
func (a *Answer) total() (weightG float64, bags int, cost float64) {
	for _, x := range a.Areas {
		weightG += x.Need.Sowing.WeightG()
	}
	if len(a.Areas) == 0 {
		return 0, 0, 0
	}
	n := *a.Areas[0].Need
	if n.LeftG != nil {
		weightG = n.ShortG()
	}
	if n.BagG > 0 {
		bags = n.Bags(weightG)
	}
	if n.Price > 0 {
		cost = n.Cost(weightG)
	}
	return weightG, bags, cost
}
