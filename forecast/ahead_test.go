package forecast

import (
	"errors"
	"math"
	"slices"
	"testing"
	"time"

	"swardcast/climate"
)

func TestRowSD(t *testing.T) {
	for lead, want := range map[float64]float64{0: 1, 1: 1, 7.5: 2.5, 14: 4, 40: 4} {
		if got := RowSD(lead); math.Abs(got-want) > 1e-12 {
			t.Errorf("%g days ahead: %g °C, want %g", lead, got, want)
		}
	}
}

// aheadOf is an ensemble with so many rows after a day, each so far off the normal
// of its day, and the standard errors given.
func aheadOf(t *testing.T, s *Station, asOf climate.Day, rows int, offC float64, sdC []float64) *Ensemble {
	t.Helper()
	normals, err := climate.FitNormals(s.Record.First, climate.AirHarmonics, s.Record.TMaxC, s.Record.TMinC)
	if err != nil {
		t.Fatal(err)
	}
	var r *climate.Record
	if rows > 0 {
		r = climate.NewRecord(s.Record.Place, asOf+1, rows)
	}
	for i := range rows {
		r.TMaxC[i], r.TMinC[i] = normals[0].At(r.Day(i))+offC, normals[1].At(r.Day(i))+offC
	}
	e, err := s.Ensemble(Options{Trend: TrendOff}, EnsembleOptions{AsOf: &asOf, Ahead: r, AheadSDC: sdC})
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// spreadOn is the mean and the standard deviation of the members' highest
// temperature on a day.
func spreadOn(e *Ensemble, d climate.Day) (mean, sd float64) {
	n := float64(len(e.members))
	for _, m := range e.members {
		mean += m.Record.TMaxC[m.Record.Index(d)] / n
	}
	for _, m := range e.members {
		x := m.Record.TMaxC[m.Record.Index(d)] - mean
		sd += x * x / (n - 1)
	}
	return mean, math.Sqrt(sd)
}

// Members spread about a row by the error that rows of its lead have, as far as past
// years spread, and less is made of a row the farther ahead it is.
func TestMembersSpreadAboutRows(t *testing.T) {
	s := station(t, 17, 0, 32)
	asOf := climate.Date(2015, time.October, 20)
	const off = 6
	e := aheadOf(t, s, asOf, 14, off, nil)
	none := aheadOf(t, s, asOf, 0, off, nil)
	moved := map[climate.Day]float64{}
	for lead := climate.Day(1); lead <= 14; lead++ {
		mean, sd := spreadOn(e, asOf+lead)
		normal, past := spreadOn(none, asOf+lead)
		moved[lead] = mean - normal
		// The spread is scaled by that of all fourteen days, from which the one
		// day's differs by chance.
		want := math.Min(RowSD(float64(lead)), past)
		if sd < 0.6*want || sd > 1.5*want || sd > 1.05*past {
			t.Errorf("%d days ahead members spread by %.1f °C, want %.1f; past years by %.1f", lead, sd, want, past)
		}
	}
	// The weights are σ²/(σ² + e²), with σ some 4.5 °C: 0.95 and 0.55 of 6 °C. The
	// mean of thirty past years is off the normal by up to 2 °C.
	if moved[1] < 0.95*off-2 || moved[1] > 0.95*off+2 || moved[14] < 0.55*off-2 || moved[14] > 0.55*off+2 {
		t.Errorf("rows %d °C off the normal move the first day by %.1f °C, the last by %.1f",
			off, moved[1], moved[14])
	}
	// Behind the rows each member is its own year.
	for k, m := range e.members {
		own := none.members[k].Record
		if m.Record.TMaxC[m.Record.Index(asOf+15)] != own.TMaxC[own.Index(asOf+15)] {
			t.Fatal("a day behind the rows is not that of the member's year")
		}
	}
}

// The standard errors of the rows are taken where they are given: 0 takes a row for
// certain, a large one leaves the past years.
func TestRowsWithErrors(t *testing.T) {
	s := station(t, 17, 0, 32)
	asOf := climate.Date(2015, time.October, 20)
	nan := math.NaN()
	e := aheadOf(t, s, asOf, 3, 6, []float64{0, 100, nan})
	normal := aheadOf(t, s, asOf, 3, 0, []float64{0, 100, nan})
	none := aheadOf(t, s, asOf, 0, 0, nil)
	if mean, sd := spreadOn(e, asOf+1); sd > 1e-9 {
		t.Errorf("a certain row has members %.1f ± %.2g °C", mean, sd)
	}
	a, sd := spreadOn(e, asOf+2)
	b, past := spreadOn(none, asOf+2)
	if math.Abs(a-b) > 1 || math.Abs(sd-past) > 1e-9 {
		t.Errorf("a row that is 100 °C off at a time gives %.1f ± %.2f °C, past years %.1f ± %.2f", a, sd, b, past)
	}
	c, sd := spreadOn(e, asOf+3)
	d, _ := spreadOn(normal, asOf+3)
	if c-d < 5 || sd > 2.5 {
		t.Errorf("a row without an error of its own: %.1f °C above one 6 °C colder, ± %.1f", c-d, sd)
	}
	rows := climate.NewRecord(s.Record.Place, asOf+1, 3)
	for _, sds := range [][]float64{{1, 1}, {1, -1, 1}} {
		if _, err := s.Ensemble(Options{}, EnsembleOptions{AsOf: &asOf, Ahead: rows, AheadSDC: sds}); !errors.Is(
			err,
			ErrOptions,
		) {
			t.Errorf("errors %v of three rows: %v", sds, err)
		}
	}
}

// Rows say nothing for certain: seasons whose cutoff they make out to come early
// keep a chance, and one row beside the lows of frost is no certain freeze.
func TestRowsAreNotCertain(t *testing.T) {
	s := station(t, 19, 0, 32)
	asOf := climate.Date(2015, time.October, 25)
	rows := climate.NewRecord(s.Record.Place, asOf+1, 14)
	for i := range rows.TMaxC {
		rows.TMaxC[i], rows.TMinC[i] = 14, 4
	}
	rows.TMinC[10] = -2.5 // a freeze, eleven days ahead
	share := func(sdC []float64) float64 {
		e, err := s.Ensemble(Options{Cutoff: CutoffFreeze}, EnsembleOptions{AsOf: &asOf, Ahead: rows, AheadSDC: sdC})
		if err != nil {
			t.Fatal(err)
		}
		frozen := 0.0
		for _, m := range e.members {
			if slices.Min(m.Record.TMinC[m.Record.Index(asOf+1):m.Record.Index(asOf+15)]) <= -2.2 {
				frozen++
			}
		}
		return frozen / float64(len(e.members))
	}
	if got := share(make([]float64, 14)); got != 1 {
		t.Errorf("taken for certain the rows freeze %.2f of the members", got)
	}
	if got := share(nil); got < 0.15 || got > 0.95 {
		t.Errorf("a freeze eleven days ahead comes in %.2f of the members", got)
	}
}
