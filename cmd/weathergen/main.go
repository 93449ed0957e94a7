// Weathergen writes an invented station record, drawn by package weather, as
// CSV. The demonstration station is made by
//
//	go run ./cmd/weathergen --output climate/demo/station.csv
package main

import (
	"bufio"
	"fmt"
	"io"
	"os"

	"github.com/spf13/pflag"

	"swardcast/climate/demo"
	"swardcast/climate/weather"
)

func main() {
	flags := pflag.NewFlagSet("weathergen", pflag.ExitOnError)
	seed := flags.Uint64("seed", demo.Seed, "seed of the random numbers")
	output := flags.String("output", "", "file to write (default standard output)")
	flags.Parse(os.Args[1:])
	if err := run(*seed, *output); err != nil {
		fmt.Fprintln(os.Stderr, "weathergen:", err)
		os.Exit(1)
	}
}

func run(seed uint64, output string) (err error) {
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
	if err := weather.WriteCSV(b, weather.Generate(weather.Piedmont(), seed, demo.First, demo.Last)); err != nil {
		return err
	}
	return b.Flush()
}
