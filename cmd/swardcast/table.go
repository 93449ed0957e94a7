package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"

	"github.com/gocarina/gocsv"

	"swardcast/climate/recordfile"
)

// maxTableBytes is the largest that a small file of the user's own may be.
const maxTableBytes = 1 << 20

// A table is a small CSV file of the user's own, with rows of type R, on its way
// through gocsv. Lines
// behind # are comments; headers may be in any case.
type table[R any] struct {
	file    string
	hint    string
	csv     *csv.Reader
	decoder *gocsv.Unmarshaller
}

// openTable reads the header of a table.
func openTable[R any](r io.Reader, file, hint string) (*table[R], error) {
	return openTableUpTo[R](r, file, hint, maxTableBytes)
}

// openTableUpTo is openTable for tables of up to so many bytes.
func openTableUpTo[R any](r io.Reader, file, hint string, most int) (*table[R], error) {
	text, err := io.ReadAll(io.LimitReader(r, int64(most)+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if len(text) > most {
		return nil, &recordfile.Error{File: file, Message: fmt.Sprintf("the file is larger than %d MiB", most>>20), Hint: hint}
	}
	t := &table[R]{file: file, hint: hint, csv: csv.NewReader(bytes.NewReader(text))}
	t.csv.FieldsPerRecord, t.csv.TrimLeadingSpace, t.csv.Comment = -1, true, '#'
	if t.decoder, err = gocsv.NewUnmarshaller(t.csv, *new(R)); err != nil {
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
func (t *table[R]) has(name string) bool { return slices.Contains(t.decoder.Headers, name) }

// rows gives the rows up to the first error.
func (t *table[R]) rows() iter.Seq2[R, error] {
	return func(yield func(R, error) bool) {
		for {
			row, err := t.next()
			if err == io.EOF || !yield(row, err) || err != nil {
				return
			}
		}
	}
}

// next returns the next row, io.EOF after the last.
func (t *table[R]) next() (row R, err error) {
	v, err := t.decoder.Read()
	var parse *csv.ParseError
	switch {
	case err == nil:
		return v.(R), nil
	case err == io.EOF:
		return row, err
	case errors.As(err, &parse):
		return row, &recordfile.Error{File: t.file, Line: parse.Line, Column: parse.Column, Message: parse.Err.Error(), Hint: t.hint}
	}
	return row, fmt.Errorf("%s: %w", t.file, err)
}

// fault is an error in a column of the row read last; "" for the row as a whole.
func (t *table[R]) fault(column, format string, args ...any) error {
	line, _ := t.csv.FieldPos(0)
	e := &recordfile.Error{File: t.file, Line: line, Message: fmt.Sprintf(format, args...), Hint: t.hint}
	if i := slices.Index(t.decoder.Headers, column); i >= 0 {
		e.Column = recordfile.CellColumn(t.csv, i)
	}
	return e
}
