package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/climate/demo"
	"swardcast/climate/recordfile"
	"swardcast/forecast"
)

// An input is a record as it was read and checked.
type input struct {
	file    *recordfile.File
	name    string // of the file
	checked *climate.Record
	suspect []check.Suspect
	asOf    climate.Day
	refusal error // why the record must not be answered from, or nil
}

// A stationInput is an input made ready for forecasts.
type stationInput struct {
	*input
	*forecast.Station
	probe string // file of soil readings, or ""
}

// openRecord reads the one record that the arguments name and checks it.
func (p *program) openRecord(args []string, s *stationFlags) (*input, error) {
	if len(args) > 1 {
		return nil, &usageError{fmt.Sprintf("one FILE at a time: %d given", len(args)), ""}
	}
	if err := s.check(); err != nil {
		return nil, err
	}
	o := recordfile.Options{Unit: recordfile.Unit(s.unit.value), Station: s.station, Columns: s.columns}
	if s.asOf.set {
		o.Until = &s.asOf.day
	}
	in := &input{name: demo.Name}
	read := func(r io.Reader) (err error) {
		in.file, err = recordfile.Read(r, in.name, o)
		return err
	}
	var err error
	switch {
	case len(args) == 0:
		p.say("no FILE given: answering for the built-in demo station, which is invented")
		err = read(bytes.NewReader(demo.Station))
	case args[0] == "-":
		in.name = "standard input"
		err = read(p.Stdin)
	default:
		in.name = args[0]
		err = readFile(in.name, read)
	}
	var option *recordfile.OptionError
	switch {
	case errors.As(err, &option):
		return nil, &usageError{"--columns: " + option.Message, "--columns date=Day,tmax=High,tmin=3"}
	case err != nil:
		return nil, err
	}
	rec := in.file.Record
	s.place(&rec.Place)
	if in.asOf = rec.Last(); s.asOf.set {
		in.asOf = s.asOf.day
	}
	if today := p.today(); len(args) > 0 && rec.Last() > today+1 {
		return nil, &dataError{fmt.Errorf("%s: the record runs to %s, which is in the future (today is %s)", in.name, rec.Last(), today),
			"look for a mistyped year, or for the day and the month swapped"}
	}
	const stale = 200 // days
	if n := in.asOf - rec.Last(); n > stale {
		p.say("%s: the record ends on %s, %d days before the as-of day %s", in.name, rec.Last(), n, in.asOf)
	}
	clean, doubts, err := check.Clean(rec)
	in.suspect = append(in.file.Suspect, doubts...)
	if err != nil {
		in.refusal = &dataError{fmt.Errorf("%s: %w", in.name, err), "bring the record to one unit"}
		clean = rec
	}
	in.checked = clean
	return in, nil
}

// openStation reads the one record that the arguments name and makes it ready.
func (p *program) openStation(args []string, s *stationFlags) (*stationInput, error) {
	in, err := p.openRecord(args, s)
	if err != nil {
		return nil, err
	}
	return in.ready()
}

// needLatitude returns the error of a record without a latitude.
func (in *input) needLatitude() error {
	if in.checked.Place.Latitude == nil {
		return &dataError{fmt.Errorf("%s: the file does not give the latitude of the station", in.name), "add it, as in --lat 33.8"}
	}
	return nil
}

// ready makes the record ready for forecasts.
func (in *input) ready() (*stationInput, error) {
	if in.refusal != nil {
		return nil, in.refusal
	}
	if err := in.needLatitude(); err != nil {
		return nil, err
	}
	rec := in.checked
	station, err := forecast.NewStation(rec)
	switch {
	case errors.Is(err, climate.ErrTooShort):
		return nil, &dataError{fmt.Errorf("%s: the record has %d days, from %s to %s: %w", in.name, rec.Len(), rec.First, rec.Last(), err),
			"at least a year is needed for the soil, five autumns for a safe date"}
	case errors.Is(err, forecast.ErrHemisphere):
		return nil, &dataError{fmt.Errorf("%s: %w", in.name, err), fmt.Sprintf("--lat %g", -*rec.Place.Latitude)}
	case err != nil:
		return nil, fmt.Errorf("%s: %w", in.name, err)
	}
	return &stationInput{input: in, Station: station}, nil
}
