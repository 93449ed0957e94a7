package check

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"swardcast/climate"
	"swardcast/climate/recordstest"
)

// nights is a record whose nights go with the day before and, better, with the day
// that follows.
func nights() *climate.Record {
	r := record(4)
	for i := range r.TMinC {
		before := r.TMaxC[max(0, i-1)]
		r.TMinC[i] = 0.4*before + 0.6*r.TMaxC[i] - 10 + 2*math.Sin(float64(i*i))
	}
	return r
}

// Columns moved by a day against each other are noticed, others are not.
func TestDayApart(t *testing.T) {
	if s, ok := DayApart(nights()); ok {
		t.Errorf("as it is: %s", s)
	}
	r := nights()
	r.TMaxC = slices.Insert(r.TMaxC[:len(r.TMaxC)-1], 0, math.NaN())
	if s, ok := DayApart(r); !ok || !strings.Contains(s, "the highest late") {
		t.Errorf("the highest a day late: %q", s)
	}
	r = nights()
	r.TMinC = slices.Insert(r.TMinC[:len(r.TMinC)-1], 0, math.NaN())
	if s, ok := DayApart(r); !ok || !strings.Contains(s, "the lowest late") {
		t.Errorf("the lowest a day late: %q", s)
	}
}

// The stations at hand, each as it is and moved, where they are.
func TestDayApartOfStations(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(recordstest.Path(t, "soil"), "*.csv"))
	if len(files) == 0 {
		t.Fatal("no records")
	}
	stations, late, early := 0, 0, 0
	for _, f := range files {
		r, ok := readPlain(t, f)
		if !ok {
			continue
		}
		stations++
		if s, ok := DayApart(r); ok {
			t.Errorf("%s as it is: %s", filepath.Base(f), s)
		}
		moved := *r
		moved.TMaxC = append([]float64{math.NaN()}, r.TMaxC[:r.Len()-1]...)
		if _, ok := DayApart(&moved); ok {
			late++
		}
		moved = *r
		moved.TMinC = append([]float64{math.NaN()}, r.TMinC[:r.Len()-1]...)
		if _, ok := DayApart(&moved); ok {
			early++
		}
	}
	t.Logf("of %d stations, %d are noticed with the highest a day late, %d with the lowest", stations, late, early)
	if late < stations/2 || early < stations/3 {
		t.Errorf("of %d stations only %d and %d are noticed", stations, late, early)
	}
}

// readPlain reads date,tmax_c,tmin_c,… as the stations at hand are written.
func readPlain(t *testing.T, name string) (*climate.Record, bool) {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	if !strings.HasPrefix(lines[0], "date,tmax_c,tmin_c") {
		return nil, false
	}
	first, err := climate.ParseDay(lines[1][:10])
	if err != nil {
		t.Fatal(err)
	}
	last, err := climate.ParseDay(lines[len(lines)-1][:10])
	if err != nil {
		t.Fatal(err)
	}
	r := climate.NewRecord(climate.Place{}, first, int(last-first)+1)
	for _, line := range lines[1:] {
		cells := strings.Split(line, ",")
		d, err := climate.ParseDay(cells[0])
		if err != nil {
			t.Fatal(err)
		}
		r.TMaxC[r.Index(d)], r.TMinC[r.Index(d)] = number(cells[1]), number(cells[2])
	}
	return r, true
}

func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// By hand: (0, 1, 1, 1) and (0, 0, 1, 1) repeated have the covariance 1/8 and the
// variances 3/16 and 1/4, so the correlation 1/√3; moved by a day or two it is −1/√3.
func TestCorrelationByHand(t *testing.T) {
	of := func(n int, cycle ...float64) (v []float64) {
		for i := range n {
			v = append(v, 7+3*cycle[i%len(cycle)])
		}
		return v
	}
	for _, c := range []struct {
		n, lag int
		want   float64
		ok     bool
	}{{400, 0, 1 / math.Sqrt(3), true}, {364, 0, 0, false}, {401, 1, -1 / math.Sqrt(3), true},
		{401, -2, -1 / math.Sqrt(3), true},
		{368, 0, 1 / math.Sqrt(3), true}, {365, 1, 0, false}} {
		got, ok := correlation(of(c.n, 0, 1, 1, 1), of(c.n, 0, 0, 1, 1), c.lag)
		if ok != c.ok || math.Abs(got-c.want) > 0.01 {
			t.Errorf("%+v: %.4f, %v", c, got, ok)
		}
	}
	if _, ok := correlation(of(365, 0, 1), of(365, 1, 0), 0); !ok {
		t.Error("365 pairs are too few")
	}
	if _, ok := correlation(of(400, 1), of(400, 0, 1), 0); ok {
		t.Error("a constant has a correlation")
	}
}

// A straight line has no departures but at its ends, where the days around are on one
// side: half of 15 days' rise.
func TestDeparturesOfALine(t *testing.T) {
	line := make([]float64, 100)
	for i := range line {
		line[i] = float64(i)
	}
	got := departures(line)
	for i, want := range map[int]float64{0: -7.5, 1: -7, 50: 0, 84: 0, 85: 0.5, 15: 0, 99: 7.5} {
		if math.Abs(got[i]-want) > 1e-9 {
			t.Errorf("day %d: %g, want %g", i, got[i], want)
		}
	}
}
