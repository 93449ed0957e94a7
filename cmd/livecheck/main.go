// Livecheck asks each public service that swardcast fetches from once, and prints
// whether its answer is still what the program reads: pass or fail, a line a check. It
// is for a machine with a network, by hand; it fetches about 90 MB.
//
//	SWARDCAST_CONTACT=you@example.org go run ./cmd/livecheck
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"
	"time"

	"swardcast/climate"
	"swardcast/climate/fetch"
)

// The places that forecasts are asked for: in North Carolina and in Ireland.
var (
	american = fetch.Position{Latitude: 35.9, Longitude: -78.8, ElevationM: 130}
	irish    = fetch.Position{Latitude: 52.6, Longitude: -7.9, ElevationM: 95}
)

func main() {
	contact := flag.String(
		"contact",
		os.Getenv("SWARDCAST_CONTACT"),
		"e-mail or web address to send to the services of forecasts",
	)
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if failed := check(ctx, os.Stdout,
		func() *fetch.Client { return &fetch.Client{Agent: "swardcast/livecheck", Contact: *contact} }); failed > 0 {
		os.Exit(1)
	}
}

// nowhere is an address of this machine that answers nobody: it stands in for the
// service that a check is not about.
const nowhere = "http://127.0.0.1:1/"

// check runs every check on clients of their own, and returns how many failed.
func check(ctx context.Context, out io.Writer, newClient func() *fetch.Client) (failed int) {
	today := climate.Date(time.Now().UTC().Date())
	report := func(what string, run func() (string, error)) {
		begun := time.Now()
		found, err := run()
		verdict := "pass"
		if err != nil {
			verdict, found = "fail", err.Error()
			failed++
		}
		fmt.Fprintf(out, "%s  %s: %s (%.1f s)\n", verdict, what, found, time.Since(begun).Seconds())
	}
	// only returns a client for which one host does not answer.
	only := func(without fetch.Host) *fetch.Client {
		c := newClient()
		if err := c.Bases.Set(without, nowhere); err != nil {
			panic("livecheck: " + err.Error())
		}
		return c
	}
	var near *fetch.Found
	for _, x := range []struct {
		what    string
		without fetch.Host
	}{{"list of stations, NCEI", fetch.Mirror}, {"list of stations, public bucket", fetch.NCEI}} {
		c := only(x.without)
		report(x.what, func() (string, error) {
			index, err := c.Index(ctx)
			if err != nil {
				return "", err
			}
			found := index.Search(fetch.Query{Near: &american, Today: today, Limit: 1})
			if len(found) == 0 {
				return "", errors.New("no station that reports")
			}
			near = &found[0]
			return fmt.Sprintf(
				"%d stations, %s is %.0f km from %g, %g",
				len(index.Stations),
				near.ID,
				near.DistanceKM,
				american.Latitude,
				american.Longitude,
			), nil
		})
	}
	for _, x := range []struct {
		what    string
		without fetch.Host
	}{{"record, public bucket", fetch.NCEI}, {"record, NCEI", fetch.Mirror}} {
		c := only(x.without)
		report(x.what, func() (string, error) { return record(ctx, c, near) })
		report(x.what+", asked again", func() (string, error) { return again(ctx, c, near) })
	}
	for _, x := range []struct {
		what    string
		at      fetch.Position
		service fetch.Service
	}{{"forecast, US National Weather Service", american, fetch.USService}, {"forecast, MET Norway", irish, fetch.Norway}} {
		c := newClient()
		report(x.what, func() (string, error) { return forecast(ctx, c, x.at, x.service) })
	}
	return failed
}

// record fetches and reads a record.
func record(ctx context.Context, c *fetch.Client, s *fetch.Found) (string, error) {
	if s == nil {
		return "", errors.New("no station is known")
	}
	r, err := c.Record(ctx, s.Station)
	if err != nil {
		return "", err
	}
	f, err := r.Read()
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("%s, %s to %s", s.ID, f.Record.First, f.Record.Last()), nil
}

// again asks for a record that was fetched: the service should say that it has not
// changed.
func again(ctx context.Context, c *fetch.Client, s *fetch.Found) (string, error) {
	if s == nil {
		return "", errors.New("no station is known")
	}
	before, err := c.Record(ctx, s.Station)
	if err != nil {
		return "", err
	}
	c.Refresh = true
	after, err := c.Record(ctx, s.Station)
	switch {
	case err != nil:
		return "", err
	case after.Source.Stale != nil:
		return "", after.Source.Stale
	case !after.Source.Fetched.Equal(before.Source.Fetched):
		return "", errors.New("it was sent anew: the service does not heed ETag and Last-Modified")
	}
	return "unchanged, and not sent anew", nil
}

// forecast fetches a forecast of a service.
func forecast(ctx context.Context, c *fetch.Client, at fetch.Position, service fetch.Service) (string, error) {
	f, err := c.Forecast(ctx, at)
	if err != nil {
		return "", err
	}
	if f.Service != service {
		return "", fmt.Errorf("the answer is of the %s", f.Service.Name())
	}
	whole, rain := 0, 0
	for _, d := range f.Days {
		if d.Whole() {
			whole++
		}
		if !math.IsNaN(d.PrecipMM) {
			rain++
		}
	}
	const least = 5 // days
	if whole < least {
		return "", fmt.Errorf("%d days have both temperatures, fewer than %d", whole, least)
	}
	return fmt.Sprintf(
		"made %s, %d days with both temperatures, %d with rain, days in %s",
		f.Issued.Format(time.RFC3339),
		whole,
		rain,
		f.Zone,
	), nil
}
