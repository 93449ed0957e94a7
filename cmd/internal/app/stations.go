package app

import (
	"math"
	"strings"

	"swardcast/climate/stations"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
)

// A Station is a weather station that was found, in words.
type Station struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	Away  string `json:"away"`  // "" where no place was given
	Years string `json:"years"` // with both temperatures
	Why   string `json:"why"`   // it suits; "" for nothing
}

// SetStations gives the session the list of stations, in its compact form.
func (s *Session) SetStations(packed []byte) (err error) {
	s.stations, err = stations.Unpack(packed)
	return err
}

// Find returns the stations that suit a place best, or whose names have a part: twelve at
// most. What is sought is a latitude and a longitude, or a name.
func (s *Session) Find(sought string, metric bool) []Station {
	const most = 12
	sought = strings.TrimSpace(sought)
	if sought == "" {
		return []Station{}
	}
	q := stations.Query{Today: s.today(), Limit: most}
	if lat, lon, err := ask.ParsePosition(sought); err == nil {
		q.Near = &stations.Position{Latitude: lat, Longitude: lon, ElevationM: math.NaN()}
	} else {
		q.Name = sought
	}
	list := []Station{}
	for _, f := range stations.Search(s.stations, q) {
		x := Station{ID: f.ID, Name: f.Name, Years: f.Years().String()}
		if f.State != "" {
			x.Name += ", " + f.State
		}
		if !math.IsNaN(f.DistanceKM) {
			x.Away = words.System(metric).Distance(f.DistanceKM)
		}
		var why []string
		for _, r := range f.Reasons {
			why = append(why, string(r))
		}
		x.Why = strings.Join(why, ", ")
		list = append(list, x)
	}
	return list
}
