package main

import (
	"bytes"
	"context"
	"os"
	"regexp"
	"testing"

	"swardcast/climate/demo"
)

// The first record is asked everything, a bad one is explained, another has its
// date.
func TestExample(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, text := range map[string]string{
		"demo.csv": string(demo.Station),
		"bad.csv":  "date,tmax_c,tmin_c\n2019-01-01,1,0\n2019-02-30,1,0\n",
	} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	var out bytes.Buffer
	if err := run(context.Background(), &out, []string{"demo.csv", "bad.csv", "demo.csv"}); err != nil {
		t.Fatal(err)
	}
	const sown = `demo\.csv: sown by \d+ \w+ it was established in 9 of 10 seasons\n`
	const bad = `bad\.csv:3:1: "2019-02-30" is not a date written YYYY-MM-DD as those before it \(column 1, date\)
  dates are understood as YYYY-MM-DD, YYYYMMDD, DD-MMM-YYYY and numbers with the year last, one form a file
`
	want := regexp.MustCompile(`^` + sown +
		`  last safe date for ryegrass 2026-1[01]-\d\d; best day 2026-(09|1[01])-\d\d
  two weeks later \d+ % \(\d+ to \d+\)
  sown on 2025-\d\d-\d\d, as of 2025-\d\d-\d\d: established in time \d+ %, \w+
  cover of 20 % and no seed found: lost with a probability of \d+ %, decision: sow
  annual ryegrass      a +\d+ %
  perennial ryegrass   a +\d+ %
  Kentucky bluegrass   b +\d+ %
  soil at 10 cm falls below 15 °C about \d+ (October|November)
  past forecasts: Brier score 0\.\d+, climatology 0\.\d+
  median first killing freeze \d+ November, in 30 seasons
` + bad + sown + `$`)
	if !want.Match(out.Bytes()) {
		t.Errorf("%s\nwant\n%s", out.String(), want)
	}
}
