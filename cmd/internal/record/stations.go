package record

import (
	"errors"
	"fmt"

	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// A severalStations is the answer for a file of several stations, none of which was
// asked for.
type severalStations struct{ fault *recordfile.Error }

// stationsOf is the list of stations where the error of a file says that it has
// several, false for another error.
func stationsOf(err error) (*severalStations, bool) {
	var e *recordfile.Error
	if !errors.As(err, &e) || e.Kind != recordfile.SeveralStations {
		return nil, false
	}
	return &severalStations{e}, true
}

// Document lists the stations.
func (a *severalStations) Document(words.System, report.Medium) (*report.Document, error) {
	t := report.Table{
		Caption: "Stations of the file",
		Head:    []string{"--station", "name", "latitude", "longitude", "rows"},
	}
	degrees := func(v *float64) string {
		if v == nil {
			return ""
		}
		return fmt.Sprintf("%.4g", *v)
	}
	for _, s := range a.fault.Stations {
		t.Rows = append(t.Rows, []string{words.Harmless(s.ID), words.Harmless(s.Name), degrees(s.Latitude),
			degrees(s.Longitude), fmt.Sprint(s.Rows)})
	}
	return &report.Document{Kind: "Station record", Place: words.Harmless(a.fault.File),
		Headline: fmt.Sprintf("Not usable as it is: the file holds %d stations. Fix: choose one with --station.",
			len(a.fault.Stations)),
		Sections: []report.Section{{ID: "stations", Heading: "Stations", Tables: []report.Table{t}}},
	}, nil
}

type stationsJSON struct {
	Schema   string        `json:"schema"`
	Verdict  string        `json:"verdict"`
	Words    string        `json:"reason"`
	Stations []stationJSON `json:"stations"`
}

type stationJSON struct {
	ID        string   `json:"id"`
	Name      string   `json:"name"`
	Latitude  *float64 `json:"latitude"`
	Longitude *float64 `json:"longitude"`
	Rows      int      `json:"row_count"`
}

// JSON is the list as scripts read it.
func (a *severalStations) JSON() any {
	out := stationsJSON{Schema: "swardcast.record/2", Verdict: string(forecast.RecordUnusable), Words: a.fault.Message}
	for _, s := range a.fault.Stations {
		out.Stations = append(out.Stations, stationJSON{s.ID, s.Name, s.Latitude, s.Longitude, s.Rows})
	}
	return out
}
