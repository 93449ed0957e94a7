package files

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"iter"
	"reflect"
	"slices"
	"strings"

	"github.com/gocarina/gocsv"

	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
)

// MaxTableBytes is the largest that a small file of the user's own may be.
const MaxTableBytes = 1 << 20

// A Table is a small CSV file of the user's own, with rows of type R, on its way
// through gocsv. Lines that begin with # are comments; headers may be in any case; cells
// may be parted by semicolons, as spreadsheets do where the comma is the decimal sign.
type Table[R any] struct {
	file    string
	hint    string
	csv     *csv.Reader
	decoder *gocsv.Unmarshaller
}

// OpenTable reads the header of a table.
func OpenTable[R any](r io.Reader, file, hint string) (*Table[R], error) {
	return OpenTableUpTo[R](r, file, hint, MaxTableBytes)
}

// OpenTableUpTo is OpenTable for tables of up to so many bytes.
func OpenTableUpTo[R any](r io.Reader, file, hint string, limit int) (*Table[R], error) {
	t := &Table[R]{file: file, hint: hint}
	text, err := io.ReadAll(io.LimitReader(r, int64(limit)+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if len(text) > limit {
		return nil, t.Faulty(0, fmt.Sprintf("the file is larger than %d MiB", limit>>20))
	}
	t.csv = csv.NewReader(bytes.NewReader(text))
	if header := headerOf(text); !strings.Contains(header, ",") && strings.Contains(header, ";") {
		t.csv.Comma = ';'
	}
	t.csv.FieldsPerRecord, t.csv.TrimLeadingSpace, t.csv.Comment = -1, true, '#'
	if t.decoder, err = gocsv.NewUnmarshaller(t.csv, *new(R)); err != nil {
		return nil, t.Faulty(1, "the file has no header")
	}
	names := make([]string, len(t.decoder.Headers))
	for i, h := range t.decoder.Headers {
		names[i] = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")))
		// gocsv would let the last of two columns win.
		if names[i] != "" && slices.Contains(names[:i], names[i]) {
			return nil, t.Faulty(1, fmt.Sprintf("the header has two columns %q", names[i]))
		}
	}
	return t, t.decoder.RenormalizeHeaders(func([]string) []string { return names })
}

// headerOf is the first line that is neither blank nor a comment.
func headerOf(text []byte) string {
	for line := range strings.Lines(string(text)) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			return line
		}
	}
	return ""
}

// Semicolons reports whether semicolons part the cells, so that a comma can be the decimal
// sign.
func (t *Table[R]) Semicolons() bool { return t.csv.Comma == ';' }

// Has reports whether the header has a column.
func (t *Table[R]) Has(name string) bool { return slices.Contains(t.decoder.Headers, name) }

// Unknown are the headers of columns that no field of a row takes.
func (t *Table[R]) Unknown() []string {
	known := map[string]bool{"": true}
	for f := range reflect.TypeFor[R]().Fields() {
		known[f.Tag.Get("csv")] = true
	}
	return slices.DeleteFunc(slices.Clone(t.decoder.Headers), func(h string) bool { return known[h] })
}

// Rows gives the rows up to the first error.
func (t *Table[R]) Rows() iter.Seq2[R, error] {
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
func (t *Table[R]) next() (row R, err error) {
	v, err := t.decoder.Read()
	var parse *csv.ParseError
	switch {
	case err == nil:
		return v.(R), nil
	case err == io.EOF:
		return row, err
	case errors.As(err, &parse):
		return row, t.at(&recordfile.Error{Line: parse.Line, Column: parse.Column, Message: parse.Err.Error()})
	}
	return row, fmt.Errorf("%s: %w", t.file, err)
}

// Faulty is an error of the table as a whole, or of one of its lines.
func (t *Table[R]) Faulty(line int, message string) error {
	return t.at(&recordfile.Error{Line: line, Message: message})
}

// Fault is an error in a column of the row read last; "" for the row as a whole.
func (t *Table[R]) Fault(column, format string, args ...any) error {
	line, _ := t.csv.FieldPos(0)
	e := &recordfile.Error{Line: line, Message: fmt.Sprintf(format, args...)}
	if i := slices.Index(t.decoder.Headers, column); i >= 0 {
		e.Column = recordfile.CellColumn(t.csv, i)
	}
	return t.at(e)
}

// at adds the file and what to do.
func (t *Table[R]) at(e *recordfile.Error) error {
	e.File = t.file
	return &cli.DataError{Err: e, Hint: t.hint}
}
