package secondpass

import (
	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/report"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// An Answer is the advice about a thin first pass, with the seed and the water of a
// second.
type Answer struct {
	In       *ask.Station
	Ensemble *forecast.Ensemble
	*forecast.Advice
	Need  *turf.Need // for what is bare; nil where it was not asked for
	Water report.WaterNeed

	sowings *report.Sowings // of every species; nil until needed
}

// New works out the advice about a first pass. The as-of day lies in the ensemble's
// season.
func New(
	in *ask.Station, e *forecast.Ensemble, o forecast.Options, first climate.Day, stand forecast.Stand,
) (*Answer, error) {
	a := &Answer{In: in, Ensemble: e}
	var err error
	if a.Advice, err = e.Advise(o, first, stand); err != nil {
		return nil, in.SeasonsError(err)
	}
	if a.Water, err = report.NewWaterNeed(e, a.Second[0].Stages[0], in.AsOf); err != nil {
		return nil, in.SeasonsError(err)
	}
	return a, nil
}

// every works out every sow date of the species, and of every other for a page.
func (a *Answer) every(on report.Medium) (*report.Sowings, error) {
	var err error
	options := []forecast.Options{a.First.Options}
	if on != report.Terminal {
		options = report.WithOthers(options)
	}
	if a.sowings == nil || len(a.sowings.Species) < len(options) {
		a.sowings, err = report.NewSowings(a.In, a.Ensemble, options, a.In.AsOf, a.First.Sow)
	}
	return a.sowings, err
}

func (a *Answer) cautions() []string {
	return append(report.SeasonCautions(a.First.Members), report.Cautions()...)
}
