package forecast

import (
	"context"
	"fmt"
	"math"
	"slices"

	"swardcast/climate"
	"swardcast/forecast/score"
)

// A Lead is when a past forecast is made.
type Lead string

// The leads.
const (
	LeadSeason Lead = "season" // on the eve of the season
	LeadSow    Lead = "sow"    // on the eve of sowing
	LeadWeek   Lead = "week"   // a week after sowing
	LeadTwo    Lead = "two"    // two weeks after sowing
)

// Leads returns every lead in order.
func Leads() []Lead { return []Lead{LeadSeason, LeadSow, LeadWeek, LeadTwo} }

// Confidences are the levels at which last safe dates are judged, percent.
func Confidences() []float64 { return []float64{50, 60, 70, 80, 90} }

// hindSows are the sow dates that are judged, in days from the median latest
// date of the other seasons: around it neither outcome is a matter of course.
var hindSows = []int{-14, -7, 0, 7, 14}

// A Case is one past forecast and what came of it.
type Case struct {
	Season  int
	Lead    Lead
	Sow     climate.Day
	Chance  float64 // forecast
	Climate float64 // share of the other seasons whose latest date is on or after the sow date
	Made    bool
}

// A Held tells how often a last safe date held.
type Held struct {
	Confidence float64 // percent
	N, Count   int
}

// Share returns the share of seasons in which it held, and its interval,
// IntervalPercent wide (Jeffreys); NaN for no seasons.
func (h Held) Share() (share, low, high float64) {
	if h.N == 0 {
		return math.NaN(), math.NaN(), math.NaN()
	}
	n, k := float64(h.N), float64(h.Count)
	low, high = jeffreys(k, n)
	return k / n, low, high
}

// A Hindcast is how past forecasts at a station would have fared, each season
// forecast from all the others.
type Hindcast struct {
	Options     Options // effective
	Seasons     []int
	Cases       []Case
	Levels      []Held
	LatestError map[Lead][]float64 // days by which the median latest date of the forecast missed, forecast less truth
	SoilError   []float64          // days by which the season's own latest date from the air missed that of the truth
}

// MaxHindcast is how many seasons are judged at once: each is forecast from all
// the others, and the time grows with the square.
const MaxHindcast = 150

// Hindcast forecasts every usable season of the record from the others, on the
// eve of the season, on the eve of each of five sow dates around the median
// latest date, and one and two weeks after it, and compares with what came. The
// truth is the season as the station truth has it, such as one with the soil of
// sensors ([Station.WithSoil]); nil for the station's own. What a forecast takes
// from the whole record is the normal course of the air and its variability.
// Of a long record the latest MaxSeasons seasons are used unless the options name
// others. It calls tell, unless that is nil, with the number of seasons done and of
// all. It returns [ErrFewSeasons] for fewer than FewSeasons seasons, and
// [ErrOptions] for more than MaxHindcast.
func (s *Station) Hindcast(ctx context.Context, o Options, truth *Station, tell func(done, all int)) (*Hindcast, error) {
	o, err := o.withDefaults()
	if err != nil {
		return nil, err
	}
	seasons, dropped := s.seasonsOf(o)
	if o.FirstSeason == 0 && o.LastSeason == 0 && len(seasons) > MaxSeasons {
		seasons = seasons[len(seasons)-MaxSeasons:]
	}
	if len(seasons) < FewSeasons {
		if len(seasons) == 0 {
			return nil, noSeasons(dropped)
		}
		return nil, ErrFewSeasons
	}
	if len(seasons) > MaxHindcast {
		return nil, &kindError{ErrOptions, fmt.Sprintf("%d seasons are too many to judge at once: at most %d", len(seasons), MaxHindcast)}
	}
	truths := seasons
	if truth != nil {
		truths, _ = truth.seasonsOf(o)
	}
	h := &Hindcast{Options: o, LatestError: map[Lead][]float64{}}
	for _, c := range Confidences() {
		h.Levels = append(h.Levels, Held{Confidence: c})
	}
	for k, came := range truths {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if tell != nil {
			tell(k, len(truths))
		}
		i := slices.IndexFunc(seasons, func(x Season) bool { return x.Year == came.Year })
		if i < 0 {
			continue
		}
		others := slices.Concat(seasons[:i], seasons[i+1:])
		if err := s.hindSeason(h, o, &came, others); err != nil {
			return nil, err
		}
		if own := seasons[i].latest.at; !math.IsInf(own, 0) && !math.IsInf(came.latest.at, 0) {
			h.SoilError = append(h.SoilError, own-came.latest.at)
		}
		h.Seasons = append(h.Seasons, came.Year)
	}
	if len(h.Seasons) == 0 {
		return nil, ErrNoSeasons
	}
	return h, nil
}

// hindSeason judges one season.
func (s *Station) hindSeason(h *Hindcast, o Options, truth *Season, others []Season) error {
	w := &Window{Options: o, Season: truth.Year, Seasons: others}
	s.collect(w)
	var years []int
	for _, se := range others {
		years = append(years, se.Year)
	}
	made := func(d climate.Day) bool { return truth.Latest != nil && d <= *truth.Latest }
	for k := range h.Levels {
		if d, ok := w.LastSafe(h.Levels[k].Confidence); ok {
			h.Levels[k].N++
			if made(d) {
				h.Levels[k].Count++
			}
		}
	}
	middle, ok := w.LastSafe(50)
	if !ok {
		return nil // half the seasons have no latest date: no date to sow
	}
	first, last := s.Calendar.First(truth.Year), s.Calendar.Last(truth.Year)
	ensembles := map[climate.Day]*Ensemble{}
	for _, shift := range hindSows {
		sow := max(first, min(last, middle+climate.Day(shift)))
		for _, lead := range Leads() {
			asOf := sow - 1
			switch lead {
			case LeadSeason:
				asOf = first - 1
			case LeadWeek:
				asOf += 7
			case LeadTwo:
				asOf += 14
			}
			if asOf < s.Record.First+ownLead {
				continue // the soil's memory was not the station's own yet
			}
			e := ensembles[asOf]
			if e == nil {
				var err error
				if e, err = s.ensemble(truth.Year, asOf, years, nil, climate.Loose); err != nil {
					return err
				}
				ensembles[asOf] = e
			}
			out, err := e.Outlook(o, sow)
			if err != nil {
				return err
			}
			inTime := 0
			for _, se := range others {
				if se.latest.at >= s.offset(truth.Year, sow) {
					inTime++
				}
			}
			h.Cases = append(h.Cases, Case{truth.Year, lead, sow, out.Chance, float64(inTime) / float64(len(others)), made(sow)})
			if shift == 0 && truth.Latest != nil && out.latestMedian >= 0 {
				h.LatestError[lead] = append(h.LatestError[lead], out.latestMedian-truth.latest.at)
			}
		}
	}
	return nil
}

// Brier scores the forecasts of a lead, "" for all, and the share of the other
// seasons in their place.
func (h *Hindcast) Brier(lead Lead) (forecast, climatology score.Brier) {
	var f, c []float64
	var came []bool
	for _, x := range h.Cases {
		if lead == "" || x.Lead == lead {
			f, c, came = append(f, x.Chance), append(c, x.Climate), append(came, x.Made)
		}
	}
	return score.NewBrier(f, came, ReliabilityGroups), score.NewBrier(c, came, ReliabilityGroups)
}

// ReliabilityGroups is the number of ranges of chance in a reliability table.
const ReliabilityGroups = 10

// Reliability returns the table of a lead, "" for all.
func (h *Hindcast) Reliability(lead Lead) []score.Group {
	var f []float64
	var came []bool
	for _, x := range h.Cases {
		if lead == "" || x.Lead == lead {
			f, came = append(f, x.Chance), append(came, x.Made)
		}
	}
	return score.Groups(f, came, ReliabilityGroups)
}

// MeanAbsolute is the mean of the absolute values, NaN for none.
func MeanAbsolute(errors []float64) float64 {
	if len(errors) == 0 {
		return math.NaN()
	}
	sum := 0.0
	for _, e := range errors {
		sum += math.Abs(e)
	}
	return sum / float64(len(errors))
}
