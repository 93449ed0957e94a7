package hindcast

import (
	"context"
	"errors"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/forecast"
)

// An Answer is how past forecasts at a station would have fared.
type Answer struct {
	In       *ask.Station
	Hindcast *forecast.Hindcast
}

// New forecasts each past season from the seasons before it. It calls progress, unless
// that is nil, with the number of seasons done and of all.
func New(ctx context.Context, in *ask.Station, o forecast.Options, progress func(done, all int)) (*Answer, error) {
	h, err := in.Hindcast(ctx, forecast.HindcastOptions{Options: o, Progress: progress})
	switch {
	case errors.Is(err, forecast.ErrFewSeasons):
		return nil, cli.Dataf("take a longer record; swardcast record shows which autumns are left out, and why",
			"%s: %w, too few to judge past forecasts by", in.Name, err)
	case err != nil:
		return nil, in.SeasonsError(err)
	case len(h.Cases) == 0:
		return nil, cli.Dataf(
			"choose another species, or --host none for a cool-season lawn",
			"%s: in half of the seasons no sow date would have been in time, so there is no forecast to judge",
			in.Name,
		)
	}
	return &Answer{in, h}, nil
}
