package services

import (
	"context"
	"math"

	"swardcast/climate"
	"swardcast/climate/fetch"
	"swardcast/cmd/internal/cli"
)

// Live implements cli.Online by the services.
type Live struct{}

// Source is whose records they are.
const Source = "GHCN-Daily, NOAA National Centers for Environmental Information (Menne et al. 2012, " +
	"J. Atmos. Oceanic Technol. 29:897-910)"

// Today is the civil day of a station by the clock of a command line, in solar time.
func Today(p *cli.Program, longitude float64) climate.Day {
	return fetch.DayAt(p.Clock(), fetch.SolarZone(longitude))
}

// Find returns the station that is wanted.
func Find(ctx context.Context, c *fetch.Client, w *cli.Wanted, today climate.Day) (*fetch.Found, error) {
	index, err := c.Index(ctx)
	if err != nil {
		return nil, Fault(err)
	}
	q := fetch.Query{ID: w.ID, Silent: w.ID != "", Today: today, Limit: 1}
	if w.ID == "" {
		q.Near = near(w)
	}
	found := index.Search(q)
	if len(found) == 0 && w.ID != "" {
		return nil, cli.Dataf("swardcast station --near LAT,LON lists those near a place",
			"no station %s with both temperatures over %d years", w.ID, fetch.MinYears)
	}
	if len(found) == 0 {
		return nil, cli.Dataf("", "the list of stations has none that reports")
	}
	return &found[0], nil
}

func near(w *cli.Wanted) *fetch.Position {
	at := &fetch.Position{Latitude: w.Latitude, Longitude: w.Longitude, ElevationM: math.NaN()}
	if w.ElevationM != nil {
		at.ElevationM = *w.ElevationM
	}
	return at
}

// Record implements cli.Online.
func (Live) Record(ctx context.Context, p *cli.Program, w *cli.Wanted) (*cli.OnlineRecord, error) {
	c, err := Client(p, w.Reach)
	if err != nil {
		return nil, err
	}
	found, err := Find(ctx, c, w, p.Today())
	if err != nil {
		return nil, err
	}
	rec, err := c.Record(ctx, found.Station)
	if err != nil {
		return nil, Fault(err)
	}
	out := &cli.OnlineRecord{
		ID: found.ID, Place: found.Place(), Text: rec.Text, URL: rec.Source.URL,
		Fetched: rec.Source.Fetched, Checked: rec.Source.Checked, Stale: rec.Source.Stale,
		Today: Today(p, found.Longitude), Source: Source, Reach: w.Reach,
	}
	if !math.IsNaN(found.DistanceKM) {
		out.DistanceKM = &found.DistanceKM
	}
	return out, nil
}

// Forecast implements cli.Online.
func (Live) Forecast(ctx context.Context, p *cli.Program, r *cli.OnlineRecord) (*cli.OnlineForecast, error) {
	c, err := Client(p, r.Reach)
	if err != nil {
		return nil, err
	}
	latitude, longitude, elevation := r.Place.Coordinates()
	f, err := c.Forecast(ctx, fetch.Position{Latitude: latitude, Longitude: longitude, ElevationM: elevation})
	if err != nil {
		return nil, Fault(err)
	}
	out := &cli.OnlineForecast{
		Service: f.Service.Name(), Attribution: f.Service.Attribution(),
		Issued: f.Issued, Zone: f.Zone, Stale: f.Source.Stale,
	}
	for _, d := range f.Days {
		out.Days = append(
			out.Days,
			cli.OnlineDay{Day: d.Day, TMaxC: d.TMaxC, TMinC: d.TMinC, PrecipMM: d.PrecipMM, Lead: d.Lead},
		)
	}
	return out, nil
}
