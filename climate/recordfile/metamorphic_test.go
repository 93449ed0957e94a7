package recordfile

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"swardcast/climate"
	"swardcast/climate/recordstest"
)

// real is a file of the US Climate Reference Network, by its header and its rows.
func real(t *testing.T) (header string, rows []string) {
	t.Helper()
	text, err := os.ReadFile(recordstest.Path(t, "soil", "GA_Watkinsville_5_SSE.csv"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	return lines[0], lines[1:]
}

func readText(t *testing.T, header string, rows []string) *climate.Record {
	t.Helper()
	f, err := Read(bytes.NewReader([]byte(header+"\n"+strings.Join(rows, "\n")+"\n")), "x", Options{})
	if err != nil {
		t.Fatal(err)
	}
	return f.Record
}

// alike reports whether two records have the same days, temperatures and rain, the temperatures
// to so many °C.
func alike(t *testing.T, name string, a, b *climate.Record, toC float64) {
	t.Helper()
	if a.First != b.First || a.Len() != b.Len() || (a.PrecipMM == nil) != (b.PrecipMM == nil) {
		t.Fatalf("%s: %v to %v, and %v to %v", name, a.First, a.Last(), b.First, b.Last())
	}
	off := func(x, y, most float64) bool {
		return math.IsNaN(x) != math.IsNaN(y) || math.Abs(x-y) > most
	}
	for i := range a.TMaxC {
		if off(a.TMaxC[i], b.TMaxC[i], toC) || off(a.TMinC[i], b.TMinC[i], toC) ||
			a.PrecipMM != nil && off(a.PrecipMM[i], b.PrecipMM[i], 0) {
			t.Fatalf("%s, %v: %g to %g °C, and %g to %g", name, a.Day(i), a.TMinC[i], a.TMaxC[i], b.TMinC[i], b.TMaxC[i])
		}
	}
}

// The order of the rows makes no other record.
func TestOrderOfRealRowsDoesNotMatter(t *testing.T) {
	header, rows := real(t)
	want := readText(t, header, rows)
	random := rand.New(rand.NewPCG(1, 2))
	for name, reorder := range map[string]func(){
		"reversed": func() {
			for i := range len(rows) / 2 {
				rows[i], rows[len(rows)-1-i] = rows[len(rows)-1-i], rows[i]
			}
		},
		"shuffled": func() { random.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] }) },
	} {
		reorder()
		alike(t, name, want, readText(t, header, rows), 0)
	}
}

// In °F, to a hundredth, it is the same record to half a hundredth of a °F.
func TestRealRecordInFahrenheit(t *testing.T) {
	header, rows := real(t)
	want := readText(t, header, rows)
	cell := func(c float64) string {
		if math.IsNaN(c) {
			return ""
		}
		return fmt.Sprintf("%.2f", c*1.8+32)
	}
	var fahrenheit []string
	for i := range want.TMaxC {
		fahrenheit = append(fahrenheit, fmt.Sprintf("%s,%s,%s", want.Day(i), cell(want.TMaxC[i]), cell(want.TMinC[i])))
	}
	bare := *want
	bare.PrecipMM = nil
	alike(t, "°F", &bare, readText(t, "date,tmax_f,tmin_f", fahrenheit), 0.005/1.8+1e-9)
}
