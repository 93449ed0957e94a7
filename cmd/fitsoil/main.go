// Fitsoil fits the transfer function of package soil to stations with buried
// sensors, judges it by leaving stations out, and prints the tables of
// docs/validation.md.
//
//	go run ./cmd/fitsoil --data DIR --marine DIR2    # print the tables
//	go run ./cmd/fitsoil --data DIR --write FILE.go  # and write the coefficients
//
// DIR holds one CSV a station, date,tmax_c,tmin_c,prcp_mm,soil5_c,soil10_c,
// and stations.csv with station,latitude,longitude,climate. The stations of
// climate "humid" and those whose air and rain are marine are fitted. The
// stations of DIR2, of the same form, are never fitted, only judged.
package main

import (
	"fmt"
	"io"
	"os"

	"github.com/spf13/pflag"

	"swardcast/cmd/internal/sensors"
)

func main() {
	flags := pflag.NewFlagSet("fitsoil", pflag.ExitOnError)
	data := flags.String("data", "", "directory of the station files")
	marine := flags.String("marine", "", "directory of marine stations to judge by")
	write := flags.String("write", "", "Go file to write the coefficients to")
	flags.Parse(os.Args[1:])
	if *data == "" || flags.NArg() > 0 {
		fmt.Fprintln(os.Stderr, "fitsoil: usage: fitsoil --data DIR [--marine DIR] [--write FILE.go]")
		os.Exit(2)
	}
	if err := run(os.Stdout, *data, *marine, *write); err != nil {
		fmt.Fprintln(os.Stderr, "fitsoil:", err)
		os.Exit(1)
	}
}

func run(out io.Writer, data, marine, write string) error {
	stations, err := load(data, sensors.Turf)
	if err != nil {
		return err
	}
	var judged []*station
	if marine != "" {
		if judged, err = load(marine, nil); err != nil {
			return err
		}
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
	if err := marineReport(out, stations, judged); err != nil {
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
