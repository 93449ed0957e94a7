// Example uses the library from a program of its own. Of each record it is given it
// prints until when tall fescue can be sown; of the first that answers it asks every
// other question too.
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

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/climate/recordfile"
	"swardcast/forecast"
	"swardcast/forecast/soil"
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

// read reads a record and removes suspect values.
func read(name string) (*climate.Record, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	file, err := recordfile.Read(f, name, recordfile.Options{})
	if err != nil {
		return nil, err
	}
	clean, _, err := check.Clean(file.Record)
	return clean, err
}

// A recordSite is a site whose record is a file.
type recordSite string

// Station implements forecast.Site.
func (name recordSite) Station(context.Context) (*forecast.Station, error) {
	record, err := read(string(name))
	if err != nil {
		return nil, err
	}
	return forecast.NewStation(record)
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
	first := true
	for d := range forecast.Region(ctx, slices.Values(sites), asked) {
		if d.Err != nil {
			explain(w, d.Site, d.Err)
			continue
		}
		last, ok := d.Windows[0].Safe()
		if !ok {
			fmt.Fprintf(w, "%s: no safe date in %d seasons\n", d.Site, len(d.Windows[0].Seasons))
			continue
		}
		fmt.Fprintf(w, "%s: sown by %s it was established in 9 of 10 seasons\n", d.Site, last.Format("2 January"))
		if !first {
			continue
		}
		first = false
		if err := questions(ctx, w, d.Station); err != nil {
			return err
		}
		if err := freezes(w, string(d.Site)); err != nil {
			return err
		}
	}
	return ctx.Err()
}

// explain says what is wrong with a record, and what to do about it.
func explain(w io.Writer, site recordSite, err error) {
	var fault *recordfile.Error
	switch {
	case errors.As(err, &fault):
		fmt.Fprintln(w, fault)
		if r := remedy(fault); r != "" {
			fmt.Fprintln(w, "  "+r)
		}
	case errors.Is(err, forecast.ErrNoLatitude):
		fmt.Fprintf(w, "%s: add a line such as Latitude: 33.8 before the header\n", site)
	default:
		fmt.Fprintf(w, "%s: %v\n", site, err)
	}
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

// questions asks a station everything, for the usual sowing: perennial ryegrass into
// bermudagrass.
func questions(ctx context.Context, w io.Writer, s *forecast.Station) error {
	window, err := s.Window(forecast.Options{})
	if err != nil {
		return err
	}
	safe, ok := window.Safe()
	if !ok || window.Best == nil {
		return fmt.Errorf("no safe date in %d seasons", len(window.Seasons))
	}
	fmt.Fprintf(w, "  last safe date for ryegrass %s; best day %s\n", safe, window.Best.Sow)
	for _, d := range window.ByDate {
		if d.Sow == safe+14 {
			fmt.Fprintf(w, "  two weeks later %.0f %% (%.0f to %.0f)\n", 100*d.Chance, 100*d.Low, 100*d.High)
		}
	}
	if err := sowing(w, s, window); err != nil {
		return err
	}
	if err := soilYear(w, s); err != nil {
		return err
	}
	h, err := s.Hindcast(ctx, forecast.HindcastOptions{})
	if err != nil {
		return err
	}
	score, climatology := h.Brier(forecast.LeadSow)
	fmt.Fprintf(w, "  past forecasts: Brier score %.3f, climatology %.3f\n", score.Score, climatology.Score)
	return nil
}

// sowing takes the last season of the record, sown on its latest date, as it looked
// two weeks later: when it is established, what to do about a thin stand, and which species
// are faster.
func sowing(w io.Writer, s *forecast.Station, window *forecast.Window) error {
	last := window.Seasons[len(window.Seasons)-1]
	if last.Latest == nil {
		return fmt.Errorf("the season of %d had no date in time", last.Year)
	}
	sow := *last.Latest
	today := sow + 14
	ensemble, err := s.Ensemble(forecast.Options{Season: last.Year}, forecast.EnsembleOptions{AsOf: &today})
	if err != nil {
		return err
	}
	outlook, err := ensemble.Outlook(forecast.Options{}, sow)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "  sown on %s, as of %s: established in time %.0f %%, %s\n",
		sow, today, 100*outlook.Chance, outlook.Verdict)
	decision, err := ensemble.Decide(
		outlook,
		forecast.Stand{Cover: 0.2, Found: forecast.NoSeed},
		forecast.Supply{AtHand: 1},
	)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "  cover of 20 %% and no seed found: lost with a probability of %.0f %%, decision: %s\n",
		100*decision.Report.LostProbability, decision.Best.Action)
	var species []turf.Species
	for _, id := range []string{"annual-ryegrass", "perennial-ryegrass", "kentucky-bluegrass"} {
		sp, _ := turf.Find(id)
		species = append(species, sp)
	}
	for i, letters := range forecast.CompactLetters(species, turf.Tillered) {
		x, err := ensemble.Outlook(forecast.Options{Species: species[i]}, sow)
		if err != nil {
			return err
		}
		fmt.Fprintf(w, "  %-20s %-2s %3.0f %%\n", species[i].Name, letters, 100*x.Chance)
	}
	return nil
}

// soilYear prints when the soil cools to 15 °C in a normal year.
func soilYear(w io.Writer, s *forecast.Station) error {
	year, err := s.SoilYear(soil.Depth10, []float64{15})
	if err != nil {
		return err
	}
	for _, c := range year.Crossings {
		if !c.Rising && c.Normal != nil {
			fmt.Fprintf(w, "  soil at 10 cm falls below 15 °C about %s\n", c.Normal.Format("2 January"))
		}
	}
	return nil
}

// freezes prints when killing freezes come, from the record as it is, gaps and all.
func freezes(w io.Writer, name string) error {
	record, err := read(name)
	if err != nil {
		return err
	}
	calendar, err := record.Calendar()
	if err != nil {
		return err
	}
	table, err := climate.FirstFreezes(record, calendar, turf.KillingFreezeC, climate.FreezeOptions{})
	if err != nil {
		return err
	}
	if d, ok := table.At(0.5, record.Last().Year()); ok {
		fmt.Fprintf(w, "  median first killing freeze %s, in %d seasons\n", d.Format("2 January"), table.Seasons())
	}
	return nil
}
