package freeze

import (
	"errors"
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
)

// An Answer has the freeze dates of a station by threshold.
type Answer struct {
	In         *ask.Input
	Season     int // that the dates are of
	Options    climate.FreezeOptions
	Thresholds []Threshold
}

// A Threshold has the dates of a temperature.
type Threshold struct {
	TempC float64
	First *climate.FreezeTable // of autumn
	Last  *climate.FreezeTable // of spring
}

// New goes through the past autumns and springs for each of the thresholds, °C, of
// which there is one at least. Season 0 is the one at or after today.
func New(in *ask.Input, thresholdsC []float64, season int, o climate.FreezeOptions) (*Answer, error) {
	calendar, err := in.Checked.Calendar()
	if err != nil {
		hint := ""
		if errors.Is(err, climate.ErrHemisphere) {
			hint = fmt.Sprintf("--lat %g", -*in.Checked.Place.Latitude)
		}
		return nil, cli.Dataf(hint, "%s: %w", in.Name, err)
	}
	a := &Answer{In: in, Season: season, Options: o}
	if season == 0 {
		a.Season = calendar.SeasonFor(in.AsOf)
	}
	for _, c := range thresholdsC {
		first, err := climate.FirstFreezes(in.Checked, calendar, c, o)
		if err != nil {
			return nil, cli.Dataf("", "%s: %w", in.Name, err)
		}
		last, err := climate.LastFreezes(in.Checked, calendar, c, o)
		if err != nil {
			return nil, cli.Dataf("", "%s: %w", in.Name, err)
		}
		a.Thresholds = append(a.Thresholds, Threshold{c, first, last})
	}
	if t := a.Thresholds[0]; t.First.Seasons() == 0 && t.Last.Seasons() == 0 {
		why := ""
		if d := t.First.Dropped; len(d) > 0 {
			why = fmt.Sprintf(": of %d, the latest, %d: %s", len(d), d[len(d)-1].Season, d[len(d)-1].Reason)
		}
		return nil, cli.Dataf("", "%s: no season of the record can be used%s", in.Name, why)
	}
	return a, nil
}

// coldest is the killing freeze, or the coldest threshold asked for: the one that
// answers first.
func (a *Answer) coldest() *Threshold {
	k := 0
	for i := range a.Thresholds {
		if a.Thresholds[i].TempC < a.Thresholds[k].TempC {
			k = i
		}
	}
	return &a.Thresholds[k]
}
