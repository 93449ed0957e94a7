// Weathergen writes an invented station record, drawn by package weather, as
// CSV. The demonstration station is made by
//
//	go run ./cmd/weathergen --output climate/demo/station.csv
//
// and a region of invented stations, a file each, to measure with, by
//
//	go run ./cmd/weathergen --stations 1000 --years 30 --output DIRECTORY
package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/climate/weather"
)

func main() {
	flags := pflag.NewFlagSet("weathergen", pflag.ExitOnError)
	seed := flags.Uint64("seed", demo.Seed, "seed of the random numbers")
	output := flags.String("output", "", "file to write (default standard output), directory of several stations")
	stations := flags.Int("stations", 0, "stations of a region to write, each of a climate of its own")
	years := flags.Int("years", 30, "autumns of the stations of a region")
	flags.Parse(os.Args[1:])
	err := error(nil)
	if *stations > 0 {
		err = region(*output, *stations, *years)
	} else {
		err = run(*seed, *output)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "weathergen:", err)
		os.Exit(1)
	}
}

func run(seed uint64, output string) error {
	return write(weather.Generate(weather.Piedmont(), seed, demo.First, demo.Last), output)
}

// region writes the records of so many neighbours up to the last day of the
// demonstration station.
func region(dir string, stations, years int) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	first := climate.Date(demo.Last.Year()-years, time.January, 1)
	for i := range stations {
		rec := weather.Generate(weather.Neighbour(i+1), uint64(i+1), first, demo.Last)
		if err := write(rec, filepath.Join(dir, fmt.Sprintf("field-%04d.csv", i+1))); err != nil {
			return err
		}
	}
	return nil
}

// write writes a record to a file, "" for standard output.
func write(rec *climate.Record, output string) (err error) {
	var w io.Writer = os.Stdout
	if output != "" {
		f, err := os.Create(output)
		if err != nil {
			return err
		}
		defer func() {
			if e := f.Close(); err == nil {
				err = e
			}
		}()
		w = f
	}
	b := bufio.NewWriter(w)
	if err := weather.WriteCSV(b, rec); err != nil {
		return err
	}
	return b.Flush()
}
