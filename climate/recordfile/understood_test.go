package recordfile

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"swardcast/climate"
)

// Places are written in many ways before the header.
func TestPlaces(t *testing.T) {
	rows := days("date,tmax_c,tmin_c", 60, celsiusRow)
	for above, want := range map[string][3]float64{
		"Latitude: 35.31 S, Longitude: 149.2 E, Altitude 1,160 m\n":         {-35.31, 149.2, 1160},
		"LAT 40-30N LON 78-46W ELEV 1,160 ft\n":                             {40.5, -78.7667, 353.568},
		"lat: 35°18'36\"S lon: 149°12'E\nElevation (ft): 100\n":             {-35.31, 149.2, 30.48},
		"Latitude,-35.31\nLongitude,149.2\nElevation (m),577\n":             {-35.31, 149.2, 577},
		"Latitude (decimal degrees): -35.31\nLongitude (deg): 149.2\n":      {-35.31, 149.2, math.NaN()},
		"Lat: S35.31 Long: E149.2\nHeight: 577m\n":                          {-35.31, 149.2, 577},
		"lat;lon;alt\n35.31 S;149.2 E;577\n\n":                              {-35.31, 149.2, 577},
		"latitude 51.4   longitude -6.35\n":                                 {51.4, -6.35, math.NaN()},
		"# Latitude = 35.31 S\n# Longitude = 149.2\n# alt: 1160.5 metres\n": {-35.31, 149.2, 1160.5},
	} {
		text := above + rows
		if strings.Contains(above, ";") {
			text = above + strings.ReplaceAll(rows, ",", ";")
		}
		f, err := Read(strings.NewReader(text), "x.csv", Options{})
		if err != nil {
			t.Errorf("%q: %v", above, err)
			continue
		}
		lat, lon, m := f.Record.Place.Coordinates()
		for i, got := range []float64{lat, lon, m} {
			if !(math.Abs(got-want[i]) < 0.001) && !(math.IsNaN(got) && math.IsNaN(want[i])) {
				t.Errorf("%q: %g, %g, %g; want %v", above, lat, lon, m, want)
				break
			}
		}
	}
	for _, s := range []string{"", "N", "35 S 20", "35-60N", "north", "1234", "35.31.2"} {
		if v, ok := coordinate(s); ok {
			t.Errorf("%q is %g", s, v)
		}
	}
}

// Quality flags whose meaning is known are used, others named as ignored.
func TestQualityFlags(t *testing.T) {
	flagged := func(d climate.Day, bad, good string) string {
		if d%50 == 7 {
			return bad
		}
		return good
	}
	for _, c := range []struct {
		header, bad, good string
		flagged           int
		ignored           string
	}{
		{"DATE,TX,Q_TX,TN,Q_TN", "1", "0", 16, ""}, // ECA&D
		{"DATE,TX,Q_TX,TN,Q_TN", "9", "0", 16, ""},
		{"AAAAMMJJ,TX,QTX,TN,QTN", "2", "1", 16, ""}, // Météo-France
		{"AAAAMMJJ,TX,QTX,TN,QTN", "1", "9", 0, ""},
		{"date,tmax,tmax_attributes,tmin,tmin_attributes", "\",I,Z\"", "\",,Z\"", 16, ""}, // GHCN-Daily
		{"Date/Time,Max Temp (°C),Max Temp Flag,Min Temp (°C),Min Temp Flag", "E", "", 0,
			"3 (Max Temp Flag), 5 (Min Temp Flag)"},
		{"date,ind,maxtp,ind,mintp", "4", "0", 0, "2 (ind), 4 (ind)"},
	} {
		n := 0
		text := days(c.header, 400, func(d climate.Day, a, b float64) string {
			n++
			q := flagged(d, c.bad, c.good)
			if strings.Contains(c.header, "ind") {
				return fmt.Sprintf("%s,%s,%g,%s,%g", d, q, a, q, b)
			}
			return fmt.Sprintf("%s,%g,%s,%g,%s", d, a, q, b, q)
		})
		f, err := Read(strings.NewReader(text), "x.csv", Options{})
		if err != nil {
			t.Errorf("%s: %v", c.header, err)
			continue
		}
		notes := strings.Join(f.Notes, " ")
		if f.Flagged != c.flagged || (c.ignored == "") != (notes == "") || !strings.Contains(notes, c.ignored) {
			t.Errorf("%s: %d flagged, notes %q", c.header, f.Flagged, notes)
		}
	}
}

// A series that is not observed is read with a caution, one that may be without.
func TestNotObserved(t *testing.T) {
	for above, want := range map[string]string{
		"Source: ERA5-Land reanalysis\n":                         "ERA5-Land",
		"Daymet daily surface weather\n":                         "Daymet",
		"Gridded observations\n":                                 "Gridded",
		"Model: thermometer in a screen\n":                       "",
		"Station Name: Mosswick (invented)\n":                    "",
		"date,temperature_2m_max (°C),temperature_2m_min (°C)\n": "temperature_2m_max",
		"date,T2M_MAX,T2M_MIN\n":                                 "T2M_MAX",
	} {
		text := above + days("date,tmax_c,tmin_c", 400, celsiusRow)
		if strings.HasPrefix(above, "date") {
			text = days(strings.TrimSpace(above), 400, celsiusRow)
		}
		f, err := Read(strings.NewReader(text), "x.csv", Options{})
		if err != nil {
			t.Errorf("%q: %v", above, err)
			continue
		}
		got := strings.Join(f.Cautions, " ")
		if (want == "") != (got == "") || !strings.Contains(got, want) {
			t.Errorf("%q: %q", above, got)
		}
	}
}

// Highest and lowest of the soil are not those of the air.
func TestSoilIsNotAir(t *testing.T) {
	row := func(d climate.Day, a, b float64) string {
		return fmt.Sprintf("%s,%g,%g", d, a/2+8, b/2+8)
	}
	for _, text := range []string{
		days("Soil temperature at 10 cm, °C\ndate,max,min", 400, row),
		days(",Soil temperature,\ndate,max,min", 400, row),
		days("date,soil max,min", 400, row),
		days("date,soil,max,min", 400, func(d climate.Day, a, b float64) string {
			return fmt.Sprintf("%s,,%g,%g", d, a/2+8, b/2+8)
		}),
		days("date,max soil temp (c),min soil temp (c)", 400, row),
		days("Grass minimum station\ndate,high,low", 400, row),
	} {
		_, err := Read(strings.NewReader(text), "x.csv", Options{})
		var e *Error
		if !errors.As(err, &e) || !slices.Contains([]Kind{AmbiguousColumn, MissingColumn, NoHeader}, e.Kind) {
			t.Errorf("%.40q: %v", text, err)
		}
	}
	// Beside the air, they do not matter.
	for _, text := range []string{
		days(",Air temperature,,Soil temperature,\ndate,max,min,max,min", 400, func(d climate.Day, a,
			b float64) string {
			return fmt.Sprintf("%s,%g,%g,%g,%g", d, a, b, a/2, b/2)
		}),
		days("date,tmax_c,tmin_c,soil max,soil min", 400, func(d climate.Day, a, b float64) string {
			return celsiusRow(d, a, b) + ",1,1"
		}),
		days("date,max,min,soil10_c", 400, func(d climate.Day, a, b float64) string {
			return celsiusRow(d, a,
				b) + ",9"
		}),
	} {
		f, err := Read(strings.NewReader(text), "x.csv", Options{})
		if err != nil || math.Abs(f.Record.TMaxC[0]-7) > 0.3 {
			t.Errorf("%.60q: %v, %v", text, f, err)
		}
	}
}

// Days that are stamped at their end are moved where the table says so; else the note
// says how they are read.
func TestEndOfDay(t *testing.T) {
	stamped := func(d climate.Day, a, b float64) string {
		return fmt.Sprintf("\"%s 00:00:00\",%d,%g,%g", d+1, d, a, b)
	}
	logger := "\"TOA5\",\"Mosswick (invented)\",\"daily\"\n" + days(
		"\"TIMESTAMP\",\"RECORD\",\"AirTC_Max\",\"AirTC_Min\"\n"+
			"\"TS\",\"RN\",\"Deg C\",\"Deg C\"\n\"\",\"\",\"Max\",\"Min\"",
		400,
		stamped,
	)
	for name, c := range map[string]struct {
		text  string
		first climate.Day
	}{
		"logger":   {logger, climate.Date(2019, 1, 1)},
		"named":    {days("Date end,n,tmax_c,tmin_c", 400, stamped), climate.Date(2019, 1, 1)},
		"not said": {days("date,n,tmax_c,tmin_c", 400, stamped), climate.Date(2019, 1, 2)},
		"at 24:00": {strings.ReplaceAll(days("date,n,tmax_c,tmin_c", 400, stamped), "00:00:00", "24:00"),
			climate.Date(2019, 1, 2)},
		"in the noon": {strings.ReplaceAll(days("date,n,tmax_c,tmin_c", 400, stamped), "00:00:00", "12:00"),
			climate.Date(2019, 1, 2)},
	} {
		f, err := Read(strings.NewReader(c.text), "x.csv", Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		said := strings.Contains(strings.Join(f.Notes, " "), "00:00")
		if f.Record.First != c.first || f.Unit != Celsius || said != strings.Contains(c.text, " 00:00:00") {
			t.Errorf("%s: %s, %v", name, f.Record.First, f.Notes)
		}
	}
}

// Rows that hold no date are left out and listed.
func TestSkippedRows(t *testing.T) {
	text := "date,tmax,tmin,prcp\n,°C,°C,mm\n\n" + strings.Join(slices.Insert(strings.Split(
		days("", 90, func(d climate.Day, a, b float64) string { return celsiusRow(d, a, b) + ",1.5" }), "\n")[1:],
		31, "January 2019,9,1,46.5", ",,,", "date,tmax,tmin,prcp", "Mean,9,1,"), "\n") +
		"Total,,,135\nData are provisional\n"
	f, err := Read(strings.NewReader(text), "x.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, s := range f.Skipped {
		got = append(got, fmt.Sprintf("%d %s", s.Line, s.Text))
	}
	want := []string{"2 ", "35 January 2019", "37 date", "38 Mean", "98 Total", "99 Data are provisional"}
	if f.Record.Len() != 90 || f.Unit != Celsius || f.UnitReason != "from the header" || !slices.Equal(got, want) {
		t.Errorf("%d days in %s (%s), skipped %q", f.Record.Len(), f.Unit, f.UnitReason, got)
	}
	// Many of them are no footer.
	gone := days("date,tmax_c,tmin_c", 90, func(d climate.Day, a, b float64) string {
		if d%3 > 0 {
			return fmt.Sprintf(",%g,%g", a, b)
		}
		return celsiusRow(d, a, b)
	})
	var e *Error
	if _, err := Read(strings.NewReader(gone), "x.csv", Options{}); !errors.As(err, &e) || e.Kind != BadValue {
		t.Errorf("most rows without a date: %v", err)
	}
}
