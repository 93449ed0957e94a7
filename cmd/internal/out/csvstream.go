package out

import (
	"bytes"
	"encoding/csv"
	"strings"

	"github.com/gocarina/gocsv"
)

// CSVStream is a header and a row a row, by the csv tags of R.
func CSVStream[R any]() *Stream[R] {
	head := func() ([]byte, error) {
		var b bytes.Buffer
		err := gocsv.Marshal([]R{}, &b)
		return b.Bytes(), err
	}
	var columns []string
	return &Stream[R]{Head: head, Foot: nothing,
		Rows: func(rows []R, _ bool) ([]byte, error) {
			var b bytes.Buffer
			err := gocsv.MarshalWithoutHeaders(rows, &b)
			return b.Bytes(), err
		},
		Back: func(line string) (map[string]string, bool) {
			if columns == nil {
				text, err := head()
				if err != nil {
					return nil, false
				}
				columns = strings.Split(strings.TrimSpace(string(text)), ",")
			}
			cells, err := csv.NewReader(strings.NewReader(line)).Read()
			if err != nil || len(cells) != len(columns) || strings.Join(cells, ",") == strings.Join(columns, ",") {
				return nil, false
			}
			fields := make(map[string]string, len(cells))
			for i, c := range columns {
				fields[c] = cells[i]
			}
			return fields, true
		},
	}
}
