// Example reads station records and prints, for each, until when tall fescue can
// be sown: the library used from a program of its own.
//
//	go run ./docs/example my-station.csv another.csv
//
// A record must give its latitude. Ctrl-C ends it with what is complete.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"

	"swardcast/climate/check"
	"swardcast/climate/recordfile"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Stdout, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "example:", err)
		os.Exit(1)
	}
}

// A recordSite is a site whose record is a file.
type recordSite string

// Station implements forecast.Site.
func (name recordSite) Station(context.Context) (*forecast.Station, error) {
	f, err := os.Open(string(name))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	file, err := recordfile.Read(f, string(name), recordfile.Options{})
	if err != nil {
		return nil, err
	}
	clean, _, err := check.Clean(file.Record)
	if err != nil {
		return nil, err
	}
	return forecast.NewStation(clean)
}

// remedy says what to do about a fault of a file, or is "".
func remedy(fault *recordfile.Error) string {
	switch fault.Kind {
	case recordfile.UnknownUnit, recordfile.OutOfRange, recordfile.WrongUnit:
		return "name the unit in the header, such as tmax_c and tmin_c"
	case recordfile.NoHeader, recordfile.MissingColumn, recordfile.AmbiguousColumn:
		return "name the columns date, tmax_c and tmin_c"
	}
	return fault.Hint
}

func run(ctx context.Context, w io.Writer, names []string) error {
	tall, ok := turf.Find("tall-fescue")
	if !ok {
		return errors.New("no tall fescue")
	}
	var sites []recordSite
	for _, name := range names {
		sites = append(sites, recordSite(name))
	}
	asked := forecast.RegionOptions{Options: []forecast.Options{{Species: tall, Confidence: 90}}}
	for d := range forecast.Region(ctx, slices.Values(sites), asked) {
		var fault *recordfile.Error
		switch {
		case errors.As(d.Err, &fault):
			fmt.Fprintln(w, fault)
			if r := remedy(fault); r != "" {
				fmt.Fprintln(w, "  "+r)
			}
		case errors.Is(d.Err, forecast.ErrNoLatitude):
			fmt.Fprintf(w, "%s: add a line such as Latitude: 33.8 before the header\n", d.Site)
		case d.Err != nil:
			fmt.Fprintf(w, "%s: %v\n", d.Site, d.Err)
		default:
			last, ok := d.Windows[0].Safe()
			if !ok {
				fmt.Fprintf(w, "%s: no safe date in %d seasons\n", d.Site, len(d.Windows[0].Seasons))
				continue
			}
			fmt.Fprintf(w, "%s: sown by %s it was established in 9 of 10 seasons\n", d.Site, last.Format("2 January"))
		}
	}
	return ctx.Err()
}
