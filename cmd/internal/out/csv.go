package out

import (
	"bytes"
	"encoding/csv"

	"github.com/gocarina/gocsv"

	"swardcast/cmd/internal/words"
)

// CSV is the answer's rows (RFC 4180).
var CSV = Form{"csv", HasRows, func(a *Answer, _ *Flags) ([]byte, error) {
	rows, err := a.Rows()
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := gocsv.Marshal(rows, &b); err != nil {
		return nil, err
	}
	content := b.Bytes()
	if a.Station != "" {
		if content, err = withStation(content, a.Station); err != nil {
			return nil, err
		}
	}
	return words.HarmlessLines(content), nil
}}

// withStation puts a column with the station behind the others, which keep their places.
func withStation(table []byte, station string) ([]byte, error) {
	rows, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil {
		return nil, err
	}
	name, err := words.Text(station).MarshalCSV()
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	for i, row := range rows {
		last := name
		if i == 0 {
			last = "station_name"
		}
		if err := w.Write(append(row, last)); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}
