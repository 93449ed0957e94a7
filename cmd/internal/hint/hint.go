// Package hint says which flag of the program settles an error of the library.
package hint

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
)

const unit = "--temp-unit C, F, K or tenths-C"

// flags are the hints that name a flag, by the kind of the fault.
var flags = map[recordfile.Kind]string{
	recordfile.NoHeader: "--columns date=1,tmax=2,tmin=3 with the numbers of your columns, " +
		"or a first line such as date,tmax_c,tmin_c",
	recordfile.AskedColumn: "leave --columns out, or give the names of the header or numbers from 1, as in " +
		"--columns date=1,tmax=4,tmin=5",
	recordfile.DateOrderOpen: "--date-order day-first or --date-order month-first",
	recordfile.SwappedDates:  "--date-order swapped swaps them back, or take the original file with dates YYYY-MM-DD",
	recordfile.Swapped:       "--columns tmax=NAME,tmin=NAME, with the names of the right columns",
	recordfile.NoStations:    "leave --station out",
	recordfile.UnknownUnit:   unit,
	recordfile.OutOfRange:    unit,
	recordfile.WrongUnit:     unit + ", or correct the unit in the header",
	recordfile.UnitConflict:  "leave --temp-unit out, or choose other columns, as in --columns tmax=High,tmin=Low",
}

// For returns what to do about an error of the library, or "".
func For(err error) string {
	var e *recordfile.Error
	if !errors.As(err, &e) {
		return ""
	}
	switch e.Kind {
	case recordfile.SeveralStations, recordfile.UnknownStation:
		return station(e.Stations)
	case recordfile.MissingColumn:
		h := "--columns " + e.Field + "=NAME, with the name or number of the column"
		if e.Field == "tmax" || e.Field == "tmin" {
			h += ", or name the FILE that has it beside this one"
		}
		return h
	case recordfile.AmbiguousColumn:
		return "--columns " + e.Field + "=2, with the number of the right column"
	case recordfile.UnknownUnit:
		var units []string
		for _, u := range e.Units {
			units = append(units, string(u))
		}
		if len(units) > 0 {
			return "--temp-unit " + cli.Or(units)
		}
	}
	if h, ok := flags[e.Kind]; ok {
		return h
	}
	return e.Hint
}

// A Choice is a value of a flag that may settle an error.
type Choice struct {
	Flag  string `json:"flag"`  // without its hyphens
	Value string `json:"value"` // as it is typed; "" takes the flag away
	Says  string `json:"says"`  // what is chosen, in words
}

// Choices returns the values of which one may settle an error, none where it has to be
// settled in the file. hint is what For says, or the error's own hint.
func Choices(err error, hint string) []Choice {
	var e *recordfile.Error
	if errors.As(err, &e) {
		if list := ofFile(e); list != nil {
			return list
		}
	}
	return named(hint)
}

// ofFile are the choices that a fault of a file leaves.
func ofFile(e *recordfile.Error) []Choice {
	var list []Choice
	switch e.Kind {
	case recordfile.SeveralStations, recordfile.UnknownStation:
		for _, s := range e.Stations {
			says := s.ID
			if s.Name != "" {
				says += ", " + s.Name
			}
			list = append(list, Choice{"station", s.ID, fmt.Sprintf("%s (%d rows)", says, s.Rows)})
		}
	case recordfile.UnknownUnit, recordfile.OutOfRange:
		units := e.Units
		if len(units) == 0 {
			units = recordfile.Units()[1:]
		}
		for _, u := range units {
			list = append(list, Choice{"temp-unit", string(u), u.Name()})
		}
	case recordfile.UnitConflict:
		list = []Choice{{"temp-unit", "", "the unit that the file names"}}
	case recordfile.NoStations:
		list = []Choice{{"station", "", "the file as it is"}}
	case recordfile.DateOrderOpen:
		list = []Choice{{"date-order", string(recordfile.DayFirst), "the day stands first"},
			{"date-order", string(recordfile.MonthFirst), "the month stands first"}}
	case recordfile.SwappedDates:
		list = []Choice{{"date-order", string(recordfile.DateSwapped), "swap them back"}}
	}
	return list
}

// A hint that can be typed: a flag and its value, or several of which one is chosen.
var (
	typed  = regexp.MustCompile(`^--([a-z-]+) (.+)$`)
	joints = regexp.MustCompile(`, | or `)
	value  = regexp.MustCompile(`^(?:[^\s'";]+|'[^']+')$`)
)

// named are the values that a hint names behind a flag, none where it says more.
func named(hint string) []Choice {
	m := typed.FindStringSubmatch(hint)
	if m == nil {
		return nil
	}
	var list []Choice
	for _, v := range joints.Split(m[2], -1) {
		if !value.MatchString(v) {
			return nil
		}
		v = strings.Trim(v, "'")
		list = append(list, Choice{m[1], v, v})
	}
	return list
}

// station names the first stations of a file.
func station(list []recordfile.Station) string {
	const most = 3
	var ids []string
	for _, s := range list[:min(most, len(list))] {
		ids = append(ids, quoted(s.ID))
	}
	if len(ids) == 0 {
		return ""
	}
	return "--station " + cli.Or(ids)
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
