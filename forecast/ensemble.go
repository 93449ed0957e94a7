package forecast

import (
	"fmt"

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
	for d := from; d <= last; d++ {
		i, j := rec.Index(d), s.Record.Index(d)
		if d <= asOf {
			rec.TMaxC[i], rec.TMinC[i] = s.Record.TMaxC[j], s.Record.TMinC[j]
			curve.Soil5C[i], curve.Soil10C[i] = s.Soil.Soil5C[j], s.Soil.Soil10C[j]
			n = i + 1
			continue
		}
		if k := aheadIndex(ahead, d); k >= 0 {
			rec.TMaxC[i], rec.TMinC[i] = ahead.TMaxC[k], ahead.TMinC[k]
			*used = max(*used, int(d-asOf))
		} else {
			k := s.Record.Index(sameDate(d, years))
			if k < 0 || k >= s.Record.Len() {
				break
			}
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
