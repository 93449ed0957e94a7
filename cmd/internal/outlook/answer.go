package outlook

import (
	"fmt"
	"slices"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// An Answer is the outlook of a sowing with what would change it.
type Answer struct {
	In       *ask.Station
	Ensemble *forecast.Ensemble
	Outlook  *forecast.Outlook
	RainOnly *forecast.Outlook      // of the same sowing; nil where it is asked for anyway, or no rain is on record
	From     climate.Day            // the date that later sowings are counted from
	Later    []forecast.LaterSowing // that lie in the season
	On       climate.Day            // the date that species are compared for
	Species  []*forecast.Outlook    // sown on it
	Water    report.WaterNeed
	Instead  *forecast.Fallback     // where it is too late for this autumn; else nil
	Changes  []forecast.Sensitivity // what would change the chance; nil for a chance that is decided or not known

	sowings *report.Sowings // of every species; nil until needed
}

// soon is how many days before the opening sowing today is already of interest.
const soon = 14

// New works out the outlook of a sowing in the ensemble's season.
func New(in *ask.Station, e *forecast.Ensemble, o forecast.Options, sow climate.Day) (*Answer, error) {
	a := &Answer{In: in, Ensemble: e}
	var err error
	if a.Outlook, err = e.Outlook(o, sow); err != nil {
		return nil, fmt.Errorf("%s: %w", in.Name, err)
	}
	if a.RainOnly, err = rainOnly(e, a.Outlook); err != nil {
		return nil, err
	}
	first := in.Calendar.First(e.Season)
	holds := func(d climate.Day) bool { return d >= first && d <= in.Calendar.Last(e.Season) }
	// Today and the days to come; long before the opening, the sow date and the
	// days after it.
	a.From = in.AsOf
	if opens, ok := a.Outlook.Opens.At(0.2); !holds(in.AsOf) || ok && in.AsOf+soon < opens {
		a.From = sow
	}
	later, err := e.LaterSowings(o, a.From)
	if err != nil {
		return nil, err
	}
	for _, l := range later {
		if l.Sow >= first {
			a.Later = append(a.Later, l)
		}
	}
	if a.On = max(sow, in.AsOf); !holds(a.On) {
		a.On = sow
	}
	if a.Water, err = report.NewWaterNeed(e, a.Outlook.Stages[0], max(in.AsOf, sow-1)); err != nil {
		return nil, err
	}
	x := a.Outlook
	late := x.Verdict == forecast.Unlikely || x.Verdict == forecast.TooLate
	if late && (!x.Decided || x.Sow >= e.AsOf) {
		f, err := e.Fallback(o, max(sow, in.AsOf))
		if err != nil {
			return nil, err
		}
		a.Instead = &f
	}
	if a.Changes, err = changes(e, a.Outlook); err != nil {
		return nil, err
	}
	a.Species, err = e.EverySpecies(o, a.On)
	return a, err
}

// changes are what would change the chance of a sowing. One that is in the ground stays
// what it is: only the freeze and the soil can be other than taken.
func changes(e *forecast.Ensemble, x *forecast.Outlook) ([]forecast.Sensitivity, error) {
	if x.Decided || x.Members < forecast.MinSeasons {
		return nil, nil
	}
	list, err := e.Sensitivities(x.Options, x.Sow)
	if x.Sow >= e.AsOf {
		return list, err
	}
	return slices.DeleteFunc(list, func(c forecast.Sensitivity) bool {
		return c.Kind == forecast.ChangeSow || c.Kind == forecast.ChangeSpecies
	}), err
}

// rainOnly is the outlook of a sowing without irrigation; nil where that was asked for, the
// season is decided, or the record has too little rain to follow a seedbed.
func rainOnly(e *forecast.Ensemble, x *forecast.Outlook) (*forecast.Outlook, error) {
	o := x.Options
	if o.Unwatered || x.Decided || !e.HasRain() {
		return nil, nil
	}
	o.Unwatered = true
	return e.Outlook(o, x.Sow)
}

// every works out every sow date of the species, and of every other for a page that
// lets choose; a terminal has no room for them, nil.
func (a *Answer) every(on report.Medium) (*report.Sowings, error) {
	var err error
	if on == report.Terminal {
		return nil, nil
	}
	options := []forecast.Options{a.Outlook.Options}
	if on.Chooses() {
		options = report.WithOthers(options)
	}
	if a.sowings == nil || len(a.sowings.Species) < len(options) {
		a.sowings, err = report.NewSowings(a.In, a.Ensemble, options, a.Outlook.Sow, a.On)
	}
	return a.sowings, err
}

func (a *Answer) cautions(u words.System) []string {
	return report.OutlookCautions(u, a.Ensemble, a.Outlook)
}
