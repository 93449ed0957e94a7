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
	files, _ := filepath.Glob("../../../shared/data/soil/*.csv")
	if len(files) == 0 {
		t.Skip("the station records are not here")
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
