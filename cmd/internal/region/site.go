package region

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"iter"
	"math"
	"path/filepath"
	"strings"

	"swardcast/climate"
	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// A site is a station of the region on its way through.
type site struct {
	program *cli.Program
	reading *ask.StationFlags
	file    string            // "" for the demo station
	station string            // ID, of one of several in the file; "" for the one there
	place   *ask.StationPlace // nil where no table has it
	in      *ask.Station      // once it is read
}

// name tells the site apart: the file, and the station of a file with several.
func (s *site) name() string {
	if s.station == "" {
		return s.file
	}
	return s.file + "#" + s.station
}

// several lists the stations of a site whose file turned out to hold several, nil for
// another error.
func (s *site) several(err error, places *ask.PlaceFinder) ([]*site, error) {
	var fault *recordfile.Error
	if s.station != "" || !errors.As(err, &fault) || fault.Kind != recordfile.SeveralStations {
		return nil, nil
	}
	var list []*site
	for _, x := range fault.Stations {
		place, err := places.OfStation(s.file, x.ID, x.Name)
		if err != nil {
			return nil, err
		}
		list = append(list, &site{program: s.program, reading: s.reading, file: s.file, station: x.ID, place: place})
	}
	return list, nil
}

// Station implements forecast.Site.
func (s *site) Station(ctx context.Context) (*forecast.Station, error) {
	station, err := s.open()
	if err != nil && s.station != "" {
		err = fmt.Errorf("%s: %w", words.Harmless(s.station), err)
	}
	return station, err
}

func (s *site) open() (*forecast.Station, error) {
	flags, args := *s.reading, []string{s.file}
	if s.file == "" {
		args = nil
	}
	flags.Table, flags.AmongMany = s.place, true
	if s.station != "" {
		flags = flags.Of(s.station)
	}
	in, err := ask.OpenRecord(s.program, args, &flags)
	if err != nil {
		return nil, err
	}
	if err := in.NeedLatitude("give it in " + ask.PlacesName + " beside the record: station,latitude"); err != nil {
		return nil, err
	}
	ready, err := in.Ready()
	if errors.Is(err, forecast.ErrHemisphere) {
		err = &cli.DataError{Err: err, Hint: "correct its latitude in " + ask.PlacesName}
	}
	if err != nil {
		return nil, err
	}
	s.in = ready
	return ready.Station, nil
}

// typed is what names the station on a command line.
func (s *site) typed() string {
	if s.station == "" {
		return s.file
	}
	return s.file + " --station " + s.station
}

// failed is the place of a site that has no answer, and why.
func (s *site) failed(err error) report.MatrixPlace {
	p := report.MatrixPlace{Name: words.Harmless(cmp.Or(s.station, filepath.Base(s.file))), File: s.typed(),
		Latitude: math.NaN(), Longitude: math.NaN(), ElevationM: math.NaN()}
	var place climate.Place
	if s.place != nil {
		s.place.Over(&place)
	}
	if s.in != nil {
		place = s.in.Checked.Place
	}
	p.Latitude, p.Longitude, p.ElevationM = place.Coordinates()
	p.South = p.Latitude < 0
	if place.Name != "" {
		p.Name = words.Harmless(place.Name)
	}
	why := strings.TrimPrefix(strings.TrimPrefix(err.Error(), s.station+": "), s.file+":")
	p.Why = words.Harmless(strings.TrimSpace(why))
	return p
}

// sitesOf gives each record its place: from the table of places named, or from the one
// beside the record.
func sitesOf(p *cli.Program, records []string, places *ask.PlaceFinder, reading *ask.StationFlags) ([]*site, error) {
	var sites []*site
	for _, file := range records {
		place, err := places.Of(file)
		if err != nil {
			return nil, err
		}
		sites = append(sites, &site{program: p, reading: reading, file: file, place: place})
	}
	return sites, nil
}

// released gives the sites one after the other and keeps none of them, so that what
// they have read does not stay.
func released(sites []*site) iter.Seq[*site] {
	return func(yield func(*site) bool) {
		for i, s := range sites {
			sites[i] = nil
			if !yield(s) {
				return
			}
		}
	}
}
