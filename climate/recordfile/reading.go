package recordfile

import (
	"math"
	"strconv"
	"strings"
)

// A reading is one cell with a measured value, as gocsv decodes it. Decoding never
// fails: a cell that is not a plain number keeps its text, so that the error can
// give its place and quote it.
type reading struct {
	value float64
	text  string // of a cell that is not a plain number
	state cellState
}

type cellState uint8

const (
	cellAbsent cellState = iota // the row has no such cell
	cellNumber
	cellText
)

// UnmarshalCSV implements gocsv.TypeUnmarshaller.
func (c *reading) UnmarshalCSV(s string) error {
	if v, ok := plainNumber(s); ok {
		*c = reading{value: v, state: cellNumber}
		return nil
	}
	*c = reading{text: s, state: cellText}
	return nil
}

// plainNumber reads sign, digits and one decimal point. strconv alone would
// also take NaN, Inf, hexadecimal and underscores, and is slower: a number of
// up to 15 digits and its power of ten are exact in a float64, so that their
// quotient is the nearest one (Clinger 1990, fast path).
func plainNumber(s string) (float64, bool) {
	i, negative := 0, false
	if i < len(s) && (s[i] == '-' || s[i] == '+') {
		negative = s[i] == '-'
		i++
	}
	var mantissa int64
	digits, decimals, point := 0, 0, false
	for ; i < len(s); i++ {
		switch c := s[i]; {
		case c >= '0' && c <= '9':
			digits++
			if digits <= exactDigits {
				mantissa = mantissa*10 + int64(c-'0')
			}
			if point {
				decimals++
			}
		case c == '.' && !point:
			point = true
		default:
			return 0, false
		}
	}
	if digits == 0 {
		return 0, false
	}
	if digits > exactDigits {
		v, err := strconv.ParseFloat(s, 64)
		return v, err == nil
	}
	v := float64(mantissa) / powersOfTen[decimals]
	if negative {
		v = -v
	}
	return v, true
}

const exactDigits = 15

var powersOfTen = [exactDigits + 1]float64{
	1,
	1e1,
	1e2,
	1e3,
	1e4,
	1e5,
	1e6,
	1e7,
	1e8,
	1e9,
	1e10,
	1e11,
	1e12,
	1e13,
	1e14,
	1e15,
}

// missingWords are the texts that mean a missing value, beside a blank.
var missingWords = map[string]bool{"NA": true, "N/A": true, "M": true, "-": true, "--": true, "NULL": true,
	"MISSING": true, "MM": true,
	"NONE": true, "#N/A": true, "---": true, "N.D.": true, "ND": true, ".": true, "?": true, "*": true,
	"NAN": true, "NIL": true, "/": true, "//": true, "///": true, "×": true, "…": true, "...": true, "–": true, "—": true}

// missingNumber reports whether a number is one of the codes for a missing
// temperature, none of which is a possible temperature in any of the units. The
// code −99 depends on the unit; see Unit.missing.
func missingNumber(v float64) bool {
	switch math.Abs(v) {
	case 999, 9999, 99999, 999.9, 9999.9, 999.99, 9999.99:
		return true
	}
	return v == -99.9 || v == -99.99
}

// temperature returns the value of a cell, NaN where it is missing, and false
// where it is neither a number nor missing. With decimalComma, 12,5 is a number.
func (c *reading) temperature(decimalComma bool) (float64, bool) {
	v, ok := c.plain(decimalComma)
	if missingNumber(v) {
		v = math.NaN()
	}
	return v, ok
}

// plain returns the number in a cell, NaN where it is blank or says that the value
// is missing in words, and false where it is neither. Numeric codes are kept.
func (c *reading) plain(decimalComma bool) (float64, bool) {
	switch c.state {
	case cellAbsent:
		return math.NaN(), true
	case cellText:
		s := strings.TrimSpace(c.text)
		if s == "" || missingWords[strings.ToUpper(s)] {
			return math.NaN(), true
		}
		if i := strings.IndexByte(s, ','); i >= 0 && strings.Count(s, ",") == 1 && (decimalComma || len(s)-i <= 3) {
			// Between commas a cell such as "23,3" stands in quotation marks; of three
			// digits behind the comma it could be thousands.
			s = s[:i] + "." + s[i+1:]
		}
		return plainNumber(s)
	}
	return c.value, true
}

// amount returns the precipitation of a cell: a trace, T, counts as 0; a value that
// is negative or more than any day's rain is NaN, as is a missing one. It is false
// for what is neither a number nor missing.
func (c *reading) amount(decimalComma bool) (float64, bool) {
	if c.state == cellText && strings.EqualFold(strings.TrimSpace(c.text), "T") {
		return 0, true
	}
	v, ok := c.plain(decimalComma)
	return fallen(v), ok
}

// fallen is an amount of precipitation, NaN where it means a missing one: 99.99 does in
// inches of rain (NOAA).
func fallen(v float64) float64 {
	if v < 0 || v >= 9999 || v == 99.99 {
		return math.NaN()
	}
	return v
}

// A dressed number has something beside it in its cell: its unit, a mark, or a minus
// sign that is no hyphen.
type dressed struct {
	text string // the number alone
	unit string // as in a header, or ""
	mark string // "" for none
}

// Marks behind a number. With the first sort it counts: estimated, or one of several
// days with the same extreme (NOAA; Environment and Climate Change Canada), nearly
// complete (JMA). With the second it does not: doubtful, or of too few readings (JMA).
// From memory.
const keptMarks, badMarks = "eE*)", "#]"

// undress takes the number of a cell out of what stands beside it.
func undress(s string) (dressed, bool) {
	s = strings.TrimSpace(s)
	for _, minus := range []string{"−", "–", "‐", "‑"} {
		if rest, ok := strings.CutPrefix(s, minus); ok {
			s = "-" + strings.TrimSpace(rest)
		}
	}
	end := strings.LastIndexAny(s, "0123456789.") + 1
	d := dressed{text: strings.TrimSpace(s[:end])}
	behind := strings.TrimSpace(s[end:])
	switch {
	case behind == "":
	case len(behind) == 1 && strings.Contains(keptMarks+badMarks, behind):
		d.mark = behind
	default:
		u, ok := unitWord(behind)
		if d.unit = u; !ok {
			return d, false
		}
	}
	return d, d.text != ""
}
