package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/gocarina/gocsv"

	"swardcast/climate/recordfile"
)

// maxTableBytes is how much of a small file of the user's own is read.
const maxTableBytes = 1 << 20

// A table is a small CSV file of the user's own on its way through gocsv. Lines
// behind # are comments; headers may be in any case.
type table struct {
	file    string
	hint    string
	csv     *csv.Reader
	decoder *gocsv.Unmarshaller
}

// openTable reads the header of a table whose rows are of the type of row.
func openTable(r io.Reader, file, hint string, row any) (*table, error) {
	t := &table{file: file, hint: hint, csv: csv.NewReader(io.LimitReader(r, maxTableBytes))}
	t.csv.FieldsPerRecord, t.csv.TrimLeadingSpace, t.csv.Comment = -1, true, '#'
	var err error
	if t.decoder, err = gocsv.NewUnmarshaller(t.csv, row); err != nil {
		return nil, &recordfile.Error{File: file, Line: 1, Message: "the file has no header", Hint: hint}
	}
	names := make([]string, len(t.decoder.Headers))
	for i, h := range t.decoder.Headers {
		names[i] = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")))
		// gocsv would let the last of two columns win.
		if names[i] != "" && slices.Contains(names[:i], names[i]) {
			return nil, &recordfile.Error{File: file, Line: 1, Message: fmt.Sprintf("the header has two columns %q", names[i]), Hint: hint}
		}
	}
	return t, t.decoder.RenormalizeHeaders(func([]string) []string { return names })
}

// has reports whether the header has a column.
func (t *table) has(name string) bool { return slices.Contains(t.decoder.Headers, name) }

// next returns the next row, io.EOF after the last.
func (t *table) next() (any, error) {
	row, err := t.decoder.Read()
	var parse *csv.ParseError
	switch {
	case err == nil, err == io.EOF:
		return row, err
	case errors.As(err, &parse):
		return nil, &recordfile.Error{File: t.file, Line: parse.Line, Column: parse.Column, Message: parse.Err.Error(), Hint: t.hint}
	}
	return nil, fmt.Errorf("%s: %w", t.file, err)
}

// fault is an error in a column of the row read last; "" for the row as a whole.
func (t *table) fault(column, format string, args ...any) error {
	line, _ := t.csv.FieldPos(0)
	e := &recordfile.Error{File: t.file, Line: line, Message: fmt.Sprintf(format, args...), Hint: t.hint}
	if i := slices.Index(t.decoder.Headers, column); i >= 0 {
		e.Column = recordfile.CellColumn(t.csv, i)
	}
	return e
}
