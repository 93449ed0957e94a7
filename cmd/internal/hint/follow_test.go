package hint

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/mattn/go-shellwords"

	"swardcast/climate"
	"swardcast/climate/recordfile"
)

// follow does what a hint says, NAME being what the person knows of the file: flags as
// they are typed, the first where several are offered.
func follow(t *testing.T, hint, name string, o recordfile.Options) (recordfile.Options, bool) {
	t.Helper()
	if rest, ok := strings.CutPrefix(hint, "leave --"); ok {
		switch flag, _, _ := strings.Cut(rest, " "); flag {
		case "station":
			o.Station = ""
		case "temp-unit":
			o.Unit = ""
		case "columns":
			o.Columns = nil
		default:
			return o, false
		}
		return o, true
	}
	flag, rest, ok := strings.Cut(hint, " ")
	if !ok || !strings.HasPrefix(flag, "--") {
		return o, false
	}
	typed, err := shellwords.Parse(rest)
	if err != nil || len(typed) == 0 {
		return o, false
	}
	value := strings.TrimSuffix(typed[0], ",")
	switch flag {
	case "--columns":
		columns := map[string]string{}
		for k, v := range o.Columns {
			columns[k] = v
		}
		names := strings.Split(name, ",")
		for _, pair := range strings.Split(value, ",") {
			k, v, _ := strings.Cut(pair, "=")
			if v == "NAME" {
				if v = names[0]; k == "tmin" {
					v = names[len(names)-1]
				}
			}
			columns[k] = v
		}
		o.Columns = columns
	case "--temp-unit":
		o.Unit = recordfile.Unit(value)
		if name != "" {
			o.Unit = recordfile.Unit(name)
		}
	case "--date-order":
		o.DateOrder = recordfile.DateOrder(value)
	case "--station":
		o.Station = value
	default:
		return o, false
	}
	return o, true
}

// year is a year of days by a header.
func year(header string, row func(d climate.Day, tmax, tmin float64) string) string {
	var b strings.Builder
	b.WriteString(header + "\n")
	for i := range 400 {
		m := 12 - 11*math.Cos(2*math.Pi*float64(i)/365.25) + 3*math.Sin(float64(i))
		b.WriteString(row(climate.Date(2019, 1, 1)+climate.Day(i), math.Round(m+6), math.Round(m-6)) + "\n")
	}
	return b.String()
}

// What a hint says, done literally, is answered or gets a further hint that is true.
func TestHintsFollowed(t *testing.T) {
	plain := func(d climate.Day, a, b float64) string { return fmt.Sprintf("%s,%g,%g", d, a, b) }
	us := func(d climate.Day, a, b float64) string { return fmt.Sprintf("%s,%g,%g", d.Format("01/02/2006"), a, b) }
	swappedDay := func(d climate.Day, a, b float64) string {
		if y, m, n := d.Date(); n <= 12 {
			d = climate.Date(y, 1, 1) // the same of another month
			for d.Year() == y {
				if _, mm, nn := d.Date(); int(mm) == n && nn == int(m) {
					break
				}
				d++
			}
		}
		return plain(d, a, b)
	}
	stations := func(ids ...string) func(climate.Day, float64, float64) string {
		return func(d climate.Day, a, b float64) string {
			var rows []string
			for i, id := range ids {
				rows = append(rows, fmt.Sprintf("%s,%s,%g,%g", id, d, a+float64(i), b+float64(i)))
			}
			return strings.Join(rows, "\n")
		}
	}
	for _, c := range []struct {
		kind       recordfile.Kind
		name, text string
		options    recordfile.Options
	}{
		{recordfile.NoHeader, "", year("a,b,c", plain), recordfile.Options{}},
		{recordfile.MissingColumn, "Reading B", year("date,tmax_c,Reading B", plain), recordfile.Options{}},
		{recordfile.MissingColumn, "Reading A,Reading B", year("date,Reading A,Reading B", plain), recordfile.Options{}},
		{recordfile.AmbiguousColumn, "", year("date,tmax,TMAX,tmin", func(d climate.Day, a, b float64) string {
			return fmt.Sprintf("%s,%g,%g,%g", d, a, a, b)
		}), recordfile.Options{Unit: recordfile.Celsius}},
		{recordfile.AskedColumn, "", year("x,y,date,tmax_c,tmin_c", func(d climate.Day, a, b float64) string {
			return "1,2," + plain(d, a, b)
		}), recordfile.Options{Columns: map[string]string{"tmax": "High"}}},
		{recordfile.DateOrderOpen, "", "date,tmax_c,tmin_c\n01/02/2019,9,1\n03/05/2019,9,1\n", recordfile.Options{}},
		{recordfile.SwappedDates, "", year("date,tmax_c,tmin_c", swappedDay), recordfile.Options{}},
		{recordfile.Swapped, "tmin_c,tmax_c", year("date,tmin_c,tmax_c", plain), recordfile.Options{}},
		{recordfile.NoStations, "", year("date,tmax_c,tmin_c", us), recordfile.Options{Station: "A"}},
		{recordfile.UnknownStation, "", year("station,date,tmax_c,tmin_c", stations("B 1", "C")),
			recordfile.Options{Station: "A"}},
		{recordfile.SeveralStations, "", year("station,date,tmax_c,tmin_c", stations("it's", "C")), recordfile.Options{}},
		{recordfile.SeveralStations, "", year("Plaats,date,tmax_c,tmin_c", stations("A", "C")), recordfile.Options{}},
		{recordfile.UnknownUnit, "", "date,tmax,tmin\n2019-03-01,50,40\n2019-03-02,51,41\n", recordfile.Options{}},
		{recordfile.OutOfRange, "F", "date,tmax,tmin\n2019-07-01,99,70\n2019-07-02,98,71\n",
			recordfile.Options{Unit: recordfile.Celsius}},
		{recordfile.UnitConflict, "", year("date,tmax_c,tmin_c", plain), recordfile.Options{Unit: recordfile.Fahrenheit}},
	} {
		t.Run(string(c.kind), func(t *testing.T) {
			o, text := c.options, c.text
			for step := 0; ; step++ {
				_, err := recordfile.Read(strings.NewReader(text), "x.csv", o)
				var e *recordfile.Error
				switch {
				case err == nil && step > 0:
					return
				case err == nil:
					t.Fatal("read")
				case !errors.As(err, &e):
					t.Fatalf("after %d hints: %v", step, err)
				case step == 0 && e.Kind != c.kind:
					t.Fatalf("%s, want %s: %v", e.Kind, c.kind, err)
				case step == 4:
					t.Fatalf("after %d hints: %v", step, err)
				}
				h := For(err)
				next, ok := follow(t, h, c.name, o)
				if !ok {
					t.Fatalf("%v: the hint %q cannot be followed", err, h)
				}
				if fmt.Sprint(next) == fmt.Sprint(o) {
					t.Fatalf("%v: the hint %q changes nothing", err, h)
				}
				o = next
			}
		})
	}
}
