package soil

import (
	"swardcast/climate"
)

// A Model is a linear transfer function from air to soil temperature.
type Model struct {
	Coef5, Coef10 Row // one coefficient a column, for 5 and 10 cm
}

// Turf returns the model of soil under grass. Changing the result changes no
// other caller's.
func Turf() *Model {
	m := turf
	return &m
}

// A Curve is the daily mean soil temperature at 5 and 10 cm.
type Curve struct {
	First           climate.Day
	Soil5C, Soil10C []float64
}

// At returns the temperatures at a depth, one a day, °C: those of the curve, not
// copies. It panics for a depth that fails [Depth.Check].
func (c *Curve) At(d Depth) []float64 {
	d.must()
	if d == Depth5 {
		return c.Soil5C
	}
	return c.Soil10C
}

// Estimate returns the soil temperature of every day of a record without
// missing temperatures: [climate.ErrRecord] otherwise. known reports on which days
// they were measured; nil: on all. It returns [climate.ErrNoLatitude] where that is
// not known, and [climate.ErrTooShort] where the record does not cover the year.
//
//	soil(day) = Σ coefficient × column of the day
//
// It is meant for humid climates and watered turf; dry ground is hotter in summer
// than the estimate. docs/validation.md gives its error.
//
// Reference: the form follows Zheng, Hunt & Running 1993, Clim. Res.
// 2:183–191, and Horton & Corkrey 2011, Soil Res. 49:305.
func (m *Model) Estimate(r *climate.Record, known func(day int) bool) (*Curve, error) {
	run, err := m.Start(r, known)
	if err != nil {
		return nil, err
	}
	c := &Curve{First: r.First, Soil5C: make([]float64, r.Len()), Soil10C: make([]float64, r.Len())}
	for i := range c.Soil5C {
		c.Soil5C[i], c.Soil10C[i] = run.Next(r.TMaxC[i], r.TMinC[i])
	}
	return c, nil
}

// A Run is a model that is run from day to day. A copy of it is independent, so that
// one past can have several futures.
type Run struct {
	model *Model
	state state
}

// Start returns a run before the first day of a record, whose normal weather it has
// been run through. Arguments and errors are those of [Model.Estimate].
func (m *Model) Start(r *climate.Record, known func(day int) bool) (Run, error) {
	state, err := newState(r, known)
	if err != nil {
		return Run{}, err
	}
	return Run{m, *state}, nil
}

// Next takes in the air temperatures of the next day, °C, and returns its soil
// temperatures at 5 and 10 cm.
func (r *Run) Next(tmaxC, tminC float64) (soil5C, soil10C float64) {
	var row Row
	r.state.next(tmaxC, tminC, &row)
	return r.model.soil(&row)
}

// soil returns the soil temperatures at 5 and 10 cm of a day's columns. It sums up even and
// odd columns apart, since each sum waits for itself.
func (m *Model) soil(x *Row) (soil5C, soil10C float64) {
	var even5, odd5, even10, odd10 float64
	for k := 0; k < Columns-1; k += 2 {
		even, odd := x[k], x[k+1]
		even5 += m.Coef5[k] * even
		odd5 += m.Coef5[k+1] * odd
		even10 += m.Coef10[k] * even
		odd10 += m.Coef10[k+1] * odd
	}
	return even5 + odd5, even10 + odd10
}

// Columns are taken by twos.
var _ = [1]int{}[Columns%2]

// normalHarmonics is the number of harmonics of the normal soil temperature: a
// third one follows the flat bottom of a winter near freezing.
const normalHarmonics = 3

// Normals fits the normal course of the soil at 5 and at 10 cm.
func (c *Curve) Normals() (at5, at10 climate.Normal, err error) {
	both, err := climate.FitNormals(c.First, normalHarmonics, c.Soil5C, c.Soil10C)
	if err != nil {
		return at5, at10, err
	}
	return both[0], both[1], nil
}
