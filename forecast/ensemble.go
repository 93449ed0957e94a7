package forecast

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"swardcast/climate"
	"swardcast/forecast/soil"
)

// An Ensemble holds the possible outcomes of a season: the days gone by, a forecast of the
// days ahead where there is one, and the weather of each past season where
// neither tells: after them, and in gaps of the record too long to be filled. On a
// day of the forecast each member keeps the departure of its own year, as far as
// the forecast can be off. The soil's memory runs on from the days gone by into
// each, so that nothing jumps but the air.
//
// Reference: Day 1985, J. Water Resour. Plann. Manage. 111:157–170.
type Ensemble struct {
	Season  int
	AsOf    climate.Day // today: the end of the days gone by
	Known   climate.Day // last day up to which the record leaves nothing open
	Alone   bool        // the record ended more than a year before the season: past seasons alone say how it goes
	Unknown int         // days of the season up to AsOf for which past seasons are taken
	Ahead   int         // days of forecast that were used, of the days that the record does not have
	Years   []int       // past seasons whose weather the members have
	Trend   Trend       // over the past seasons; its days are NaN where EnsembleOptions named them

	// TendencyDays are the days after AsOf that [Tendency] moves, and TendencyC is by
	// how much, °C; 0 without one.
	TendencyDays int
	TendencyC    float64

	tendencyEnd climate.Day // last day that it moves

	station *Station
	rows    *rowsAhead
	members []*Station
}

// farthestAhead is how many days before it begins a season can be asked for.
const farthestAhead = 366

// Water is the water that a seedbed needs on a day ahead.
type Water struct {
	Day      climate.Day
	NeedMM   float64 // irrigation that keeps the seedbed moist, beyond the rain: median of the members
	DryShare float64 // share of the members in which a seedbed without irrigation is too dry for seed
}

// HasRain reports whether the record has precipitation on enough days to follow a seedbed
// without irrigation.
func (e *Ensemble) HasRain() bool { return e.station.hasRain() }

// minRain is the share of days with precipitation on record that Water needs.
const minRain = 0.8

// Water returns the water that the seedbed needs on each day from a day on, for so
// many days or until the members end, and the median over the members of its sum,
// mm. It returns [ErrNoRain] where the record has no precipitation, or has it on
// too few days.
func (e *Ensemble) Water(from climate.Day, days int) (byDay []Water, totalMM float64, err error) {
	if !e.station.hasRain() {
		return nil, 0, ErrNoRain
	}
	totals := make([]float64, len(e.members))
	for d := from; d < from+climate.Day(days); d++ {
		w := Water{Day: d}
		var needs []float64
		for i, m := range e.members {
			if k := m.Record.Index(d); k >= 0 && k < m.Record.Len() {
				moist, needMM := m.seedbed()
				needs = append(needs, needMM[k])
				totals[i] += needMM[k]
				if !moist[k] {
					w.DryShare++
				}
			}
		}
		if len(needs) == 0 {
			break
		}
		slices.Sort(needs)
		w.NeedMM, w.DryShare = climate.Quantile(0.5, needs), w.DryShare/float64(len(needs))
		byDay = append(byDay, w)
	}
	return byDay, climate.Quantile(0.5, sorted(totals)), nil
}

// ColdSoil returns the day from the given one on when the trailing week of soil at
// 5 cm is first at or below a temperature, median of the members; nil where it is
// not in half of them. It returns [climate.ErrThreshold] for a temperature that is
// not finite.
func (e *Ensemble) ColdSoil(from climate.Day, tempC float64) (*climate.Day, error) {
	if math.IsNaN(tempC) || math.IsInf(tempC, 0) {
		return nil, fmt.Errorf("%w: %g °C", climate.ErrThreshold, tempC)
	}
	var days []float64
	for _, m := range e.members {
		at, week := math.Inf(1), m.weekly(soil.Depth5)
		for i := max(0, m.Record.Index(from)); i < m.Record.Len(); i++ {
			if week[i] <= tempC {
				at = float64(m.Record.Day(i) - from)
				break
			}
		}
		days = append(days, at)
	}
	q := climate.Quantile(0.5, sorted(days))
	if math.IsInf(q, 0) {
		return nil, nil
	}
	return new(from + climate.Day(climate.CeilDay(q))), nil
}

// seasonLead is how many days before a season sowings are followed: the months
// between two seasons.
const seasonLead = 62

// EnsembleOptions say what the season so far is and what stands in for the rest
// of it. The zero value takes the record as it is, to its last day, and every
// other season that can be used.
type EnsembleOptions struct {
	AsOf *climate.Day // today: the season so far ends with it; nil: the last day of the record
	// Ahead is a forecast of days that the record does not have: after AsOf, or
	// between the record's last day and AsOf; nil: none. A day of the record is never
	// replaced.
	Ahead *climate.Record
	// AheadSDC is the standard error of each day of Ahead, °C, NaN where it is not
	// known; nil: [RowSD], the first day of Ahead after AsOf being one day ahead.
	AheadSDC []float64
	// Tendency says that the days ahead will be warmer or colder than normal; nil:
	// nothing is known of them.
	Tendency *Tendency
	// Past are the seasons whose weather stands in, by their year. With nil they
	// are those that [Station.Dates] uses, but for the season itself; where the
	// record goes on after AsOf, later seasons are among them ([climate.Record.Until]
	// cuts a record).
	Past []int
}

// check refuses past seasons that would count twice, or as the season itself, and
// a forecast that is no record.
func (at *EnsembleOptions) check(season int) error {
	if at.Ahead != nil {
		if err := at.Ahead.Validate(); err != nil {
			return fmt.Errorf("%w: forecast: %w", ErrOptions, err)
		}
	} else if at.AheadSDC != nil {
		return fmt.Errorf("%w: errors of a forecast that is not given", ErrOptions)
	}
	if at.Tendency != nil {
		if err := at.Tendency.check(); err != nil {
			return err
		}
	}
	for i, year := range at.Past {
		switch {
		case year == season:
			return fmt.Errorf("%w: the season of %d cannot stand in for itself", ErrOptions, year)
		case slices.Contains(at.Past[:i], year):
			return fmt.Errorf("%w: the past season of %d stands twice", ErrOptions, year)
		}
	}
	return nil
}

// ErrOutsideRecord is the error of a season that begins more than a year after today,
// and of a record that begins only after today.
var ErrOutsideRecord = errors.New("the season lies outside the record")

// ErrNoDaysAhead is the error of forecast rows none of which is of a day of the
// season that the record does not have, and of a tendency of no such day.
var ErrNoDaysAhead = errors.New("the forecast has no day after today")

// Ensemble makes the ensemble of a season: of o.Season, or else of the season that
// holds today or comes next. The record is taken up to today, then the forecast,
// then the weather of each past season on the same dates. A gap in the days gone
// by that is longer than o.Completeness lets pass is not taken from the filled
// record but from the past seasons too, and so are the days between the end of
// the record and today. A past season that does not hold the days needed is left
// out.
//
// It returns [ErrNoSeasons] where no past season is left, [ErrOutsideRecord],
// [ErrNoDaysAhead], and [ErrOptions] where a past season stands twice or is the
// season itself.
func (s *Station) Ensemble(o Options, at EnsembleOptions) (*Ensemble, error) {
	o, err := o.withDefaults()
	if err != nil {
		return nil, err
	}
	asOf := s.Record.Last()
	if at.AsOf != nil {
		asOf = *at.AsOf
	}
	if o.Season == 0 {
		o.Season = s.Calendar.SeasonHolding(asOf)
	}
	if err := at.check(o.Season); err != nil {
		return nil, err
	}
	at.AsOf = &asOf
	if at.Past != nil {
		var t Trend
		if len(at.Past) > 0 {
			t = s.airTrend(o.Trend, o.Season, slices.Min(at.Past), slices.Max(at.Past))
		}
		return s.ensemble(o, t, at)
	}
	w, err := s.Dates(o)
	if err != nil {
		return nil, err
	}
	at.Past = slices.DeleteFunc(w.Years(), func(year int) bool { return year == o.Season })
	return s.ensemble(o, w.Trend, at)
}

// ensemble is Ensemble with every choice made.
func (s *Station) ensemble(o Options, t Trend, at EnsembleOptions) (*Ensemble, error) {
	e, f, err := s.future(o, t, at)
	if err != nil {
		return nil, err
	}
	for _, year := range at.Past {
		if e.Alone {
			// The soil remembers the days before in the member's own year.
			before := sameDate(f.from, year-e.Season) - 1
			if before+1 < s.Record.First || before >= s.Record.Last() {
				continue
			}
			if f.run, err = s.runUntil(before); err != nil {
				return nil, err
			}
		}
		if m := e.member(f, year-e.Season, nil); m != nil {
			e.members = append(e.members, m)
			e.Years = append(e.Years, year)
		}
	}
	if len(e.members) == 0 {
		return nil, ErrNoSeasons
	}
	if at.Ahead != nil && e.Ahead == 0 {
		return nil, fmt.Errorf("%w, %s", ErrNoDaysAhead, e.AsOf)
	}
	return e, nil
}

// A future is what the members of an ensemble have in common.
type future struct {
	from, last climate.Day
	run        soil.Run  // of the soil estimate, up to the last day known
	offsets    []float64 // of the readings' calibration, from the first day on; nil for none
}

// future returns an ensemble that has no members yet, and what they are made from.
func (s *Station) future(o Options, t Trend, at EnsembleOptions) (*Ensemble, *future, error) {
	season, asOf, ahead := o.Season, *at.AsOf, at.Ahead
	first, last := s.Calendar.First(season), s.Calendar.Last(season)
	asOf = min(asOf, last)
	if first-asOf > farthestAhead {
		return nil, nil, &kindError{ErrOutsideRecord,
			fmt.Sprintf("the season of %d begins more than a year after %s", season, asOf)}
	}
	if asOf < s.Record.First+weekDays {
		return nil, nil, &kindError{ErrOutsideRecord, fmt.Sprintf("the record begins only on %s", s.Record.First)}
	}
	e := &Ensemble{Season: season, AsOf: asOf, Trend: t, station: s, Alone: first-s.Record.Last() > farthestAhead}
	f := &future{from: first - seasonLead - weekDays, last: last}
	e.Known = s.Record.Last()
	if !e.Alone {
		f.from = max(min(first-seasonLead, asOf+1, s.Record.Last()+1)-weekDays, s.Record.First)
		e.Known = s.knownUntil(f.from, min(asOf, s.Record.Last()), o.Completeness)
	}
	from := f.from
	var err error
	if f.run, err = s.runUntil(e.Known); err != nil {
		return nil, nil, err
	}
	if s.Site != nil {
		for d := from; d <= last; d++ {
			f.offsets = append(f.offsets, s.Site.Offset(d))
		}
	}
	if e.rows, err = e.newRowsAhead(ahead, at.AheadSDC, at.Past); err != nil {
		return nil, nil, err
	}
	e.Unknown = e.UnknownSince(first)
	for d := max(e.Known+1, from); d <= last; d++ {
		if e.rows.index(d) >= 0 && !(d <= asOf && s.observed(d)) {
			e.Ahead++
		}
	}
	if at.Tendency != nil {
		if err := e.setTendency(at.Tendency, at.Past, last); err != nil {
			return nil, nil, err
		}
	}
	return e, f, nil
}

// soilRuns are runs of the soil estimate over a record, before its first day and after
// every runDays days, worked out when they are asked for.
type soilRuns struct {
	once sync.Once
	runs []soil.Run
	err  error
}

const runDays = 128

// runUntil returns a run of the soil estimate that has taken in a record up to a day.
func (s *Station) runUntil(last climate.Day) (soil.Run, error) {
	r := s.run
	r.once.Do(func() {
		var run soil.Run
		if run, r.err = soil.Turf().Start(s.Record, measured(s.Filled)); r.err != nil {
			return
		}
		for i := range s.Record.TMaxC {
			if i%runDays == 0 {
				r.runs = append(r.runs, run)
			}
			run.Next(s.Record.TMaxC[i], s.Record.TMinC[i])
		}
	})
	if r.err != nil {
		return soil.Run{}, r.err
	}
	n := s.Record.Index(last) + 1 // days to take in
	run := r.runs[min(n/runDays, len(r.runs)-1)]
	for i := min(n/runDays, len(r.runs)-1) * runDays; i < n; i++ {
		run.Next(s.Record.TMaxC[i], s.Record.TMinC[i])
	}
	return run, nil
}

// observed reports whether the record has the day, not filled.
func (s *Station) observed(d climate.Day) bool {
	i := s.Record.Index(d)
	return i >= 0 && i < len(s.Filled) && !s.Filled[i]
}

// UnknownSince returns the number of days from one on, up to AsOf, for which past
// seasons are taken.
func (e *Ensemble) UnknownSince(from climate.Day) int {
	n := 0
	for d := max(e.Known+1, from); d <= e.AsOf; d++ {
		if !e.station.observed(d) && e.rows.index(d) < 0 {
			n++
		}
	}
	return n
}

// knownUntil returns the last day before the first gap that is longer than the rule
// allows, or to.
func (s *Station) knownUntil(from, to climate.Day, rule climate.Completeness) climate.Day {
	run := 0
	for d := from; d <= to; d++ {
		if s.observed(d) {
			run = 0
			continue
		}
		if run++; run > rule.MaxRun {
			return max(d-climate.Day(run), s.Record.First)
		}
	}
	return to
}

// member splices the days from the first to what is known with the forecast rows
// and the weather of another year, brought to the climate of this one, up to last
// or as far as that year goes. It is nil where the other year does not reach
// beyond today.
func (e *Ensemble) member(f *future, years int, mem *memory) *Station {
	s, run, from, last := e.station, f.run, f.from, f.last
	days := int(last-from) + 1
	rec := &climate.Record{Place: s.Record.Place, First: from, TMaxC: mem.take(days), TMinC: mem.take(days)}
	curve := &soil.Curve{First: from, Soil5C: mem.take(days), Soil10C: mem.take(days)}
	if s.Record.PrecipMM != nil {
		rec.PrecipMM = mem.take(days)
	}
	n, warming := 0, e.Trend.warmingC(e.Season+years)
	same := sameDates{years: years}
	for d := from; d <= last; d++ {
		i, otherDay := rec.Index(d), same.of(d)
		other := s.Record.Index(otherDay)
		source, k, warmer := s.Record, s.Record.Index(d), 0.0
		switch {
		case d <= e.Known:
		case d <= e.AsOf && s.observed(d):
		case e.rows.index(d) >= 0:
			source, k = e.rows.record, e.rows.index(d)
		default:
			k, warmer = other, warming+e.tendencyOn(d)
		}
		if k < 0 || k >= source.Len() {
			break
		}
		rec.TMaxC[i], rec.TMinC[i] = source.TMaxC[k]+warmer, source.TMinC[k]+warmer
		if source != s.Record {
			rec.TMaxC[i], rec.TMinC[i] = e.rows.at(k, s.Record, other, warming)
		}
		if rec.PrecipMM != nil {
			rec.PrecipMM[i] = e.rain(source, k, otherDay)
		}
		if d <= e.Known {
			curve.Soil5C[i], curve.Soil10C[i] = s.Soil.Soil5C[k], s.Soil.Soil10C[k]
		} else {
			curve.Soil5C[i], curve.Soil10C[i] = run.Next(rec.TMaxC[i], rec.TMinC[i])
			if f.offsets != nil {
				curve.Soil5C[i] += f.offsets[i]
				curve.Soil10C[i] += f.offsets[i]
			}
		}
		n = i + 1
	}
	if end := from + climate.Day(n) - 1; end < last && end <= e.AsOf {
		return nil
	}
	curve.Soil5C, curve.Soil10C = curve.Soil5C[:n], curve.Soil10C[:n]
	m := *s
	m.spliced, m.memory = true, mem
	m.Record, m.Filled = rec.Until(from+climate.Day(n)-1), make([]bool, n)
	m.renew(curve)
	return &m
}

// rain returns the precipitation of day k of a record, or, where that is missing,
// of another day of the station.
func (e *Ensemble) rain(source *climate.Record, k int, other climate.Day) float64 {
	if source.PrecipMM != nil && !math.IsNaN(source.PrecipMM[k]) {
		return source.PrecipMM[k]
	}
	if j := e.station.Record.Index(other); j >= 0 && j < e.station.Record.Len() {
		return e.station.Record.PrecipMM[j]
	}
	return math.NaN()
}

// aheadIndex returns the index of a day in a forecast that has both its
// temperatures, or -1.
func aheadIndex(ahead *climate.Record, d climate.Day) int {
	if ahead == nil {
		return -1
	}
	if i := ahead.Index(d); i >= 0 && i < ahead.Len() && !ahead.Missing(i) {
		return i
	}
	return -1
}

// sameDates is [sameDate] for one number of years, which remembers how far away the other
// date is: as far on the first 28 days of a month.
type sameDates struct {
	years            int
	from, to, offset climate.Day
}

func (s *sameDates) of(d climate.Day) climate.Day {
	if d < s.from || d > s.to || s.to == 0 {
		_, _, day := d.Date()
		s.from, s.to = d, d
		if day <= 28 {
			s.from, s.to = d-climate.Day(day)+1, d-climate.Day(day)+28
		}
		s.offset = sameDate(d, s.years) - d
	}
	return d + s.offset
}

// sameDate returns the date so many years on; 29 February becomes the 28th in a year
// without it.
func sameDate(d climate.Day, years int) climate.Day {
	y, m, day := d.Date()
	if !climate.ValidDate(y+years, m, day) {
		day = 28
	}
	return climate.Date(y+years, m, day)
}
