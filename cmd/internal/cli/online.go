package cli

import (
	"context"
	"time"

	"swardcast/climate"
)

// Online has the records and forecasts of public services. A program without one
// reaches no network.
type Online interface {
	// Record returns the record of a station. Each request is told on standard error.
	Record(ctx context.Context, p *Program, w *Wanted) (*OnlineRecord, error)
	// Forecast returns the forecast for the station of a record.
	Forecast(ctx context.Context, p *Program, r *OnlineRecord) (*OnlineForecast, error)
}

// A Reach says how services are asked.
type Reach struct {
	Offline bool              // what was fetched before is all there is
	Bases   map[string]string // base addresses by the name of a service, in place of the live ones
}

// A Wanted says which station is wanted: the one with an ID, or the one that suits a
// place best.
type Wanted struct {
	ID         string   // "": near the place
	Latitude   float64  // degrees, north positive
	Longitude  float64  // degrees, east positive
	ElevationM *float64 // of the place; nil: that of the stations about it
	Reach      Reach
}

// An OnlineRecord is a station's record as a service has it.
type OnlineRecord struct {
	ID         string
	Place      climate.Place
	DistanceKM *float64 // from the place that was asked for; nil where none was
	// Text is a record file in tenths of °C and of mm.
	Text    []byte
	URL     string
	Fetched time.Time   // when it was sent
	Checked time.Time   // when the service last said that it is current
	Stale   error       // why that could not be asked; nil where it is current
	Today   climate.Day // at the station
	Source  string      // whose data it is, with the reference to cite

	Reach Reach
}

// An OnlineForecast is a forecast of days, earlier ones too where they were fetched
// then.
type OnlineForecast struct {
	Service     string // in words
	Attribution string // must be said where its days are used
	Issued      time.Time
	Zone        string // in which its days are civil days
	Stale       error  // why a newer one could not be asked for
	Days        []OnlineDay
}

// An OnlineDay is the forecast of a day. What is not forecast is NaN.
type OnlineDay struct {
	Day          climate.Day
	TMaxC, TMinC float64
	PrecipMM     float64
	Lead         int // days ahead at which it was made
}

// Context is that of the command line that runs, so that what waits for a network ends
// when it is stopped.
func (p *Program) Context() context.Context {
	if p.ctx == nil {
		return context.Background()
	}
	return p.ctx
}
