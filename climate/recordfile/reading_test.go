package recordfile

import (
	"math/rand/v2"
	"strconv"
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
