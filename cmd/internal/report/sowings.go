package report

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// A sowing is what a page or a chart tells of every sow date of a season, from
// its ensemble, for each species.
type Sowings struct {
	In       *ask.Station
	Ensemble *forecast.Ensemble
	First    climate.Day
	Species  [][]*forecast.Outlook // by species, those asked for first, and by day
	Span     Span
}

// NewSowings works out every sow date of the ensemble's season, and those from
// which on the charts shall show it.
func NewSowings(in *ask.Station, e *forecast.Ensemble, options []forecast.Options, also ...climate.Day) (*Sowings, error) {
	s := &Sowings{In: in, Ensemble: e, First: in.Calendar.First(e.Season)}
	for _, d := range also {
		s.First = min(s.First, d) // a sowing before the season
	}
	var dates []climate.Day
	for d := s.First; d <= in.Calendar.Last(e.Season); d++ {
		dates = append(dates, d)
	}
	for _, o := range options {
		list, err := e.Outlooks(o, dates)
		if err != nil {
			return nil, in.SeasonsError(err)
		}
		s.Species = append(s.Species, list)
	}
	s.Span = SpanOf([][]Chance{OutlookChances(s.Species[0])}, also...)
	return s, nil
}

// ask are the numbers of a page of sowings.
func (s *Sowings) Choices(u words.System, sow climate.Day, answers func(o *forecast.Outlook) string) *Choices {
	o := &s.Species[0][0].Options
	a := &Choices{First: s.First.String(), From: s.First.String(), Stage: words.Stages[o.Stage], Sow: sow.String()}
	for _, list := range s.Species {
		a.Species = append(a.Species, NumbersOf(list[0].Options.Species, answers(list[sow-s.First]), list[0].Opens, list[0].Cutoff, OutlookChances(list), func(i int) [3]float64 {
			st := list[i].Stages
			return [3]float64{st[0].Days.P50, st[1].Days.P50, st[2].Days.P50}
		}))
	}
	return a
}

func (s *Sowings) Chance(u words.System, list []*forecast.Outlook, rules []chart.Rule) *chart.Chart {
	o := &list[0].Options
	return ChanceChart(u, OutlookChances(list), s.Span, o.Species.Name, o, rules)
}

func (s *Sowings) Days(u words.System, list []*forecast.Outlook) *chart.Chart {
	return StageDaysChart(u, list[0].Options.Species.Name, s.Span, len(list), func(i int) (climate.Day, [3]forecast.Spread) {
		st := list[i].Stages
		return list[i].Sow, [3]forecast.Spread{st[0].Days, st[1].Days, st[2].Days}
	})
}

func (s *Sowings) Table(u words.System) Table {
	list := s.Species[0]
	return ByDateTable(u, list[0].Options.Species.Name, OutlookChances(list), func(i int) [3]forecast.Spread {
		st := list[i].Stages
		return [3]forecast.Spread{st[0].Days, st[1].Days, st[2].Days}
	})
}

// each draws a chart of every species.
func (s *Sowings) Each(draw func(list []*forecast.Outlook) *chart.Chart, caption string) []Figure {
	return EachFigure(len(s.Species), func(i int) (*chart.Chart, string) {
		return draw(s.Species[i]), s.Species[i][0].Options.Species.ID
	}, caption)
}

// soil is the soil of the season so far.
func (s *Sowings) Soil() *SoilCurve {
	return SeasonSoil(s.In, s.Ensemble.Season, &s.Species[0][0].Options)
}

// seasonRules are the dates that matter in this season so far.
func (s *Sowings) Rules(u words.System, x *forecast.Outlook) []chart.Rule {
	var rules []chart.Rule
	add := func(d climate.Day, ok bool, label string, ink chart.Ink, dashes []float64) {
		if ok && (d != s.In.AsOf || ink == chart.Text) {
			rules = append(rules, chart.Rule{Ink: ink, At: float64(d), Dashes: dashes, Label: label + ", " + u.Date(d)})
		}
	}
	opens, ok := x.Opens.At(0.5)
	add(opens, ok && opens > s.First, "opens", chart.Straw, Dashed)
	safe, ok := x.LastSafe(x.Options.Confidence)
	add(safe, ok, fmt.Sprintf("last safe %g %%", x.Options.Confidence), chart.Sky, nil)
	if x.Sow != s.In.AsOf {
		rules = append(rules, chart.Rule{Ink: chart.Leaf, At: float64(x.Sow), Dashes: Dashed, Label: "sown, " + u.Date(x.Sow)})
	}
	add(s.In.AsOf, true, "today", chart.Text, Dotted)
	cutoff, ok := x.Cutoff.At(0.5)
	add(cutoff, ok, "cutoff", chart.Brick, Dashed)
	return rules
}

// OutlookCaption stands beneath the chances of an outlook.
var OutlookCaption = fmt.Sprintf("Given the season so far, and past seasons as what may come. The band is the chance's %d %% interval.", forecast.IntervalPercent)
