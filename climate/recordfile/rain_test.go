package recordfile

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"swardcast/climate"
)

// rainyDays are a plain climate with 6 mm on every third day, 2 mm on another and
// 60 mm once a year, in a unit of so many mm, written so.
func rainyDays(header string, mm float64, verb string, row func(climate.Day, float64, float64) string) string {
	return days(header, 800, func(d climate.Day, a, b float64) string {
		rain := map[climate.Day]float64{0: 6, 1: 2}[d%3]
		if d.YearDay() == 100 {
			rain = 60
		}
		return row(d, a, b) + "," + fmt.Sprintf(verb, rain/mm)
	})
}

// The unit of rain is judged by what falls: a wrong one is never believed.
func TestRainUnits(t *testing.T) {
	const fromHeader, beside, values, told = "from the header", "as goes with the temperatures",
		"found from the values", "as told"
	for _, c := range []struct {
		name, header string
		mm           float64
		verb         string
		row          func(climate.Day, float64, float64) string
		told         RainUnit
		unit, reason string // "" where the rain is left out
	}{
		{"mm", "date,tmax_c,tmin_c,prcp", 1, "%.1f", celsiusRow, "", "mm", beside},
		{"in", "date,tmax_f,tmin_f,prcp", 25.4, "%.2f", fahrenheitRow, "", "in.", beside},
		{"tenths", "date,tmax,tmin,prcp", 0.1, "%.0f", tenthsRow, "", "tenths of mm", beside},
		{"header", "date,tmax_f,tmin_f,prcp_mm", 1, "%.1f", fahrenheitRow, "", "mm", fromHeader},
		{"mm beside °F", "date,tmax_f,tmin_f,prcp", 1, "%.1f", fahrenheitRow, "", "mm", values},
		{"in beside °C", "date,tmax_c,tmin_c,prcp", 25.4, "%.3f", celsiusRow, "", "in.", values},
		{"tenths under mm", "date,tmax_c,tmin_c,prcp_mm", 0.1, "%.0f", celsiusRow, "", "", ""},
		{"mm under in", "date,tmax_c,tmin_c,prcp_in", 1, "%.1f", celsiusRow, "", "", ""},
		{"hundredths of an inch", "date,tmax_f,tmin_f,prcp", 0.254, "%.0f", fahrenheitRow, "", "", ""},
		{"tenths under mm, as told", "date,tmax_c,tmin_c,prcp_mm", 0.1, "%.0f", celsiusRow, TenthsMM, "tenths of mm",
			told},
		{"hundredths, as told", "date,tmax_f,tmin_f,prcp", 0.254, "%.0f", fahrenheitRow, HundredthsInch,
			"hundredths of an inch", told},
	} {
		f, err := Read(strings.NewReader(rainyDays(c.header, c.mm, c.verb, c.row)), "x.csv", Options{Rain: c.told})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if f.PrecipUnit != c.unit || f.PrecipReason != c.reason || f.RainDoubtful != (c.unit == "") {
			t.Errorf("%s: %q (%s), %v", c.name, f.PrecipUnit, f.PrecipReason, f.Cautions)
		}
		if c.unit == "" {
			if f.Record.PrecipMM != nil || len(f.Cautions) != 1 || !strings.Contains(f.Cautions[0],
				"rain of the file is left out") {
				t.Errorf("%s: not left out: %v", c.name, f.Cautions)
			}
			continue
		}
		i := f.Record.Index(climate.Date(2019, 4, 10))
		if math.Abs(f.Record.PrecipMM[i]-60) > 0.2 {
			t.Errorf("%s: %g mm", c.name, f.Record.PrecipMM[i])
		}
	}
}
