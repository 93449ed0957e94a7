package ask

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"swardcast/climate/demo"
)

// The highest and the lowest temperatures may be in files of their own, and each year
// in its own.
func TestJoinParts(t *testing.T) {
	whole, _, err := openFiles(t, map[string]string{"whole.csv": string(demo.Station)}, "whole.csv")
	if err != nil {
		t.Fatal(err)
	}
	rec := whole.File.Record
	files := map[string]string{"highest.csv": "date,tmax_c\n", "lowest.csv": "date,tmin_c,prcp_mm\n"}
	var years []string
	for i := range rec.TMaxC {
		d := rec.Day(i)
		files["highest.csv"] += fmt.Sprintf("%s,%s\n", d, cell(rec.TMaxC[i]))
		files["lowest.csv"] += fmt.Sprintf("%s,%s,%s\n", d, cell(rec.TMinC[i]), cell(rec.PrecipMM[i]))
		year := fmt.Sprintf("%d.csv", d.Year())
		if files[year] == "" {
			files[year] = "date,tmax_c,tmin_c,prcp_mm\n"
			years = append(years, year)
		}
		files[year] += fmt.Sprintf("%s,%s,%s,%s\n", d, cell(rec.TMaxC[i]), cell(rec.TMinC[i]), cell(rec.PrecipMM[i]))
	}
	for _, args := range [][]string{{"highest.csv", "lowest.csv"}, {"lowest.csv", "highest.csv"}, years} {
		in, _, err := openFiles(t, files, args...)
		if err != nil {
			t.Errorf("%v: %v", args, err)
			continue
		}
		got := in.File.Record
		if got.First != rec.First || got.Len() != rec.Len() {
			t.Fatalf("%v: %s to %s", args, got.First, got.Last())
		}
		for i := range rec.TMaxC {
			if cell(got.TMaxC[i]) != cell(rec.TMaxC[i]) || cell(got.TMinC[i]) != cell(rec.TMinC[i]) ||
				cell(got.PrecipMM[i]) != cell(rec.PrecipMM[i]) {
				t.Fatalf("%v: %s: %g, %g, %g", args, got.Day(i), got.TMaxC[i], got.TMinC[i], got.PrecipMM[i])
			}
		}
	}
	// One of them alone is refused for what it lacks.
	for _, args := range [][]string{{"highest.csv"}, {"highest.csv", "highest2.csv"}} {
		files["highest2.csv"] = files["highest.csv"]
		if _, _, err := openFiles(t, files, args...); err == nil ||
			!strings.Contains(err.Error(), "no column for the lowest temperature") {
			t.Errorf("%v: %v", args, err)
		}
	}
}

// cell is a value as a table has it.
func cell(v float64) string {
	if math.IsNaN(v) {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
