package forecast

import (
	"errors"
	"math"
	"slices"
	"testing"
	"time"

	"swardcast/climate"
)

// tercileShift is the mean departure of the warmest or coldest third of the past
// seasons over some days after today, worked out from the record alone.
func tercileShift(s *Station, past []int, season int, asOf climate.Day, days int, colder bool) float64 {
	var means []float64
	for _, year := range past {
		sum := 0.0
		for d := asOf + 1; d <= asOf+climate.Day(days); d++ {
			y, m, day := d.Date()
			i := s.Record.Index(climate.Date(y+year-season, m, day))
			sum += (s.Record.TMaxC[i] + s.Record.TMinC[i]) / 2
		}
		means = append(means, sum/float64(days))
	}
	slices.Sort(means)
	if colder {
		slices.Reverse(means)
	}
	all, third := 0.0, 0.0
	n := int(math.Round(float64(len(means)) / 3))
	for i, v := range means {
		all += v / float64(len(means))
		if i >= len(means)-n {
			third += v / float64(n)
		}
	}
	return third - all
}

// A tendency moves every member by the mean of a third of the past seasons, on its
// days alone, so that the spread between the members stays.
func TestTendency(t *testing.T) {
	s := station(t, 9, 0, 16)
	asOf := climate.Date(2000, time.October, 5)
	past := yearsBut(t, s, 2000)
	const days = 21
	ensemble := func(at EnsembleOptions) *Ensemble {
		at.AsOf, at.Past = new(asOf), past
		e, err := s.Ensemble(Options{Season: 2000, Trend: TrendOff}, at)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	plain := ensemble(EnsembleOptions{})
	if plain.TendencyDays != 0 || plain.TendencyC != 0 {
		t.Errorf("a tendency of %d days, %g °C without one", plain.TendencyDays, plain.TendencyC)
	}
	established := map[bool]float64{}
	for _, colder := range []bool{false, true} {
		e := ensemble(EnsembleOptions{Tendency: &Tendency{Days: days, Colder: colder}})
		want := tercileShift(s, past, 2000, asOf, days, colder)
		if e.TendencyDays != days || math.Abs(e.TendencyC-want) > 1e-9 || (want < 0) != colder {
			t.Errorf("colder %v: %d days by %g °C, want %g", colder, e.TendencyDays, e.TendencyC, want)
		}
		for i, m := range e.members {
			for k := range m.Record.TMaxC {
				shift := 0.0
				if d := m.Record.Day(k); d > asOf && d <= asOf+days {
					shift = want
				}
				was := plain.members[i].Record
				if math.Abs(m.Record.TMaxC[k]-was.TMaxC[k]-shift) > 1e-9 ||
					math.Abs(m.Record.TMinC[k]-was.TMinC[k]-shift) > 1e-9 {
					t.Fatalf("colder %v, member %d, %s: moved by %g °C", colder, i, m.Record.Day(k),
						m.Record.TMaxC[k]-was.TMaxC[k])
				}
			}
		}
		x, err := e.Outlook(Options{Trend: TrendOff}, asOf+1)
		if err != nil {
			t.Fatal(err)
		}
		established[colder] = x.Stages[2].Days.P50
	}
	x, err := plain.Outlook(Options{Trend: TrendOff}, asOf+1)
	if err != nil {
		t.Fatal(err)
	}
	if usual := x.Stages[2].Days.P50; !(established[true] > usual && usual > established[false]) {
		t.Errorf("days to establish, colder, as usual, warmer: %g, %g, %g", established[true], usual,
			established[false])
	}
	// Rows of a forecast stand; the days behind them are moved.
	rows := climate.NewRecord(s.Record.Place, asOf+1, 7)
	for i := range rows.TMaxC {
		rows.TMaxC[i], rows.TMinC[i] = 20, 10
	}
	e := ensemble(EnsembleOptions{Ahead: rows, Tendency: &Tendency{Days: days}})
	rowsAlone := ensemble(EnsembleOptions{Ahead: rows})
	k := e.members[0].Record.Index(asOf + 7)
	a, b := e.members[0].Record.TMaxC, rowsAlone.members[0].Record.TMaxC
	if e.TendencyDays != days-7 || a[k] != b[k] || math.Abs(a[k+1]-b[k+1]-e.TendencyC) > 1e-9 {
		t.Errorf("with rows: %d days, %g and %g, %g and %g", e.TendencyDays, a[k], b[k], a[k+1], b[k+1])
	}
}

func TestTendencyRefused(t *testing.T) {
	s := station(t, 9, 0, 16)
	asOf := climate.Date(2000, time.October, 5)
	end := s.Calendar.Last(2000)
	past := yearsBut(t, s, 2000)
	for name, c := range map[string]struct {
		at   EnsembleOptions
		want error
	}{
		"no day":          {EnsembleOptions{AsOf: &asOf, Past: past, Tendency: &Tendency{}}, ErrOptions},
		"half a year":     {EnsembleOptions{AsOf: &asOf, Past: past, Tendency: &Tendency{Days: 180}}, ErrOptions},
		"two seasons":     {EnsembleOptions{AsOf: &asOf, Past: past[:2], Tendency: &Tendency{Days: 9}}, ErrNoSeasons},
		"a season's last": {EnsembleOptions{AsOf: &end, Past: past, Tendency: &Tendency{Days: 9}}, ErrNoDaysAhead},
	} {
		if _, err := s.Ensemble(Options{Season: 2000}, c.at); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Where the record ends before today, forecast rows of the days between are used; rows
// of days that the record has never are.
func TestRowsFillUpToToday(t *testing.T) {
	s := station(t, 9, 0, 16)
	last := climate.Date(2000, time.October, 5)
	short, err := NewStation(s.Record.Until(last))
	if err != nil {
		t.Fatal(err)
	}
	rows := climate.NewRecord(s.Record.Place, last-9, 30) // ten of them observed
	for i := range rows.TMaxC {
		rows.TMaxC[i], rows.TMinC[i] = 30, 20
	}
	e, err := short.Ensemble(Options{Season: 2000, Trend: TrendOff},
		EnsembleOptions{AsOf: new(last + 5), Ahead: rows, AheadSDC: make([]float64, 30)})
	if err != nil {
		t.Fatal(err)
	}
	if e.Ahead != 20 || e.Unknown != 0 {
		t.Errorf("%d rows used, %d days left to past seasons", e.Ahead, e.Unknown)
	}
	m := e.members[0].Record
	for d := last - 9; d <= last+20; d++ {
		got, want := m.TMaxC[m.Index(d)], 30.0
		if d <= last {
			want = s.Record.TMaxC[s.Record.Index(d)]
		}
		if got != want {
			t.Errorf("%s: %g °C, want %g", d, got, want)
		}
	}
}
