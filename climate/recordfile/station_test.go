package recordfile

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"swardcast/climate"
)

// fields are two stations, the second of which is warmer by 3 °C and begins later.
var fields = []struct {
	cells  string // that tell it apart
	id     string // by which it is asked for
	warmer float64
	after  int // days
}{{"", "", 0, 0}, {"", "", 3, 200}}

// twoStations writes rows of two stations, one after the other or turn by turn.
func twoStations(header string, cells [2]string, turns bool) string {
	var rows [2][]string
	for k, f := range fields {
		for i := f.after; i < 600; i++ {
			d := climate.Date(2019, 1, 1) + climate.Day(i)
			m := math.Round(12-11*math.Cos(2*math.Pi*float64(i)/365.25)+3*math.Sin(float64(i))) + f.warmer
			rows[k] = append(rows[k], strings.NewReplacer("ID", cells[k], "DATE", d.String(),
				"HI", fmt.Sprint(m+6), "LO", fmt.Sprint(m-6)).Replace("ID,DATE,HI,LO"))
		}
	}
	var b strings.Builder
	b.WriteString(header + "\n")
	if !turns {
		b.WriteString(strings.Join(append(rows[0], rows[1]...), "\n") + "\n")
		return b.String()
	}
	for i, row := range rows[0] {
		b.WriteString(row + "\n")
		if i >= fields[1].after {
			b.WriteString(rows[1][i-fields[1].after] + "\n")
		}
	}
	return b.String()
}

// Two stations are found whatever column tells them apart, and each can be read.
func TestStationsByAnyColumn(t *testing.T) {
	for _, c := range []struct {
		header string
		cells  [2]string
		ids    [2]string
	}{
		{"NUM_POSTE,DATE,TX,TN", [2]string{"12003001", "12003002"}, [2]string{"12003001", "12003002"}},
		{"Climate ID,DATE,TX,TN", [2]string{"612A", "613B"}, [2]string{"612A", "613B"}},
		{"Station Name,DATE,TX,TN", [2]string{"Near Field", "Far Field"}, [2]string{"Near Field", "Far Field"}},
		{"Location,DATE,TX,TN", [2]string{"Near", "Far"}, [2]string{"Near", "Far"}},
		{"# STN,DATE,TX,TN", [2]string{"260", "261"}, [2]string{"260", "261"}},
		{"lat,lon,DATE,TX,TN", [2]string{"41.5,-90.5", "42.6,-91"}, [2]string{"41.5", "42.6"}},
		{"id,DATE,TX,TN", [2]string{"1", "2"}, [2]string{"1", "2"}},
		{"gauge,crew,DATE,TX,TN", [2]string{"G7,x", "G9,x"}, [2]string{"G7", "G9"}},
		{"blorb,DATE,TX,TN", [2]string{"p", "q"}, [2]string{"p", "q"}},
		{"network,gauge,DATE,TX,TN", [2]string{"N,1", "N,2"}, [2]string{"1", "2"}},
	} {
		for _, turns := range []bool{false, true} {
			text := twoStations(c.header, c.cells, turns)
			_, err := Read(strings.NewReader(text), "x.csv", Options{Unit: Celsius})
			var e *Error
			if !errors.As(err,
				&e) || e.Kind != SeveralStations || len(e.Stations) != 2 || e.Stations[0].ID != c.ids[0] ||
				e.Stations[1].ID != c.ids[1] || e.Stations[0].Rows+e.Stations[1].Rows != 1000 {
				t.Errorf("%s, turns %v: %v", c.header, turns, err)
				continue
			}
			for k, id := range c.ids {
				f, err := Read(strings.NewReader(text), "x.csv", Options{Unit: Celsius, Station: id})
				if err != nil || f.Record.Len() != 600-fields[k].after || len(f.Suspect) > 0 {
					t.Errorf("%s, turns %v, %s: %v, %v", c.header, turns, id, f, err)
				}
			}
		}
	}
}

// Columns that change for other reasons are no stations.
func TestNoStations(t *testing.T) {
	n := 0
	for name, text := range map[string]string{
		"observer": days("date,tmax_c,tmin_c,observer", 800, func(d climate.Day, a, b float64) string {
			n++
			return celsiusRow(d, a, b) + "," + []string{"AB", "CD"}[n/300%2]
		}),
		"years out of order": reorder(days("season,date,tmax_c,tmin_c", 730, func(d climate.Day, a, b float64) string {
			return fmt.Sprint(d.Year()) + "," + celsiusRow(d, a, b)
		})),
		"wind": days("date,tmax_c,tmin_c,wind,sector", 800, func(d climate.Day, a, b float64) string {
			return fmt.Sprintf("%s,%d,%s", celsiusRow(d, a, b), d%40, []string{"N", "E", "S"}[d%3])
		}),
	} {
		if _, err := Read(strings.NewReader(text), "x.csv", Options{}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// reorder puts the second year of a file before the first.
func reorder(text string) string {
	rows := strings.Split(strings.TrimSpace(text), "\n")
	return strings.Join(append(append([]string{rows[0]}, rows[366:]...), rows[1:366]...), "\n") + "\n"
}
