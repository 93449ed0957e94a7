package recordfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/text/encoding/unicode"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/climate/recordstest"
)

const layouts = "../../testdata/layouts"

func read(t testing.TB, path string, o Options) *File {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	got, err := Read(f, filepath.Base(path), o)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// Every layout holds the same invented days; what is read must be the same but
// for the rounding of the layout's unit and the values it flags or lacks.
func TestLayouts(t *testing.T) {
	want := read(t, filepath.Join(layouts, "plain.csv"), Options{}).Record
	const wholeF = 0.5/1.8 + 0.001 // whole degrees Fahrenheit
	for _, c := range []struct {
		file      string
		unit      Unit
		tolerance float64 // °C
		missing   int     // days
		flagged   int
		latitude  float64
		name      string
		options   Options
	}{
		{"plain.csv", Celsius, 0, 0, 0, math.NaN(), "", Options{}},
		{"access-wide.csv", TenthsC, 1e-9, 1, 1, 41.5, "MOSSWICK HOLLOW (INVENTED)", Options{}},
		{"by-year-no-header.csv", TenthsC, 1e-9, 1, 1, math.NaN(), "XX000000001", Options{}},
		{"by-station-long.csv", TenthsC, 1e-9, 1, 1, math.NaN(), "XX000000001", Options{}},
		{"ordered-us.csv", Fahrenheit, wholeF, 0, 0, math.NaN(), "MOSSWICK HOLLOW, XX (INVENTED)", Options{}},
		{"ordered-metric.csv", Celsius, 0, 0, 0, math.NaN(), "MOSSWICK HOLLOW, XX (INVENTED)", Options{}},
		{"preamble-named-months.csv", Celsius, 0, 1, 0, 51.4, "MOSSWICK HOLLOW (invented)", Options{}},
		{"semicolon-decimal-comma.csv", Celsius, 0, 0, 0, math.NaN(), "", Options{}},
		{"month-first.csv", Fahrenheit, wholeF, 0, 0, math.NaN(), "", Options{}},
		{"day-first.csv", Celsius, 0, 0, 0, math.NaN(), "", Options{}},
		{"three-columns.csv", Fahrenheit, wholeF, 1, 0, math.NaN(), "", Options{}},
		{"blank-separated.txt", Celsius, 0, 0, 0, 41.5, "99999", Options{}},
		{"month-an-element.dly", TenthsC, 1e-9, 0, 0, math.NaN(), "XX000000001", Options{}},
		{"month-a-row.csv", Celsius, 0, 0, 0, math.NaN(), "Mosswick Hollow (invented)", Options{}},
		{"daily-arrays.json", Celsius, 0, 0, 0, 41.5, "MOSSWICK HOLLOW (INVENTED)", Options{}},
		{"list-of-days.json", Celsius, 0, 0, 0, 41.5, "", Options{}},
		{"plain.csv.gz", Celsius, 0, 0, 0, math.NaN(), "", Options{}},
		{"several-stations.csv", Celsius, 0, 0, 0, 41.5, "MOSSWICK HOLLOW (INVENTED)", Options{Station: "xx000000001"}},
		{"several-stations.csv", Celsius, 0, 0, 0, 41.5, "MOSSWICK HOLLOW (INVENTED)",
			Options{Station: "Mosswick Hollow (invented)"}},
		{"named-by-flag.txt", Celsius, 0, 0, 0, math.NaN(), "",
			Options{Columns: map[string]string{"date": "obs date", "tmax": "Reading A", "tmin": "3"}}},
		{"no-header.csv", Celsius, 0, 0, 0, math.NaN(), "",
			Options{Columns: map[string]string{"date": "2", "tmax": "4", "tmin": "3"}}},
	} {
		t.Run(c.file, func(t *testing.T) {
			f := read(t, filepath.Join(layouts, c.file), c.options)
			got := f.Record
			if f.Unit != c.unit || f.Flagged != c.flagged {
				t.Errorf("unit %s (%s), %d flagged", f.Unit, f.UnitReason, f.Flagged)
			}
			if latitude, _, _ := got.Place.Coordinates(); got.Place.Name != c.name || !same(latitude, c.latitude) {
				t.Errorf("place %v", got.Place)
			}
			if got.First != want.First || got.Len() != want.Len() {
				t.Fatalf("%d days from %v", got.Len(), got.First)
			}
			missing := 0
			for i := range got.TMaxC {
				if got.Missing(i) {
					missing++
				}
				for _, p := range [][2]float64{{got.TMaxC[i], want.TMaxC[i]}, {got.TMinC[i], want.TMinC[i]}} {
					if math.Abs(p[0]-p[1]) > c.tolerance {
						t.Fatalf("%v: %g °C, want %g", got.Day(i), p[0], p[1])
					}
				}
				const hundredthInch = 0.128
				if got.PrecipMM != nil && math.Abs(got.PrecipMM[i]-want.PrecipMM[i]) > hundredthInch {
					t.Fatalf("%v: %g mm, want %g", got.Day(i), got.PrecipMM[i], want.PrecipMM[i])
				}
			}
			if missing != c.missing {
				t.Errorf("%d days missing, want %d", missing, c.missing)
			}
		})
	}
}

func same(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }

// days writes n rows of a plain climate, in °C, after a header.
func days(header string, n int, row func(d climate.Day, tmax, tmin float64) string) string {
	var b strings.Builder
	b.WriteString(header + "\n")
	first := climate.Date(2019, 1, 1)
	for i := range n {
		m := 12 - 11*math.Cos(2*math.Pi*float64(i)/365.25) + 3*math.Sin(float64(i))
		b.WriteString(row(first+climate.Day(i), math.Round(m+6), math.Round(m-6)) + "\n")
	}
	return b.String()
}

func celsiusRow(d climate.Day, tmax, tmin float64) string {
	return d.String() + "," + strconv.FormatFloat(tmax, 'f', -1, 64) + "," + strconv.FormatFloat(tmin, 'f', -1, 64)
}

func fahrenheitRow(d climate.Day, tmax, tmin float64) string {
	return celsiusRow(d, math.Round(tmax*1.8+32), math.Round(tmin*1.8+32))
}

func tenthsRow(d climate.Day, tmax, tmin float64) string { return celsiusRow(d, tmax*10, tmin*10) }

func TestUnits(t *testing.T) {
	for _, c := range []struct {
		name, header string
		n            int
		row          func(climate.Day, float64, float64) string
		options      Options
		unit         Unit
		reason       string
	}{
		{"whole °C", "date,tmax,tmin", 400, celsiusRow, Options{}, Celsius, "found from the values"},
		{"whole °F", "date,tmax,tmin", 400, fahrenheitRow, Options{}, Fahrenheit, "found from the values"},
		{"tenths", "date,tmax,tmin", 400, tenthsRow, Options{}, TenthsC, "found from the values"},
		{"header", "date,tmax (°F),tmin (°F)", 40, fahrenheitRow, Options{}, Fahrenheit, "from the header"},
		{"header of one", "date,max_temp_f,low", 40, fahrenheitRow, Options{}, Fahrenheit, "from the header"},
		{"header without separator", "date,tmaxF,tminF", 40, fahrenheitRow, Options{}, Fahrenheit, "from the header"},
		{"words", "Date,Maximum temperature (Degree C),Minimum temperature (Degree C)", 40, celsiusRow, Options{},
			Celsius, "from the header"},
		{"flag", "date,tmax,tmin", 40, fahrenheitRow, Options{Unit: Fahrenheit}, Fahrenheit, "as given"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := Read(strings.NewReader(days(c.header, c.n, c.row)), "x.csv", c.options)
			if err != nil {
				t.Fatal(err)
			}
			if f.Unit != c.unit || f.UnitReason != c.reason {
				t.Errorf("%s, %s", f.Unit, f.UnitReason)
			}
			// The first day is the coldest: 1 °C in the mean.
			if got := (f.Record.TMaxC[0] + f.Record.TMinC[0]) / 2; math.Abs(got-1) > 0.3 {
				t.Errorf("the first day has %g °C", got)
			}
		})
	}
}

// What could be read in two ways, or not at all, is refused with the place of
// the fault and what to do.
func TestRefused(t *testing.T) {
	for _, c := range []struct {
		name      string
		kind      Kind
		field     string
		text      string
		line, col int
		message   string // a part of it
		hint      string // a part of it
	}{
		{"empty", Empty, "", "", 0, 0, "empty", ""},
		{"blank lines", Empty, "", "\n\n  \n", 0, 0, "empty", ""},
		{"header only", Empty, "", "date,tmax,tmin\n", 1, 0, "no row", ""},
		{"web page", Unreadable, "", "<!DOCTYPE html><html>404</html>", 1, 0, "web page", "download"},
		{"image", Unreadable, "", "\x89PNG\r\n\x1a\n\x00\x00\x00", 0, 0, "not a text file", "CSV"},
		{"JSON", NoHeader, "", `{"error": "no station"}`, 1, 0, "JSON", "CSV"},
		{"no header", NoHeader, "", "2019-01-01,10,2\n2019-01-02,11,3\n", 1, 0, "no header", "date,tmax_c,tmin_c"},
		{"one column", NoHeader, "", "date\n2019-01-01\n", 1, 0, "no header", ""},
		{"no lowest", MissingColumn, "tmin", "date,tmax\n2019-01-01,10\n", 1, 0, "no column for the lowest temperature",
			""},
		{"two highest", AmbiguousColumn, "tmax", "date,tmax,TMAX,tmin\n2019-01-01,1,1,0\n", 1, 0,
			"columns 2 (tmax) and 3 (TMAX) both look like the highest temperature", ""},
		{"text in a number", BadValue, "tmax", "date,tmax_c,tmin_c\n2019-01-01,10,2\n2019-01-02,abc,3\n", 3, 12,
			`"abc" is not a number (column 2, tmax_c)`, "blank"},
		{"thousands", BadValue, "tmax", "date,tmax_c,tmin_c\n2019-01-01,\"1,234\",2\n", 2, 12,
			`"1,234" is not a number`, ""},
		{"word", BadValue, "tmax", "date,tmax_c,tmin_c\n2019-01-01,warm,2\n", 2, 12, `"warm" is not a number`, "blank"},
		{"Inf", BadValue, "tmin", "date,tmax_c,tmin_c\n2019-01-01,10,-Inf\n", 2, 15, `"-Inf" is not a number`, ""},
		{"hexadecimal", BadValue, "tmax", "date,tmax_c,tmin_c\n2019-01-01,0x1p4,2\n", 2, 12, "not a number", ""},
		{"year 0", BadValue, "date", "date,tmax_c,tmin_c\n0000-01-01,10,2\n", 2, 1, "not a date", "YYYY-MM-DD"},
		{"year 20000", BadValue, "date", "date,tmax_c,tmin_c\n2019-01-01,1,0\n20000-01-01,10,2\n", 3, 1, "not a date",
			""},
		{"29 February", BadValue, "date", "date,tmax_c,tmin_c\n2019-02-29,10,2\n", 2, 1, `"2019-02-29" is not a date`,
			""},
		{"another form", BadValue, "date", "date,tmax_c,tmin_c\n2019-02-01,10,2\n20190202,10,2\n", 3, 1,
			"written YYYY-MM-DD as those before it", ""},
		{"far apart", TooLarge, "date", "date,tmax_c,tmin_c\n1019-02-01,10,2\n2019-02-02,10,2\n", 0, 0,
			"more than 400 years", "mistyped"},
		{"day or month", DateOrderOpen, "date", "date,tmax_c,tmin_c\n01/02/2019,10,2\n", 2, 0, "day or the month first",
			"YYYY-MM-DD"},
		{"all missing", Empty, "", "date,tmax_c,tmin_c\n2019-01-01,,\n2019-01-02,NA,-9999\n", 0, 0,
			"every temperature is missing", ""},
		{"no temperature", Empty, "", "ID,DATE,ELEMENT,VALUE\nX,20190101,SNOW,0\n", 0, 0, "no row holds a temperature",
			"TMAX"},
		{"ambiguous unit", UnknownUnit, "", days("date,tmax,tmin", 60, celsiusRow), 0, 0, "could be in °C or °F", ""},
		{"two units", MixedUnits, "", "date,tmax_c,tmin_f\n2019-01-01,10,2\n", 1, 0, "°C and the lowest in °F",
			"one unit"},
		{"the header against the flag's other unit", BadValue, "tmin", "date,tmax,tmin\n# a comment\n2019-01-01,1,x\n",
			3, 14, `"x" is not a number`, ""},
		{"wrong unit in a short header", WrongUnit, "", days("date,tmax_f,tmin_f", 400, celsiusRow), 0, 0,
			"they look like °C", ""},
		{"swapped", Swapped, "tmax", days("date,tmin_c,tmax_c", 400, celsiusRow), 0, 0,
			"400 of 400 days: the two columns seem swapped", ""},
		{"wrong unit in the header", WrongUnit, "", days("date,tmax_c,tmin_c", 400, fahrenheitRow), 0, 0,
			"cannot be in °C", ""},
		{"two stations", SeveralStations, "station",
			"station,date,tmax_c,tmin_c\nA,2019-01-01,1,0\nB,2019-01-01,1,0\nA,2019-01-02,1,0\n", 0, 0,
			"2 stations: A, B", ""},
		{"hourly", Contradiction, "", "date,tmax_c,tmin_c\n" +
			strings.Repeat("2019-01-01,1,0\n2019-01-01,2,1\n2019-01-01,3,0\n", 3), 0, 0,
			"16 values of 9 rows contradict another row of their day", "one row a day"},
		{"quote", Unreadable, "", "date,tmax_c,tmin_c\n2019-01-01,1\"0,2\n", 2, 13, "quotation mark", ""},
		{"short row", Empty, "", "date,tmax_c,tmin_c\n2019-01-01\n", 0, 0, "every temperature is missing", ""},
		{"line without end", NoHeader, "", strings.Repeat("x", 3<<20), 1, 0, "no header", ""},
		{"row without end", TooLarge, "", "date,tmax_c,tmin_c\n2019-01-01,1," + strings.Repeat("0", 3<<20), 2, 0,
			"longer than", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := Read(strings.NewReader(c.text), "x.csv", Options{})
			var e *Error
			if !errors.As(err, &e) {
				t.Fatalf("read as %v, error %v", f, err)
			}
			if e.File != "x.csv" || e.Line != c.line || e.Column != c.col {
				t.Errorf("at %s:%d:%d, want %d:%d", e.File, e.Line, e.Column, c.line, c.col)
			}
			if e.Kind != c.kind || e.Field != c.field {
				t.Errorf("%s of %q, want %s of %q", e.Kind, e.Field, c.kind, c.field)
			}
			if strings.Contains(e.Message+e.Hint, "--") {
				t.Errorf("message %q, hint %q: a flag", e.Message, e.Hint)
			}
			if !strings.Contains(e.Message, c.message) || !strings.Contains(e.Hint, c.hint) {
				t.Errorf("message %q, hint %q", e.Message, e.Hint)
			}
		})
	}
}

// Numbers that could be day or month are not guessed from a few rows that happen
// to follow each other.
func TestShuffledDates(t *testing.T) {
	text := "date,tmax_c,tmin_c\n01/02/2019,10,2\n02/02/2019,10,2\n07/05/2019,20,9\n" +
		"03/11/2019,15,5\n09/04/2019,12,4\n12/06/2019,25,14\n"
	if _, err := Read(strings.NewReader(text), "x.csv", Options{}); err == nil ||
		!strings.Contains(err.Error(), "day or the month first") {
		t.Errorf("%v", err)
	}
}

func TestChoosing(t *testing.T) {
	two := "station,name,date,tmax_c,tmin_c\nA,Alder,2019-01-01,1,0\nB,Birch,2019-01-01,x,0\n"
	for _, c := range []struct {
		name          string
		kind          Kind
		field, text   string
		options       Options
		message, hint string
	}{
		{"no such station", UnknownStation, "station", two, Options{Station: "C"},
			`no station "C"; the file holds 2 stations: A, B`, ""},
		{"no column of stations", NoStations, "station", "date,tmax_c,tmin_c\n2019-01-01,1,0\n", Options{Station: "A"},
			"no column of stations", ""},
		{"a fault of the chosen one", BadValue, "tmax", two, Options{Station: "Birch"}, `"x" is not a number`, ""},
		{"a column that is not there", AskedColumn, "", "date,tmax_c,tmin_c\n2019-01-01,1,0\n",
			Options{Columns: map[string]string{"tmax": "High"}}, "every column asked for", ""},
		{"a number beyond the row", AskedColumn, "", "date,tmax_c,tmin_c\n2019-01-01,1,0\n",
			Options{Columns: map[string]string{"tmax": "4"}}, "every column asked for", ""},
		{"one column twice", AskedColumn, "", "date,tmax_c,tmin_c\n2019-01-01,1,0\n",
			Options{Columns: map[string]string{"tmax": "2", "tmin": "2"}}, "every column asked for", ""},
	} {
		_, err := Read(strings.NewReader(c.text), "x.csv", c.options)
		var e *Error
		if !errors.As(err, &e) || e.Kind != c.kind || e.Field != c.field || !strings.Contains(e.Message, c.message) ||
			!strings.Contains(e.Hint, c.hint) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if _, err := Read(strings.NewReader(two), "x.csv", Options{Station: "alder"}); err != nil {
		t.Errorf("the fault of a station not read: %v", err)
	}
	if _, err := Read(strings.NewReader(two), "x.csv", Options{Columns: map[string]string{"wind": "2"}}); err == nil ||
		!strings.Contains(err.Error(), `cannot be "wind"`) {
		t.Errorf("a column that cannot be: %v", err)
	}
	// Two columns that look alike are settled by the flag.
	text := "date,tmax,TMAX,tmin\n" + strings.Repeat("2019-01-01,1,5,0\n", 1)
	f, err := Read(strings.NewReader(text), "x.csv", Options{Unit: Celsius, Columns: map[string]string{"tmax": "3"}})
	if err != nil || f.Record.TMaxC[0] != 5 {
		t.Errorf("the third column as tmax: %v", err)
	}
}

// Files that people bring, each with its own turn; the first day has 7 and −5 °C.
func TestPlausibleFiles(t *testing.T) {
	iso := func(d climate.Day, tmax, tmin float64) string { return celsiusRow(d, tmax, tmin) }
	number := 0
	for _, c := range []struct {
		name, text string
	}{
		{"a row number called id", days("id,date,tmax,tmin", 400, func(d climate.Day, a, b float64) string {
			number++
			return fmt.Sprint(number) + "," + celsiusRow(d, a, b)
		})},
		{"a station with blanks behind", strings.Replace(days("date,tmax,tmin,station", 400,
			func(d climate.Day, a, b float64) string { return celsiusRow(d, a, b) + ",A" }), ",A\n", ",A \n", 3)},
		{"spreadsheet dates", days("Date,High (C),Low (C)", 400, func(d climate.Day, a, b float64) string {
			return strings.Replace(celsiusRow(d, a, b), d.String(), d.Format("1/2/2006 15:04"), 1)
		})},
		{"dates with hours", days("date,tmax,tmin", 400, func(d climate.Day, a, b float64) string {
			return strings.Replace(celsiusRow(d, a, b), d.String(), d.Format("2006-01-02T15:04:05Z"), 1)
		})},
		{"month names first", days("date;tmax;tmin", 400, func(d climate.Day, a, b float64) string {
			return strings.ReplaceAll(strings.Replace(celsiusRow(d, a, b), ",", ";", 2), d.String(),
				d.Format("January 2, 2006"))
		})},
		{"comments", "# date, tmax, tmin of a station\n" +
			strings.Replace(days("date,tmax,tmin", 400, iso), "2019-02-01", "# moved\n2019-02-01", 1)},
		{"a commented header", days("# date,tmax,tmin", 400, iso)},
		{"a row of units", strings.Replace(days("date,tmax,tmin,rain", 400,
			func(d climate.Day, a, b float64) string { return fahrenheitRow(d, a, b) + ",0" }), "rain\n",
			"rain\n,deg F,deg F,inches\n", 1)},
		{"lower-case elements", days("id,date,element,value", 400, func(d climate.Day, a, b float64) string {
			return fmt.Sprintf("X,%s,tmax,%g\nX,%s,tmin,%g", d, a*10, d, b*10)
		})},
		{"both units", days("date,tmax_f,tmin_f,tmax_c,tmin_c", 400, func(d climate.Day, a, b float64) string {
			return fmt.Sprintf("%s,%g,%g,%g,%g", d, a*1.8+32, b*1.8+32, a, b)
		})},
		{"°F in pair, °C alone", days("date,high_f,low_f,tmax_c", 400, func(d climate.Day, a, b float64) string {
			return fmt.Sprintf("%s,%g,%g,%g", d, a*1.8+32, b*1.8+32, a)
		})},
		{"-99 for missing in °F", days("date,tmax,tmin", 400, func(d climate.Day, a, b float64) string {
			if d.YearDay()%9 == 0 {
				return d.String() + ",-99,-99"
			}
			return fahrenheitRow(d, a, b)
		})},
		{"day of the year", days("YEAR,DOY,T2M_MAX,T2M_MIN", 400, func(d climate.Day, a, b float64) string {
			return fmt.Sprintf("%d,%d,%g,%g", d.Year(), d.YearDay(), a, b)
		})},
		{"blanks between, with a header", days("LST_DATE  T_DAILY_MAX T_DAILY_MIN", 400,
			func(d climate.Day, a, b float64) string {
				return fmt.Sprintf("%s   %6.1f  %6.1f", d.Format("20060102"), a, b)
			})},
		{"blanks between, with a row of units", strings.Replace(days("Date  Day T.Max Smx T.Min Smn", 400,
			func(d climate.Day, a, b float64) string {
				return fmt.Sprintf("%s %4d %6.1f 0 %6.1f 0", d.Format("20060102"), d.YearDay(), a, b)
			}), "Smn\n", "Smn\n(yyyymmdd) () (oC) () (oC) ()\n", 1)},
		{"semicolons and points, padded", days("STATIONS_ID;MESS_DATUM;QN_3; TXK; TNK;eor", 400,
			func(d climate.Day, a, b float64) string {
				return fmt.Sprintf("  44;%s;   10;%7.1f;%7.1f;eor", d.Format("20060102"), a, b)
			})},
		{"tabs and decimal commas", days("Datum\tTX\tTN", 400, func(d climate.Day, a, b float64) string {
			return strings.ReplaceAll(fmt.Sprintf("%s\t%.1f\t%.1f", d.Format("02.01.2006"), a, b), "x", "") + ""
		})},
		{"a commented header in tenths", "# daily weather\n# TX = Maximum temperature (in 0.1 degrees Celsius)\n" +
			days("# STN,YYYYMMDD,   TG,   TN,   TX", 400, func(d climate.Day, a, b float64) string {
				return fmt.Sprintf("  260,%s,%5g,%5g,%5g", d.Format("20060102"), (a+b)*5, b*10, a*10)
			})},
		{"date and its parts, flags beside",
			days(`"Longitude (x)","Latitude (y)","Station Name","Climate ID","Date/Time","Year","Month","Day",`+
				`"Max Temp (°C)","Max Temp Flag","Min Temp (°C)","Min Temp Flag","Total Precip (mm)"`, 400,
				func(d climate.Day, a, b float64) string {
					return fmt.Sprintf(`"-80.1","43.2","MOSSWICK","612","%s","%d","%02d","%02d",`+
						`"%.1f","","%.1f","","0.0"`,
						d, d.Year(), d.Format("1")[0]-'0', 1, a, b)
				})},
		{"daily summaries with derived extremes",
			days(`"STATION","DATE","LATITUDE","NAME","TEMP","TEMP_ATTRIBUTES",`+
				`"MAX","MAX_ATTRIBUTES","MIN","MIN_ATTRIBUTES","PRCP"`, 400,
				func(d climate.Day, a, b float64) string {
					return fmt.Sprintf(`"99999","%s","41.5","MOSSWICK","  50.1","24","%6.1f","*","%6.1f"," ","99.99"`,
						d, a*1.8+32, b*1.8+32)
				})},
		{"other columns", days("date,tavg,tmax,max_rh,tmin,max wind", 400, func(d climate.Day, a, b float64) string {
			return fmt.Sprintf("%s,%g,%g,93,%g,12", d, (a+b)/2, a, b)
		})},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := Read(strings.NewReader(c.text), "x.csv", Options{})
			if err != nil {
				t.Fatal(err)
			}
			if f.Record.Len() != 400 || math.Abs(f.Record.TMaxC[0]-7) > 0.3 || math.Abs(f.Record.TMinC[0]+5) > 0.3 {
				t.Errorf("%d days, the first with %g and %g °C", f.Record.Len(), f.Record.TMaxC[0], f.Record.TMinC[0])
			}
		})
	}
}

// The place stands before the header in more ways than one.
func TestPreamble(t *testing.T) {
	rows := days("date,tmax_c,tmin_c", 60, celsiusRow)
	for name, c := range map[string]struct {
		text      string
		elevation float64
		place     string
	}{
		"key and value": {"Station Name: MOSSWICK HOLLOW\nStation Height: 48 M\nLatitude:51.4  ,Longitude: -6.35\n",
			48, "MOSSWICK HOLLOW"},
		"a line of both": {"-BEGIN HEADER-\nLocation: latitude  51.4   longitude -6.35\n" +
			"elevation = 48 meters\n-END HEADER-\n", 48, ""},
		"short words": {"Time Series\nLocation:  Lat: 51.4000   Lon: -6.3500   Elev: 157.48ft\n", 48, ""},
		"a table":     {"latitude,longitude,elevation,timezone\n51.4,-6.35,48.0,GMT\n\n", 48, ""},
	} {
		f, err := Read(strings.NewReader(c.text+rows), "x.csv", Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		p := f.Record.Place
		if lat, lon, m := p.Coordinates(); lat != 51.4 || lon != -6.35 || !(math.Abs(m-c.elevation) <= 0.01) ||
			p.Name != c.place {
			t.Errorf("%s: %+v", name, p)
		}
	}
}

// Rows after the last day to read are not looked at.
func TestUntil(t *testing.T) {
	text := days("date,tmax_c,tmin_c", 60, celsiusRow) + "2019-03-05,abc,3\n2019-03-06,99,3\n"
	f, err := Read(strings.NewReader(text), "x.csv", Options{Until: new(climate.Date(2019, 2, 10))})
	if err != nil || f.Record.Last() != climate.Date(2019, 2, 10) {
		t.Errorf("%v", err)
	}
	if _, err := Read(strings.NewReader(text), "x.csv", Options{Until: new(climate.Date(2018, 2, 10))}); err == nil ||
		!strings.Contains(err.Error(), "no row is of a day up to 2018-02-10") {
		t.Errorf("%v", err)
	}
}

// 1 January 1970 is a day like any other: nil alone stands for all.
func TestUntilTheFirstOfJanuary1970(t *testing.T) {
	text := "date,tmax_c,tmin_c\n1969-12-31,3,-2\n1970-01-01,4,-1\n1970-01-02,5,0\n"
	f, err := Read(strings.NewReader(text), "x.csv", Options{Until: new(climate.Date(1970, 1, 1))})
	if err != nil || f.Record.Last() != 0 {
		t.Errorf("until day 0: %v, %v", f.Record, err)
	}
	if f, err = Read(strings.NewReader(text), "x.csv", Options{}); err != nil || f.Record.Last() != 1 {
		t.Errorf("all: %v, %v", f.Record, err)
	}
}

func TestHeaderAgainstFlag(t *testing.T) {
	_, err := Read(strings.NewReader(days("date,tmax_c,tmin_c", 60, celsiusRow)), "x.csv", Options{Unit: Fahrenheit})
	if err == nil || !strings.Contains(err.Error(), "the header gives °C, not °F as asked for") {
		t.Errorf("%v", err)
	}
}

// Options that cannot be are refused whatever the file.
func TestOptionErrors(t *testing.T) {
	for option, o := range map[string]Options{
		"Unit":    {Unit: "kelvin"},
		"Columns": {Columns: map[string]string{"wind": "2"}},
	} {
		f, err := Read(strings.NewReader("date,tmax,tmin\n2019-01-01,30,20\n"), "x.csv", o)
		var e *OptionError
		if !errors.As(err, &e) || e.Option != option {
			t.Errorf("%+v: read as %v, error %v", o, f, err)
		}
	}
	for _, u := range append(Units(), "") {
		if _, err := Read(strings.NewReader(days("date,tmax,tmin", 400, celsiusRow)), "x.csv",
			Options{Unit: u}); errors.As(err, new(*OptionError)) {
			t.Errorf("%q: %v", u, err)
		}
	}
}

// A file without lines is refused without holding it.
func TestEndlessLine(t *testing.T) {
	for _, beginning := range []string{"", "date,tmax_c,tmin_c\n2019-01-01,1,"} {
		r := &endless{head: beginning, left: 2 << 30}
		if _, err := Read(r, "x.csv", Options{}); err == nil {
			t.Fatal("read")
		}
		if r.read > 3*maxLineBytes {
			t.Errorf("%d bytes were read", r.read)
		}
	}
}

type endless struct {
	head       string
	left, read int
}

func (e *endless) Read(p []byte) (int, error) {
	if e.left <= 0 {
		return 0, io.EOF
	}
	n := copy(p, e.head)
	e.head = e.head[n:]
	for i := n; i < len(p); i++ {
		p[i] = '0'
	}
	e.left -= len(p)
	e.read += len(p)
	return len(p), nil
}

// The unit of a file that changes midway is told by name.
func TestUnitChangesMidway(t *testing.T) {
	for _, c := range []struct {
		header string
		change int // day of the change
	}{{"date,tmax,tmin", 1200}, {"date,tmax,tmin", 800}, {"date,tmax_c,tmin_c", 900}} {
		n := 0
		text := days(c.header, 2000, func(d climate.Day, tmax, tmin float64) string {
			n++
			if n > c.change {
				return fahrenheitRow(d, tmax, tmin)
			}
			return celsiusRow(d, tmax, tmin)
		})
		f, err := Read(strings.NewReader(text), "x.csv", Options{})
		if err == nil {
			_, _, err = check.Clean(f.Record)
		}
		if err == nil || !strings.Contains(err.Error(), "unit of the temperatures changes within the record") {
			t.Errorf("%s after %d days: %v", c.header, c.change, err)
		}
	}
}

func TestMissingIsNeverZero(t *testing.T) {
	text := "date,tmax_c,tmin_c,prcp_mm\n2019-01-01,,2,\n2019-01-02,-9999,NA,T\n2019-01-03,999.9,M,-9999\n" +
		"2019-01-04,10, ,1.5\n2019-01-05,0,-1,0\n"
	f, err := Read(strings.NewReader(text), "x.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	nan := math.NaN()
	for i, want := range [][3]float64{{nan, 2, nan}, {nan, nan, 0}, {nan, nan, nan}, {10, nan, 1.5}, {0, -1, 0}} {
		got := [3]float64{f.Record.TMaxC[i], f.Record.TMinC[i], f.Record.PrecipMM[i]}
		for k := range want {
			if !same(got[k], want[k]) {
				t.Errorf("day %d: %v, want %v", i+1, got, want)
				break
			}
		}
	}
}

func TestOrderAndRepeats(t *testing.T) {
	text := "date,tmax_c,tmin_c\n2019-01-05,5,0\n2019-01-01,1,0\n2019-01-05,5,0\n2019-01-03,3,0\n2019-01-03,4,0\n"
	for d := climate.Date(2019, 1, 6); d < climate.Date(2019, 3, 1); d++ {
		text += celsiusRow(d, 8, 1) + "\n"
	}
	f, err := Read(strings.NewReader(text), "x.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	if f.Record.First != climate.Date(2019, 1, 1) || f.Record.TMaxC[0] != 1 || f.Record.TMaxC[4] != 5 {
		t.Errorf("unsorted rows: first %v, %v", f.Record.First, f.Record.TMaxC[:5])
	}
	if f.Repeated != 1 {
		t.Errorf("%d repeated rows, want 1", f.Repeated)
	}
	if !math.IsNaN(f.Record.TMaxC[2]) || len(f.Suspect) != 1 ||
		!strings.Contains(f.Suspect[0].Reason, "lines 5 and 6") {
		t.Errorf("a day with two values reads as %g, doubts %v", f.Record.TMaxC[2], f.Suspect)
	}
}

// The real files of data/layouts and data/long, where they are at hand.
func TestRealFiles(t *testing.T) {
	for _, c := range []struct {
		file        string
		unit        Unit
		first, last string
		tmax        float64 // °C, of the first day
	}{
		{"layouts/ghcn_bystation_long_tenthsC_USW00094728.csv", TenthsC, "2014-01-01", "", 0.6},
		{"layouts/noaa_daily_summaries_wide_standard_central_park.csv", Fahrenheit, "2009-01-01", "", (26 - 32) / 1.8},
		{"layouts/meteireann_dly175_phoenix_park.csv", Celsius, "2003-08-16", "", 20.1},
		{"layouts/uscrn_CRND0103-2010-GA_Newton_11_SW.txt", Celsius, "2010-01-01", "2010-12-31", 9.9},
		{"long/GHCN_USC00045532_USW00023257.csv", Fahrenheit, "1899-06-01", "2023-04-22", (64.94 - 32) / 1.8},
	} {
		f := read(t, recordstest.Path(t, c.file), Options{})
		if f.Unit != c.unit || f.Record.First.String() != c.first || c.last != "" &&
			f.Record.Last().String() != c.last {
			t.Errorf("%s: %s, %v to %v", c.file, f.Unit, f.Record.First, f.Record.Last())
		}
		if math.Abs(f.Record.TMaxC[0]-c.tmax) > 1e-9 {
			t.Errorf("%s: first day %g °C, want %g", c.file, f.Record.TMaxC[0], c.tmax)
		}
	}
}

// addSamples seeds a fuzz target with the beginning of every layout.
func addSamples(f *testing.F) {
	paths, err := filepath.Glob(layouts + "/*")
	if err != nil || len(paths) == 0 {
		f.Fatal("no samples", err)
	}
	for _, p := range paths {
		text, err := os.ReadFile(p)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text[:min(len(text), 2500)])
	}
	few := "date,tmax_c,tmin_c\n2019-01-01,10,2\n2019-01-02,11,3\n2019-01-03,9,1\n"
	asText := func(i int) bool { return i == 2 }
	f.Add(spreadsheet(f, few, false, asText))
	f.Add(zipped(f, "a.csv", few, "b.txt", "x"))
	f.Add(utf16Text(f, few, unicode.LittleEndian, unicode.UseBOM))
	f.Add([]byte(strings.ReplaceAll(few, "\n", "\r")))
	f.Add([]byte(`{"lat": 41.5, "daily_units": {"tmax": "F"}, "daily": {"date": ["2019-01-01", "2019-01-02"], ` +
		`"tmax": [50, null], "tmin": [40.5, 41]}}`))
	f.Add([]byte(`[{"date": "2019-01-01", "tmax_c": 10, "tmin_c": 2}, {"date": "2019-01-02"}]`))
	f.Add([]byte(`[["date", "tmax_c", "tmin_c"], ["2019-01-01", 10, 2], ["2019-01-02", 11]]`))
	for _, text := range []string{
		"\t\tHi\tLow\nDate\tTime\tTemp\tTemp\n1/02/19\t12:00a\t50\t40\n",
		"quando;Tmax (°C);Tmin (°C)\n2019-01-01;10,5;2\n2019-01-02;11;3\n",
		"date,tmax,tmin\n2019-01-01,73.9 °F,63e\n2019-01-02,−1.1,\"23,3\"\n",
		"Date        Max Temp   Min Temp\n2019-01-01  10  2\n2019-01-02  11  3\n",
		"time,temp_c\n2019-01-01 00:00,1\n2019-01-01 01:00,2\n",
	} {
		f.Add([]byte(text))
	}
	f.Add([]byte("date,tmax_c,tmin_c\n2019-01-01,1,\"0\n\"\n"))
	f.Add([]byte("00000000000,00010101,0000,,,,,\n0"))
	f.Add([]byte("Lat: 51.4 Lon: -6.3\nYEAR,DOY,TMAX,TMIN\n2019,1,10,2\n2019,366,11,3\n"))
	f.Add([]byte("LST_DATE T_DAILY_MAX T_DAILY_MIN\n20190101  10.0  2.0\n"))
	f.Add([]byte("# STN,YYYYMMDD, TN, TX\n260,20190101, -12, 35\n"))
}

func FuzzRead(f *testing.F) {
	addSamples(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		got, err := Read(strings.NewReader(string(text)), "x", Options{})
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Error("an error without words")
			}
			return
		}
		r := got.Record
		placeless := *r
		placeless.Place = climate.Place{}
		if placeless.Validate() != nil || r.Len() == 0 || r.Len() > maxYears*367 {
			t.Fatalf("a record of %d days: %v", r.Len(), placeless.Validate())
		}
		for i := range r.TMaxC {
			for _, v := range []float64{r.TMaxC[i], r.TMinC[i]} {
				if math.IsInf(v, 0) || math.Abs(v) > 1e6 {
					t.Fatalf("%v: %g °C", r.Day(i), v)
				}
			}
		}
	})
}

// A record longer than the memory that is at hand first is read as by gocsv.
func TestLongRecord(t *testing.T) {
	var text strings.Builder
	text.WriteString("date,tmax_c,tmin_c,prcp_mm\n")
	const days = 100 * 365
	for i := range days {
		fmt.Fprintf(&text, "%s,%d,%d,0\n", climate.Date(1900, 1, 1)+climate.Day(i), 15+i%10, i%7)
	}
	for _, o := range []Options{{}, {reflected: true}} {
		f, err := Read(strings.NewReader(text.String()), "x", o)
		if err != nil {
			t.Fatal(err)
		}
		if f.Rows != days || f.Record.Len() != days || f.Record.TMaxC[days-1] != 15+(days-1)%10 {
			t.Errorf("%d rows, %d days", f.Rows, f.Record.Len())
		}
	}
}

// FuzzDirect holds the decoding of rows without reflection against that by
// gocsv: the same record, the same understanding, the same errors.
func FuzzDirect(f *testing.F) {
	addSamples(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		a, errA := Read(bytes.NewReader(text), "x", Options{})
		b, errB := Read(bytes.NewReader(text), "x", Options{reflected: true})
		if fmt.Sprint(errA) != fmt.Sprint(errB) {
			t.Fatalf("direct: %v\nby reflection: %v", errA, errB)
		}
		// NaN is not equal to itself; its text is.
		if errA == nil && (fmt.Sprintf("%+v", *a.Record) != fmt.Sprintf("%+v", *b.Record) ||
			fmt.Sprintf("%+v", a.Suspect) != fmt.Sprintf("%+v", b.Suspect)) {
			t.Fatalf("direct: %+v\nby reflection: %+v", a, b)
		}
	})
}

// The demonstration station: 30 years in the plain layout.
func demoFile(b *testing.B) string {
	text, err := os.ReadFile("../demo/station.csv")
	if err != nil {
		b.Fatal(err)
	}
	return string(text)
}

func BenchmarkRead(b *testing.B) {
	text := demoFile(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(strings.NewReader(text), "x", Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkReflected is reading with every row decoded by gocsv.
func BenchmarkReflected(b *testing.B) {
	text := demoFile(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(strings.NewReader(text), "x", Options{reflected: true}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkBare is what reading is compared with: encoding/csv and ParseFloat of
// every number, nothing understood or checked.
func BenchmarkBare(b *testing.B) {
	text := demoFile(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		r := csv.NewReader(strings.NewReader(text))
		r.FieldsPerRecord = -1
		sum := 0.0
		for line := 0; ; line++ {
			row, err := r.Read()
			if err == io.EOF {
				break
			}
			if err != nil {
				b.Fatal(err)
			}
			if line < 4 {
				continue // place and header
			}
			for _, cell := range row[1:] {
				v, err := strconv.ParseFloat(cell, 64)
				if err != nil {
					b.Fatal(err)
				}
				sum += v
			}
		}
	}
}

// FuzzPlain is [FuzzDirect] for what can stand among plain rows.
func FuzzPlain(f *testing.F) {
	for _, rows := range []string{
		"2004-02-27,12.5,-3.0,\n2004-02-28,,,1.2\n" +
			"2004-02-29,1,2,3\n2004-03-01,-0,.5,12.\n2004-03-02,9999,-99.9,99.99\n",
		"2004-02-03,12.5,3.0,0\r\n2004-02-04,12.5,3.0,\r\n\r\n" +
			"2004-02-05,12.5,3.0,-1\r\n#2004-02-06,1,2,3\n2004-02-07,1,2,T",
		"2004-02-03,12.5\n2004-02-04,12.5,3.0,0,more,and more\n" +
			"2004-02-05,\"12,5\",3.0,0\n2004-02-06,12.5,\"3.0\n\",0\n",
		"2004-02-30,1,2,3\n2004-02-3 ,1,2,3\n2004-02-03T,1,2,3\n2004-02-05,1e3,2,3\n",
		"2004-02-03, 12.5,+3.0,0.0\n2004-02-04,--1,2,3\n2004-02-05,1.2.3,2,3\n2004-02-06,1234567890123456,2,3\n",
		"2004-02-03,-,.,+\n2004-02-04,12.5E,3.0,0\n2004-02-05,12.5 C,M,0\n2004/02/06,1,2,3\n2005-02-06,1,2,3\n",
		"2004-02-28,1,2,3\n2004-03-01,1,2,3\n2004-13-01,1,2,3\n",
		"2004-12-31,1,2,3\n2005-01-01,1,2,3\n0000-01-01,1,2,3\n",
		"2004-02-03,1,2,3\n2004/03/01,1,2,3\n200a-03-01,1,2,3\n2004-0x-01,1,2,3\n",
		"2004-02-03,1,2,3,\"\n2004-02-04,1,2,3\"\n2004-02-05,1,\r,3\n2004-02-05,3,2,1\n",
	} {
		f.Add(rows, uint8(0))
		f.Add(strings.ReplaceAll(rows, ",", ";"), uint8(1))
		f.Add(strings.ReplaceAll(rows, ",2004", ",x,2004"), uint8(2))
	}
	headers := []string{"date,tmax_c,tmin_c,prcp_mm\n", "date;tmax_c;tmin_c;prcp_mm\n", "note,tmax_c,tmin_c,date\n"}
	f.Fuzz(func(t *testing.T, rows string, header uint8) {
		text := headers[int(header)%len(headers)] + "2004-02-01,10,1,0\n2004-02-02,11.5,-1,0.2\n" + rows
		a, errA := Read(strings.NewReader(text), "x", Options{})
		b, errB := Read(strings.NewReader(text), "x", Options{reflected: true})
		if fmt.Sprint(errA) != fmt.Sprint(errB) {
			t.Fatalf("direct: %v\nby reflection: %v", errA, errB)
		}
		if errA != nil {
			return
		}
		a.Record.Place, b.Record.Place = climate.Place{}, climate.Place{} // pointers
		recordA, recordB := *a.Record, *b.Record
		a.Record, b.Record = nil, nil
		x, y := fmt.Sprintf("%+v %+v", recordA, *a), fmt.Sprintf("%+v %+v", recordB, *b)
		if x != y {
			t.Fatalf("direct: %s\nby reflection: %s", x, y)
		}
	})
}
