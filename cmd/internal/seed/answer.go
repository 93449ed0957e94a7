package seed

import "swardcast/forecast/turf"

// An Answer is the seed that an area needs.
type Answer struct {
	Need *turf.Need
	Wide bool // areas and rates are wanted by the acre or the hectare too
}

// A Decision is what to do about the seed.
type Decision string

// The decisions.
const (
	Buy     Decision = "buy"      // all of it
	BuyMore Decision = "buy-more" // beside the seed at hand
	UseHand Decision = "use"      // the seed at hand is enough, or gives a rate within the published range
)

// Decide says what to do about the seed of a need.
func Decide(n *turf.Need) Decision {
	switch {
	case n.LeftG == nil || *n.LeftG == 0:
		return Buy
	case n.ShortG() == 0, n.Sowing.RateFrom(*n.LeftG) >= n.Rate.Low:
		return UseHand
	}
	return BuyMore
}
