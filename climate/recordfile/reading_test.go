package recordfile

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// plainNumber gives what strconv gives, bit by bit, for what it accepts.
func TestPlainNumber(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	check := func(s string) {
		want, err := strconv.ParseFloat(s, 64)
		if got, ok := plainNumber(s); !ok || err != nil || got != want {
			t.Fatalf("%q: %v, %v; strconv gives %v", s, got, ok, want)
		}
	}
	for range 20000 {
		v := (random.Float64() - 0.5) * 400
		check(strconv.FormatFloat(v, 'f', random.IntN(18), 64))
	}
	for _, s := range []string{"0", "-0", "+7", ".5", "5.", "73.03999999999999", "0.000000000000001",
		"123456789012345678901234567890"} {
		check(s)
	}
	for _, s := range []string{"", "-", ".", "+.", "1e3", "1_0", "0x1", "NaN", "Inf", "1.2.3", "1-2", " 1", "1,2",
		"--1"} {
		if v, ok := plainNumber(s); ok {
			t.Errorf("%q reads as %g", s, v)
		}
	}
}

// Numbers with something beside them.
func TestDressedNumbers(t *testing.T) {
	for _, c := range []struct {
		header, cells string
		tmaxC         float64 // NaN for missing
		message       string  // of the refusal
	}{
		{"date,tmax,tmin", "73.4 °F,50 °F", 23, ""},
		{"date,tmax,tmin", "73.4F,50F", 23, ""},
		{"date,tmax,tmin", "296.15 K,280 K", 23, ""},
		{"date,tmax_c,tmin_c", "23.0 °C,−1.1", 23, ""},
		{"date,tmax_c,tmin_c", "23.0e,–1.1", 23, ""},
		{"date,tmax_c,tmin_c", "23.0*,1.1", 23, ""},
		{"date,tmax_c,tmin_c", "23.0 ),1.1", 23, ""},
		{"date,tmax_c,tmin_c", "23.0 ],1.1", math.NaN(), ""},
		{"date,tmax_c,tmin_c", `"23,0","-1,1"`, 23, ""},
		{"date,tmax_c,tmin_c", `"+23.0",-1.1`, 23, ""},
		{"date;tmax_c;tmin_c", `23,0 °C;-1,1 °C`, 23, ""},
		{"date,tmax_c,tmin_c", "///,-1.1", math.NaN(), ""},
		{"date,tmax_c,tmin_c", "73.4 °F,50", 0, `"73.4 °F" is not in °C as the column`},
		{"date,tmax_c,tmin_c", `"1,160",1`, 0, `"1,160" is not a number`},
		{"date,tmax_c,tmin_c", "23 mm,1", 0, `"23 mm" is not a number`},
		{"date,tmax_c,tmin_c", "23 20,1", 0, `"23 20" is not a number`},
		{"date,tmax_c,tmin_c", "e,1", 0, `"e" is not a number`},
		{"date,tmax_c,tmin_c", "2019-01-01,1", 0, `is not a number`},
		{"date,tmax_c,tmin_c", "1.2.3e,1", 0, `is not a number`},
	} {
		separator := c.header[4:5]
		_, lowest, _ := strings.Cut(c.cells, separator)
		if strings.HasPrefix(c.cells, `"`) && c.cells[1] != '+' {
			lowest = "1"
		}
		text := c.header + "\n2019-06-01" + separator + c.cells + "\n2019-06-02" + separator + "20" + separator + lowest + "\n"
		if strings.Contains(c.cells, "F") || strings.Contains(c.cells, "K") {
			text = c.header + "\n2019-06-01," + c.cells + "\n2019-06-02," + c.cells + "\n"
		}
		f, err := Read(strings.NewReader(text), "x", Options{})
		switch {
		case c.message != "":
			if err == nil || !strings.Contains(err.Error(), c.message) {
				t.Errorf("%s: %v, want %q", c.cells, err, c.message)
			}
		case err != nil:
			t.Errorf("%s: %v", c.cells, err)
		case !same(math.Round(f.Record.TMaxC[0]*1e9)/1e9, c.tmaxC):
			t.Errorf("%s: %g °C", c.cells, f.Record.TMaxC[0])
		}
	}
}
