package forecast

import (
	"fmt"
	"math"

	"swardcast/climate"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// A Spring is what spring offers after a season: seed put into cold soil to come up then, the
// days to sow on, and when the host takes over.
type Spring struct {
	Options Options
	Trend   Trend // of the seasons
	Season  int   // the season whose winter comes before
	Years   []int // seasons whose winter and spring the record holds
	Dormant Dates // days from which soil at 5 cm stays under turf.DormantSoilC until midwinter
	Wakes   Dates // days on which soil at 5 cm is back at SpringSoilC for good: spring sowing begins
	// Heat is the first day of the heat that seedlings do not bear (OpeningHeat); a year
	// without it counts as later than any date.
	Heat   Dates
	HostUp Dates // days on which the host wakes, turf.WakeSoilC at 10 cm
	// Last is the last spring date whose stage is reached before the heat; a year without
	// heat counts as later than any date.
	Last   Dates
	LetGo  LetGo    // when the cool-season grass should give way
	ByDate []Chance // every day from the first to the last on which spring sowing is a question
	// CanBeDormant reports whether the species is sown into cold soil at all
	// ([turf.DormantSeeding]).
	CanBeDormant bool
}

// A Chance is the chance of a spring sowing.
type Chance struct {
	Sow    climate.Day
	Before float64 // chance that the stage is reached before summer heat
	Soil   float64 // chance that soil is back at SpringSoilC for good
}

// A LetGo is the date by which a host should be free of cool-season grass, so that it has
// [turf.FreeDays] to itself: before it is overseeded again, and before it goes dormant.
type LetGo struct {
	BeforeSowing   *climate.Day // FreeDays before the median opening
	BeforeDormancy *climate.Day // FreeDays before the median dormancy
}

// summerDays is how many days after a season's first six months spring and summer are
// followed: to the end of August in the north.
const summerDays = 243

// midwinterDays is how many days after its first six months a season counts as not yet
// risen: the soil is coldest about then.
const midwinterDays = 45

// Spring works out what the spring after a season offers: after o.Season, or else the spring
// at or after the end of the record. It returns the errors of [Station.Dates], and
// [ErrNoSeasons] where fewer than [MinSeasons] winters and springs are on record.
func (s *Station) Spring(o Options) (*Spring, error) {
	w, err := s.Dates(o)
	if err != nil {
		return nil, err
	}
	return s.spring(w)
}

func (s *Station) spring(w *Window) (*Spring, error) {
	out := &Spring{Options: w.Options, Season: w.Season, Trend: w.Trend,
		CanBeDormant: turf.DormantSeeding(w.Options.Species.ID)}
	s = s.inClimate(w.Trend)
	g := s.growth(&w.Options)
	stage := g.deciding()
	need := w.Options.Species.ThermalTime(w.Options.Stage)
	heat := s.heat()
	var dormant, back, hot, wakes, last []float64
	for k := range w.Adjusted {
		year := w.Adjusted[k].Year
		first, half := s.Calendar.First(year), s.Calendar.Half(year)
		i, mid, end := s.Record.Index(first), s.Record.Index(half+midwinterDays), s.Record.Index(half+summerDays)
		if i < weekDays || end >= s.Record.Len() {
			continue
		}
		out.Years = append(out.Years, year)
		at := func(i int) float64 { return float64(i) - float64(s.Record.Index(first)) }
		never := math.Inf(1)

		if d := s.dormantSeeding(&w.Options.Species, i, mid); d < mid {
			dormant = append(dormant, at(d))
		} else {
			dormant = append(dormant, never)
		}
		// Soil is back for good after the last week below before summer.
		peak, week := end, s.weekly(soil.Depth5)
		for j := mid; j <= end; j++ {
			if week[j] > week[peak] {
				peak = j
			}
		}
		b := peak
		for b > mid && week[b-1] >= SpringSoilC {
			b--
		}
		back = append(back, at(b))
		h := b
		for h <= end && !(heat[h] > 0) {
			h++
		}
		switch {
		case h > end:
			hot, last = append(hot, never), append(last, never)
		default:
			hot = append(hot, at(h))
			last = append(last, at(stage.latest(mid, h, need)))
		}
		if up, ok := s.wakes(year); ok {
			wakes = append(wakes, float64(up-first))
		} else {
			wakes = append(wakes, never)
		}
	}
	if len(out.Years) < MinSeasons {
		return nil, fmt.Errorf("%w: %d winters with their springs are on record, %d are needed", ErrNoSeasons,
			len(out.Years), MinSeasons)
	}
	start := s.Calendar.First(w.Season)
	day := func(offset int) climate.Day { return start + climate.Day(offset) }
	out.Dormant = quantileDates(dormant, day, climate.CeilDay)
	out.Wakes = quantileDates(back, day, climate.CeilDay)
	out.Heat = quantileDates(hot, day, climate.FloorDay)
	out.HostUp = quantileDates(wakes, day, climate.CeilDay)
	out.Last = quantileDates(last, day, climate.FloorDay)
	share := func(v []float64, holds func(float64) bool) float64 {
		n := 0.0
		for _, x := range v {
			if holds(x) {
				n++
			}
		}
		return n / float64(len(v))
	}
	// From the first year's soil that is back to the last date of four in five.
	from, to := int(back[0]), int(s.Calendar.Half(w.Season)-start)+summerDays
	for x := from; x <= to; x++ {
		c := Chance{Sow: day(x)}
		c.Before = share(last, func(v float64) bool { return v >= float64(x) })
		c.Soil = share(back, func(v float64) bool { return v <= float64(x) })
		out.ByDate = append(out.ByDate, c)
	}
	out.LetGo = letGo(w)
	return out, nil
}

// earlyShare is the share of the seed of a dormant seeding that may germinate before
// midwinter: seedlings that come up then meet the worst of it (our choice).
const earlyShare = 0.05

// dormantSeeding returns the index of the first day from i on on which the trailing week of
// soil at 5 cm is at or below [turf.DormantSoilC] and from which so little warmth is to come
// before midwinter that no more than earlyShare of the seed germinates; mid where there is none.
func (s *Station) dormantSeeding(sp *turf.Species, i, mid int) int {
	response := sp.Germinating()
	d, sum := mid, 0.0
	for d > i {
		sum += response.DegreeDays(s.Soil.Soil5C[d-1])
		if sp.GerminatedShare(sum) > earlyShare {
			break
		}
		d--
	}
	week := s.weekly(soil.Depth5)
	for d < mid && week[d] > turf.DormantSoilC {
		d++
	}
	return d
}

// letGo counts back from the opening and from dormancy of the season after.
func letGo(w *Window) LetGo {
	var l LetGo
	if w.Options.Host.ID == "none" {
		return l
	}
	year := func(d climate.Day) climate.Day { return sameDate(d, 1) - turf.FreeDays }
	if d, ok := w.Opens.At(0.5); ok {
		l.BeforeSowing = new(year(d))
	}
	if d, ok := w.Dormancy.At(0.5); ok {
		l.BeforeDormancy = new(year(d))
	}
	return l
}

// wakes returns the day on which the host wakes in the spring after a season's first six
// months: from then to midsummer the first day after the coldest week on which the trailing
// week of soil at 10 cm is at or above [turf.WakeSoilC]. It is false where the record ends
// before, or the soil does not get there.
func (s *Station) wakes(season int) (climate.Day, bool) {
	half := s.Calendar.Half(season)
	from, end := s.Record.Index(half-midwinterDays), s.Record.Index(half+summerDays)
	if from < weekDays || s.Record.Index(half+midwinterDays) >= s.Record.Len() {
		return 0, false
	}
	coldest, week := from, s.weekly(soil.Depth10)
	for i := from; i <= s.Record.Index(half+midwinterDays); i++ {
		if week[i] < week[coldest] {
			coldest = i
		}
	}
	for i := coldest; i <= min(end, s.Record.Len()-1); i++ {
		if week[i] >= turf.WakeSoilC {
			return s.Record.Day(i), true
		}
	}
	return 0, false
}

// RainOnly returns the window of the same options without irrigation. It returns
// [ErrNoRain] where the record has no precipitation or has it on too few days.
func (s *Station) RainOnly(o Options) (*Window, error) {
	if !s.hasRain() {
		return nil, ErrNoRain
	}
	o.Unwatered = true
	return s.Dates(o)
}

// hasRain reports whether precipitation is on record on enough days to follow a seedbed.
func (s *Station) hasRain() bool {
	known := 0
	for _, mm := range s.Record.PrecipMM {
		if !math.IsNaN(mm) {
			known++
		}
	}
	return float64(known) >= minRain*float64(s.Record.Len())
}
