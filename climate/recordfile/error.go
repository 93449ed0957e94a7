package recordfile

import (
	"fmt"
	"strings"
)

// An Error is a fault of a file. Line and Column count from 1 and are 0 where
// the fault has no one place; Column counts bytes.
type Error struct {
	File         string
	Line, Column int
	Message      string
	Hint         string // what to do about it, or ""
	Units        []Unit // those in which the temperatures could be, where that is the fault
}

// An OptionError is a fault of the [Options], whatever the file.
type OptionError struct{ Message string }

func (e *OptionError) Error() string { return e.Message }

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
