// Package fetch writes the record of a station, and the forecast of the days after it,
// to files that the other commands read.
package fetch

import (
	"bytes"
	"context"
	"fmt"
	"math"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/fetch"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/out"
	"swardcast/cmd/internal/services"
	"swardcast/cmd/internal/words"
)

// Command is swardcast fetch.
var Command = &cli.Command{
	Name:    "fetch",
	Summary: "A station's record as a file, and the forecast of the days after",
	Usage:   "[ID]",
	Help: `Writes the whole record of a station up to its last day as a plain CSV, with its
place and source in the lines before the header; values that failed a check of
the service are left out. A record that was fetched before is asked for again
after six hours, and sent again only where it has changed.

--ahead writes a second file that --outlook-file reads: the forecast of the days
after the record, with the days ahead at which each was made (lead). It is of
the US National Weather Service in the United States and of MET Norway
elsewhere, and is asked for at the station's position.
`,
	Examples: []cli.Example{
		{Line: `fetch --near 35.9,-78.8 -o my-station.csv`},
		{Line: `fetch XX000000001 -o my-station.csv --ahead next-days.csv`},
		{Line: `fetch XX000000001 --offline -o my-station.csv`},
	},
	Epilogue: `Variables: SWARDCAST_CACHE names the folder of what was fetched, SWARDCAST_BASE
addresses as --base does. MET Norway answers only programs that send a contact:
SWARDCAST_CONTACT, your e-mail or web address.
`,
	Setup: func(f *pflag.FlagSet) cli.Run {
		var near ask.Position
		var reach ask.ReachFlags
		var of out.Flags
		f.Var(&near, "near", "the station that suits this place best: 35.9,-78.8 or \"35°54'N 78°47'W\"")
		elevation := f.Float64("elevation", 0, "elevation of the place in `metres` (default as the stations about it)")
		ahead := f.String("ahead", "", "`file` to write the forecast of the days after the record to")
		reach.Declare(f)
		of.DeclareFormats(f, "csv")
		return func(ctx context.Context, p *cli.Program, args []string) error {
			w := &cli.Wanted{Latitude: near.Latitude, Longitude: near.Longitude, Reach: reach.Reach()}
			if f.Changed("elevation") {
				w.ElevationM = elevation
			}
			switch {
			case len(args) > 1:
				return cli.Usagef("", "one station at a time: %d given", len(args))
			case (len(args) == 1) == near.Given:
				return cli.Usagef(
					"swardcast station --near 35.9,-78.8 lists the stations near a place",
					"either the ID of a station or --near",
				)
			case *ahead != "" && (*ahead == of.Output || *ahead == "-" && of.Output == ""):
				return cli.Usagef("name two files", "the record and the forecast cannot go to the same file")
			case len(args) == 1:
				w.ID = args[0]
			}
			return write(ctx, p, w, of.Output, *ahead)
		}
	},
}

// write fetches a record, and a forecast where it is asked for, and writes both.
func write(ctx context.Context, p *cli.Program, w *cli.Wanted, output, ahead string) error {
	c, err := services.Client(p, w.Reach)
	if err != nil {
		return err
	}
	station, err := services.Find(ctx, c, w, p.Today())
	if err != nil {
		return err
	}
	r, err := c.Record(ctx, station.Station)
	if err != nil {
		return services.Fault(err)
	}
	file, err := r.Read()
	if err != nil {
		return err
	}
	rec := file.Record
	var days []byte
	if ahead != "" {
		if days, err = forecastFile(ctx, p, c, station, rec.Last()); err != nil {
			return err
		}
	}
	var b bytes.Buffer
	if err := fetch.WriteCSV(&b, rec, notes(r)...); err != nil {
		return err
	}
	if err := p.Write(output, words.HarmlessLines(b.Bytes())); err != nil {
		return err
	}
	where := ""
	if !math.IsNaN(station.DistanceKM) {
		where = ", " + words.BothDistances(station.DistanceKM) + " away"
	}
	p.Say(
		"station %s, %s%s: %s to %s, fetched %s ago",
		r.Station.ID,
		r.Station.Name,
		where,
		rec.First,
		rec.Last(),
		words.Age(p.Clock().Sub(r.Source.Fetched)),
	)
	if r.Source.Stale != nil {
		p.Say("the record was not refreshed: %v", r.Source.Stale)
	}
	if ahead == "" {
		return nil
	}
	return p.Write(ahead, days)
}

// notes are the lines about the source of a record.
func notes(r *fetch.Record) []string {
	list := []string{
		"Source: " + services.Source,
		fmt.Sprintf("Station %s, %s; fetched %s", r.Station.ID, r.Source.URL, words.Metric.Moment(r.Source.Fetched)),
	}
	if r.Source.Stale != nil {
		list = append(list, "Not refreshed: "+r.Source.Stale.Error())
	}
	return list
}

// forecastFile is the forecast of the days after the last of a record.
func forecastFile(
	ctx context.Context,
	p *cli.Program,
	c *fetch.Client,
	station *fetch.Found,
	last climate.Day,
) ([]byte, error) {
	f, err := c.Forecast(ctx, station.Position)
	if err != nil {
		return nil, services.Fault(err)
	}
	var days []fetch.ForecastDay
	for _, d := range f.Days {
		if d.Day > last && d.Whole() {
			days = append(days, d)
		}
	}
	if len(days) == 0 {
		return nil, cli.Dataf("", "the forecast of the %s has no day after %s", f.Service.Name(), last)
	}
	if n := int(days[0].Day-last) - 1; n > 0 {
		p.Say("no forecast has the %s between %s and %s", words.Count(n, "day", "days"), last, days[0].Day)
	}
	p.Say(
		"forecast of the %s, made %s, days in %s: %s to %s",
		f.Service.Name(),
		words.Metric.Moment(f.Issued),
		f.Zone,
		days[0].Day,
		days[len(days)-1].Day,
	)
	p.Say("%s", f.Service.Attribution())
	if f.Source.Stale != nil {
		p.Say("the forecast was not refreshed: %v", f.Source.Stale)
	}
	var b bytes.Buffer
	err = fetch.WriteForecastCSV(
		&b,
		days,
		f.Service.Attribution(),
		fmt.Sprintf(
			"Made %s for %s; days in %s; lead is the days ahead at which a row was forecast",
			words.Metric.Moment(f.Issued),
			station.ID,
			f.Zone,
		),
	)
	return b.Bytes(), err
}
