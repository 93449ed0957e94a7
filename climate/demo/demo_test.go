package demo

import (
	"bytes"
	"testing"

	"swardcast/climate/weather"
)

// The record built in is what the generator draws.
func TestStationIsGenerated(t *testing.T) {
	var b bytes.Buffer
	if err := weather.WriteCSV(&b, weather.Generate(weather.Piedmont(), Seed, First, Last)); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(b.Bytes(), Station) {
		t.Error("station.csv is not what the generator draws: go generate ./climate/demo")
	}
	if !bytes.Contains(Station[:80], []byte("invented")) {
		t.Error("the station is not marked as invented")
	}
}
