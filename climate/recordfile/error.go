package recordfile

import (
	"fmt"
	"strings"
)

// A Kind says what sort of fault an [Error] is.
type Kind string

// The kinds. Where an option settles the matter the comment names it.
const (
	Unreadable      Kind = "unreadable"       // no table of text
	Empty           Kind = "empty"            // no row, or no value, that could be read
	TooLarge        Kind = "too-large"        // beyond the limits on what is read
	NoHeader        Kind = "no-header"        // no line names a date and both temperatures: Options.Columns
	MissingColumn   Kind = "missing-column"   // the header lacks the column of Field: Options.Columns
	AmbiguousColumn Kind = "ambiguous-column" // several columns could be that of Field: Options.Columns
	AskedColumn     Kind = "asked-column"     // no header has every column of Options.Columns
	BadValue        Kind = "bad-value"        // a cell cannot be read as Field
	DateOrderOpen   Kind = "date-order"       // which of two numbers is the day is open: Options.DateOrder
	SwappedDates    Kind = "swapped-dates"    // day and month are swapped on days 1 to 12: Options.DateOrder
	Contradiction   Kind = "contradiction"    // rows of one day differ
	Swapped         Kind = "swapped"          // the two temperatures seem to be in each other's column: Options.Columns
	SeveralTables   Kind = "several-tables"   // of Tables in an archive one must be named
	NoStations      Kind = "no-stations"      // there is no column for Options.Station
	UnknownStation  Kind = "unknown-station"  // Options.Station is none of Stations
	SeveralStations Kind = "several-stations" // of Stations one must be chosen: Options.Station
	UnknownUnit     Kind = "unknown-unit"     // the temperatures could be in each of Units, or in none: Options.Unit
	OutOfRange      Kind = "out-of-range"     // many temperatures are beyond any on Earth in the unit: Options.Unit
	WrongUnit       Kind = "wrong-unit"       // the temperatures are a climate in another unit: Options.Unit
	UnitConflict    Kind = "unit-conflict"    // Options.Unit is not the unit of the header
	MixedUnits      Kind = "mixed-units"      // the two temperatures, or parts of the record, are in different units
)

// An Error is a fault of a file. Line and Column count from 1 and are 0 where
// the fault has no one place; Column counts bytes.
type Error struct {
	Kind         Kind
	File         string
	Line, Column int
	Field        string // what the fault is of, by the keys of [Options.Columns], such as tmax; "" where it is of none
	Message      string
	Hint         string    // what to do about the file, or ""
	Units        []Unit    // of UnknownUnit: those in which the temperatures could be
	Tables       []string  // of SeveralTables: their names in the archive
	Stations     []Station // of SeveralStations and UnknownStation: those in the file, the first thousand
}

// Error returns FILE:LINE:COLUMN: MESSAGE.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d", e.Line)
		if e.Column > 0 {
			fmt.Fprintf(&b, ":%d", e.Column)
		}
	}
	b.WriteString(": ")
	b.WriteString(e.Message)
	return b.String()
}

// An OptionError is a fault of the [Options], whatever the file.
type OptionError struct {
	Option  string // name of the field
	Message string
}

func (e *OptionError) Error() string { return e.Message }
