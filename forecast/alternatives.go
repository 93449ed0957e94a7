package forecast

import (
	"swardcast/climate"
	"swardcast/forecast/turf"
)

// A LaterSowing is the outlook of a sowing some days after another date.
type LaterSowing struct {
	InDays int // after that date; 0 for the date itself
	*Outlook
}

// laterDays are the days after a date that a sowing is looked at for: time for a
// dry spell to pass, a week, two.
var laterDays = []int{0, 3, 7, 14}

// LaterSowings returns the outlooks of sowing on a day and 3, 7 and 14 days after
// it, as far as the season goes: none where the day lies after its last. The errors
// are those of [Ensemble.Outlook].
func (e *Ensemble) LaterSowings(o Options, from climate.Day) ([]LaterSowing, error) {
	last := e.station.Calendar.Last(e.Season)
	var days []climate.Day
	for _, n := range laterDays {
		if d := from + climate.Day(n); d <= last {
			days = append(days, d)
		}
	}
	all, err := e.Outlooks(o, days)
	if err != nil {
		return nil, err
	}
	var out []LaterSowing
	for i, x := range all {
		out = append(out, LaterSowing{laterDays[i], x})
	}
	return out, nil
}

// EverySpecies returns the outlooks of the built-in species, in the order of
// [turf.All], each sown on the same day in place of that of the options. The errors
// are those of [Ensemble.Outlook].
func (e *Ensemble) EverySpecies(o Options, sow climate.Day) ([]*Outlook, error) {
	var out []*Outlook
	for _, sp := range turf.All() {
		o.Species = sp
		x, err := e.Outlook(o, sow)
		if err != nil {
			return nil, err
		}
		out = append(out, x)
	}
	return out, nil
}
