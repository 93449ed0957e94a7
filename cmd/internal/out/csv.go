package out

import (
	"bytes"

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
	return words.HarmlessLines(b.Bytes()), nil
}}
