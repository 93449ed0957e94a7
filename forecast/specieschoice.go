package forecast

import (
	"slices"
	"strings"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// A CompareAction is what a comparison of species comes to.
type CompareAction string

// The actions.
const (
	CompareSow     CompareAction = "sow"             // sow on the day asked for
	CompareEarlier CompareAction = "sow-earlier"     // none is likely on that day, but one has a last safe date still to come
	CompareGamble  CompareAction = "gamble"          // no species is likely, one at least is not unlikely
	CompareStop    CompareAction = "stop"            // every species is unlikely or too late
	CompareWait    CompareAction = "wait"            // the soil is usually still too warm on that day
	CompareSown    CompareAction = "sown"            // the day is past, the season is not over
	CompareFew     CompareAction = "too-few-seasons" // fewer than MinSeasons: no decision rests on them
	CompareSeen    CompareAction = "in-hindsight"    // the day is past and the outcome is in the record
)

// A SpeciesChoice is what to do on the sow date of a comparison, and the species by their
// verdict, each list in the order of the comparison.
type SpeciesChoice struct {
	Action CompareAction
	// Pick are the species to sow: the likely ones that are usual for the use, or all
	// likely ones where none of them is. Where none is likely it is the one most likely,
	// for CompareEarlier the first one with a last safe date still to come. It is empty
	// for CompareWait and CompareFew.
	Pick []*ComparedSpecies
	Date *climate.Day // the last safe date of CompareEarlier, the median opening of CompareWait; else nil

	Likely, Doubtful, Unlikely, TooLate []*ComparedSpecies
}

// openingSlack is how many days before the median opening a sowing is not yet called
// too early: the opening's own error is about as large.
const openingSlack = 3

// Choose returns what to do today. usual reports whether a species, by its ID, is usual
// for the use of the stand; nil: every species is.
func (c *Comparison) Choose(today climate.Day, usual func(species string) bool) *SpeciesChoice {
	out := &SpeciesChoice{}
	for i := range c.Species {
		x := &c.Species[i]
		switch x.Outlook.Verdict {
		case Likely:
			out.Likely = append(out.Likely, x)
		case Doubtful:
			out.Doubtful = append(out.Doubtful, x)
		case Unlikely:
			out.Unlikely = append(out.Unlikely, x)
		default:
			out.TooLate = append(out.TooLate, x)
		}
	}
	best := &c.Species[0]
	opens, opensKnown := best.Outlook.Opens.At(0.5)
	out.Pick = slices.DeleteFunc(slices.Clone(out.Likely), func(x *ComparedSpecies) bool {
		return usual != nil && !usual(x.Outlook.Options.Species.ID)
	})
	if len(out.Pick) == 0 {
		out.Pick = out.Likely
	}
	if len(out.Pick) == 0 {
		out.Pick = []*ComparedSpecies{best}
		for _, list := range [][]*ComparedSpecies{out.Doubtful, out.Unlikely} {
			if len(list) > 0 {
				out.Pick = list[:1]
				break
			}
		}
	}
	switch earlier := c.stillSafe(today, usual); {
	case best.Outlook.Members < MinSeasons:
		out.Action, out.Pick = CompareFew, nil
	case c.Sow < today && best.Outlook.Decided:
		out.Action = CompareSeen
	case c.Sow < today:
		out.Action = CompareSown
	case opensKnown && c.Sow+openingSlack < opens:
		out.Action, out.Pick, out.Date = CompareWait, nil, &opens
	case len(out.Likely) > 0:
		out.Action = CompareSow
	case earlier != nil:
		out.Action, out.Pick, out.Date = CompareEarlier, []*ComparedSpecies{earlier}, earlier.LastSafe
	case len(out.Doubtful) > 0:
		out.Action = CompareGamble
	default:
		out.Action = CompareStop
	}
	return out
}

// stillSafe returns the first species, of those that are usual, whose last safe date
// lies between today and the sow date, nil for none.
func (c *Comparison) stillSafe(today climate.Day, usual func(string) bool) *ComparedSpecies {
	for i := range c.Species {
		x := &c.Species[i]
		if (usual == nil || usual(x.Outlook.Options.Species.ID)) && x.LastSafe != nil &&
			*x.LastSafe >= today && *x.LastSafe < c.Sow {
			return x
		}
	}
	return nil
}

// Alike returns the groups of two species or more within which there is no clear
// difference in the thermal time that they need ([NoClearDifference]), in ascending
// order of it: the letters of the compact letter display. A species may be in several.
// It returns nil with rain only.
func (c *Comparison) Alike() [][]*ComparedSpecies {
	var out [][]*ComparedSpecies
	for letter := 'a'; ; letter++ {
		var group []*ComparedSpecies
		for i := range c.Species {
			if x := &c.Species[i]; strings.ContainsRune(x.CompactLetters, letter) {
				group = append(group, x)
			}
		}
		switch len(group) {
		case 0:
			return out
		case 1:
		default:
			out = append(out, group)
		}
	}
}

// Instead returns what is left where it is too late: the first day from the sow date on
// from which the soil is cold enough for dormant seeding, nil where it does not get so
// cold or no species of the comparison can be sown dormant, and the day in spring by
// which the normal soil is back at SpringSoilC, nil for none.
func (c *Comparison) Instead() (dormant, spring *climate.Day, err error) {
	const year = 400 // days, with some to spare
	from := max(c.Sow, c.Ensemble.AsOf)
	for i := range c.Species {
		if turf.DormantSeeding(c.Species[i].Outlook.Options.Species.ID) {
			if dormant, err = c.Ensemble.ColdSoil(from, turf.DormantSoilC); err != nil {
				return nil, nil, err
			}
			break
		}
	}
	for _, x := range c.Ensemble.station.Normal5C.Crossings(SpringSoilC, from+1, from+year) {
		if x.Rising {
			return dormant, &x.Day, nil
		}
	}
	return dormant, nil, nil
}
