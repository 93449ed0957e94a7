// Fitsoil fits the transfer function of package soil to stations with buried
// sensors, judges it by leaving stations out, and prints the tables of
// docs/validation.md.
//
//	go run ./cmd/fitsoil --data DIR                  # print the tables
//	go run ./cmd/fitsoil --data DIR --write FILE.go  # and write the coefficients
//
// DIR holds one CSV a station, date,tmax_c,tmin_c,prcp_mm,soil5_c,soil10_c,
// and stations.csv with station,latitude,longitude,climate. The stations of
// climate "humid" are fitted.
package main

import (
	"fmt"
	"io"
	"os"

	"github.com/spf13/pflag"
)

func main() {
	flags := pflag.NewFlagSet("fitsoil", pflag.ExitOnError)
	data := flags.String("data", "", "directory of the station files")
	write := flags.String("write", "", "Go file to write the coefficients to")
	flags.Parse(os.Args[1:])
	if *data == "" || flags.NArg() > 0 {
		fmt.Fprintln(os.Stderr, "fitsoil: usage: fitsoil --data DIR [--write FILE.go]")
		os.Exit(2)
	}
	if err := run(os.Stdout, *data, *write); err != nil {
		fmt.Fprintln(os.Stderr, "fitsoil:", err)
		os.Exit(1)
	}
}

func run(out io.Writer, data, write string) error {
	stations, err := load(data)
	if err != nil {
		return err
	}
	chosen, err := judge(stations, variants[chosenVariant])
	if err != nil {
		return err
	}
	res, patterns, shares, err := residualsOf(stations, chosen)
	if err != nil {
		return err
	}
	if err := report(out, stations, chosen, res, shares); err != nil {
		return err
	}
	if err := probeReport(out, stations, chosen); err != nil {
		return err
	}
	if write == "" {
		return nil
	}
	return os.WriteFile(write, source(stations, chosen, res, patterns), 0o644)
}
