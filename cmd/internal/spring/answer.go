package spring

import (
	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/forecast"
)

// An Answer has what spring offers each species.
type Answer struct {
	In      *ask.Station
	Springs []*forecast.Spring
}

// New works out the spring after the season asked for, or the one at or after today.
func New(in *ask.Station, options []forecast.Options) (*Answer, error) {
	a := &Answer{In: in}
	for _, o := range options {
		if o.Season == 0 {
			o.Season = in.Calendar.SeasonFor(in.AsOf)
		}
		x, err := in.Spring(o)
		if err != nil {
			return nil, in.SeasonsError(err)
		}
		a.Springs = append(a.Springs, x)
	}
	return a, nil
}

// window is the span of days to sow on in spring: from the day on which soil is warm enough in
// half of the years to the last day that is safe at the confidence of the options. last is nil
// where summer heat does not set it.
func window(x *forecast.Spring) (first, last *climate.Day) {
	if d, ok := x.Wakes.At(0.5); ok {
		first = &d
	}
	if d, ok := x.Last.At(1 - x.Options.Confidence/100); ok {
		last = &d
	}
	return first, last
}

// overseeded reports whether the question is of a host that is to have its ground back.
func overseeded(x *forecast.Spring) bool { return x.Options.Host.ID != "none" }
