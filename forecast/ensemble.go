package forecast

import (
	"fmt"
	"math"
	"slices"

	"swardcast/climate"
	"swardcast/forecast/soil"
)

// An Ensemble is what may come of a season: the days gone by, a forecast of the
// days ahead where there is one, and after them the weather of each past season
// as a possible rest of this one. The soil's memory runs on from the days gone
// by into each, so that nothing jumps but the air.
//
// Reference: Day 1985, J. Water Resour. Plann. Manage. 111:157–170.
type Ensemble struct {
	Season int
	AsOf   climate.Day // the last day gone by
	Ahead  int         // days of forecast that were used
	Years  []int       // past seasons whose weather the members have

	station *Station
	members []*Station
}

// farthestAhead is how many days before its first a season can be looked out
// to.
const farthestAhead = 366

// Water is what a seedbed asks for on a day ahead.
type Water struct {
	Day      climate.Day
	NeedMM   float64 // that keeps the seedbed moist, the rain taken off: median of the members
	DryShare float64 // of the members in which an unwatered seedbed is too dry for seed
}

// Water returns what the seedbed asks for from a day on, for so many days or
// until the members end. It returns [ErrNoRain] where the record has no rain.
func (e *Ensemble) Water(from climate.Day, days int) ([]Water, error) {
	if e.station.Record.PrecipMM == nil {
		return nil, ErrNoRain
	}
	type bed struct {
		moist []bool
		need  []float64
	}
	beds := make([]bed, len(e.members))
	for i, m := range e.members {
		beds[i].moist, beds[i].need = climate.Topsoil.Moist(m.Record)
	}
	var out []Water
	for d := from; d < from+climate.Day(days); d++ {
		w := Water{Day: d}
		var needs []float64
		for i, m := range e.members {
			if k := m.Record.Index(d); k >= 0 && k < m.Record.Len() {
				needs = append(needs, beds[i].need[k])
				if !beds[i].moist[k] {
					w.DryShare++
				}
			}
		}
		if len(needs) == 0 {
			break
		}
		slices.Sort(needs)
		w.NeedMM, w.DryShare = climate.Quantile(0.5, needs), w.DryShare/float64(len(needs))
		out = append(out, w)
	}
	return out, nil
}

// ColdSoil returns the day after from on which the trailing week of soil at 5 cm
// first lies at or below a temperature, in the middle of what may come; false
// where it does not in most of it.
func (e *Ensemble) ColdSoil(from climate.Day, tempC float64) (climate.Day, bool) {
	var days []float64
	for _, m := range e.members {
		at := math.Inf(1)
		for i := max(0, m.Record.Index(from)); i < m.Record.Len(); i++ {
			if m.weekly5[i] <= tempC {
				at = float64(m.Record.Day(i) - from)
				break
			}
		}
		days = append(days, at)
	}
	q := climate.Quantile(0.5, sorted(days))
	if math.IsInf(q, 0) {
		return 0, false
	}
	return from + climate.Day(math.Ceil(q)), true
}

// Ensemble makes the ensemble of a season from the days up to asOf, with the
// weather of past seasons from then on; ahead is a forecast of the days after
// asOf, nil for none. The past seasons must be of the station's record; those
// that do not hold the days needed are left out. It returns [ErrNoSeasons]
// where none is left.
func (s *Station) Ensemble(season int, asOf climate.Day, past []int, ahead *climate.Record) (*Ensemble, error) {
	first, last := s.Calendar.First(season), s.Calendar.Last(season)
	asOf = min(asOf, s.Record.Last(), last)
	if first-asOf > farthestAhead {
		return nil, fmt.Errorf("the season of %d begins more than a year after the record ends, on %s", season, asOf)
	}
	if asOf < s.Record.First+weekDays {
		return nil, fmt.Errorf("the record begins only on %s", s.Record.First)
	}
	e := &Ensemble{Season: season, AsOf: asOf, station: s}
	run, err := soil.Turf.Start(s.Record, measured(s.Filled))
	if err != nil {
		return nil, err
	}
	gone := s.Record.Index(asOf) + 1
	for i := range gone {
		run.Next(s.Record.TMaxC[i], s.Record.TMinC[i])
	}
	// The members begin a week before the season, for the trailing means, or
	// with the record, or with the day after which they differ.
	from := max(min(first, asOf+1)-weekDays, s.Record.First)
	for _, year := range past {
		if m := s.member(run, from, asOf, last, year-season, ahead, &e.Ahead); m != nil {
			e.members = append(e.members, m)
			e.Years = append(e.Years, year)
		}
	}
	if len(e.members) == 0 {
		return nil, ErrNoSeasons
	}
	return e, nil
}

// member splices the days from the first to asOf with the forecast and the
// weather of another year up to last, or as far as that year goes. It is nil
// where the other year has no day to give.
func (s *Station) member(run soil.Run, from, asOf, last climate.Day, years int, ahead *climate.Record, used *int) *Station {
	rec := climate.NewRecord(s.Record.Place, from, int(last-from)+1)
	curve := &soil.Curve{First: from, Soil5C: make([]float64, rec.Len()), Soil10C: make([]float64, rec.Len())}
	n := 0
	if s.Record.PrecipMM != nil {
		rec.PrecipMM = make([]float64, rec.Len())
	}
	rain := func(i int, from *climate.Record, k int) {
		if rec.PrecipMM != nil && from.PrecipMM != nil {
			rec.PrecipMM[i] = from.PrecipMM[k]
		}
	}
	for d := from; d <= last; d++ {
		i, j := rec.Index(d), s.Record.Index(d)
		if d <= asOf {
			rain(i, s.Record, j)
			rec.TMaxC[i], rec.TMinC[i] = s.Record.TMaxC[j], s.Record.TMinC[j]
			curve.Soil5C[i], curve.Soil10C[i] = s.Soil.Soil5C[j], s.Soil.Soil10C[j]
			n = i + 1
			continue
		}
		if k := aheadIndex(ahead, d); k >= 0 {
			rain(i, ahead, k)
			rec.TMaxC[i], rec.TMinC[i] = ahead.TMaxC[k], ahead.TMinC[k]
			*used = max(*used, int(d-asOf))
		} else {
			k := s.Record.Index(sameDate(d, years))
			if k < 0 || k >= s.Record.Len() {
				break
			}
			rain(i, s.Record, k)
			rec.TMaxC[i], rec.TMinC[i] = s.Record.TMaxC[k], s.Record.TMinC[k]
		}
		curve.Soil5C[i], curve.Soil10C[i] = run.Next(rec.TMaxC[i], rec.TMinC[i])
		if s.Site != nil {
			o := s.Site.Offset(d)
			curve.Soil5C[i] += o
			curve.Soil10C[i] += o
		}
		n = i + 1
	}
	if from+climate.Day(n) <= asOf+1 && asOf < last {
		return nil
	}
	curve.Soil5C, curve.Soil10C = curve.Soil5C[:n], curve.Soil10C[:n]
	m := *s
	m.spliced = true
	m.Record, m.Filled, m.Soil = rec.Until(from+climate.Day(n)-1), make([]bool, n), curve
	m.weekly5, m.weekly10 = trailingMean(curve.Soil5C, weekDays), trailingMean(curve.Soil10C, weekDays)
	return &m
}

// aheadIndex is the index of a day in a forecast that has both its
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

// sameDate is the date so many years on; 29 February becomes the 28th where it
// must.
func sameDate(d climate.Day, years int) climate.Day {
	y, m, day := d.Date()
	if !climate.ValidDate(y+years, m, day) {
		day = 28
	}
	return climate.Date(y+years, m, day)
}
