package main

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"time"

	"swardcast/climate"
	"swardcast/cmd/internal/sensors"
	"swardcast/forecast"
)

// Simulated forecast rows are of rowDays days. Their errors are as large as
// forecast.RowSD has it, or a factor of it; successive ones correlate by
// rowCorrelation, those of the two temperatures of a day by rowShared².
const (
	rowDays        = 14
	rowCorrelation = 0.8
	rowShared      = 0.85
)

// A rowKind is a kind of simulated forecast and how an ensemble takes it.
type rowKind struct {
	name    string
	rows    bool
	factor  float64 // of the error
	hedged  bool    // the rows are the mean of what may come, given such a forecast
	certain bool    // the ensemble takes the rows for what comes
}

func rowKinds() []rowKind {
	return []rowKind{
		{name: "none"},
		{name: "perfect", rows: true}, {name: "calibrated", rows: true, factor: 1, hedged: true},
		{name: "noisy", rows: true, factor: 1}, {name: "noisier, 1.5 times", rows: true, factor: 1.5},
		{name: "perfect, taken as certain", rows: true, certain: true},
		{name: "calibrated, taken as certain", rows: true, factor: 1, hedged: true, certain: true},
		{name: "noisy, taken as certain", rows: true, factor: 1, certain: true},
	}
}

// rowLeads are when forecasts are made, in days from sowing.
var rowLeads = []climate.Day{-1, 6, 13}

// A rowTally adds up the forecasts of a kind.
type rowTally struct {
	cases          [3]float64 // by lead
	brier          [3]float64
	covered, open  float64 // cutoffs between their 10 and 90 %, of those still to come
	unlikely, came float64 // chances under 5 %, and those that came
}

func (t *rowTally) mean() float64 {
	return (t.brier[0] + t.brier[1] + t.brier[2]) / (t.cases[0] + t.cases[1] + t.cases[2])
}

// rowsTable prints what simulated forecast rows do to the outlooks of past
// seasons, each from the seasons before it.
func rowsTable(w io.Writer, data string) error {
	records, err := sensors.LoadAir(data, func(class string) bool { return class == sensors.Humid })
	if err != nil {
		return err
	}
	fmt.Fprintln(w, "| cutoff | forecast rows | forecasts | Brier | against none | on the day before sowing |"+
		" a week after | two weeks after | cutoff within 10–90 % | chances under 5 % | of them came |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	for _, rule := range []forecast.CutoffRule{forecast.CutoffFreeze, forecast.CutoffEarliest} {
		tallies := make([]rowTally, len(rowKinds()))
		for i, r := range records {
			s, err := forecast.NewStation(r)
			if err != nil {
				return fmt.Errorf("%s: %w", r.Place.Name, err)
			}
			if err := judgeRows(s, rule, rand.New(rand.NewPCG(uint64(i), 7)), tallies); err != nil {
				return fmt.Errorf("%s: %w", r.Place.Name, err)
			}
		}
		none := &tallies[0]
		for i, k := range rowKinds() {
			t := &tallies[i]
			change := func(lead int) float64 {
				return 100 * (t.brier[lead]/t.cases[lead]/(none.brier[lead]/none.cases[lead]) - 1)
			}
			fmt.Fprintf(w, "| %s | %s | %.0f | %.4f | %+.1f %% | %+.1f %% | %+.1f %% | %+.1f %% |"+
				" %.1f %% (%.0f of %.0f) | %.0f | %.1f %% |\n", rule, k.name,
				t.cases[0]+t.cases[1]+t.cases[2], t.mean(), 100*(t.mean()/none.mean()-1),
				change(0), change(1), change(2),
				100*t.covered/t.open, t.covered, t.open, t.unlikely, 100*t.came/t.unlikely)
		}
	}
	return nil
}

// judgeRows adds the forecasts of a station's seasons to the tallies.
func judgeRows(s *forecast.Station, rule forecast.CutoffRule, random *rand.Rand, tallies []rowTally) error {
	sim, err := newSimulator(s.Record)
	if err != nil {
		return err
	}
	all, err := s.Dates(forecast.Options{Cutoff: rule, FirstSeason: 1, LastSeason: 9999, Trend: forecast.TrendOff})
	if err != nil {
		return err
	}
	for i := forecast.FewSeasons; i < len(all.Seasons); i++ {
		came := &all.Seasons[i]
		o := forecast.Options{Cutoff: rule, FirstSeason: 1, LastSeason: came.Year - 1, Season: came.Year}
		before, err := s.Dates(o)
		if err != nil {
			return err
		}
		middle, ok := before.LastInTime(50)
		if !ok || came.Cutoff == nil {
			continue
		}
		for _, shift := range []climate.Day{-8, -1, 6, 13, 20} {
			asOf := middle + shift
			if asOf+rowDays > s.Record.Last() {
				continue
			}
			errors := drawErrors(random)
			for k, kind := range rowKinds() {
				at := forecast.EnsembleOptions{AsOf: &asOf, Past: before.Years()}
				if kind.rows {
					at.Ahead = sim.rows(asOf, kind, errors)
				}
				if kind.certain {
					at.AheadSDC = make([]float64, rowDays)
				}
				e, err := s.Ensemble(o, at)
				if err != nil {
					return err
				}
				if err := tallies[k].add(e, o, middle, came); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// add judges the outlooks of an ensemble: of sow dates a week before, on and a week
// after the middle one, as far as they are at one of the leads.
func (t *rowTally) add(e *forecast.Ensemble, o forecast.Options, middle climate.Day, came *forecast.Season) error {
	judged := false
	for lead, days := range rowLeads {
		sow := e.AsOf - days
		if sow < middle-7 || sow > middle+7 {
			continue
		}
		x, err := e.Outlook(o, sow)
		if err != nil {
			return err
		}
		made := 0.0
		if came.Latest != nil && sow <= *came.Latest {
			made = 1
		}
		t.cases[lead]++
		t.brier[lead] += (x.Chance - made) * (x.Chance - made)
		if x.Chance < 0.05 {
			t.unlikely++
			t.came += made
		}
		if !judged && *came.Cutoff > e.AsOf {
			judged = true
			low, ok := x.Cutoff.At(0.1)
			high, some := x.Cutoff.At(0.9)
			t.open++
			if ok && low <= *came.Cutoff && (!some || *came.Cutoff <= high) {
				t.covered++
			}
		}
	}
	return nil
}

// drawErrors draws the errors of rows, of unit standard deviation: highest and
// lowest temperature.
func drawErrors(random *rand.Rand) (z [rowDays][2]float64) {
	shared := random.NormFloat64()
	for k := range z {
		if k > 0 {
			shared = rowCorrelation*shared + math.Sqrt(1-rowCorrelation*rowCorrelation)*random.NormFloat64()
		}
		for i := range z[k] {
			z[k][i] = rowShared*shared + math.Sqrt(1-rowShared*rowShared)*random.NormFloat64()
		}
	}
	return z
}

// A simulator makes forecasts of a record from what came.
type simulator struct {
	record *climate.Record
	normal []climate.Normal // of highest and lowest temperature
	sdC    [13][2]float64   // of their anomalies, by month
}

func newSimulator(r *climate.Record) (*simulator, error) {
	normal, err := climate.FitNormals(r.First, climate.AirHarmonics, r.TMaxC, r.TMinC)
	if err != nil {
		return nil, err
	}
	s := &simulator{record: r, normal: normal}
	var days [13]float64
	for i := range r.TMaxC {
		d := r.Day(i)
		m := monthOf(d)
		days[m]++
		for k, v := range []float64{r.TMaxC[i], r.TMinC[i]} {
			a := v - normal[k].At(d)
			s.sdC[m][k] += a * a
		}
	}
	for m := range days {
		for k := range s.sdC[m] {
			s.sdC[m][k] = math.Sqrt(s.sdC[m][k] / days[m])
		}
	}
	return s, nil
}

func monthOf(d climate.Day) time.Month {
	_, m, _ := d.Date()
	return m
}

// rows are the rows of a kind for the days after one.
func (s *simulator) rows(asOf climate.Day, kind rowKind, errors [rowDays][2]float64) *climate.Record {
	out := climate.NewRecord(s.record.Place, asOf+1, rowDays)
	for k := range rowDays {
		d := asOf + 1 + climate.Day(k)
		i := s.record.Index(d)
		sd := kind.factor * forecast.RowSD(float64(k+1))
		made := func(element int, truth float64) float64 {
			if !kind.hedged {
				return truth + sd*errors[k][element]
			}
			return hedged(truth, s.normal[element].At(d), s.sdC[monthOf(d)][element], sd, errors[k][element])
		}
		out.TMaxC[k], out.TMinC[k] = made(0, s.record.TMaxC[i]), made(1, s.record.TMinC[i])
		out.TMaxC[k] = math.Max(out.TMaxC[k], out.TMinC[k])
	}
	return out
}

// hedged is a forecast that misses the truth by sd and whose error does not
// depend on it: the mean of what may come, given the truth with an error e, where
// anomalies have the standard deviation sigma.
//
//	sd² = σ² e² / (σ² + e²)
func hedged(truth, normal, sigma, sd, z float64) float64 {
	if sd >= sigma {
		return normal
	}
	e := sd * sigma / math.Sqrt(sigma*sigma-sd*sd)
	return normal + sigma*sigma/(sigma*sigma+e*e)*(truth+e*z-normal)
}
