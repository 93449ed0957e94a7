// Package hint says which flag of the program settles an error of the library.
package hint

import (
	"errors"
	"strings"
	"unicode"

	"swardcast/climate/recordfile"
)

const unit = "give their unit with --temp-unit C, F, K or tenths-C"

// flags are the hints that name a flag, by the kind of the fault.
var flags = map[recordfile.Kind]string{
	recordfile.NoHeader: "the first line should name the columns, such as date,tmax_c,tmin_c; " +
		"or say what they are with --columns",
	recordfile.MissingColumn:   "say which column it is, as in --columns date=Day,tmax=High,tmin=Low",
	recordfile.AmbiguousColumn: "say which one by its name or number, as in --columns tmax=2",
	recordfile.AskedColumn: "--columns takes the names of the header, or numbers from 1, " +
		"as in --columns date=1,tmax=4,tmin=5",
	recordfile.DateOrderOpen: "say which comes first, as in --date-order day-first or --date-order month-first",
	recordfile.SwappedDates:  "swap them back with --date-order swapped, or take the original file with dates YYYY-MM-DD",
	recordfile.Swapped:       "say which is which, as in --columns tmax=NAME,tmin=NAME",
	recordfile.NoStations:    "leave --station out",
	recordfile.UnknownUnit:   unit,
	recordfile.OutOfRange:    unit,
	recordfile.WrongUnit:     "correct the unit in the header, or with --temp-unit where the header has none",
	recordfile.UnitConflict:  "leave --temp-unit out, or choose other columns, as in --columns tmax=High,tmin=Low",
}

// For returns what to do about an error of the library, or "".
func For(err error) string {
	var e *recordfile.Error
	if !errors.As(err, &e) {
		return ""
	}
	if e.Kind == recordfile.SeveralStations && len(e.Stations) > 0 {
		return "choose one, as in --station " + quoted(e.Stations[0].ID)
	}
	if h, ok := flags[e.Kind]; ok {
		return h
	}
	return e.Hint
}

// quoted is a word as it is typed at a shell.
func quoted(s string) string {
	if s != "" && !strings.ContainsFunc(s, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("-_./:", r)
	}) {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
