package check_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"swardcast/climate/check"
	"swardcast/climate/recordfile"
	"swardcast/climate/recordstest"
)

// No real record is refused or doubted by the checks of what a record means, and in none
// are zeros taken for missing values. The records are of the US Climate Reference Network
// and of Met Éireann, and are not part of the project.
func TestRealRecordsMeanWhatTheySay(t *testing.T) {
	read := 0
	for _, kind := range []string{"soil", "marine"} {
		dir := recordstest.Path(t, kind)
		f, err := os.Open(filepath.Join(dir, "stations.csv"))
		if err != nil {
			t.Fatal(err)
		}
		stations, err := csv.NewReader(f).ReadAll()
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		column := slices.IndexFunc(stations[0], func(s string) bool { return s == "latitude" || s == "lat" })
		for k, row := range stations[1:] {
			if testing.Short() && k%8 != 0 {
				continue
			}
			latitude, err := strconv.ParseFloat(row[column], 64)
			if err != nil {
				t.Fatal(err)
			}
			f, err := os.Open(filepath.Join(dir, row[0]+".csv"))
			if err != nil {
				continue
			}
			file, err := recordfile.Read(f, row[0], recordfile.Options{})
			f.Close()
			if err != nil {
				t.Errorf("%s: %v", row[0], err)
				continue
			}
			read++
			file.Record.Place.Latitude = &latitude
			clean, suspect, err := check.Clean(file.Record)
			if err != nil {
				t.Errorf("%s: %v", row[0], err)
				continue
			}
			if doubts, err := check.Place(clean); doubts != nil || err != nil {
				t.Errorf("%s: %v, %v", row[0], doubts, err)
			}
			if slices.ContainsFunc(suspect, func(d check.Suspect) bool { return d.Test == "zero-for-missing" }) {
				t.Errorf("%s: zeros taken for missing values", row[0])
			}
		}
	}
	if read == 0 {
		t.Fatal("no record was read")
	}
	t.Logf("%d records", read)
}
