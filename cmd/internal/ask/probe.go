package ask

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"swardcast/climate"
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

const probeHint = "the file is a CSV with date,depth_cm,soil_c or soil_f, and time where it is known: 2026-09-12,10,70.5,14:30"

// ReadProbe reads soil readings: date,depth_cm,soil_c or soil_f, and the time of
// day where it is noted.
func ReadProbe(r io.Reader, file string) ([]soil.Reading, error) {
	t, err := files.OpenTable[probeRow](r, file, probeHint)
	if err != nil {
		return nil, err
	}
	if !t.Has("date") || t.Has("depth_cm") == t.Has("depth_in") || t.Has("soil_c") == t.Has("soil_f") {
		return nil, t.Faulty(1, "the header must have date, one of depth_cm and depth_in, and one of soil_c and soil_f")
	}
	var list []soil.Reading
	for row, err := range t.Rows() {
		if err != nil {
			return nil, err
		}
		reading := soil.Reading{Hour: math.NaN()}
		if reading.Day, err = climate.ParseDay(strings.TrimSpace(row.Date)); err != nil {
			return nil, t.Fault("date", "%v", err)
		}
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
			return nil, t.Fault("", "a depth of %.1f cm cannot be used; %g to %g can", reading.DepthCM, soil.MinDepthCM, soil.MaxDepthCM)
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
	readings = slices.DeleteFunc(readings, func(r soil.Reading) bool { return r.Day > in.Record.Last() || r.Day < in.Record.First })
	if n := all - len(readings); n > 0 {
		p.Say("%s: %d of %d readings are of days that the record, %s to %s, does not have; they are not used", file, n, all, in.Record.First, in.Record.Last())
	}
	if len(readings) == 0 {
		return cli.Dataf("", "%s: no reading is of a day of the record", file)
	}
	station, calibration, err := in.Station.Calibrate(readings)
	if calibration != nil {
		for _, d := range calibration.Suspect {
			p.Say("%s: the reading of %s, %.1f °C (%.0f °F) at %.0f cm, is not believed: the estimate is %.1f °C (%.0f °F); it is left out",
				file, d.Day, d.SoilC, words.Fahrenheit(d.SoilC), d.DepthCM, d.EstimateC, words.Fahrenheit(d.EstimateC))
		}
	}
	if err != nil {
		return cli.Dataf("check the unit and the depth of the readings", "%s: %w", file, err)
	}
	in.Station, in.ProbeFile = station, file
	return nil
}
