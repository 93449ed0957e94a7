package region

import (
	"context"
	"errors"
	"io"
	"iter"
	"os"
	"path/filepath"

	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/forecast"
)

// A site is a station of the region on its way through.
type site struct {
	program *cli.Program
	reading *ask.StationFlags
	file    string            // "" for the demo station
	place   *ask.StationPlace // nil where no table has it
	in      *ask.Station      // once it is read
}

// Station implements forecast.Site.
func (s *site) Station(context.Context) (*forecast.Station, error) {
	flags, args := *s.reading, []string{s.file}
	if s.file == "" {
		args = nil
	}
	if s.place != nil && s.place.Unit != "" {
		flags.Unit = ask.NewChoice(string(s.place.Unit), ask.Names(recordfile.Units())...)
	}
	in, err := ask.OpenRecord(s.program, args, &flags)
	if err != nil {
		return nil, err
	}
	if s.place != nil {
		s.place.Over(&in.Checked.Place)
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

// sitesOf gives each record its place: from the table of places named, or from the one
// beside the record.
func sitesOf(p *cli.Program, records []string, table string, reading *ask.StationFlags) ([]*site, error) {
	var named ask.Places
	if table != "" {
		var err error
		if named, err = openPlaces(p, table); err != nil {
			return nil, err
		}
	}
	beside := map[string]ask.Places{} // by directory
	var sites []*site
	for _, file := range records {
		from := named
		if table == "" {
			dir := filepath.Dir(file)
			var known bool
			if from, known = beside[dir]; !known {
				name := filepath.Join(dir, ask.PlacesName)
				if _, err := os.Stat(name); err == nil {
					if from, err = openPlaces(p, name); err != nil {
						return nil, err
					}
				}
				beside[dir] = from
			}
		}
		s := &site{program: p, reading: reading, file: file}
		if place, ok := from.Of(file); ok {
			s.place = &place
		}
		sites = append(sites, s)
	}
	return sites, nil
}

// openPlaces reads a table of places from a file.
func openPlaces(p *cli.Program, name string) (places ask.Places, err error) {
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		return nil, cli.Dataf(ask.PlacesHint, "%s: this is a directory", name)
	}
	err = p.Files.Read(name, func(r io.Reader) (err error) {
		places, err = ask.ReadPlaces(r, name)
		return err
	})
	return places, err
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
