package hint

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"swardcast/climate/recordfile"
)

// rows are days that no unit is found from.
func rows(header string, n int, row string) string {
	var b strings.Builder
	b.WriteString(header + "\n")
	for i := range n {
		fmt.Fprintf(&b, "%s,%s\n", recordDay(i), row)
	}
	return b.String()
}

func recordDay(i int) string { return fmt.Sprintf("2019-%02d-%02d", 1+i/28%12, 1+i%28) }

// What a file is refused for has the flag that settles it, or the hint of the
// library.
func TestFor(t *testing.T) {
	alternating := rows("date,tmax,tmin", 20, "50,40")
	for _, c := range []struct {
		name, text string
		options    recordfile.Options
		want       string
	}{
		{"no header", "2019-01-01,1,0\n", recordfile.Options{}, "--columns date=1,tmax=2,tmin=3 with the numbers"},
		{"no lowest", "date,tmax\n2019-01-01,10\n", recordfile.Options{}, "--columns tmin=NAME"},
		{"two highest", "date,tmax,TMAX,tmin\n2019-01-01,1,1,0\n", recordfile.Options{}, "--columns tmax=2"},
		{"asked", "date,tmax,tmin\n2019-01-01,1,0\n", recordfile.Options{Columns: map[string]string{"tmax": "High"}},
			"leave --columns out"},
		{"swapped", rows("date,tmin_c,tmax_c", 40, "10,1"), recordfile.Options{}, "--columns tmax=NAME"},
		{"no stations", "date,tmax,tmin\n2019-01-01,1,0\n", recordfile.Options{Station: "A"}, "leave --station out"},
		{"stations", "station,date,tmax_c,tmin_c\nA,2019-01-01,1,0\nB,2019-01-01,1,0\n", recordfile.Options{},
			"--station A"},
		{"unit", alternating, recordfile.Options{}, "--temp-unit C or F"},
		{"beyond Earth", rows("date,tmax_c,tmin_c", 40, "99,80"), recordfile.Options{}, "--temp-unit C, F, K or tenths-C"},
		{"conflict", "date,tmax_c,tmin_c\n2019-01-01,1,0\n", recordfile.Options{Unit: recordfile.Fahrenheit},
			"leave --temp-unit out"},
		{"day or month", "date,tmax_c,tmin_c\n01/02/2019,1,0\n", recordfile.Options{}, "--date-order day-first"},
		{"library's own", "date,tmax_c,tmin_c\n2019-01-01,abc,0\n", recordfile.Options{}, "leave the cell blank"},
		{"none", "date,tmax_c,tmin_c\n", recordfile.Options{}, ""},
	} {
		_, err := recordfile.Read(strings.NewReader(c.text), "x.csv", c.options)
		if err == nil {
			t.Errorf("%s: read", c.name)
			continue
		}
		if got := For(fmt.Errorf("wrapped: %w", err)); !strings.Contains(got, c.want) ||
			(c.want == "") != (got == "") {
			t.Errorf("%s: %v: %q, want %q", c.name, err, got, c.want)
		}
	}
	if got := For(errors.New("another")); got != "" {
		t.Errorf("another error: %q", got)
	}
}
