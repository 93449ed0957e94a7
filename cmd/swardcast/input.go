package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"os"

	"swardcast/climate"
	"swardcast/climate/demo"
	"swardcast/climate/recordfile"
	"swardcast/forecast"
)

// An input is a station with the file it came from.
type input struct {
	file *recordfile.File
	name string // of the file
	*forecast.Station
	asOf climate.Day
}

// openStation reads the one record that the arguments name and makes it ready.
func (p *program) openStation(args []string, s *stationFlags) (*input, error) {
	if len(args) > 1 {
		return nil, &usageError{fmt.Sprintf("one FILE at a time: %d given", len(args)), ""}
	}
	if err := s.check(); err != nil {
		return nil, err
	}
	in := &input{name: demo.Name}
	var r io.Reader
	switch {
	case len(args) == 0:
		fmt.Fprintln(p.Stderr, "swardcast: no FILE given: answering for the built-in demo station, which is invented")
		r = bytes.NewReader(demo.Station)
	case args[0] == "-":
		in.name, r = "standard input", p.Stdin
	default:
		in.name = args[0]
		f, err := os.Open(args[0])
		if err != nil {
			return nil, fileError(args[0], err)
		}
		defer f.Close()
		if info, err := f.Stat(); err == nil && info.IsDir() {
			return nil, &dataError{fmt.Errorf("%s: this is a directory", args[0]), "name one file in it"}
		}
		r = f
	}
	var err error
	if in.file, err = recordfile.Read(r, in.name, recordfile.Options{Unit: recordfile.Unit(s.unit.value)}); err != nil {
		return nil, err
	}
	rec := in.file.Record
	s.place(&rec.Place)
	in.asOf = rec.Last()
	if s.asOf.set {
		if s.asOf.day < rec.First {
			return nil, &dataError{fmt.Errorf("%s: the record begins on %s, after the day asked for, %s", in.name, rec.First, s.asOf.day), ""}
		}
		in.asOf = s.asOf.day
		rec = rec.Until(in.asOf)
	}
	if math.IsNaN(rec.Place.Latitude) {
		return nil, &dataError{fmt.Errorf("%s: the file does not give the latitude of the station", in.name), "add it, as in --lat 33.8"}
	}
	in.Station, err = forecast.NewStation(rec)
	switch {
	case errors.Is(err, climate.ErrTooShort):
		return nil, &dataError{fmt.Errorf("%s: the record has %d days, from %s to %s: %w", in.name, rec.Len(), rec.First, rec.Last(), err),
			"at least a year is needed for the soil, five autumns for a safe date"}
	case errors.Is(err, forecast.ErrHemisphere):
		return nil, &dataError{fmt.Errorf("%s: %w", in.name, err), fmt.Sprintf("--lat %g", -rec.Place.Latitude)}
	case err != nil:
		return nil, fmt.Errorf("%s: %w", in.name, err)
	}
	return in, nil
}

// fileError gives an error of opening a file without the words of the system call.
func fileError(name string, err error) error {
	switch {
	case errors.Is(err, os.ErrNotExist):
		return &dataError{fmt.Errorf("%s: there is no such file", name), ""}
	case errors.Is(err, os.ErrPermission):
		return &dataError{fmt.Errorf("%s: no permission to read it", name), ""}
	}
	return &dataError{err: err}
}
