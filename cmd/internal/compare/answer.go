package compare

import (
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// An Answer has the comparisons of the stations asked for.
type Answer struct{ Stations []*Station }

// A Station is a station with the comparison there.
type Station struct {
	In *ask.Station
	*forecast.Comparison
	Use turf.Use // of the stand

	sowings *report.Sowings    // of every sow date and species; nil until needed
	windows []*forecast.Window // of every species; nil until needed
}

// Add compares the species at one more station.
func (a *Answer) Add(in *ask.Station, o forecast.CompareOptions, use turf.Use) error {
	c, err := in.Compare(o)
	if err != nil {
		return in.SeasonsError(err)
	}
	a.Stations = append(a.Stations, &Station{In: in, Comparison: c, Use: use})
	return nil
}

// About says where and when the answer holds.
func (a *Answer) About(u words.System) string {
	return report.About(a.Stations[0].In.Input, a.Stations[0].Season, u)
}

// question is what is asked of every species.
func (s *Station) question() *forecast.Options { return &s.Species[0].Outlook.Options }

// rate is the published seeding rate of a species for the use.
func (s *Station) rate(x *forecast.ComparedSpecies) (rate turf.Rate, seedsM2 float64, ok bool) {
	sp := &x.Outlook.Options.Species
	rate, ok = turf.RateFor(sp.ID, s.Use)
	return rate, rate.Usual * sp.SeedsPerGram.Value, ok
}

// usual reports whether seed of a species is usual for the use: a rate is published.
func (s *Station) usual(species string) bool {
	_, ok := turf.RateFor(species, s.Use)
	return ok
}

// choice is what to do on the sow date.
func (s *Station) choice() *forecast.SpeciesChoice { return s.Choose(s.In.AsOf, s.usual) }

func (s *Station) outlooks() []*forecast.Outlook {
	var list []*forecast.Outlook
	for _, x := range s.Species {
		list = append(list, x.Outlook)
	}
	return list
}

func (s *Station) options() []forecast.Options {
	var list []forecast.Options
	for _, x := range s.Species {
		list = append(list, x.Outlook.Options)
	}
	return list
}

// allWindows works out the windows of the species, for the chart of safe dates.
func (s *Station) allWindows() ([]*forecast.Window, error) {
	if s.windows == nil {
		var list []*forecast.Window
		for _, o := range s.options() {
			w, err := s.In.Window(o)
			if err != nil {
				return nil, s.In.SeasonsError(err)
			}
			list = append(list, w)
		}
		s.windows = list
	}
	return s.windows, nil
}

// allSowings works out every sow date of the species, for the charts of a page.
func (s *Station) allSowings() (*report.Sowings, error) {
	if s.sowings == nil {
		all, err := report.NewSowings(s.In, s.Ensemble, s.options(), s.Sow)
		if err != nil {
			return nil, err
		}
		s.sowings = all
	}
	return s.sowings, nil
}
