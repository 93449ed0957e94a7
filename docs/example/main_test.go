package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"swardcast/climate/demo"
)

func TestExample(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, text := range map[string]string{"demo.csv": string(demo.Station), "bad.csv": "date,tmax_c,tmin_c\n2019-01-01,1,0\n2019-02-30,1,0\n"} {
		if err := os.WriteFile(filepath.Join(".", name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	var out bytes.Buffer
	if err := run(context.Background(), &out, []string{"demo.csv", "bad.csv", "demo.csv"}); err != nil {
		t.Fatal(err)
	}
	const sown = "demo.csv: sown by 30 September it was established in 9 of 10 seasons\n"
	const bad = `bad.csv:3:1: "2019-02-30" is not a date written YYYY-MM-DD as those before it (column 1, date)
  dates are understood as YYYY-MM-DD, YYYYMMDD, DD-MMM-YYYY and numbers with the year last, one form a file
`
	const want = sown + bad + sown
	if out.String() != want {
		t.Errorf("%s\nwant\n%s", out.String(), want)
	}
}
