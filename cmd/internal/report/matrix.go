package report

import (
	"math"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/forecast"
)

// MatrixKind is the title of an answer about many places.
const MatrixKind = "Species for a region"

// A Matrix is an answer about species at many places, as data. It is what a page of
// many places is made from, whichever command asked.
type Matrix struct {
	Species  []MatrixSpecies
	Level    float64 // confidence of [Cell.Safe], percent
	Sow      SowRule // which day chances are of
	SowDay   string  // as it was asked for, for [SowOn]
	Places   []MatrixPlace
	Settings string // what the answer is based on
	Cautions []string
}

// A SowRule says which day the chances of a matrix are of.
type SowRule int

// The rules.
const (
	SowLastSafe SowRule = iota // of each place and species its last safe date
	SowOn                      // the day asked for
	SowByPlace                 // a day of each place
)

// A MatrixSpecies is a column of a matrix.
type MatrixSpecies struct {
	ID, Name string
	Need     float64 // thermal time to the stage asked for, °C d: of equal sowings the quicker one is chosen
}

// A MatrixPlace is a row of a matrix.
type MatrixPlace struct {
	Name, File                      string
	Latitude, Longitude, ElevationM float64 // NaN where not known
	South                           bool
	Season                          int
	Seasons                         int    // used
	Cells                           []Cell // one a species; nil where the place has no answer
	Why                             string // it has none; "" for one that has
}

// A State says what a cell has for a last safe date.
type State uint8

// The states.
const (
	Dated         State = iota
	WithoutDate         // no day is as safe as asked
	WithoutCutoff       // cold does not end sowing here: no date is the last
	FewSeasons          // too few seasons for a date
)

// NoDay is the offset of a date that there is not.
const NoDay = math.MinInt16

// A Cell is one species at one place. Dates are days from the first of the season, on a
// calendar without leap days, so that places of different seasons compare; NoDay for none.
type Cell struct {
	Opens, Safe90, Safe, Safe50, Cutoff, Sow int16
	State                                    State
	Chance, Success                          float32 // of Sow; NaN for none
	Winter                                   string  // risk in a word; "" for none
}

// NewMatrix returns a matrix of the species of some options, without a place.
func NewMatrix(options []forecast.Options) *Matrix {
	m := &Matrix{Level: MiddleLevel(options[0].Confidence), Cautions: Cautions()}
	for i := range options {
		sp := &options[i].Species
		m.Species = append(m.Species, MatrixSpecies{ID: sp.ID, Name: sp.Name, Need: sp.ThermalTime(options[i].Stage)})
	}
	return m
}

// MiddleLevel is the confidence, in percent, of the last safe date that stands between
// those at 90 and 50: the one asked for, or 80.
func MiddleLevel(confidence float64) float64 {
	if confidence == 90 || confidence == 50 {
		return 80
	}
	return confidence
}

// Calendar is that of the place.
func (p *MatrixPlace) Calendar() climate.Calendar { return climate.Calendar{South: p.South} }

// Day is the day of an offset, nil for none.
func (p *MatrixPlace) Day(offset int16) *climate.Day {
	if offset == NoDay {
		return nil
	}
	return new(p.Calendar().Day(p.Season, int(offset)))
}

// PlaceOf sums up the windows of a station and what comes of a sowing.
func PlaceOf(in *ask.Station, windows []*forecast.Window, sown []forecast.Prospect) MatrixPlace {
	p := MatrixPlace{Name: in.DisplayName(), File: in.Name, South: in.Calendar.South,
		Season: windows[0].Season, Seasons: len(windows[0].Seasons)}
	p.Latitude, p.Longitude, p.ElevationM = in.Checked.Place.Coordinates()
	for i, w := range windows {
		p.Cells = append(p.Cells, cellOf(in.Calendar, p.Season, w, &sown[i]))
	}
	return p
}

func cellOf(calendar climate.Calendar, season int, w *forecast.Window, sown *forecast.Prospect) Cell {
	day := func(d climate.Day, ok bool) int16 {
		if !ok {
			return NoDay
		}
		return int16(calendar.Offset(season, d))
	}
	opens, _, opened := Opening(w)
	c := Cell{Opens: day(opens, opened), Safe90: day(w.LastSafe(90)),
		Safe: day(w.LastSafe(MiddleLevel(w.Options.Confidence))), Safe50: day(w.LastSafe(50)),
		Cutoff: day(w.Cutoff.At(0.5)), Sow: NoDay, Chance: float32(sown.Chance), Success: float32(sown.Success)}
	switch {
	case len(w.Seasons) < forecast.MinSeasons:
		c.State = FewSeasons
	case !w.ColdEnds():
		c.State = WithoutCutoff
	case c.Safe == NoDay:
		c.State = WithoutDate
	}
	if sown.Sow != nil {
		c.Sow = day(*sown.Sow, true)
	}
	if sown.Winter != nil {
		c.Winter = string(sown.Winter.Risk)
	}
	return c
}

// Best is the species to choose at a place, -1 for none. Of sowings on a day it is the
// one most likely to establish and to live through winter, if that is at least doubtful;
// else the one whose last safe date is latest, of those whose winter risk is not high. Of
// equal ones it is the quicker.
func (m *Matrix) Best(p *MatrixPlace) int {
	best := -1
	for i := range p.Cells {
		c := &p.Cells[i]
		if !m.MakesIt(c) || m.Sow == SowLastSafe && c.Winter == string(forecast.WinterHigh) {
			continue
		}
		if best < 0 || m.better(c, &p.Cells[best], i, best) {
			best = i
		}
	}
	return best
}

// better reports whether a cell is to be chosen before another.
func (m *Matrix) better(a, b *Cell, i, j int) bool {
	x, y := float64(a.Safe), float64(b.Safe)
	if m.Sow != SowLastSafe { // what is as good as equal has no order of its own
		x, y = math.Round(1000*float64(a.Success)), math.Round(1000*float64(b.Success))
	}
	return x > y || x == y && m.Species[i].Need < m.Species[j].Need
}

// MakesIt reports whether a species still makes it at a place: of sowings on a day, that
// it is at least doubtful; else that it has a last safe date.
func (m *Matrix) MakesIt(c *Cell) bool {
	if m.Sow != SowLastSafe {
		return c.Chance >= forecast.DoubtfulFrom
	}
	return c.State == Dated
}
