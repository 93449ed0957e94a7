package forecast_test

import (
	"bytes"
	"math"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/climate/recordfile"
	"swardcast/forecast"
)

// The demo station has an autumn a year from 1996 on; a record that ends in a year's
// June has those before it.
func TestAdequacyFollowsSeasons(t *testing.T) {
	file, err := recordfile.Read(bytes.NewReader(demo.Station), demo.Name, recordfile.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for years, want := range map[int]forecast.Adequacy{
		2:  forecast.RecordTooShort,
		4:  forecast.RecordTooShort,
		5:  forecast.RecordShort,
		9:  forecast.RecordShort,
		10: forecast.RecordGood,
		25: forecast.RecordGood,
	} {
		s, err := forecast.NewStation(file.Record.Until(climate.Date(1996+years, time.June, 30)))
		if err != nil {
			t.Fatal(err)
		}
		got, w, err := s.Adequacy(climate.WMO())
		if err != nil || got != want || len(w.Seasons) != years {
			t.Errorf("%d years: %s of %d seasons, %v; want %s", years, got, len(w.Seasons), err, want)
		}
	}
}

// By the strict rule an autumn with a gap every fifth day is none.
func TestAdequacyOfNoSeason(t *testing.T) {
	file, err := recordfile.Read(bytes.NewReader(demo.Station), demo.Name, recordfile.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r := file.Record.Until(climate.Date(1997, time.June, 30))
	for d := climate.Date(1996, time.August, 1); d <= climate.Date(1996, time.December, 31); d += 5 {
		i := r.Index(d)
		r.TMaxC[i], r.TMinC[i] = math.NaN(), math.NaN()
	}
	s, err := forecast.NewStation(r)
	if err != nil {
		t.Fatal(err)
	}
	got, w, err := s.Adequacy(climate.Strict())
	if err != nil || got != forecast.RecordUnusable || len(w.Seasons) != 0 || len(w.Dropped) == 0 {
		t.Errorf("%s, %v, %v", got, w, err)
	}
}
