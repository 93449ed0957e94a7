package ask

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/files"
	"swardcast/cmd/internal/words"
	"swardcast/forecast/soil"
)

// probeRow is one reading as a user writes it.
type probeRow struct {
	Date    string `csv:"date"`
	DepthCM string `csv:"depth_cm"`
	DepthIn string `csv:"depth_in"`
	SoilC   string `csv:"soil_c"`
	SoilF   string `csv:"soil_f"`
	Time    string `csv:"time"`
}

const probeHint = "write it as in date,depth_in,soil_f,time and below it 2026-09-12,4,70.5,14:30 " +
	"(or depth_cm, soil_c; time may be blank)"

// ReadProbe reads soil readings: date, depth_in or depth_cm, soil_f or soil_c, and the
// time of day where it was noted.
func ReadProbe(r io.Reader, file string) ([]soil.Reading, error) {
	t, err := files.OpenTable[probeRow](r, file, probeHint)
	if err != nil {
		return nil, err
	}
	if !t.Has("date") || t.Has("depth_cm") == t.Has("depth_in") || t.Has("soil_c") == t.Has("soil_f") {
		return nil, t.Faulty(1,
			"the header must have date, one of depth_cm and depth_in, and one of soil_c and soil_f")
	}
	var list []soil.Reading
	for row, err := range t.Rows() {
		if err != nil {
			return nil, err
		}
		reading := soil.Reading{Hour: math.NaN()}
		var date Date
		if date, err = parseDate(row.Date); err == nil && !date.HasYear() {
			err = errors.New("the year is missing, as in 2026-10-14")
		}
		if err != nil {
			return nil, t.Fault("date", "%q: %v", row.Date, err)
		}
		reading.Day = date.Day
		number := func(column, cell string, convert func(float64) float64) float64 {
			v, e := strconv.ParseFloat(strings.TrimSpace(cell), 64)
			if err == nil && (e != nil || math.IsNaN(v) || math.IsInf(v, 0)) {
				err = t.Fault(column, "%q is not a number", cell)
			}
			return convert(v)
		}
		same := func(v float64) float64 { return v }
		if t.Has("depth_in") {
			reading.DepthCM = number("depth_in", row.DepthIn, func(v float64) float64 { return 2.54 * v })
		} else {
			reading.DepthCM = number("depth_cm", row.DepthCM, same)
		}
		if t.Has("soil_f") {
			reading.SoilC = number("soil_f", row.SoilF, words.Celsius)
		} else {
			reading.SoilC = number("soil_c", row.SoilC, same)
		}
		if err != nil {
			return nil, err
		}
		if reading.DepthCM < soil.MinDepthCM || reading.DepthCM > soil.MaxDepthCM {
			return nil, depthFault(t, &row, reading.DepthCM)
		}
		if clock := strings.TrimSpace(row.Time); clock != "" {
			if reading.Hour, err = hourOf(clock); err != nil {
				return nil, t.Fault("time", "%v", err)
			}
		}
		list = append(list, reading)
	}
	if len(list) == 0 {
		return nil, t.Faulty(0, "the file holds no reading")
	}
	return list, nil
}

// depthFault is the error of a depth that cannot be used. Often it is in the other
// unit.
func depthFault(t *files.Table[probeRow], row *probeRow, depthCM float64) error {
	column, cell, unit, other, asOther := "depth_cm", row.DepthCM, "cm", "inches", 2.54*depthCM
	if t.Has("depth_in") {
		column, cell, unit, other, asOther = "depth_in", row.DepthIn, "in.", "centimetres", depthCM/2.54
	}
	err := t.Fault(column, "%s %s cannot be used; readings from %g to %g cm (1.2 to 5.9 in.) can",
		strings.TrimSpace(cell), unit, soil.MinDepthCM, soil.MaxDepthCM)
	if asOther >= soil.MinDepthCM && asOther <= soil.MaxDepthCM {
		swapped := map[string]string{"depth_cm": "depth_in", "depth_in": "depth_cm"}[column]
		return &cli.DataError{Err: fmt.Errorf("%w; is it in %s?", err, other),
			Hint: swapped + " in place of " + column + " in the first line"}
	}
	return err
}

// hourOf reads a time of day, such as 14:30, 14:30:00 or 2:30 PM.
func hourOf(s string) (float64, error) {
	for _, layout := range []string{"15:04", "15:04:05", "3:04 PM", "3:04PM"} {
		if c, err := time.Parse(layout, strings.ToUpper(s)); err == nil {
			return float64(c.Hour()) + float64(c.Minute())/60, nil
		}
	}
	return 0, fmt.Errorf("%q is not a time of day such as 14:30", s)
}

// calibrate takes in the user's own soil readings, where there are any. Those
// after the as-of day are not used.
func calibrate(p *cli.Program, in *Station, file string) error {
	if file == "" {
		return nil
	}
	var readings []soil.Reading
	err := p.Files.Read(file, func(r io.Reader) (err error) {
		readings, err = ReadProbe(r, file)
		return err
	})
	if err != nil {
		return err
	}
	all := len(readings)
	readings = slices.DeleteFunc(readings,
		func(r soil.Reading) bool { return r.Day > in.Record.Last() || r.Day < in.Record.First })
	if n := all - len(readings); n > 0 {
		p.Say("%s: %d of %d readings are of days that the record, %s to %s, does not have; they are not used", file,
			n, all, in.Record.First, in.Record.Last())
	}
	if len(readings) == 0 {
		return cli.Dataf("readings of days from "+in.Record.First.String()+" to "+in.Record.Last().String(),
			"%s: no reading is of a day of the record", file)
	}
	warnOfReadings(p, file, readings)
	station, calibration, err := in.Station.Calibrate(readings)
	if calibration != nil && len(calibration.Suspect) <= calibration.Used {
		for _, d := range calibration.Suspect {
			p.Say("%s: the reading of %s, %s at %.0f cm, is suspect: the estimate is %s; it is left out",
				file, d.Day, bothUnits(d.SoilC), d.DepthCM, bothUnits(d.EstimateC))
		}
	}
	switch {
	case err == nil && calibration.Before > refusedOffC:
		err = fmt.Errorf("the readings are %s off the estimated soil on average, too far to use them",
			differenceInBoth(calibration.Before))
	case err == nil && calibration.Before > warnedOffC:
		p.Say("%s: the readings are %s off the estimated soil on average: "+
			"check the thermometer, the depth and the time of day",
			file, differenceInBoth(calibration.Before))
	}
	if err != nil {
		return cli.Dataf(readingsHint(in, readings), "%s: %w", file, err)
	}
	in.Station, in.ProbeFile = station, file
	return nil
}

// By how much readings can be off the estimate, root mean square, °C. The estimate is
// about 1.5 °C off at stations that it was not fitted to, so that these are some three
// and four standard deviations of it, with half a degree for the thermometer (M).
const warnedOffC, refusedOffC = 4.5, 6.5

// readingsHint is what could be wrong with readings that lie far off: their unit, if
// they lie near the estimate in the other.
func readingsHint(in *Station, readings []soil.Reading) string {
	for _, other := range []struct {
		convert func(float64) float64
		hint    string
	}{
		{words.Celsius, "soil_f in place of soil_c in the first line, if the readings are in °F"},
		{words.Fahrenheit, "soil_c in place of soil_f in the first line, if the readings are in °C"},
	} {
		list := slices.Clone(readings)
		for i := range list {
			list[i].SoilC = other.convert(list[i].SoilC)
		}
		if _, c, err := in.Station.Calibrate(list); err == nil && c.Before < warnedOffC {
			return other.hint
		}
	}
	return "leave --probe out, or check the thermometer in ice water, the depth and the time of day"
}

// bothUnits writes a temperature for a message, which knows no system of units.
func bothUnits(c float64) string { return words.Metric.Temp(c) + " (" + words.US.Temp(c) + ")" }

// differenceInBoth writes a difference of temperatures likewise.
func differenceInBoth(c float64) string { return fmt.Sprintf("%.1f °C (%.1f °F)", c, 1.8*c) }

// inchesAsCM is the usual depth of a reading in inches, which is unusual in
// centimetres.
const inchesAsCM = 4

// warnOfReadings warns of what often goes wrong with readings.
func warnOfReadings(p *cli.Program, file string, readings []soil.Reading) {
	untimed, inches := 0, 0
	for _, r := range readings {
		if math.IsNaN(r.Hour) {
			untimed++
		}
		if r.DepthCM == inchesAsCM {
			inches++
		}
	}
	if inches > 0 {
		p.Say("%s: %d %s at 4 cm: if that is 4 in., name the column depth_in", file, inches,
			words.Plural(inches, "reading is", "readings are"))
	}
	if untimed > 0 {
		p.Say("%s: %d of %d readings have no time: "+
			"in the afternoon the soil is about 2 °C (3 °F) warmer than the day's mean "+
			"at 2 in., 1 °C (2 °F) at 4 in.; add a column time, such as 14:30", file, untimed, len(readings))
	}
}
