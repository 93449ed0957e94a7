package forecast

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"

	"swardcast/climate"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// The number of seasons that an answer needs.
const (
	FewSeasons = 10                 // fewer are a thin record
	MinSeasons = climate.MinSeasons // with fewer there is no quantile
)

// ErrNoSeasons is the error of a record without one usable season.
var ErrNoSeasons = errors.New("no season of the record can be used")

// ErrFewSeasons is the error of a record with too few seasons to judge past
// forecasts by.
var ErrFewSeasons = fmt.Errorf("fewer than %d seasons of the record can be used", FewSeasons)

// A Window is when a species can be sown at a station, and the chance of each sow
// date.
type Window struct {
	Options  Options  // effective: no field is zero for want of a default
	Season   int      // the season that the dates are of
	Seasons  []Season // as they came
	Adjusted []Season // the same in the climate of Season: what dates and chances are of; Seasons where none applies
	Trend    Trend    // over Seasons
	Dropped  []climate.DroppedSeason
	Opens    Dates // of the seasons' openings
	Latest   Dates // of the latest date, by the chances: At(p) is the last day whose chance is at least 1 − p
	Cutoff   Dates // of what ended them; a season without a cutoff counts as later than every date
	Freeze   Dates
	Dormancy Dates
	Aim      *Aim       // span of days to sow on; nil for none
	Warnings []Warning  // what a reader must know before trusting the dates, gravest first
	Best     *SowChance // where the chance to lie between opening and latest date is highest
	ByDate   []SowDate  // every day of the season; nil from [Station.Dates]

	latest *latestDates
}

// A SowChance is a date with a chance.
type SowChance struct {
	Sow    climate.Day
	Chance float64
}

// A SowDate is the outcome of sowing on a day.
type SowDate struct {
	Sow       climate.Day
	Chance    float64   // that the stage is reached by the cutoff
	Low, High float64   // interval of the chance, IntervalPercent wide
	Open      float64   // chance that sowing has opened, given the error of the soil
	InWindow  float64   // chance that sowing has opened and the stage is reached by the cutoff
	Days      [3]Spread // to emerged, mow, tillered
}

// BeforeOpening reports whether the day is more likely than not too early.
func (d *SowDate) BeforeOpening() bool { return d.Open < 0.5 }

// A Spread is a quantity's 10, 50 and 90 % quantiles over the seasons: NaN
// where the seasons are too few, +Inf where the stage is not reached before
// the season ends.
type Spread struct{ P10, P50, P90 float64 }

// LastSafe returns the last safe date at a confidence in percent: the last day of
// the season whose chance is at least that. It has no date where the seasons are
// fewer than [MinSeasons], the first day of the season is not as likely, or cold does
// not end sowing here ([Window.ColdEnds]).
func (w *Window) LastSafe(percent float64) (climate.Day, bool) {
	if !w.ColdEnds() {
		return 0, false
	}
	return w.latest.last(percent / 100)
}

// LastInTime is [Window.LastSafe] also where cold does not end sowing: the date then stands
// for the end of the season, not for a deadline. Forecasts are judged by it.
func (w *Window) LastInTime(percent float64) (climate.Day, bool) { return w.latest.last(percent / 100) }

// Chance returns the chance of sowing on a day of the season, as in ByDate, which
// a window of [Station.Dates] does not have; NaN for the zero Window.
func (w *Window) Chance(sow climate.Day) float64 { return w.latest.on(sow) }

// Safe returns the last safe date at the confidence of the options.
func (w *Window) Safe() (climate.Day, bool) { return w.LastSafe(w.Options.Confidence) }

// TooLate reports whether a day of the season is too late to sow: it is after the last
// safe date, and its chance is under [StopBelow].
func (w *Window) TooLate(day climate.Day) bool {
	safe, ok := w.Safe()
	return ok && day > safe && day <= w.latest.calendar.Last(w.Season) && w.Chance(day) < StopBelow
}

// Years returns the seasons that were used.
func (w *Window) Years() []int {
	years := make([]int, len(w.Seasons))
	for i := range w.Seasons {
		years[i] = w.Seasons[i].Year
	}
	return years
}

// MaxConfidence returns the highest confidence, in percent, that so many seasons
// support by the definition of [climate.Quantile]. Above it LastSafe returns a date
// that depends on how the seasons left open are taken to spread.
func (w *Window) MaxConfidence() float64 {
	return 100 * (1 - (2.0/3)/(float64(len(w.Seasons))+1.0/3))
}

// ErrNoRain is the error of a sowing without irrigation at a station whose record
// has no precipitation.
var ErrNoRain = errors.New("the record has no rain, so that an unwatered seedbed cannot be followed")

func (s *Station) checkRain(o Options) error {
	if o.Unwatered && s.Record.PrecipMM == nil {
		return ErrNoRain
	}
	return nil
}

// Window returns the seeding window. It returns [ErrNoSeasons] where no season can
// be used, and [ErrNoRain].
func (s *Station) Window(o Options) (*Window, error) {
	w, err := s.Dates(o)
	if err == nil {
		s.chances(w)
	}
	return w, err
}

// Dates is [Station.Window] without ByDate, which takes most of the time.
func (s *Station) Dates(o Options) (*Window, error) {
	o, err := o.withDefaults()
	if err != nil {
		return nil, err
	}
	if err := s.checkRain(o); err != nil {
		return nil, err
	}
	w := &Window{Options: o, Season: o.Season}
	if w.Season == 0 {
		w.Season = s.Calendar.SeasonFor(s.Record.Last())
	}
	w.Options.Season = w.Season
	w.Seasons, w.Dropped = s.seasonsOf(o)
	if len(w.Seasons) == 0 {
		return w, noSeasons(w.Dropped)
	}
	if o.FirstSeason == 0 && o.LastSeason == 0 && len(w.Seasons) > MaxSeasons {
		w.Seasons = w.Seasons[len(w.Seasons)-MaxSeasons:]
		w.Dropped = slices.DeleteFunc(w.Dropped,
			func(d climate.DroppedSeason) bool { return d.Season < w.Seasons[0].Year })
	}
	s.adjust(w)
	s.collect(w)
	w.Best, w.Aim = s.best(w), s.aim(w)
	w.Warnings = s.warnings(w)
	return w, nil
}

func noSeasons(dropped []climate.DroppedSeason) error {
	if len(dropped) == 0 {
		return ErrNoSeasons
	}
	last := dropped[len(dropped)-1]
	return fmt.Errorf("%w: of %d, the latest, %d: %s", ErrNoSeasons, len(dropped), last.Season, last.Reason)
}

// collect gathers the dates of the seasons.
func (s *Station) collect(w *Window) {
	var opens, cutoffs, freezes, dormancies []float64
	never := func(d *climate.Day, se *Season) float64 {
		if d == nil {
			return math.Inf(1)
		}
		return s.offset(se.Year, *d)
	}
	for i := range w.Adjusted {
		se := &w.Adjusted[i]
		opens = append(opens, s.offset(se.Year, se.Opens))
		cutoffs = append(cutoffs, never(se.Cutoff, se))
		// A record that ends within the season cannot show that an event
		// did not come.
		if se.Freeze != nil || se.RecordEnd == se.Last {
			freezes = append(freezes, never(se.Freeze, se))
		}
		if se.Dormancy != nil || se.RecordEnd == se.Last {
			dormancies = append(dormancies, never(se.Dormancy, se))
		}
	}
	w.latest = s.latestDatesOf(w.Season, w.Adjusted)
	at := func(offset int) climate.Day { return s.Calendar.Day(w.Season, offset) }
	dates := func(v []float64, rounded func(float64) float64) Dates { return quantileDates(v, at, rounded) }
	w.Opens = dates(opens, climate.CeilDay)
	w.Latest = Dates{func(p float64) (climate.Day, bool) { return w.latest.last(1 - p) }}
	w.Cutoff = dates(cutoffs, climate.FloorDay)
	w.Freeze = dates(freezes, climate.FloorDay)
	w.Dormancy = dates(dormancies, climate.FloorDay)
}

// Dates are dates of one kind over the seasons, for one of them.
type Dates struct {
	at func(p float64) (climate.Day, bool)
}

// quantileDates are the quantiles of days from the first of a season, infinite for never.
func quantileDates(v []float64, at func(offset int) climate.Day, rounded func(float64) float64) Dates {
	slices.Sort(v)
	return Dates{func(p float64) (climate.Day, bool) {
		if len(v) < MinSeasons {
			return 0, false
		}
		q := climate.Quantile(p, v)
		if math.IsInf(q, 0) || math.IsNaN(q) {
			return 0, false
		}
		return at(int(rounded(q))), true
	}}
}

func sorted(v []float64) []float64 {
	slices.Sort(v)
	return v
}

// At returns the p quantile, rounded to the cautious side: an opening to the later,
// every other date to the earlier day. That of latest dates is read from their
// chances, every other is that of the seasons ([climate.Quantile]). It is false
// where there are fewer than [MinSeasons] seasons or the quantile is no date.
func (d Dates) At(p float64) (climate.Day, bool) {
	if d.at == nil {
		return 0, false
	}
	return d.at(p)
}

// chances works out the chance of every sow date of the season.
func (s *Station) chances(w *Window) {
	first, last := s.Calendar.First(w.Season), s.Calendar.Last(w.Season)
	days := s.stageDays(w)
	w.ByDate = make([]SowDate, last-first+1)
	for k := range w.ByDate {
		sow := first + climate.Day(k)
		x := s.offset(w.Season, sow)
		made := w.latest.on(sow)
		d := SowDate{Sow: sow, Chance: made, Open: openBy(w.Adjusted, x), Days: days[k]}
		d.InWindow = math.Min(insideOf(w.Adjusted, x), math.Min(d.Open, made))
		d.Low, d.High = w.latest.interval(x, made)
		w.ByDate[k] = d
	}
}

// The seasons seen leave open what others would have been. A chance counts as
// many more seasons as openSeasons, whose latest dates are normally distributed
// with the mean of those seen and openSpread times their standard deviation: so
// that no date just beyond the earliest or latest season seen is certain.
const (
	openSeasons = 2
	openSpread  = 1.5
)

// latestDates are the latest dates of seasons, as a distribution.
type latestDates struct {
	seasons  []Season
	calendar climate.Calendar
	season   int                // the season that days are of
	given    [2][]uncertainDate // with the error that seasons share at -intervalZ and at intervalZ
	open     float64            // seasons that are left open
	share    float64            // of the seasons that have a latest date
	mean, sd float64            // of their dates, days

	lock  sync.Mutex
	byDay []float64 // chance of each day of the season once it is asked for, NaN until then
}

// latestDatesOf takes seasons as a sample of what can come of one.
func (s *Station) latestDatesOf(season int, seasons []Season) *latestDates {
	l := &latestDates{seasons: seasons, calendar: s.Calendar, season: season, open: openSeasons}
	for k, shift := range []float64{-intervalZ, intervalZ} {
		l.given[k] = make([]uncertainDate, len(seasons))
		for i := range seasons {
			l.given[k][i] = seasons[i].latest.given(shift)
		}
	}
	n := 0.0
	for i := range seasons {
		for _, at := range seasons[i].latest.soil {
			if !math.IsInf(at, 0) {
				l.mean += at
				n++
			}
		}
	}
	if n == 0 {
		return l
	}
	l.share = n / float64(shifts*len(seasons))
	l.mean /= n
	square := 0.0
	for i := range seasons {
		u := &seasons[i].latest
		for k, at := range u.soil {
			if !math.IsInf(at, 0) {
				square += (at-l.mean)*(at-l.mean) + u.sd[k]*u.sd[k]
			}
		}
	}
	l.sd = math.Sqrt(square / n)
	return l
}

// chance is the chance that the latest date is on or after day x: the posterior
// mean under a Dirichlet process,
//
//	(Σ P(latest(i) ≥ x) + m G(x)) / (n + m),
//
// m the seasons left open and G their distribution.
//
// Reference: Ferguson 1973, Ann. Stat. 1:209–230 (from memory).
func (l *latestDates) chance(x float64) float64 {
	sum := 0.0
	for i := range l.seasons {
		sum += l.seasons[i].latest.from(x)
	}
	return l.leftOpen(sum, x)
}

// chanceGiven is [latestDates.chance] where the part of the error that all seasons share
// lies at an end of its interval: intervalZ standard deviations below or above.
func (l *latestDates) chanceGiven(x float64) (below, above float64) {
	var sum [2]float64
	for k := range sum {
		for i := range l.given[k] {
			sum[k] += l.given[k][i].from(x)
		}
	}
	return l.leftOpen(sum[0], x), l.leftOpen(sum[1], x)
}

// leftOpen is the chance of a sum over the seasons seen.
func (l *latestDates) leftOpen(sum, x float64) float64 {
	if l.share > 0 {
		sum += l.open * l.share * normalCDF((l.mean+0.5-x)/(openSpread*l.sd))
	}
	return sum / (float64(len(l.seasons)) + l.open)
}

// on is the chance that the latest date is on or after a day; NaN for none.
func (l *latestDates) on(d climate.Day) float64 {
	if l == nil {
		return math.NaN()
	}
	return l.at(l.calendar.Offset(l.season, d))
}

// at is [latestDates.on] by days from the first of the season, which keeps its answers:
// several confidences are looked for between the same days.
func (l *latestDates) at(offset int) float64 {
	if offset < 0 || offset >= seasonDays {
		return l.chance(float64(offset))
	}
	l.lock.Lock()
	defer l.lock.Unlock()
	if l.byDay == nil {
		l.byDay = slices.Repeat([]float64{math.NaN()}, seasonDays)
	}
	if math.IsNaN(l.byDay[offset]) {
		l.byDay[offset] = l.chance(float64(offset))
	}
	return l.byDay[offset]
}

// seasonDays are the days of a season, leap days left out.
const seasonDays = 304

// leaveNoneOpen makes the seasons seen all that there are.
func (l *latestDates) leaveNoneOpen() { l.open, l.byDay = 0, nil }

// last is the last day of the season whose chance is at least so much; none where
// the seasons are too few or the first day's chance is less.
func (l *latestDates) last(chance float64) (climate.Day, bool) {
	if l == nil || len(l.seasons) < MinSeasons {
		return 0, false
	}
	first, last := l.calendar.First(l.season), l.calendar.Last(l.season)
	safe := sort.Search(int(last-first)+1, func(k int) bool { return l.on(first+climate.Day(k)) < chance })
	return first + climate.Day(safe) - 1, safe > 0
}

// interval gives the interval of a chance: the interval of a share seen in so
// many seasons (Jeffreys; Brown, Cai & DasGupta 2001, Stat. Sci. 16:101–133)
// and what a site warmer or colder than estimated would make of it, added in
// quadrature.
func (l *latestDates) interval(x, chance float64) (low, high float64) {
	n := float64(len(l.seasons))
	low, high = jeffreys(n*chance, n)
	few := [2]float64{math.Min(chance, low), math.Max(chance, high)}
	below, above := l.chanceGiven(x)
	site := [2]float64{math.Min(chance, below), math.Max(chance, above)}
	low = chance - math.Hypot(chance-few[0], chance-site[0])
	high = chance + math.Hypot(few[1]-chance, site[1]-chance)
	return math.Max(0, low), math.Min(1, high)
}

// openBy is the chance that sowing has opened by day x, mean of the seasons.
func openBy(seasons []Season, x float64) float64 {
	sum := 0.0
	for i := range seasons {
		sum += 1 - seasons[i].opens.notBy(x)
	}
	return sum / float64(len(seasons))
}

// OpensBetween returns the interval of the day on which sowing opens,
// IntervalPercent wide, given the seasons and the error of the soil. It has none
// where the seasons are under [MinSeasons].
func (w *Window) OpensBetween() (low, high climate.Day, ok bool) {
	if len(w.Seasons) < MinSeasons {
		return 0, 0, false
	}
	const tail = (100 - IntervalPercent) / 200.0
	by := func(p float64) climate.Day {
		x := 0
		for openBy(w.Adjusted, float64(x)) < p {
			x++
		}
		return w.latest.calendar.Day(w.Season, x)
	}
	return by(tail), by(1 - tail), true
}

// insideOf is the share of seasons in which x lies between opening and latest
// date, given the error of both.
func insideOf(seasons []Season, x float64) float64 {
	sum := 0.0
	for i := range seasons {
		if closed := seasons[i].opens.notBy(x); closed < 1 {
			sum += math.Max(0, seasons[i].latest.from(x)-closed)
		}
	}
	return sum / float64(len(seasons))
}

// insideGrid is how many days [insideNear] bounds by one of them.
const insideGrid = 8

// insideNear returns [insideOf] on days that follow each other, or 0 where that is lower
// than its maximum by more than a margin, which most days are. The chance not to be too
// late only falls from day to day. So on a day the chance to lie inside is at most
//
//	Σ max(0, P(latest(i) ≥ g) − P(opens(i) > x)) / n
//
// with g a day before it; P(latest(i) ≥ g) is worked out every few days alone.
func insideNear(seasons []Season, days []float64, margin float64) []float64 {
	margin += 1e-9 // of rounding
	inside := make([]float64, len(days))
	made := make([]float64, len(seasons))
	bound := make([]float64, len(days))
	top := 0.0
	for k, x := range days {
		if k%insideGrid == 0 {
			for i := range seasons {
				made[i] = seasons[i].latest.from(x)
			}
		}
		sum := 0.0
		for i := range seasons {
			sum += max(0, made[i]-seasons[i].opens.notBy(x))
		}
		bound[k] = sum / float64(len(seasons))
		if k%insideGrid == 0 {
			inside[k] = bound[k]
			top = max(top, inside[k])
		}
	}
	for k, x := range days {
		if k%insideGrid != 0 && bound[k] >= top-margin {
			inside[k] = insideOf(seasons, x)
			top = max(top, inside[k])
		}
	}
	return inside
}

// normalCDF is the standard normal distribution.
func normalCDF(z float64) float64 { return distuv.UnitNormal.CDF(z) }

// minBest is the chance below which no date is called the best one.
const minBest = 0.01

// best returns the date with the highest chance to be inside the window, the
// middle one of several.
func (s *Station) best(w *Window) *SowChance {
	first, last := s.Calendar.First(w.Season), s.Calendar.Last(w.Season)
	const same = 1e-6
	inside := insideNear(w.Adjusted, s.offsets(w.Season, first, last), same)
	top := slices.Max(inside)
	if top < minBest {
		return nil
	}
	i := slices.IndexFunc(inside, func(c float64) bool { return c >= top-same })
	j := i
	for j+1 < len(inside) && inside[j+1] >= top-same {
		j++
	}
	mid := (i + j) / 2
	return &SowChance{first + climate.Day(mid), inside[mid]}
}

// stageDays returns, for every sow date of a season, the quantiles over the
// seasons of the days until each stage, widened by the error of soil and seed lot.
func (s *Station) stageDays(w *Window) [][3]Spread {
	n := int(s.Calendar.Last(w.Season)-s.Calendar.First(w.Season)) + 1
	out := make([][3]Spread, n)
	s = s.inClimate(w.Trend)
	g := s.growth(&w.Options)
	column := make([]float64, 0, len(w.Seasons))
	offsets := s.offsets(w.Season, s.Calendar.First(w.Season), s.Calendar.Last(w.Season))
	dates := make([][]climate.Day, len(w.Adjusted))
	for i := range dates {
		dates[i] = s.Calendar.Days(w.Adjusted[i].Year, seasonDays)
	}
	for k, stage := range turf.Stages() {
		need := w.Options.Species.ThermalTime(stage)
		lot := w.Options.Species.ThermalTimeSD(stage)
		days := make([][]float64, len(w.Seasons))
		for i := range w.Adjusted {
			days[i] = s.daysTo(&w.Adjusted[i], &g, need, offsets, dates[i])
		}
		for d := range n {
			column = column[:0]
			for i := range days {
				if v := days[i][d]; !math.IsNaN(v) {
					column = append(column, v)
				}
			}
			out[d][k] = spreadOf(column, need, lot, s.siteSD(soil.Depth5, s.Calendar.First(w.Season)+climate.Day(d)))
		}
	}
	return out
}

// daysTo returns, for each offset of a day from the first of a season, the number of days
// from sowing on its date in season se, whose dates by offset are given, until the thermal
// time is reached, +Inf where that is not before the season ends, NaN where the record does
// not hold it.
func (s *Station) daysTo(se *Season, g *growth, need float64, offsets []float64, dates []climate.Day) []float64 {
	out := make([]float64, len(offsets))
	stop := s.Record.Index(se.RecordEnd)
	beyond := math.Inf(1)
	if se.RecordEnd < se.Last {
		beyond = math.NaN()
	}
	j := 0 // later days reach it no earlier
	for d, offset := range offsets {
		// The same date of the season, leap days aside.
		i := s.Record.Index(dates[int(offset)])
		if i < 0 || i > stop {
			out[d] = math.NaN()
			continue
		}
		if j = g.reachFrom(i, j, need); j <= stop {
			out[d] = float64(j - i)
		} else {
			out[d] = beyond
		}
	}
	return out
}

// zTenth is the 90 % quantile of the standard normal distribution.
var zTenth = distuv.UnitNormal.Quantile(0.9)

// spreadOf sums up days to a stage. Seasons give the spread of the weather; the
// errors of soil and seed lot, the same in every season, are added to either
// side in quadrature.
func spreadOf(days []float64, thermalTime, lotSD, siteSD float64) Spread {
	if len(days) < MinSeasons {
		return Spread{math.NaN(), math.NaN(), math.NaN()}
	}
	slices.Sort(days)
	p := Spread{climate.Quantile(0.1, days), climate.Quantile(0.5, days), climate.Quantile(0.9, days)}
	if math.IsInf(p.P50, 1) {
		return p
	}
	n := p.P50 + 1
	rate := math.Max(minDayDegreeDays, thermalTime/n)
	sd := math.Hypot(lotSD, siteSD*n) / rate
	p.P10 = math.Max(0, p.P50-math.Hypot(p.P50-p.P10, zTenth*sd))
	p.P90 = p.P50 + math.Hypot(p.P90-p.P50, zTenth*sd)
	return p
}
