package forecast

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// CompareOptions say which species are compared, and when they are sown. The zero
// value compares every built-in species for the usual question, sown today.
type CompareOptions struct {
	Options []Options    // one a species, all of one stage; their seasons are ignored; nil: every built-in species
	AsOf    *climate.Day // today; nil: the last day of the record
	// Sow is the day of sowing; nil: AsOf, or the last of the best days ([Aim]) of the first species where AsOf is
	// before the opening. Where the record ended long before AsOf and this season is too late, it is of the next one.
	Sow *climate.Day
}

// A Comparison is what comes of each of several species, sown on one day.
type Comparison struct {
	Season   int
	Sow      climate.Day
	Ensemble *Ensemble
	Species  []ComparedSpecies // the one most likely to succeed first
}

// A ComparedSpecies has its outlook and its last safe date.
type ComparedSpecies struct {
	Outlook        *Outlook
	Window         *Window      // over past seasons, by [Station.Dates]
	LastSafe       *climate.Day // over past seasons, at the confidence of the options; nil for none
	Success        float64      // chance to establish and to live through winter, [Outlook.Success]; it sets the order
	CompactLetters string       // compact letter display, see [CompactLetters]; "" with rain only
}

// Compare works out what comes of sowing each species on one day. Species are in
// the order of their success ([Outlook.Success]), rounded to a thousandth; of equal
// ones that with the smaller thermal time comes first. With rain only there is no compact letter display,
// since the rain too then makes the difference.
//
// It returns [ErrOptions] for options of different stages, and otherwise the errors
// of [Station.Dates] and [Station.Ensemble].
func (s *Station) Compare(o CompareOptions) (*Comparison, error) {
	options := slices.Clone(o.Options)
	if options == nil {
		for _, sp := range turf.All() {
			options = append(options, Options{Species: sp})
		}
	}
	asOf := s.Record.Last()
	if o.AsOf != nil {
		asOf = *o.AsOf
	}
	season := s.Calendar.SeasonFor(asOf)
	if o.Sow != nil {
		season = s.Calendar.SeasonHolding(*o.Sow)
	}
	windows, err := s.datesOfSeason(options, season)
	if err != nil {
		return nil, err
	}
	// A record that ended long ago says nothing of this season: once that is too late
	// for every species, the next is planned.
	_, ended := s.RecordEnded(asOf)
	late := func(w *Window) bool { return w.TooLate(asOf) }
	if o.Sow == nil && ended && !slices.ContainsFunc(windows, func(w *Window) bool { return !late(w) }) {
		if windows, err = s.datesOfSeason(options, season+1); err != nil {
			return nil, err
		}
	}
	return s.compare(windows, asOf, o.Sow)
}

// compare works out what comes of sowing the species of windows of one season on a day;
// nil: today, or the last of the best days of the first where today is before the opening.
func (s *Station) compare(windows []*Window, asOf climate.Day, sow *climate.Day) (*Comparison, error) {
	first := windows[0]
	c := &Comparison{Season: first.Season}
	if sow != nil {
		c.Sow = *sow
	} else {
		c.Sow = s.sowingDay(first, asOf)
	}
	var err error
	past := slices.DeleteFunc(first.Years(), func(year int) bool { return year == c.Season })
	if c.Ensemble, err = s.Ensemble(first.Options, EnsembleOptions{AsOf: &asOf, Past: past}); err != nil {
		return nil, err
	}
	for _, w := range windows {
		x, err := c.Ensemble.Outlook(w.Options, c.Sow)
		if err != nil {
			return nil, err
		}
		entry := ComparedSpecies{Outlook: x, Window: w, Success: x.Success()}
		if d, ok := w.Safe(); ok {
			entry.LastSafe = &d
		}
		c.Species = append(c.Species, entry)
	}
	slices.SortStableFunc(c.Species, func(a, b ComparedSpecies) int {
		// What is as good as no chance has no order of its own.
		chance := func(x ComparedSpecies) float64 { return math.Round(1000 * x.Success) }
		return cmp.Or(cmp.Compare(chance(b), chance(a)), byThermalTime(a, b))
	})
	if !first.Options.Unwatered {
		c.setCompactLetters()
	}
	return c, nil
}

// datesOfSeason works out the dates of every species for one season.
func (s *Station) datesOfSeason(options []Options, season int) ([]*Window, error) {
	if len(options) == 0 {
		return nil, fmt.Errorf("%w: no species to compare", ErrOptions)
	}
	windows := make([]*Window, len(options))
	for i, o := range options {
		o.Season = season
		w, err := s.Dates(o)
		if err != nil {
			return nil, err
		}
		if first := windows[0]; i > 0 && first.Options.Stage != w.Options.Stage {
			return nil, fmt.Errorf("%w: species are compared at one stage, not %s and %s", ErrOptions,
				first.Options.Stage, w.Options.Stage)
		}
		windows[i] = w
	}
	return windows, nil
}

// sowingDay is the day that a sowing is looked at for where none is given: today, or
// the last of the best days of a window that is still to open: what is likely then is likely on all of them.
func (s *Station) sowingDay(w *Window, today climate.Day) climate.Day {
	opens, ok := w.Opens.At(0.2)
	early := ok && today < opens || s.Calendar.SeasonHolding(today) != w.Season
	if w.Aim != nil && w.Aim.BestUntil > today && early {
		return w.Aim.BestUntil
	}
	return today
}

// byThermalTime compares the thermal time that species need for the stage.
func byThermalTime(a, b ComparedSpecies) int {
	need := func(x ComparedSpecies) float64 { return x.Outlook.Options.Species.ThermalTime(x.Outlook.Options.Stage) }
	return cmp.Compare(need(a), need(b))
}

// setCompactLetters marks the species, whatever their order.
func (c *Comparison) setCompactLetters() {
	order := make([]*ComparedSpecies, len(c.Species))
	for i := range c.Species {
		order[i] = &c.Species[i]
	}
	slices.SortStableFunc(order, func(a, b *ComparedSpecies) int { return byThermalTime(*a, *b) })
	var species []turf.Species
	for _, x := range order {
		species = append(species, x.Outlook.Options.Species)
	}
	for i, letters := range CompactLetters(species, c.Species[0].Outlook.Options.Stage) {
		order[i].CompactLetters = letters
	}
}

// of returns the species of a window.
func (c *Comparison) of(w *Window) *ComparedSpecies {
	i := slices.IndexFunc(c.Species, func(x ComparedSpecies) bool { return x.Window == w })
	return &c.Species[i]
}

// Of returns the species of an ID, nil where it is not compared.
func (c *Comparison) Of(id string) *ComparedSpecies {
	for i := range c.Species {
		if c.Species[i].Outlook.Options.Species.ID == id {
			return &c.Species[i]
		}
	}
	return nil
}
