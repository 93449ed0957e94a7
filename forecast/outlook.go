package forecast

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"swardcast/climate"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// A Verdict is a chance in words.
type Verdict string

// The verdicts. The cuts between them are our own choice and follow no published
// scale.
const (
	Likely   Verdict = "likely"   // LikelyFrom or better
	Doubtful Verdict = "doubtful" // DoubtfulFrom or better
	Unlikely Verdict = "unlikely" // UnlikelyFrom or better
	TooLate  Verdict = "too-late" // worse
)

// The chances from which each verdict holds.
const (
	LikelyFrom   = 2.0 / 3
	DoubtfulFrom = 1.0 / 3
	UnlikelyFrom = 0.02
)

// VerdictOf returns the verdict of a chance.
func VerdictOf(chance float64) Verdict {
	switch {
	case chance >= LikelyFrom:
		return Likely
	case chance >= DoubtfulFrom:
		return Doubtful
	case chance >= UnlikelyFrom:
		return Unlikely
	}
	return TooLate
}

// An Outlook is the outlook for one sowing, given the season so far.
type Outlook struct {
	Options Options
	Sow     climate.Day
	Stages  [3]StageOutlook // emerged, mow, tillered

	EmergedFraction         float64 // share of the seed that will come up that is up by the end of today
	EmergedLow, EmergedHigh float64 // its interval, IntervalPercent wide
	// the record has no day since sowing, though today is not before it: past seasons stand in
	Unseen bool

	Chance    float64 // that the stage of the options is reached by the cutoff
	Low, High float64
	Verdict   Verdict

	Winter *Winter // what winter makes of it

	Open             float64 // chance that sowing is open on the sow date, given the error of the soil
	Opens, Cutoff    Dates
	Latest           Dates // of the latest date, by the chances of sow dates, as in [Window]
	Freeze, Dormancy Dates
	Members          int       // seasons that could be evaluated
	Decided          bool      // the season has ended for seedlings: no day to come can change the chance
	ThermalTime      float64   // °C d from sowing to the end of today
	thermalTimeSD    float64   // of ThermalTime, soil and lot, °C d
	ensemble         *Ensemble // that it is of
	latest           *latestDates
	latestMedian     float64 // of the members' latest dates, days from the first of the season; negative for none
	// BehindDays is by how many days the thermal time is behind its median over the
	// past seasons, negative for ahead; NaN before sowing.
	BehindDays float64
}

// A StageOutlook is when one stage is reached.
type StageOutlook struct {
	Stage       turf.Stage
	ReachedNow  float64 // share of the plants that have reached it
	Low, High   float64
	P10, P50    *climate.Day // dates by which half the plants have; nil where that is not before the season ends
	P90         *climate.Day
	Days        Spread  // from sowing
	NeverBefore float64 // share of members in which it is not reached before the season ends
}

// ErrSowDate is the error of a sow date that is not of the ensemble's season.
var ErrSowDate = errors.New("the sow date lies outside the season")

// Outlook returns the outlook for a sowing on a day of the ensemble's season, or of
// the two months before it, also before the opening and after the cutoff. It
// returns [ErrSowDate] for any other day, and [ErrNoSeasons] where no member can
// be evaluated.
func (e *Ensemble) Outlook(o Options, sow climate.Day) (*Outlook, error) {
	all, err := e.Outlooks(o, []climate.Day{sow})
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// Outlooks returns the outlook for each of several sow dates, like [Ensemble.Outlook].
func (e *Ensemble) Outlooks(o Options, sows []climate.Day) ([]*Outlook, error) {
	if err := e.follows(sows); err != nil {
		return nil, err
	}
	w, grown, err := e.seasons(o)
	if err != nil {
		return nil, err
	}
	all := make([]*Outlook, len(sows))
	for i, sow := range sows {
		all[i] = e.outlook(w, grown, sow)
	}
	return all, nil
}

// chances are the chances of sowing on each of some days, without the rest of their
// outlooks.
func (e *Ensemble) chances(o Options, sows []climate.Day) ([]float64, error) {
	if err := e.follows(sows); err != nil {
		return nil, err
	}
	w, _, err := e.seasons(o)
	if err != nil {
		return nil, err
	}
	all := make([]float64, len(sows))
	for i, sow := range sows {
		all[i] = w.Chance(sow)
	}
	return all, nil
}

// follows returns [ErrSowDate] for a day on which the ensemble follows no sowing.
func (e *Ensemble) follows(sows []climate.Day) error {
	first, last := e.station.Calendar.First(e.Season)-seasonLead, e.station.Calendar.Last(e.Season)
	for _, sow := range sows {
		if sow < first || sow > last {
			return fmt.Errorf(
				"%w: %s, with the season of %d followed from %s to %s",
				ErrSowDate,
				sow,
				e.Season,
				first,
				last,
			)
		}
	}
	return nil
}

// seasons evaluates the season of every member that holds what it needs.
func (e *Ensemble) seasons(o Options) (*Window, []grownMember, error) {
	o, err := o.withDefaults()
	if err != nil {
		return nil, nil, err
	}
	if err := e.station.checkRain(o); err != nil {
		return nil, nil, err
	}
	o.Season = e.Season
	var seasons []Season
	var grown []grownMember
	for _, m := range e.members {
		g := m.growth(&o)
		se, reason := m.season(e.Season, &g, &o)
		if reason == "" {
			se.opens = m.opening(&se, &o)
			seasons, grown = append(seasons, se), append(grown, grownMember{Station: m, growth: g})
		}
	}
	w, err := e.window(o, seasons)
	return w, grown, err
}

// window gathers the dates of the members' seasons.
func (e *Ensemble) window(o Options, seasons []Season) (*Window, error) {
	if len(seasons) == 0 {
		return nil, ErrNoSeasons
	}
	w := &Window{Options: o, Season: e.Season, Seasons: seasons, Adjusted: seasons, Trend: e.Trend}
	e.station.collect(w)
	if e.decided(seasons) {
		w.latest.leaveNoneOpen()
	}
	return w, nil
}

// outlook is that of one sow date, from the members' seasons.
func (e *Ensemble) outlook(w *Window, grown []grownMember, sow climate.Day) *Outlook {
	out := &Outlook{Options: w.Options, Sow: sow, ensemble: e, Members: len(w.Seasons),
		Opens: w.Opens, Cutoff: w.Cutoff, Latest: w.Latest, Freeze: w.Freeze, Dormancy: w.Dormancy,
		latest: w.latest, latestMedian: -1}
	if q := medianLatest(w.Seasons); !math.IsInf(q, 0) {
		out.latestMedian = q
	}
	e.chance(out, w.Seasons)
	e.stages(out, grown)
	out.Winter = e.winter(&out.Options, w.Seasons, grown, sow)
	e.behind(out)
	return out
}

// spread returns the quantiles of the days to a stage like spreadOf, but with the
// errors of soil and seed lot divided by the degree days of the days concerned: in
// winter a little thermal time is many days.
func (e *Ensemble) spread(sow climate.Day, days []float64, need, lotSD float64, grown []grownMember) Spread {
	plain := spreadOf(days, need, 0, 0)
	if math.IsNaN(plain.P50) || math.IsInf(plain.P50, 1) {
		return plain
	}
	// An error of the soil counts on the days that are warm enough to grow.
	var growing []float64
	for _, m := range grown {
		i := m.Record.Index(sow)
		j := min(i+int(plain.P50)+1, m.Record.Len())
		n := 0.0
		for k := max(0, i); k < j; k++ {
			if m.degreeDays[k] > minDayDegreeDays {
				n++
			}
		}
		growing = append(growing, n)
	}
	n := climate.Quantile(0.5, sorted(growing))
	delta := zTenth * math.Hypot(lotSD, e.station.siteSD(soil.Depth5, sow)*n)
	at := func(p, thermalTime float64) float64 {
		var d []float64
		for _, m := range grown {
			if x := m.daysUntil(sow, math.Max(1, thermalTime)); !math.IsNaN(x) {
				d = append(d, x)
			}
		}
		return climate.Quantile(p, sorted(d))
	}
	// In quadrature, but never beyond what early seasons and a fast seed lot, or late
	// ones and a slow seed lot, give together.
	low, high := at(0.5, need-delta), at(0.5, need+delta)
	plain.P10 = math.Max(plain.P50-math.Hypot(plain.P50-plain.P10, plain.P50-low), at(0.1, need-delta))
	plain.P90 = math.Min(plain.P50+math.Hypot(plain.P90-plain.P50, high-plain.P50), at(0.9, need+delta))
	if last := e.station.Calendar.Last(e.station.Calendar.SeasonHolding(sow)); plain.P90 > float64(last-sow) {
		plain.P90 = math.Inf(1)
	}
	return plain
}

// A grownMember is a member with the growth of a species.
type grownMember struct {
	*Station
	growth
	course *winterCourse // nil until asked for
}

// decided reports whether the season has ended for all of the members. What remains
// open then is the site.
func (e *Ensemble) decided(seasons []Season) bool {
	return !slices.ContainsFunc(seasons, func(se Season) bool { return se.decidedOn() > e.Known })
}

// LastSafe returns the last safe date at a confidence in percent, given the season
// so far: the last day of the season whose chance is at least that. It has no date
// where the members are fewer than [MinSeasons] or the first day of the season is
// not as likely.
func (o *Outlook) LastSafe(percent float64) (climate.Day, bool) { return o.latest.last(percent / 100) }

func (e *Ensemble) chance(out *Outlook, seasons []Season) {
	x := e.station.offset(e.Season, out.Sow)
	out.Open = openBy(seasons, x)
	out.Decided = e.decided(seasons)
	out.Chance = out.latest.chance(x)
	if out.Decided {
		below, above := out.latest.chanceGiven(x)
		out.Low, out.High = math.Min(below, out.Chance), math.Max(above, out.Chance)
	} else {
		out.Low, out.High = out.latest.interval(x, out.Chance)
	}
	out.Verdict = VerdictOf(out.Chance)
}

// stages works out the dates of the stages over the members and what is reached
// by now.
func (e *Ensemble) stages(out *Outlook, grown []grownMember) {
	sp := &out.Options.Species
	z := intervalZ
	now, soilSD := e.thermalTimeSoFar(out, grown)
	out.ThermalTime, out.thermalTimeSD = now, math.Hypot(soilSD, turf.LotLogSD*now)
	// Plants differ in when they come up; from there on they keep pace. A seed lot
	// that needs more thermal time to come up needs so much more of whatever its
	// seed has had: the whole curve of the share over thermal time is scaled.
	reached := func(later float64) (share, low, high float64) {
		had := now - later
		sd := math.Hypot(soilSD, math.Hypot(turf.LotLogSD*math.Max(0, had), turf.LeafIntervalLogSD*later))
		return sp.EmergedShare(had), sp.EmergedShare(had - z*sd), sp.EmergedShare(had + z*sd)
	}
	out.EmergedFraction, out.EmergedLow, out.EmergedHigh = reached(0)
	out.Unseen = e.AsOf >= out.Sow && e.Known < out.Sow
	for d := out.Sow; d <= e.AsOf && out.Unseen; d++ {
		out.Unseen = !e.station.observed(d)
	}

	for k, stage := range turf.Stages() {
		need := sp.ThermalTime(stage)
		st := StageOutlook{Stage: stage}
		st.ReachedNow, st.Low, st.High = reached(need - sp.Emerged.Value)
		var days []float64
		for _, m := range grown {
			if d := m.daysUntil(out.Sow, need); !math.IsNaN(d) {
				days = append(days, d)
				if math.IsInf(d, 1) {
					st.NeverBefore++
				}
			}
		}
		st.NeverBefore /= math.Max(1, float64(len(days)))
		st.Days = e.spread(out.Sow, days, need, sp.ThermalTimeSD(stage), grown)
		date := func(d float64) *climate.Day {
			if math.IsNaN(d) || math.IsInf(d, 0) {
				return nil
			}
			return new(out.Sow + climate.Day(math.Round(d)))
		}
		st.P10, st.P50, st.P90 = date(st.Days.P10), date(st.Days.P50), date(st.Days.P90)
		out.Stages[k] = st
	}
}

// thermalTimeSoFar is the thermal time from sowing to the as-of day, the mean of the members
// where past seasons stand in for days, and its standard deviation: of that and of
// the soil.
func (e *Ensemble) thermalTimeSoFar(out *Outlook, grown []grownMember) (thermalTime, sd float64) {
	if e.AsOf < out.Sow {
		return 0, 0
	}
	var sums []float64
	for _, m := range grown {
		i, j := m.Record.Index(out.Sow), m.Record.Index(e.AsOf)
		if i >= 0 && j < m.Record.Len() {
			sums = append(sums, m.progress(i, j))
		}
	}
	if len(sums) == 0 {
		return 0, 0
	}
	thermalTime, spread := stat.PopMeanStdDev(sums, nil)
	days := int(e.AsOf-out.Sow) + 1
	soilSD := math.Hypot(
		e.station.siteSD(soil.Depth5, out.Sow),
		soil.ResidualAt(soil.Depth5).MeanSD(days),
	) * float64(
		days,
	)
	return thermalTime, math.Hypot(spread, soilSD)
}

// daysUntil returns the days from sowing until the thermal time is reached in a
// member, +Inf where it is not before the season ends, NaN where the member's
// weather ends first.
func (m *grownMember) daysUntil(sow climate.Day, need float64) float64 {
	i := m.Record.Index(sow)
	if i < 0 || i >= m.Record.Len() {
		return math.NaN()
	}
	j := m.reach(i, need)
	if j >= m.Record.Len() {
		if m.Record.Last() < m.Calendar.Last(m.Calendar.SeasonHolding(sow)) {
			return math.NaN()
		}
		return math.Inf(1)
	}
	return float64(j - i)
}

// behind compares the thermal time since sowing with its median over the past
// seasons, from the same date, in days.
func (e *Ensemble) behind(out *Outlook) {
	out.BehindDays = math.NaN()
	days := int(e.AsOf-out.Sow) + 1
	if days < 3 || e.UnknownSince(out.Sow) > 0 {
		return
	}
	s := e.station
	g := s.growth(&out.Options)
	var sums [][]float64 // by past season and day
	for _, year := range e.Years {
		i := s.Record.Index(sameDate(out.Sow, year-e.Season))
		if i < 0 || i+2*days >= s.Record.Len() {
			continue
		}
		row := make([]float64, 2*days)
		for k := range row {
			row[k] = g.sum[i+k+1] - g.sum[i]
		}
		sums = append(sums, row)
	}
	if len(sums) < MinSeasons {
		return
	}
	column := make([]float64, len(sums))
	before := 0.0
	for k := range 2 * days {
		for i := range sums {
			column[i] = sums[i][k]
		}
		slices.Sort(column)
		middle := climate.Quantile(0.5, column)
		if middle >= out.ThermalTime {
			part := 0.0
			if middle > before {
				part = (out.ThermalTime - before) / (middle - before)
			}
			out.BehindDays = float64(days) - (float64(k) + part)
			return
		}
		before = middle
	}
	out.BehindDays = -float64(days) // ahead by as much again, or more
}
