package forecast_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/climate/demo"
	"swardcast/climate/recordfile"
	"swardcast/climate/weather"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// demoStation reads the invented station, takes out of its record what cannot be
// believed, and makes it ready.
func demoStation() (*forecast.Station, error) {
	file, err := recordfile.Read(bytes.NewReader(demo.Station), demo.Name, recordfile.Options{})
	if err != nil {
		return nil, err
	}
	clean, _, err := check.Clean(file.Record)
	if err != nil {
		return nil, err
	}
	return forecast.NewStation(clean)
}

func ExampleStation_Window() {
	station, err := demoStation()
	if err != nil {
		fmt.Println(err)
		return
	}
	window, err := station.Window(forecast.Options{}) // perennial ryegrass into bermudagrass
	if errors.Is(err, forecast.ErrNoSeasons) {
		fmt.Println("look for another record:", err)
		return
	} else if err != nil {
		fmt.Println(err)
		return
	}
	if opens, ok := window.Opens.At(0.5); ok {
		fmt.Println("opens", opens)
	}
	if last, ok := window.LastSafe(80); ok {
		fmt.Println("last safe date", last)
	}
	for _, d := range window.ByDate {
		if d.Sow == climate.Date(2026, 10, 12) {
			fmt.Printf("sown %s: %.0f %% (%.0f to %.0f)\n", d.Sow, 100*d.Chance, 100*d.Low, 100*d.High)
		}
	}
	// Output:
	// opens 2026-09-11
	// last safe date 2026-10-10
	// sown 2026-10-12: 76 % (62 to 87)
}

// An outlook is of one sowing in the season at hand. Past seasons stand for what
// may still come of it.
func ExampleEnsemble_Outlook() {
	station, err := demoStation()
	if err != nil {
		fmt.Println(err)
		return
	}
	today, sow := climate.Date(2019, 10, 20), climate.Date(2019, 10, 5)
	ensemble, err := station.Ensemble(forecast.Options{}, forecast.EnsembleOptions{AsOf: &today})
	if err != nil {
		fmt.Println(err)
		return
	}
	outlook, err := ensemble.Outlook(forecast.Options{}, sow)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f %% of the seed that will come up is up\n", 100*outlook.EmergedFraction)
	for _, s := range outlook.Stages {
		fmt.Println(s.Stage, s.P50)
	}
	fmt.Println("established in time:", outlook.Verdict)
	// Output:
	// 99 % of the seed that will come up is up
	// emerged 2019-10-10
	// mow 2019-10-20
	// tillered 2019-10-23
	// established in time: likely
}

// A thin first sowing: what to do about it?
func ExampleEnsemble_Decide() {
	station, err := demoStation()
	if err != nil {
		fmt.Println(err)
		return
	}
	today := climate.Date(2019, 10, 12)
	ensemble, err := station.Ensemble(forecast.Options{}, forecast.EnsembleOptions{AsOf: &today})
	if err != nil {
		fmt.Println(err)
		return
	}
	first, err := ensemble.Outlook(forecast.Options{}, climate.Date(2019, 10, 1))
	if err != nil {
		fmt.Println(err)
		return
	}
	thin := forecast.Stand{Cover: 0.2, Found: forecast.NoSeed}
	decision, err := ensemble.Decide(first, thin, forecast.Supply{AtHand: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range decision.Choices {
		fmt.Printf("%s: expected cover %.0f %%\n", c.Action, 100*c.Cover)
	}
	fmt.Println("do:", decision.Best.Action)
	// Output:
	// sow: expected cover 74 %
	// leave: expected cover 25 %
	// do: sow
}

// Species side by side: between those that share a letter there is no clear difference.
func ExampleCompactLetters() {
	station, err := demoStation()
	if err != nil {
		fmt.Println(err)
		return
	}
	species := turf.All()
	slices.SortStableFunc(species, func(a, b turf.Species) int {
		return int(a.ThermalTime(turf.Tillered) - b.ThermalTime(turf.Tillered))
	})
	letters := forecast.CompactLetters(species, turf.Tillered)
	for i, sp := range species {
		dates, err := station.Dates(forecast.Options{Species: sp})
		if err != nil {
			fmt.Println(err)
			return
		}
		if last, ok := dates.Safe(); ok && i%5 == 0 {
			fmt.Printf("%-20s %-3s %s\n", sp.Name, letters[i], last)
		}
	}
	// Output:
	// annual ryegrass      a   2026-10-10
	// meadow fescue        bc  2026-10-06
	// Kentucky bluegrass   d   2026-09-28
}

// A field is a site of the region of the example; any type that can make a
// station will do, such as one that reads a file.
type field int

func (f field) Station(context.Context) (*forecast.Station, error) {
	if f == 3 {
		return nil, errors.New("the record is lost")
	}
	return forecast.NewStation(weather.Generate(weather.Neighbour(int(f)), 1, demo.First, demo.Last))
}

func ExampleRegion() {
	ctx := context.Background()
	fields := slices.Values([]field{1, 2, 3, 4})
	for d := range forecast.Region(ctx, fields, forecast.RegionOptions{}) {
		if d.Err != nil {
			fmt.Println("field", d.Site, "left out:", d.Err)
			continue
		}
		last, _ := d.Windows[0].Safe()
		fmt.Println("field", d.Site, last)
	}
	if ctx.Err() != nil {
		fmt.Println("stopped")
	}
	// Output:
	// field 1 2026-10-05
	// field 2 2026-10-08
	// field 3 left out: the record is lost
	// field 4 2026-10-24
}
