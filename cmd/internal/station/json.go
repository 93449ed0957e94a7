package station

import (
	"strings"
	"time"

	"swardcast/cmd/internal/words"
)

type listJSON struct {
	Schema   string        `json:"schema"`
	Fetched  time.Time     `json:"fetched"`
	Stations []stationJSON `json:"stations"`
}

type stationJSON struct {
	ID         string       `json:"id"`
	Name       string       `json:"name"`
	State      string       `json:"state"`
	Latitude   words.Number `json:"latitude"`
	Longitude  words.Number `json:"longitude"`
	ElevationM words.Number `json:"elevation_m"`
	DistanceKM words.Number `json:"distance_km"`
	AboveM     words.Number `json:"above_m"`
	FirstYear  int          `json:"first_year"`
	LastYear   int          `json:"last_year"`
	Years      int          `json:"year_count"`
	Reasons    []string     `json:"reasons"`
	Cost       words.Number `json:"cost_km"`
}

func (a *Answer) stations() []stationJSON {
	var list []stationJSON
	for i := range a.Found {
		f := &a.Found[i]
		y := f.Years()
		s := stationJSON{
			f.ID, f.Name, f.State, words.Number(f.Latitude), words.Number(f.Longitude), words.Number(f.ElevationM),
			words.Number(
				f.DistanceKM,
			), words.Number(f.AboveM), y.First, y.Last, y.Count(), []string{}, words.Number(f.Cost),
		}
		for _, r := range f.Reasons {
			s.Reasons = append(s.Reasons, string(r))
		}
		list = append(list, s)
	}
	return list
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	return listJSON{"swardcast.station/2", a.Source.Fetched.UTC(), a.stations()}
}

// A row is a row of the CSV answer.
type row struct {
	ID         string       `csv:"id"`
	Name       words.Text   `csv:"name"`
	State      string       `csv:"state"`
	Latitude   words.Number `csv:"latitude"`
	Longitude  words.Number `csv:"longitude"`
	ElevationM words.Number `csv:"elevation_m"`
	DistanceKM words.Number `csv:"distance_km"`
	AboveM     words.Number `csv:"above_m"`
	FirstYear  int          `csv:"first_year"`
	LastYear   int          `csv:"last_year"`
	Years      int          `csv:"year_count"`
	Reasons    string       `csv:"reasons"`
	Cost       words.Number `csv:"cost_km"`
}

// Rows are the stations in their order.
func (a *Answer) Rows() (any, error) {
	var rows []row
	for _, s := range a.stations() {
		rows = append(
			rows,
			row{s.ID, words.Text(s.Name), s.State, s.Latitude, s.Longitude, s.ElevationM, s.DistanceKM, s.AboveM,
				s.FirstYear, s.LastYear, s.Years, strings.Join(s.Reasons, "; "), s.Cost},
		)
	}
	return rows, nil
}
