// Package demo holds the built-in station that commands answer for where no
// file is given. The station, its place and its weather are invented; package
// weather drew them.
package demo

import (
	_ "embed"
	"time"

	"swardcast/climate"
)

// Seed is what the record was drawn with.
const Seed = 20

// The days of the record: thirty whole autumns.
var (
	First = climate.Date(1996, time.January, 1)
	Last  = climate.Date(2026, time.June, 30)
)

// Name stands for the file in messages.
const Name = "demo station"

// Station is the record as a CSV file.
//
//go:generate go run ../../cmd/weathergen --output station.csv
//go:embed station.csv
var Station []byte
