package check

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
)

// Two columns that hold the daily mean, or of which one holds the decimals of the other,
// are refused; a record of less than a year is not judged.
func TestColumnsHoldOtherThings(t *testing.T) {
	for name, spoil := range map[string]func(r *climate.Record, i int){
		"daily means": func(r *climate.Record, i int) {
			m := (r.TMaxC[i] + r.TMinC[i]) / 2
			r.TMaxC[i], r.TMinC[i] = m, m
		},
		"nearly the same": func(r *climate.Record, i int) { r.TMinC[i] = r.TMaxC[i] - 0.4 },
		"decimals cut off": func(r *climate.Record, i int) {
			whole, part := math.Modf(r.TMaxC[i])
			r.TMaxC[i], r.TMinC[i] = whole, math.Round(math.Abs(part)*10)
		},
	} {
		r := record(5)
		if err := Columns(r); err != nil {
			t.Fatal(err)
		}
		short := record(5).Until(r.First + 300)
		for i := range r.Len() {
			spoil(r, i)
			if i < short.Len() {
				spoil(short, i)
			}
		}
		if _, _, err := Clean(r); !errors.Is(err, ErrColumns) {
			t.Errorf("%s: %v", name, err)
		}
		if err := Columns(short); err != nil {
			t.Errorf("%s, 300 days: %v", name, err)
		}
	}
}

// Without seasons the two columns need not go together.
func TestColumnsWithoutSeasons(t *testing.T) {
	r := record(3)
	for i := range r.Len() {
		cloud := float64(i * 7919 % 13)
		r.TMaxC[i], r.TMinC[i] = 32-cloud/4, 22+cloud/8
	}
	if err := Columns(r); err != nil {
		t.Error(err)
	}
}

// Zeros written for missing lowest temperatures go, in winter too, where a single zero
// among the outliers does not make a rule.
func TestZerosForMissing(t *testing.T) {
	spoil := func(every int) *climate.Record {
		r := record(10)
		for i := 7; i < r.Len(); i += every {
			r.TMinC[i] = 0
		}
		return r
	}
	zeros := func(r *climate.Record) (n int) {
		for _, v := range r.TMinC {
			if v == 0 {
				n++
			}
		}
		return n
	}
	clean, suspect, err := Clean(spoil(50))
	if err != nil || zeros(clean) != 0 {
		t.Errorf("%d zeros are left, %v", zeros(clean), err)
	}
	found := 0
	for _, d := range suspect {
		if d.Test == "zero-for-missing" {
			found += d.Values
			if d.Values != 1 || d.Series != Lowest || !strings.Contains(d.Reason, "stands for a missing value") {
				t.Errorf("%+v", d)
			}
		}
	}
	if found == 0 {
		t.Error("none is called a missing value")
	}
	good := record(10)
	few := record(10)
	few.TMinC[few.Index(climate.Date(1995, time.July, 20))] = 0
	want := zeros(good)
	if clean, _, err = Clean(few); err != nil || want == 0 || zeros(clean) != want {
		t.Errorf("%d zeros of %d are left by one outlier, %v", zeros(clean), want, err)
	}
}

// Dates moved by a season are refused at either side of the equator, dates moved by
// seven weeks are doubted, and the other hemisphere is left to the check of it.
func TestPlaceFitsTheYear(t *testing.T) {
	at := func(latitude float64, days int) ([]string, error) {
		r := record(5)
		r.First += climate.Day(days)
		r.Place.Latitude = &latitude
		return Place(r)
	}
	for _, c := range []struct {
		latitude float64
		days     int
		doubt    string
		refused  bool
	}{
		{36, 0, "", false}, {-36, 183, "", false}, {-36, 0, "", false}, {36, 183, "", false},
		{36, -91, "", true}, {36, 91, "", true}, {-36, 183 - 91, "", true}, {-36, 183 + 91, "", true},
		{36, 50, "Are the dates right?", false}, {36, -25, "Are the dates right?", false},
		{0, 0, "Is latitude 0 right? The air swings", false}, {5, 91, "Is latitude 5 right? The air swings", false},
		{87, 0, "Is latitude 87 right? The air averages", false},
	} {
		doubts, err := at(c.latitude, c.days)
		if all := strings.Join(doubts, " "); (err != nil) != c.refused || c.refused && !errors.Is(err, ErrCourse) ||
			!strings.Contains(all, c.doubt) || c.doubt == "" && all != "" {
			t.Errorf("%g°, %d days: %q, %v", c.latitude, c.days, all, err)
		}
	}
	r := record(5)
	r.Place.Latitude = nil
	if doubts, err := Place(r); doubts != nil || err != nil {
		t.Errorf("no latitude: %v, %v", doubts, err)
	}
	latitude := 87.0
	short := record(5).Until(r.First + 100)
	short.Place.Latitude = &latitude
	if doubts, err := Place(short); doubts != nil || err != nil {
		t.Errorf("100 days: %v, %v", doubts, err)
	}
}
