package forecast

import (
	"math"
	"sync"

	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// An OpeningRule says from which day on a sowing does not come too early.
type OpeningRule string

// The opening rules.
const (
	// OpeningSoil: the day after the last on which the trailing week of soil lies above
	// the host's opening threshold. The host then gives way to seedlings.
	OpeningSoil OpeningRule = "soil"
	// OpeningAir: the day after the last week whose days, on average, are hotter than
	// turf.OpenDayC.
	OpeningAir OpeningRule = "air"
	// OpeningHeat: the day after the last five days that on average had nights over
	// turf.HeatNightC and days over turf.HeatDayC, when diseases of seedlings are to be
	// feared. A season without such a spell opens with its first day: a cool-season lawn can
	// then hardly be sown too early (Purdue, S).
	OpeningHeat OpeningRule = "heat"
)

// OpeningRules returns every rule.
func OpeningRules() []OpeningRule { return []OpeningRule{OpeningSoil, OpeningAir, OpeningHeat} }

// openingFor is the rule for a host where none is given: bare soil and a cool-season lawn
// have no host to wait for, so that heat alone makes a sowing too early.
func openingFor(h *turf.Host) OpeningRule {
	if h.ID == "none" {
		return OpeningHeat
	}
	return OpeningSoil
}

// heatDays is how many days a spell of heat is averaged over. A single hot night is no
// spell. Of three, five and seven days, and nights of 68 and 70 °F, the published openings
// fit these best; they are few (docs/validation.md).
const heatDays = 5

// An openingQuestion is what the opening of a season hangs on: not on the species.
type openingQuestion struct {
	rule OpeningRule
	open turf.Threshold
}

// openings are the answers of a station to one question, each worked out when it is asked
// for.
type openings struct {
	sync.Mutex
	warmth  []float64        // by day of the record, as of [Station.warmth]; nil for not yet
	seasons map[int]crossing // by the year of the season
}

func (s *Station) openings(o *Options) *openings {
	m := s.means
	m.lock.Lock()
	defer m.lock.Unlock()
	q := openingQuestion{o.Opening, o.Host.Open}
	if m.openings[q] == nil {
		if m.openings == nil {
			m.openings = map[openingQuestion]*openings{}
		}
		m.openings[q] = &openings{seasons: map[int]crossing{}}
	}
	return m.openings[q]
}

// warmth returns, by day of the record, by how much it is still too warm to sow, °C: above 0
// sowing is not open. It is NaN on the first days.
func (s *Station) warmth(o *Options) []float64 {
	a := s.openings(o)
	a.Lock()
	defer a.Unlock()
	if a.warmth == nil {
		a.warmth = s.findWarmth(o)
	}
	return a.warmth
}

func (s *Station) findWarmth(o *Options) []float64 {
	switch o.Opening {
	case OpeningAir:
		week := trailingMean(s.Record.TMaxC, weekDays, s.memory)
		for i := range week {
			week[i] -= turf.OpenDayC
		}
		return week
	case OpeningHeat:
		return s.heat()
	}
	week := s.weekly(o.Host.Open.Depth)
	out := s.memory.take(len(week))
	for i, t := range week {
		out[i] = t - o.Host.Open.TempC
	}
	return out
}

// heat returns, by day of the record, by how much the last heatDays are hotter than seedlings
// bear, °C, the smaller of the excess by night and by day.
func (s *Station) heat() []float64 {
	out, days := trailingMean(s.Record.TMinC, heatDays, s.memory), trailingMean(s.Record.TMaxC, heatDays, s.memory)
	for i := range out {
		out[i] = math.Min(out[i]-turf.HeatNightC, days[i]-turf.HeatDayC)
	}
	return out
}

// warmthSD returns the standard deviation of the error of warmth: that of the soil estimate;
// nil for the air, which is measured.
func (s *Station) warmthSD(o *Options) *meanError {
	if o.Opening != OpeningSoil {
		return nil
	}
	depth := o.Host.Open.Depth
	return &meanError{station: s, depth: depth, own: soil.ResidualAt(depth).MeanSD(weekDays)}
}
