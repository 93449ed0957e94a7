package words

import (
	"math"
	"strconv"
	"strings"

	"swardcast/climate"
)

// A Number is written with at most four decimals, null where it is not known.
type Number float64

func (n Number) MarshalJSON() ([]byte, error) {
	v := float64(n)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, RoundTo(v, 4), 'f', -1, 64), nil
}

// MarshalCSV leaves what is not known blank.
func (n Number) MarshalCSV() (string, error) {
	v := float64(n)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "", nil
	}
	return strconv.FormatFloat(RoundTo(v, 4), 'f', -1, 64), nil
}

func RoundTo(v float64, decimals int) float64 {
	if math.Abs(v) >= 1e15 {
		return v // it has no decimals
	}
	scale := math.Pow10(decimals)
	r := math.Round(v*scale) / scale
	if r == 0 {
		return 0 // not -0
	}
	return r
}

// DayOrNil is a day for JSON, nil where there is none.
func DayOrNil(d climate.Day, ok bool) *climate.Day {
	if !ok {
		return nil
	}
	return &d
}

// Unknown is blank in CSV, null in JSON.
var Unknown = Number(math.NaN())

// Cell is a text from a file as a cell of CSV: one that a spreadsheet would
// take for a formula gets an apostrophe before it.
func Cell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}

// A Text is a text from a file. In CSV it is a [Cell].
type Text string

func (t Text) MarshalCSV() (string, error) { return Cell(string(t)), nil }
