package report

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// Sowings are what a page or a chart shows of every sow date of a season, from
// its ensemble, for each species.
type Sowings struct {
	In       *ask.Station
	Ensemble *forecast.Ensemble
	First    climate.Day
	Species  [][]*forecast.Outlook // by species, those asked for first, and by day
	Span     Span
}

// NewSowings works out every sow date of the ensemble's season; the charts show the
// other days too.
func NewSowings(
	in *ask.Station,
	e *forecast.Ensemble,
	options []forecast.Options,
	also ...climate.Day,
) (*Sowings, error) {
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

// Choices are the numbers of a page of sowings.
func (s *Sowings) Choices(u words.System, sow climate.Day, answers func(o *forecast.Outlook) string) *Choices {
	o := &s.Species[0][0].Options
	a := &Choices{First: s.First.String(), From: s.First.String(), Stage: words.Stages[o.Stage], Sow: sow.String()}
	for _, list := range s.Species {
		a.Species = append(
			a.Species,
			NumbersOf(
				list[0].Options.Species,
				answers(list[sow-s.First]),
				MedianOf(list[0].Opens),
				MedianOf(list[0].Cutoff),
				OutlookChances(list),
				func(i int) [3]float64 {
					st := list[i].Stages
					return [3]float64{st[0].Days.P50, st[1].Days.P50, st[2].Days.P50}
				},
			),
		)
	}
	return a
}

// Chance draws the chances of a species.
func (s *Sowings) Chance(u words.System, list []*forecast.Outlook, rules []chart.Rule) *chart.Chart {
	o := &list[0].Options
	return ChanceChart(u, OutlookChances(list), s.Span, o.Species.Name, o, rules)
}

// Days draws the days from sowing to each stage of a species.
func (s *Sowings) Days(u words.System, list []*forecast.Outlook) *chart.Chart {
	return StageDaysChart(
		u,
		list[0].Options.Species.Name,
		s.Span,
		len(list),
		func(i int) (climate.Day, [3]forecast.Spread) {
			st := list[i].Stages
			return list[i].Sow, [3]forecast.Spread{st[0].Days, st[1].Days, st[2].Days}
		},
	)
}

// Table is the table behind the charts, of the species asked for.
func (s *Sowings) Table(u words.System) Table {
	list := s.Species[0]
	return ByDateTable(u, list[0].Options.Species.Name, OutlookChances(list), func(i int) [3]forecast.Spread {
		st := list[i].Stages
		return [3]forecast.Spread{st[0].Days, st[1].Days, st[2].Days}
	})
}

// Each draws a chart of every species.
func (s *Sowings) Each(draw func(list []*forecast.Outlook) *chart.Chart, caption string) []Figure {
	return EachFigure(len(s.Species), func(i int) (*chart.Chart, string) {
		return draw(s.Species[i]), s.Species[i][0].Options.Species.ID
	}, caption)
}

// Soil is the soil of the season so far.
func (s *Sowings) Soil() *SoilCurve {
	return SeasonSoil(s.In, s.Ensemble.Season, &s.Species[0][0].Options)
}

// Rules are the dates that matter in this season so far.
func (s *Sowings) Rules(u words.System, x *forecast.Outlook) []chart.Rule {
	var rules []chart.Rule
	if d, ok := x.Opens.At(0.8); ok && d > s.First && d != s.In.AsOf {
		rules = append(rules, OpeningRule(u, d))
	}
	if d, ok := x.Latest.At(1 - x.Options.Confidence/100); ok && d != s.In.AsOf {
		rules = append(rules, SafeRule(u, d, x.Options.Confidence, true))
	}
	if x.Sow != s.In.AsOf {
		rules = append(rules, SownRule(u, x.Sow))
	}
	rules = append(rules, TodayRule(u, s.In.AsOf))
	if d, ok := x.Cutoff.At(0.5); ok && d != s.In.AsOf {
		rules = append(rules, CutoffRule(u, d))
	}
	return rules
}

// OutlookCaption stands beneath the chances of an outlook.
var OutlookCaption = fmt.Sprintf(
	"Given the season so far; past seasons stand for the rest of it. The band is the chance's %d %% interval.",
	forecast.IntervalPercent,
)
