package forecast

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// Options say which species is sown into which turf, and which stage it must reach
// before which cutoff. The zero value is the usual question: perennial ryegrass
// into bermudagrass, tillered before freeze or dormancy.
type Options struct {
	Species   turf.Species // zero: perennial ryegrass
	Host      turf.Host    // with its thresholds; zero: bermudagrass
	Stage     turf.Stage   // "": tillered; turf.Covered for a species that has a figure of it
	Opening   OpeningRule  // "": heat for the host "none", soil for any other
	Cutoff    CutoffRule   // "": earliest
	Trend     TrendRule    // "": on
	Unwatered bool         // seed comes up on the days alone that rain keeps the seedbed moist; the record needs rain
	FreezeC   *float64     // killing freeze of the air, °C; nil: turf.KillingFreezeC

	Completeness climate.Completeness // how many deciding days of a season may be missing; zero: climate.WMO

	FirstSeason, LastSeason int     // seasons to use, by their year; 0: no bound, both 0: the latest MaxSeasons usable
	Season                  int     // season of the dates; 0: the one at or after the record's end
	Confidence              float64 // percent; 0: 80
}

// MaxSeasons is how many seasons are used where no years are given.
const MaxSeasons = climate.MaxSeasons

// ErrOptions is the error of options that contradict each other or ask for what
// is not there. The error beneath it says which: [turf.ErrSpecies],
// [turf.ErrHost], [soil.ErrDepth] and [climate.ErrThreshold] are distinguished by [errors.Is].
var ErrOptions = errors.New("invalid options")

// withDefaults fills in the zero values and checks the rest.
func (o Options) withDefaults() (Options, error) {
	if o.Species == (turf.Species{}) {
		o.Species, _ = turf.Find("perennial-ryegrass")
	}
	if o.Host == (turf.Host{}) {
		o.Host, _ = turf.FindHost("bermudagrass")
	}
	if o.Stage == "" {
		o.Stage = turf.Tillered
	}
	if o.Opening == "" {
		o.Opening = openingFor(&o.Host)
	}
	if o.Cutoff == "" {
		o.Cutoff = CutoffEarliest
	}
	if o.Trend == "" {
		o.Trend = TrendOn
	}
	freeze := float64(turf.KillingFreezeC)
	if o.FreezeC != nil {
		freeze = *o.FreezeC
	}
	o.FreezeC = &freeze // which is nobody else's
	if o.Completeness == (climate.Completeness{}) {
		o.Completeness = climate.WMO()
	}
	if o.Confidence == 0 {
		o.Confidence = 80
	}
	switch {
	case o.Stage == turf.Covered && !o.Species.Has(turf.Covered):
		return o, fmt.Errorf("%w: no figure of a closed stand of %s", ErrOptions, o.Species.Name)
	case !o.Species.Has(o.Stage):
		return o, fmt.Errorf("%w: no stage %q", ErrOptions, o.Stage)
	case !slices.Contains(OpeningRules(), o.Opening):
		return o, fmt.Errorf("%w: no opening rule %q", ErrOptions, o.Opening)
	case o.Cutoff != CutoffFreeze && o.Cutoff != CutoffDormancy && o.Cutoff != CutoffEarliest:
		return o, fmt.Errorf("%w: no cutoff rule %q", ErrOptions, o.Cutoff)
	case !slices.Contains(TrendRules(), o.Trend):
		return o, fmt.Errorf("%w: no trend rule %q", ErrOptions, o.Trend)
	case !(o.Confidence > 0 && o.Confidence < 100):
		return o, fmt.Errorf("%w: confidence %g %% is not between 0 and 100", ErrOptions, o.Confidence)
	case o.LastSeason != 0 && o.FirstSeason > o.LastSeason:
		return o, fmt.Errorf("%w: the first season to use comes after the last", ErrOptions)
	case o.Completeness.MaxRun < 0 || o.Completeness.MaxTotal < 0:
		return o, fmt.Errorf("%w: a negative number of missing days", ErrOptions)
	case math.IsNaN(freeze) || math.IsInf(freeze, 0):
		return o, fmt.Errorf("%w: killing freeze: %w: %g °C", ErrOptions, climate.ErrThreshold, freeze)
	}
	for _, season := range []int{o.Season, o.FirstSeason, o.LastSeason} {
		if season != 0 && !climate.ValidDate(season, time.January, 1) {
			return o, fmt.Errorf("%w: season %d is not a year", ErrOptions, season)
		}
	}
	if err := o.Species.Check(); err != nil {
		return o, fmt.Errorf("%w: %w", ErrOptions, err)
	}
	if err := o.Host.Check(); err != nil {
		return o, fmt.Errorf("%w: %w", ErrOptions, err)
	}
	return o, nil
}

// wants reports whether a season is among those asked for.
func (o Options) wants(year int) bool {
	return (o.FirstSeason == 0 || year >= o.FirstSeason) && (o.LastSeason == 0 || year <= o.LastSeason)
}

// A kindError has a text of its own and counts as its kind for [errors.Is].
type kindError struct {
	kind error
	text string
}

func (e *kindError) Error() string { return e.text }
func (e *kindError) Unwrap() error { return e.kind }
