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
	LeadSeason Lead = "season" // before the season
	LeadSow    Lead = "sow"    // on sowing day
	LeadWeek   Lead = "week"   // a week after sowing
	LeadTwo    Lead = "two"    // two weeks after sowing
)

// Leads returns every lead in order.
func Leads() []Lead { return []Lead{LeadSeason, LeadSow, LeadWeek, LeadTwo} }

// Confidences are the levels at which last safe dates are judged, percent.
func Confidences() []float64 { return []float64{50, 60, 70, 80, 90} }

// hindSows are the sow dates that are judged, in days from the median latest
// date of the seasons forecast from, as they came: around it either outcome is open.
var hindSows = []int{-14, -7, 0, 7, 14}

// A Case is one past forecast and what came of it.
type Case struct {
	Season  int
	Lead    Lead
	Sow     climate.Day
	Chance  float64 // forecast
	Climate float64 // share of the seasons forecast from whose latest date is on or after the sow date
	Made    bool
}

// A Held tells how often a last safe date held.
type Held struct {
	Confidence float64 // percent
	N, Count   int
}

// Share returns the share of seasons in which it held, and its interval,
// IntervalPercent wide (Jeffreys, reaching to the share itself where it held in none
// or all); NaN for no seasons.
func (h Held) Share() (share, low, high float64) {
	if h.N == 0 {
		return math.NaN(), math.NaN(), math.NaN()
	}
	n, k := float64(h.N), float64(h.Count)
	low, high = jeffreys(k, n)
	return k / n, math.Min(low, k/n), math.Max(high, k/n)
}

// A Hindcast is how past forecasts at a station would have fared.
type Hindcast struct {
	Options     Options   // effective
	LeaveOneOut bool      // each season was forecast from all the others, not from the earlier ones
	Seasons     []int     // judged
	Past        []int     // number of seasons that each of them was forecast from
	Shift       []float64 // days by which the trend shifted the latest dates of those ([Trend].ShiftDays)
	Cases       []Case
	Levels      []Held
	LatestError map[Lead][]float64 // days by which the median latest date of the forecast missed, forecast less truth
	SoilError   []float64          // days by which the season's own latest date from the air missed that of the truth
}

// HindcastOptions say which forecasts are judged and by what. The zero value
// judges the forecasts of the zero [Options] by the station's own seasons.
type HindcastOptions struct {
	Options

	// Truth has the seasons as they came, such as a station with the soil of
	// sensors ([Station.WithSoil]); nil: the station itself.
	Truth *Station

	// LeaveOneOut forecasts each season from all the others, later ones too.
	// Its held shares come out near their nominal ones whatever the climate
	// does, so they judge definitions, not forecasts. The trend is off.
	LeaveOneOut bool

	// Leads are when forecasts are made; nil: at every one of [Leads].
	Leads []Lead

	// Progress, unless nil, is called with the number of seasons done and of all.
	Progress func(done, all int)
}

// MaxHindcast is how many seasons are judged at once: where the options name
// the seasons each is forecast from all before it, and the time grows with the
// square.
const MaxHindcast = 150

// Hindcast forecasts past seasons of the record, each from the seasons before it
// (a rolling origin), and compares with what came. A season is judged where at
// least [FewSeasons] usable ones come before it; as in [Station.Window] the latest
// [MaxSeasons] of those are used, and of a long record the latest MaxSeasons
// seasons are judged, unless the options name others. Forecasts are made before
// the season, on the day before each of five sow dates around the median latest
// date, and one and two weeks after it.
//
// What a forecast still takes from the whole record is the normal course of the
// air and its variability.
//
// It returns [ErrFewSeasons] where no season has enough before it, and [ErrOptions]
// for more than [MaxHindcast] and for a lead that is none of [Leads].
func (s *Station) Hindcast(ctx context.Context, ho HindcastOptions) (*Hindcast, error) {
	o, err := ho.Options.withDefaults()
	if err != nil {
		return nil, err
	}
	if ho.Leads == nil {
		ho.Leads = Leads()
	}
	for _, lead := range ho.Leads {
		if !slices.Contains(Leads(), lead) {
			return nil, fmt.Errorf("%w: no lead %q", ErrOptions, lead)
		}
	}
	if ho.LeaveOneOut {
		o.Trend = TrendOff
	}
	seasons, dropped := s.seasonsOf(o)
	if len(seasons) == 0 {
		return nil, noSeasons(dropped)
	}
	named := o.FirstSeason != 0 || o.LastSeason != 0
	first := 0 // of the seasons judged
	if !ho.LeaveOneOut {
		first = FewSeasons
	}
	if len(seasons) < max(FewSeasons, first+1) {
		return nil, fmt.Errorf("%w before a season to judge", ErrFewSeasons)
	}
	if !named {
		first = max(first, len(seasons)-MaxSeasons)
	}
	if len(seasons)-first > MaxHindcast {
		return nil, &kindError{ErrOptions,
			fmt.Sprintf("%d seasons are too many to judge at once: at most %d", len(seasons)-first, MaxHindcast)}
	}
	if ho.LeaveOneOut {
		seasons, first = seasons[first:], 0
	}
	truths := seasons
	if ho.Truth != nil {
		truths, _ = ho.Truth.seasonsOf(o)
	}
	h := &Hindcast{Options: o, LeaveOneOut: ho.LeaveOneOut, LatestError: map[Lead][]float64{}}
	for _, c := range Confidences() {
		h.Levels = append(h.Levels, Held{Confidence: c})
	}
	var mem memory
	for i := first; i < len(seasons); i++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if ho.Progress != nil {
			ho.Progress(i-first, len(seasons)-first)
		}
		j := slices.IndexFunc(truths, func(x Season) bool { return x.Year == seasons[i].Year })
		if j < 0 {
			continue
		}
		came, past := &truths[j], seasons[:i]
		switch {
		case ho.LeaveOneOut:
			past = slices.Concat(seasons[:i], seasons[i+1:])
		case !named && i > MaxSeasons:
			past = seasons[i-MaxSeasons : i]
		}
		if err := s.hindSeason(h, o, ho.Leads, came, past, &mem); err != nil {
			return nil, err
		}
		if own := seasons[i].latest.at; !math.IsInf(own, 0) && !math.IsInf(came.latest.at, 0) {
			h.SoilError = append(h.SoilError, own-came.latest.at)
		}
		h.Seasons = append(h.Seasons, came.Year)
		h.Past = append(h.Past, len(past))
	}
	if len(h.Seasons) == 0 {
		return nil, ErrNoSeasons
	}
	return h, nil
}

// hindSeason judges one season by forecasts from past ones.
func (s *Station) hindSeason(h *Hindcast, o Options, leads []Lead, truth *Season, past []Season,
	mem *memory,
) error {
	w := &Window{Options: o, Season: truth.Year, Seasons: past}
	s.adjust(w)
	s.collect(w)
	h.Shift = append(h.Shift, w.Trend.ShiftDays)
	var years []int
	for _, se := range past {
		years = append(years, se.Year)
	}
	made := func(d climate.Day) bool { return truth.Latest != nil && d <= *truth.Latest }
	for k := range h.Levels {
		if d, ok := w.LastInTime(h.Levels[k].Confidence); ok {
			h.Levels[k].N++
			if made(d) {
				h.Levels[k].Count++
			}
		}
	}
	// The sow dates judged do not hang on what the forecast makes of the trend.
	median := medianLatest(past)
	if math.IsInf(median, 0) {
		return nil // half the seasons have no latest date: no date to sow
	}
	middle := s.Calendar.Day(truth.Year, int(math.Floor(median)))
	first, last := s.Calendar.First(truth.Year), s.Calendar.Last(truth.Year)
	forecasts := map[climate.Day]*Window{} // by the day on which they are made
	for _, shift := range hindSows {
		sow := max(first, min(last, middle+climate.Day(shift)))
		for _, lead := range leads {
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
			f := forecasts[asOf]
			if f == nil {
				var err error
				if f, err = s.hindFuture(o, w.Trend, truth.Year, asOf, years, mem); err != nil {
					return err
				}
				forecasts[asOf] = f
			}
			inTime := 0
			for _, se := range past {
				if se.latest.at >= s.offset(truth.Year, sow) {
					inTime++
				}
			}
			plain := float64(inTime) / float64(len(past))
			h.Cases = append(h.Cases, Case{truth.Year, lead, sow, f.Chance(sow), plain, made(sow)})
			if shift == 0 && truth.Latest != nil {
				if median := medianLatest(f.Seasons); !math.IsInf(median, 0) {
					h.LatestError[lead] = append(h.LatestError[lead], median-truth.latest.at)
				}
			}
		}
	}
	return nil
}

// hindFuture returns the dates of a season as a forecast made on a day would have had
// them: those of [Station.Ensemble] for its outlooks, without the rest of these. mem is for
// the members, which are gone with it.
func (s *Station) hindFuture(o Options, t Trend, season int, asOf climate.Day, past []int,
	mem *memory,
) (*Window, error) {
	if err := s.checkRain(o); err != nil {
		return nil, err
	}
	loose := o
	loose.Season, loose.Completeness, o.Season = season, climate.Loose(), season
	e, f, err := s.future(loose, t, EnsembleOptions{AsOf: &asOf, Past: past})
	if err != nil {
		return nil, err
	}
	var seasons []Season
	for _, year := range past {
		mem.reset()
		m := e.member(f, year-season, mem)
		if m == nil {
			continue
		}
		g := m.growth(&o)
		if se, reason := m.season(season, &g, &o); reason == "" {
			seasons = append(seasons, se)
		}
	}
	return e.window(o, seasons)
}

// medianLatest is the median latest date of seasons, days from the first; a season
// without one counts as earlier than every date.
func medianLatest(seasons []Season) float64 {
	latest := make([]float64, len(seasons))
	for i := range seasons {
		latest[i] = seasons[i].latest.at
	}
	return climate.Quantile(0.5, sorted(latest))
}

// Brier scores the forecasts of a lead, "" for all, and the plain share of the
// seasons forecast from in their place.
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
