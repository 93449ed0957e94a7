package recordfile

import (
	"fmt"
	"strings"
	"testing"

	"swardcast/climate"
)

// Tables as people have them: names on two lines, a date under an unknown name, names of
// several words between blanks. Each holds the same days.
func TestTables(t *testing.T) {
	type row func(d climate.Day, tmax, tmin float64) string
	cells := func(format string, date func(climate.Day) string) row {
		return func(d climate.Day, tmax, tmin float64) string { return fmt.Sprintf(format, date(d), tmax, tmin) }
	}
	iso := climate.Day.String
	us := func(d climate.Day) string { return d.Format("1/02/06") }
	for _, c := range []struct {
		name, header string
		row          row
	}{
		{"names on two lines, tabs", "\t\tHi\tLow\tOut\nDate\tTime\tTemp\tTemp\tHum",
			cells("%s\t12:00a\t%g\t%g\t60", us)},
		{"groups over columns", "Time,Outdoor,,Indoor,\n,Temperature Max(℃),Temperature Min(℃),Temperature(℃),Humidity(%)",
			cells("%s,%g,%g,20,50", iso)},
		{"a date of no known name", "quando;Tmax (°C);Tmin (°C);obs", cells("%s;%g;%g;2", iso)},
		{"the same beside others", "nr,moment of reading,high_c,low_c", cells("7,%s,%g,%g", iso)},
		{"date with its form", "Date (DD/MM/YYYY),Max Temp,Min Temp",
			cells("%s,%g,%g", func(d climate.Day) string { return d.Format("02/01/2006") })},
		{"blanks", "Date        Max Temp   Min Temp\n----------  --------   --------", cells("%s  %g  %g", iso)},
		{"compact date and time", "Station,Date(NZST),Tmax(C),Period(Hrs),Tmin(C),Period(Hrs)",
			cells("Mosswick,%s:0900,%g,24,%g,24", func(d climate.Day) string { return d.Format("20060102") })},
		{"unit within the name", "Date,Temperature (°C) High,Temperature (°C) Low,Dew Point (°C) High", cells("%s,%g,%g,5", iso)},
		{"unit row", "Date,High,Low\n,deg C,deg C", cells("%s,%g,%g", iso)},
		{"weekday", "Date,High,Low", cells("%s,%g,%g", func(d climate.Day) string { return d.Format("Mon 02 Jan 2006") })},
		{"capitals", "Date,High,Low", cells("%s,%g,%g", func(d climate.Day) string { return strings.ToUpper(d.Format("02Jan2006")) })},
		{"eight digits, day first", "Date,High,Low", cells("%s,%g,%g", func(d climate.Day) string { return d.Format("02012006") })},
		{"serial days", "Date,High,Low", cells("%s,%g,%g", func(d climate.Day) string { return fmt.Sprint(int(d - serialZero)) })},
		{"observed beside normal", "date,average_max_temp,record_max_temp,actual_max_temp,actual_min_temp,record_min_temp",
			cells("%s,15,40,%g,%g,-30", iso)},
		{"decimal comma in quotation marks", "date,tmax_c,tmin_c", func(d climate.Day, tmax, tmin float64) string {
			return fmt.Sprintf("%s,%q,%q", d, strings.Replace(fmt.Sprint(tmax), ".", ",", 1),
				strings.Replace(fmt.Sprint(tmin), ".", ",", 1))
		}},
		{"semicolons beside commas", "Ort, Land;Datum;Tmax, °C;Tmin, °C", func(d climate.Day, tmax, tmin float64) string {
			return strings.ReplaceAll(fmt.Sprintf("Mosswick, X;%s;%g;%g", d, tmax, tmin), ".", ",")
		}},
		{"header of two and more", "date,tmax_c,tmin_c", func(d climate.Day, tmax, tmin float64) string {
			text := fmt.Sprintf("%s,%g,%g", d, tmax, tmin)
			if _, _, day := d.Date(); day == 1 {
				return text + "\n\ndate,tmax_c,tmin_c"
			}
			return text
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := Read(strings.NewReader(days(c.header, 800, c.row)), "x", Options{Unit: Celsius})
			if err != nil {
				t.Fatal(err)
			}
			want, err := Read(strings.NewReader(days("date,tmax_c,tmin_c", 800, celsiusRow)), "x", Options{})
			if err != nil {
				t.Fatal(err)
			}
			if f.Record.First != want.Record.First || f.Record.Len() != want.Record.Len() {
				t.Fatalf("%d days from %v", f.Record.Len(), f.Record.First)
			}
			for i := range want.Record.TMaxC {
				if f.Record.TMaxC[i] != want.Record.TMaxC[i] || f.Record.TMinC[i] != want.Record.TMinC[i] {
					t.Fatalf("%v: %g, %g", f.Record.Day(i), f.Record.TMaxC[i], f.Record.TMinC[i])
				}
			}
		})
	}
}
