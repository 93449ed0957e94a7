package recordfile

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
)

// readJSON reads the record of a text in JSON: of arrays of the same length that stand
// beside each other, of a list of objects, or of a list of lists the first of which has
// the names. What stands beside them says the place and the units.
func readJSON(r io.Reader, name string, o Options, asked asked) (*File, error) {
	content, err := io.ReadAll(io.LimitReader(r, maxJSONBytes+1))
	if err != nil {
		return nil, ioError(name, err)
	}
	if len(content) > maxJSONBytes {
		return nil, &Error{Kind: TooLarge, File: name, Message: fmt.Sprintf("the JSON is longer than %d MiB",
			maxJSONBytes>>20), Hint: "take the record as CSV"}
	}
	d := json.NewDecoder(bytes.NewReader(bytes.TrimPrefix(content, []byte("\xef\xbb\xbf"))))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		return nil, &Error{Kind: Unreadable, File: name, Line: 1, Message: "the JSON cannot be read: " + err.Error(),
			Hint: "download it again, or take the record as CSV"}
	}
	found := &jsonTables{}
	found.look(v, "")
	first := error(&Error{Kind: NoHeader, File: name, Line: 1, Message: "this is JSON without a table of days",
		Hint: "download the record as CSV"})
	var lesser *File // of rows within the day, where there is no other
	for i, t := range found.list {
		f, err := readTable(&keptText{r: strings.NewReader(found.place + t.text)}, name, o, asked)
		var e *Error
		switch {
		case err == nil && strings.Contains(f.Layout, "rows a day") && i+1 < len(found.list):
			lesser = f
			continue
		case err == nil:
			f.Layout += ", in JSON"
			return f, nil
		case errors.As(err, &e):
			e.Line, e.Column = 0, 0 // of the text that it was turned into
			switch e.Kind {
			case NoHeader, MissingColumn, AskedColumn, Empty:
				if i == 0 {
					first = err
				}
				continue
			}
		}
		return nil, err
	}
	if lesser != nil {
		lesser.Layout += ", in JSON"
		return lesser, nil
	}
	return nil, first
}

// jsonTables are the tables found in JSON, each as CSV, and lines that give the place.
type jsonTables struct {
	list  []struct{ text string }
	place string
}

// maxTables is how many tables of one JSON are tried.
const maxTables = 20

// look goes through a value of JSON.
func (t *jsonTables) look(v any, key string) {
	if len(t.list) >= maxTables {
		return
	}
	switch v := v.(type) {
	case []any:
		t.rows(v)
	case map[string]any:
		columns := map[string][]any{}
		length := 0
		for _, k := range slices.Sorted(maps.Keys(v)) {
			switch x := v[k].(type) {
			case []any:
				if len(x) > 0 && scalars(x) {
					columns[k] = x
					length = max(length, len(x))
				}
			case string, json.Number:
				switch strings.ToLower(k) {
				case "latitude", "lat", "longitude", "lon", "elevation", "altitude":
					t.place += fmt.Sprintf("%s: %v\n", k, oneLine(x))
				case "name", "station_name", "stationname":
					t.place += fmt.Sprintf("Station name: %v\n", oneLine(x))
				}
			}
		}
		for k, x := range columns {
			if len(x) != length {
				delete(columns, k)
			}
		}
		if len(columns) > 1 {
			t.columns(columns, length, v)
		}
		// Days before hours: daily stands before hourly.
		for _, k := range slices.Sorted(maps.Keys(v)) {
			if _, isColumn := columns[k]; isColumn && len(columns) > 1 {
				continue
			}
			t.units(v, k)
			t.look(v[k], k)
		}
	}
}

// units moves the units of a part, which stand beside it under its name and _units,
// into it.
func (t *jsonTables) units(v map[string]any, k string) {
	units, ok := v[k+"_units"].(map[string]any)
	part, okPart := v[k].(map[string]any)
	if ok && okPart {
		part["units"] = units
	}
}

// scalars reports whether a list holds numbers, texts and nulls alone.
func scalars(list []any) bool {
	for _, x := range list {
		switch x.(type) {
		case nil, string, json.Number, bool:
		default:
			return false
		}
	}
	return true
}

// oneLine is a value as a cell.
func oneLine(v any) string {
	if v == nil {
		return ""
	}
	return strings.Join(strings.Fields(fmt.Sprint(v)), " ")
}

// columns adds a table of arrays beside each other.
func (t *jsonTables) columns(columns map[string][]any, length int, beside map[string]any) {
	units, _ := beside["units"].(map[string]any)
	names := slices.Sorted(maps.Keys(columns))
	header := slices.Clone(names)
	for i, n := range names {
		if u, ok := units[n].(string); ok {
			if _, known := unitWord(u); known {
				header[i] += " (" + u + ")"
			}
		}
	}
	t.write(header, length, func(row []string, i int) {
		for k, n := range names {
			row[k] = oneLine(columns[n][i])
		}
	})
}

// rows adds a table of a list of objects, or of lists below their names.
func (t *jsonTables) rows(list []any) {
	var names []string
	seen := map[string]bool{}
	flat := make([]map[string]any, 0, len(list))
	for _, x := range list {
		object, ok := x.(map[string]any)
		if !ok {
			t.lists(list)
			return
		}
		row := map[string]any{}
		for k, v := range object {
			if inner, ok := v.(map[string]any); ok {
				for k, v := range inner {
					if scalars([]any{v}) {
						row[k] = v
					}
				}
			} else if scalars([]any{v}) {
				row[k] = v
			}
		}
		for k := range row {
			if !seen[k] && len(names) < maxColumns {
				seen[k] = true
				names = append(names, k)
			}
		}
		flat = append(flat, row)
	}
	if len(names) < 2 {
		for _, x := range list[:min(len(list), maxTables)] {
			t.look(x, "")
		}
		return
	}
	slices.Sort(names)
	t.write(names, len(flat), func(row []string, i int) {
		for k, n := range names {
			row[k] = oneLine(flat[i][n])
		}
	})
}

// lists adds a table of lists of which the first has the names.
func (t *jsonTables) lists(list []any) {
	if len(list) < 2 {
		return
	}
	first, ok := list[0].([]any)
	if !ok || len(first) < 2 || len(first) > maxColumns || !scalars(first) {
		return
	}
	header := make([]string, len(first))
	for i, x := range first {
		header[i] = oneLine(x)
	}
	t.write(header, len(list)-1, func(row []string, i int) {
		cells, _ := list[i+1].([]any)
		for k := range row {
			if k < len(cells) && scalars(cells[k:k+1]) {
				row[k] = oneLine(cells[k])
			}
		}
	})
}

// write adds a table as CSV.
func (t *jsonTables) write(header []string, n int, fill func(row []string, i int)) {
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.Write(header)
	for i := range n {
		row := make([]string, len(header))
		fill(row, i)
		w.Write(row)
		if b.Len() > keptBytes {
			return // more than any record
		}
	}
	w.Flush()
	t.list = append(t.list, struct{ text string }{b.String()})
}
