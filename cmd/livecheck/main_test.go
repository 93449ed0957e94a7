package main

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"swardcast/climate/fetch"
	"swardcast/climate/fetch/fetchtest"
)

// Against the server of tests every check passes, and each fails alone where its answer
// is another.
func TestCheck(t *testing.T) {
	run := func(path string, faults ...fetchtest.Fault) (failed int, out string) {
		s := fetchtest.New()
		defer s.Close()
		s.Now = time.Now().UTC()
		if path != "" {
			s.Break(path, faults...)
		}
		var b bytes.Buffer
		failed = check(t.Context(), &b, func() *fetch.Client {
			c := &fetch.Client{Contact: "keeper@example.org"}
			for _, h := range fetch.Hosts() {
				if err := c.Bases.Set(h, s.Base(string(h))); err != nil {
					t.Fatal(err)
				}
			}
			return c
		})
		return failed, b.String()
	}
	if failed, out := run(""); failed != 0 || strings.Count(out, "pass  ") != 8 || strings.Contains(out, "fail") {
		t.Errorf("%d failed:\n%s", failed, out)
	}
	for path, want := range map[string]string{
		"/mirror/ghcnd-inventory.txt":                   "fail  list of stations, public bucket: ",
		"/nws/gridpoints/XXX/12,34":                     "fail  forecast, US National Weather Service: ",
		"/met/weatherapi/locationforecast/2.0/complete": "fail  forecast, MET Norway: ",
		"/ncei/pub/data/ghcn/daily/ghcnd-stations.txt":  "fail  list of stations, NCEI: ",
	} {
		if failed, out := run(path, fetchtest.Page); failed != 1 || !strings.Contains(out, want) {
			t.Errorf("%s: %d failed:\n%s", path, failed, out)
		}
	}
}
