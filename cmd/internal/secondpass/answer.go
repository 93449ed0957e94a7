package secondpass

import (
	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// An Answer is the decision about a thin first sowing, with the seed and the water of
// a second.
type Answer struct {
	In       *ask.Station
	Ensemble *forecast.Ensemble
	*forecast.Advice
	Ground *ask.Ground // seed for the bare part; nil where nothing is bare
	Water  report.WaterNeed

	sowings *report.Sowings // of every species; nil until needed
}

// New works out the decision about a first sowing. The as-of day lies in the
// ensemble's season.
func New(
	in *ask.Station, e *forecast.Ensemble, o forecast.Options, first climate.Day, stand forecast.Stand, g *ask.Ground,
) (*Answer, error) {
	a := &Answer{In: in, Ensemble: e, Ground: g}
	var err error
	if a.Advice, err = e.Advise(o, first, stand, supplyOf(g)); err != nil {
		return nil, in.SeasonsError(err)
	}
	// The water is that of the sowing that the decision is about.
	up := a.First.Stages[0]
	if a.Decision.Sows() {
		up = a.Second[0].Stages[0]
	}
	if a.Water, err = report.NewWaterNeed(e, up, in.AsOf); err != nil {
		return nil, in.SeasonsError(err)
	}
	return a, nil
}

// nearFull is the share of the need from which seed at hand counts as all of it.
const nearFull = 0.95

// supplyOf is the seed there is: unknown where the seed at hand is not given, enough
// where it is given and the need is not known.
func supplyOf(g *ask.Ground) forecast.Supply {
	switch {
	case g == nil || g.LeftG == nil:
		return forecast.Supply{Unknown: true}
	case *g.LeftG == 0:
		return forecast.Supply{Buys: true}
	case g.Need == nil || !g.Area:
		return forecast.Supply{AtHand: 1, Buys: true}
	}
	hand := *g.LeftG / g.Need.Sowing.WeightG()
	return forecast.Supply{AtHand: hand, Buys: hand < nearFull}
}

// every works out every sow date of the species, and of every other for a page that
// lets choose; a terminal has no room for them, nil.
func (a *Answer) every(on report.Medium) (*report.Sowings, error) {
	var err error
	if on == report.Terminal {
		return nil, nil
	}
	options := []forecast.Options{a.First.Options}
	if on.Chooses() {
		options = report.WithOthers(options)
	}
	if a.sowings == nil || len(a.sowings.Species) < len(options) {
		a.sowings, err = report.NewSowings(a.In, a.Ensemble, options, a.In.AsOf, a.First.Sow)
	}
	return a.sowings, err
}

func (a *Answer) cautions(u words.System) []string {
	return report.OutlookCautions(u, a.Ensemble, a.Second[0].Outlook)
}
