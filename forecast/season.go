package forecast

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"sync"

	"swardcast/climate"
	"swardcast/forecast/turf"
)

// A CutoffRule is what ends the season for seedlings.
type CutoffRule string

// The cutoff rules.
const (
	CutoffFreeze   CutoffRule = "freeze"   // first killing freeze of the air
	CutoffDormancy CutoffRule = "dormancy" // soil cooled to the dormancy threshold
	CutoffEarliest CutoffRule = "earliest" // whichever of the two comes first
)

// CutoffRules returns every rule.
func CutoffRules() []CutoffRule {
	return []CutoffRule{CutoffFreeze, CutoffDormancy, CutoffEarliest}
}

// A Cause is what ended a season for seedlings.
type Cause string

// The causes.
const (
	CauseFreeze   Cause = "freeze"
	CauseDormancy Cause = "dormancy"
	CauseNone     Cause = "none" // neither came before the season's last day
)

// A Season is one autumn at one station: 1 July to 30 April in the northern
// hemisphere, named by the year it starts in, 1 January to 31 October in the
// southern. A nil day means that the event did not come before the season or the
// record ended.
type Season struct {
	Year        int
	First, Last climate.Day
	RecordEnd   climate.Day // last day of the season that the record has

	Opens    climate.Day  // sowing opens: day after the last of the first six months that is too warm
	Freeze   *climate.Day // first day at or below the killing freeze
	Dormancy *climate.Day // first day after Opens whose smoothed soil is at or below the threshold
	Cutoff   *climate.Day // what ends the season, by the rule of the options
	Cause    Cause
	Latest   *climate.Day // last sow date whose stage is reached by the cutoff

	latest   uncertainDate
	opens    crossing
	calendar climate.Calendar
}

// end returns the last day that counts for a sowing: the cutoff, or the season's
// last day.
func (se *Season) end() climate.Day {
	if se.Cutoff != nil {
		return *se.Cutoff
	}
	return se.Last
}

// decidedOn is the day from which the end of a season no longer hangs on days to
// come.
func (se *Season) decidedOn() climate.Day {
	if se.Cause == CauseDormancy {
		return min(se.end()+smoothTail, se.Last)
	}
	return se.end()
}

// ErrNoAutumn is the error of a place where the soil hardly changes over the
// year, or lies so near the equator that no half of the year is its autumn.
var ErrNoAutumn = errors.New("no autumn here")

// ErrHemisphere is the error of a record whose summer is that of the other
// hemisphere: the sign of its latitude is wrong.
var ErrHemisphere = climate.ErrHemisphere

const (
	weekDays = 7  // of the trailing mean that the opening looks at
	gapLead  = 20 // days before the opening or latest date whose weather the soil remembers well
	ownLead  = 90 // days of its own weather that the longest memory of the soil is to hold, as in the fit
)

// seasonsOf evaluates every season of which the record has a day in the first
// six months, oldest first, and lists which give no answer and why.
func (s *Station) seasonsOf(o Options) (usable []Season, dropped []climate.DroppedSeason) {
	mem := growthMemory.Get().(*memory)
	defer mem.free()
	growth := s.growthIn(mem, &o)
	for year := s.Calendar.SeasonFor(s.Record.First) - 1; s.Calendar.First(year) <= s.Record.Last(); year++ {
		if s.Calendar.Half(year) < s.Record.First || !o.wants(year) {
			continue
		}
		season, reason := s.season(year, &growth, &o)
		if reason != "" {
			dropped = append(dropped, climate.DroppedSeason{Season: year, Reason: reason})
			continue
		}
		season.opens = s.opening(&season, &o)
		usable = append(usable, season)
	}
	return usable, dropped
}

// growth holds the degree days of each day for a species and its running sum:
// sum[j] - sum[i] is the degree days of the days i to j-1. moist is the same of the
// days on which an unwatered seedbed is moist, nil where it is watered; seed
// that is not yet up lives on it.
type growth struct {
	degreeDays, sum []float64
	moist           []float64
	emerged         float64 // thermal time to come up

	stage  *growth   // of the stage of the options, where that counts the air; else nil
	warmth []float64 // by how much it is too warm to sow, °C
}

// deciding is the growth that the stage of the options is reached by.
func (g *growth) deciding() *growth {
	if g.stage != nil {
		return g.stage
	}
	return g
}

// airGrowth holds the degree days of the air above 0 °C, which a closed stand is counted in.
func (s *Station) airGrowth(mem *memory) growth {
	n := s.Record.Len()
	g := growth{degreeDays: mem.take(n), sum: mem.take(n + 1)}
	for i := range n {
		g.degreeDays[i] = max(0, (s.Record.TMaxC[i]+s.Record.TMinC[i])/2)
	}
	sumUp(g.degreeDays, g.sum)
	return g
}

// sumUp sets the running sum of y, which begins with 0 and is longer by one.
func sumUp(y, sum []float64) {
	total := 0.0
	sum[0] = 0
	after := sum[1 : len(y)+1]
	for i, v := range y {
		total += v
		after[i] = total
	}
}

func (s *Station) growth(o *Options) growth { return s.growthIn(s.memory, o) }

// growthMemory is for the growth of stations while their seasons are evaluated.
var growthMemory = sync.Pool{New: func() any { return new(memory) }}

func (m *memory) free() {
	m.reset()
	growthMemory.Put(m)
}

func (s *Station) growthIn(mem *memory, o *Options) growth {
	n := s.Record.Len()
	g := growth{degreeDays: mem.take(n), sum: mem.take(n + 1), emerged: o.Species.Emerged.Value}
	g.warmth = s.warmth(o)
	if o.Stage == turf.Covered {
		air := s.airGrowth(mem)
		g.stage = &air
	}
	response := o.Species.Growth()
	for i, t := range s.Soil.Soil5C {
		g.degreeDays[i] = response.DegreeDays(t)
	}
	sumUp(g.degreeDays, g.sum)
	if o.Unwatered {
		moist, _ := s.seedbed()
		g.moist = mem.take(n + 1)
		g.moist[0] = 0
		for i := range moist {
			g.moist[i+1] = g.moist[i]
			if moist[i] {
				g.moist[i+1] += g.degreeDays[i]
			}
		}
	}
	return g
}

// seedbed returns, by day of the record, whether a seedbed without irrigation is moist, and
// the water it would need, mm ([climate.Seedbed.Moist]).
func (s *Station) seedbed() (moist []bool, needMM []float64) {
	b := &s.means.seedbed
	b.once.Do(func() {
		var err error
		if b.moist, b.needMM, err = climate.Topsoil().Moist(s.Record); err != nil {
			panic("forecast: " + err.Error()) // the record of a station is valid and has its latitude
		}
	})
	return b.moist, b.needMM
}

// reach returns the index of the day on which seed sown on day i has had the
// thermal time, or the number of days where it has not.
func (g *growth) reach(i int, need float64) int {
	if g.moist != nil {
		first := math.Min(need, g.emerged)
		up := after(g.moist, i, first)
		if need -= first; need <= 0 || up >= len(g.degreeDays) {
			return up
		}
		i = up + 1
	}
	return after(g.sum, i, need)
}

// reachFrom is reach where the day is known to lie on k or after.
func (g *growth) reachFrom(i, k int, need float64) int {
	if g.moist != nil {
		return g.reach(i, need)
	}
	for k = max(i, k); k < len(g.degreeDays) && g.sum[k+1] < g.sum[i]+need; k++ {
	}
	return k
}

// progress returns the thermal time that seed sown on day i has lived on by the end of
// day j.
func (g *growth) progress(i, j int) float64 {
	if g.moist == nil {
		return g.sum[j+1] - g.sum[i]
	}
	up := after(g.moist, i, g.emerged)
	if up >= j {
		return g.moist[j+1] - g.moist[i]
	}
	return g.moist[up+1] - g.moist[i] + g.sum[j+1] - g.sum[up+1]
}

// latest returns the index of the last day from the first to stop from which seed
// has had the thermal time by the end of stop; less than the first where there is
// none.
//
// What is sown later is reached later, so that half of the days left are ruled out by
// each that is looked at.
func (g *growth) latest(first, stop int, need float64) int {
	late := func(k int) bool { return g.reach(first+k, need) > stop }
	if g.moist == nil {
		late = func(k int) bool { return g.sum[first+k]+need > g.sum[stop+1] }
	}
	return first + sort.Search(max(0, stop-first+1), late) - 1
}

// after returns the first day j from i on by which a running sum has grown by
// the given amount.
func after(sum []float64, i int, amount float64) int {
	if i >= len(sum)-1 {
		return len(sum) - 1
	}
	k, _ := slices.BinarySearch(sum[i+1:], sum[i]+amount)
	return i + k
}

// season evaluates one season, or gives the reason why it cannot be.
// What [Station.opening] says of it is left out.
func (s *Station) season(year int, g *growth, o *Options) (Season, string) {
	rec := s.Record
	se := Season{Year: year, First: s.Calendar.First(year), Last: s.Calendar.Last(year), calendar: s.Calendar}
	se.RecordEnd = min(se.Last, rec.Last())
	from, to := max(rec.Index(se.First), 0), rec.Index(se.RecordEnd)

	se.Opens = se.First
	for i := min(rec.Index(s.Calendar.Half(year)), to); i >= from; i-- {
		if g.warmth[i] > 0 {
			se.Opens = rec.Day(i + 1)
			break
		}
	}
	for i := from; i <= to; i++ {
		if climate.Freezes(rec.TMinC[i], *o.FreezeC) {
			se.Freeze = new(rec.Day(i))
			break
		}
	}
	// Where the record ends within the season, the smoothed soil of its last days
	// is still open.
	settled := to
	if se.RecordEnd < se.Last {
		settled -= smoothTail
	}
	if i := s.dormantFrom(&se, o, 0, settled, 0); i <= settled {
		se.Dormancy = new(rec.Day(i))
	}
	se.Cutoff, se.Cause = cutoff(&se, o.Cutoff)
	if se.RecordEnd < s.Calendar.Half(year) {
		// One that ended early would be taken, one that goes on left out:
		// the seasons would be a choice of the short ones.
		return se, fmt.Sprintf("it is still running: the record ends on %s", se.RecordEnd)
	}
	undecided := se.Cutoff == nil || o.Cutoff == CutoffEarliest && *se.Cutoff > rec.Day(settled)
	if undecided && se.RecordEnd < se.Last {
		return se, fmt.Sprintf("the record ends on %s, before the season was decided", se.RecordEnd)
	}

	end := se.Last
	if se.Cutoff != nil {
		end = *se.Cutoff
	}
	if i := g.deciding().latest(from, rec.Index(end), o.Species.ThermalTime(o.Stage)); i >= from {
		se.Latest = new(rec.Day(i))
	}
	if !s.spliced {
		if reason := s.gapReason(&se, end, o); reason != "" {
			return se, reason
		}
	}
	se.latest = s.latestUncertainty(&se, g, o, settled)
	return se, ""
}

// dormantFrom returns the index of the first day after the opening, and from a first index
// on, whose smoothed soil lies at or below the dormancy threshold, the soil being warmer than
// estimated by so many standard deviations of its error; past the last index
// where none does.
func (s *Station) dormantFrom(se *Season, o *Options, first, last int, shift float64) int {
	depth, limit := o.Host.Dormancy.Depth, o.Host.Dormancy.TempC
	smooth, sd := s.smoothed(depth), meanError{station: s, depth: depth, own: smoothErrorSD(depth)}
	smooth.Lock()
	defer smooth.Unlock()
	i := max(s.Record.Index(se.Opens)+1, s.Record.Index(se.First), first, 0)
	for ; i <= last; i++ {
		t := smooth.at(i)
		if shift != 0 {
			t += shift * sd.at(s.Record.Day(i))
		}
		if t <= limit {
			break
		}
	}
	return i
}

func cutoff(se *Season, rule CutoffRule) (*climate.Day, Cause) {
	freeze, dormancy := se.Freeze, se.Dormancy
	if rule == CutoffDormancy {
		freeze = nil
	}
	if rule == CutoffFreeze {
		dormancy = nil
	}
	switch {
	case freeze != nil && (dormancy == nil || *freeze <= *dormancy):
		return freeze, CauseFreeze
	case dormancy != nil:
		return dormancy, CauseDormancy
	}
	return nil, CauseNone
}

// gapReason returns why the days that decide a season are too few, or "". They
// run from some weeks before its opening or latest date, whichever is earlier,
// to its opening or cutoff, whichever is later, as worked out with the gaps
// filled: a gap that hides the true date draws the worked-out one into itself.
func (s *Station) gapReason(se *Season, end climate.Day, o *Options) string {
	rule := o.Completeness
	first := se.First
	if se.Latest != nil {
		first = *se.Latest
	}
	// The smoothed soil of a day is made of the days after it too.
	if se.Cause == CauseDormancy {
		end = min(end+smoothTail, se.RecordEnd)
	}
	// A season that opens with its first day had no warm week to decide it.
	if se.Opens > se.First {
		first, end = min(first, se.Opens), max(se.Opens, end)
	}
	if s.Record.First > first-ownLead && s.Record.First <= first-gapLead {
		return fmt.Sprintf("the record begins on %s, less than %d days before the part of the season that decides it",
			s.Record.First, ownLead)
	}
	first -= gapLead
	g, ok := rule.Gap(first, end, func(d climate.Day) bool {
		return !s.observed(d) || o.Unwatered && math.IsNaN(s.Record.PrecipMM[s.Record.Index(d)])
	})
	switch {
	case ok:
		return ""
	case s.Record.First > first:
		return fmt.Sprintf("the record begins on %s, after the part of the season that decides it", s.Record.First)
	case g.Run > rule.MaxRun:
		return fmt.Sprintf("%d days in a row are missing up to %s, in the part of the season that decides it", g.Run,
			g.RunEnd)
	}
	return fmt.Sprintf("%d days are missing between %s and %s, which decide the season", g.Total, first, end)
}
