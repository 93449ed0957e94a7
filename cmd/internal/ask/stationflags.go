package ask

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
)

// StationFlags say where a record is from and how to read it.
type StationFlags struct {
	Lats           []float64 // one, or one a FILE
	lon, elevation float64
	name, station  string
	probe          string
	Columns        map[string]string
	Unit           *Choice
	RainUnit       *Choice
	DateOrder      *Choice
	AsOf           Date
	online         online
	Table          *StationPlace // what a table of places says; the flags come before it
	AmongMany      bool          // one of many stations: what is true of many is said once, by who asks
	flags          *pflag.FlagSet
}

// Declare declares the flags of one record, or of several.
func (s *StationFlags) Declare(f *pflag.FlagSet) {
	f.Var((*latitudes)(&s.Lats), "lat", "latitude in `degrees`, south negative (to the nearest degree will do), "+
		"where the file lacks it; of several stations one each, by commas")
	f.Float64Var(&s.lon, "lon", 0, "longitude in `degrees`, west negative; for maps alone")
	f.Float64Var(&s.elevation, "elevation", 0, "height above the sea in `metres`; of the place with --near")
	f.StringVar(&s.name, "name", "", "what to call the station")
	f.StringVar(&s.station, "station", "", "`ID` or name of the station to read, where the file holds several")
	s.online.declare(f)
	s.DeclareReading(f)
}

// DeclareReading declares the flags that hold for several files at once.
func (s *StationFlags) DeclareReading(f *pflag.FlagSet) {
	s.flags = f
	s.Unit = NewChoice(string(recordfile.Auto), Names(recordfile.Units())...)
	f.Var(s.Unit, "temp-unit", "unit of the temperatures in the file")
	s.RainUnit = NewChoice(string(recordfile.RainAuto), Names(recordfile.RainUnits())...)
	f.Var(s.RainUnit, "rain-unit", "unit of the rain in the file")
	s.DateOrder = NewChoice(string(recordfile.DateAuto), Names(recordfile.DateOrders())...)
	f.Var(
		s.DateOrder,
		"date-order",
		"which number of a date is the day; swapped: a spreadsheet has swapped days 1 to 12",
	)
	f.StringToStringVar(&s.Columns, "columns", nil,
		"what the `columns` hold where their names do not say it, by name or number: "+
			"date=Day,tmax=High,tmin=3 (also year, month, day, precip, station, element, value)")
	f.Lookup("columns").DefValue = ""
	f.Var(&s.AsOf, "as-of", "day to take as today: later rows are not read (default the last day)")
}

// DeclareProbe declares the flag of the user's own soil readings.
func (s *StationFlags) DeclareProbe(f *pflag.FlagSet) {
	f.StringVar(&s.probe, "probe", "", "`file` of your own soil readings, which bring the soil to your ground: "+
		"date, depth_in or depth_cm, soil_f or soil_c, and the time of day where you noted it")
	cli.MarkInput(f, "probe")
}

// latitudes is a flag that takes latitudes by commas, such as 35.9, 35.9N or -33.4.
type latitudes []float64

func (l *latitudes) Type() string    { return "LATITUDE" }
func (l *latitudes) Example() string { return "35.9" }
func (l *latitudes) String() string {
	list := make([]string, len(*l))
	for i, v := range *l {
		list[i] = strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strings.Join(list, ",")
}

func (l *latitudes) Set(s string) error {
	var list []float64
	for _, text := range strings.Split(s, ",") {
		number, half := numberAndUnit(text)
		v, ok := plainNumber(number)
		half = strings.TrimSpace(strings.TrimPrefix(half, "°"))
		switch {
		case !ok || half != "" && half != "n" && half != "s" || half != "" && v < 0:
			return cli.Valuef([]string{l.Example()}, "%q is no latitude; write decimal degrees, south negative", text)
		case !(math.Abs(v) <= 90):
			return cli.Valuef(nil, "latitude %g is not between -90 and 90", v)
		case half == "s":
			v = -v
		}
		list = append(list, v)
	}
	*l = list
	return nil
}

// Options are what the flags say of reading the file.
func (s *StationFlags) Options() recordfile.Options {
	return recordfile.Options{Unit: s.unit(), Station: s.station, Columns: s.Columns,
		Rain: recordfile.RainUnit(s.RainUnit.Value), DateOrder: recordfile.DateOrder(s.DateOrder.Value)}
}

// place overrides what the file says with what a table of places says, and that with
// what the flags say.
func (s *StationFlags) place(p *climate.Place) {
	if s.Table != nil {
		s.Table.Over(p)
	}
	if len(s.Lats) > 0 {
		p.Latitude = &s.Lats[0]
	}
	if s.flags.Changed("lon") {
		p.Longitude = &s.lon
	}
	if s.flags.Changed("elevation") {
		p.ElevationM = &s.elevation
	}
	if s.flags.Changed("name") {
		p.Name = s.name
	}
}

// Of returns the flags that read one of several stations of a file.
func (s *StationFlags) Of(station string) StationFlags {
	one := *s
	one.station = station
	return one
}

// CheckSeveral refuses what cannot hold for several stations at once.
func (s *StationFlags) CheckSeveral(files int) error {
	if files < 2 {
		return nil
	}
	if n := len(s.Lats); n > 0 && n != files {
		return cli.Usagef("give one each by commas, as in --lat 46.1,33.8", "%d files, %d latitudes", files, n)
	}
	for _, name := range []string{"name", "lon", "elevation", "station", "probe"} {
		if s.flags.Changed(name) {
			return cli.Usagef("leave --"+name+" out", "--%s cannot be that of several stations", name)
		}
	}
	return nil
}

// unit is the unit of the temperatures: that of the flag, else of the table of places.
func (s *StationFlags) unit() recordfile.Unit {
	if s.Table != nil && s.Table.Unit != "" && !s.flags.Changed("temp-unit") {
		return s.Table.Unit
	}
	return recordfile.Unit(s.Unit.Value)
}

// check refuses a place that is not on Earth.
func (s *StationFlags) check() error {
	switch {
	case len(s.Lats) > 1:
		return cli.Usagef("--lat "+(*latitudes)(&s.Lats).Example(), "%d latitudes for one station", len(s.Lats))
	case !(math.Abs(s.lon) <= 180):
		return cli.Usagef("", "--lon %g: longitude %[1]g is not between -180 and 180", s.lon)
	case s.flags.Changed("elevation") && !(s.elevation >= minElevationM && s.elevation <= maxElevationM):
		return cli.Usagef("", "--elevation %g: it is not between %d and %d m", s.elevation, minElevationM,
			maxElevationM)
	}
	return nil
}

// checkNoFile refuses flags that say something of a FILE where there is none.
func (s *StationFlags) checkNoFile() error {
	for _, name := range []string{"lat", "lon", "elevation", "name", "station", "temp-unit", "columns"} {
		if f := s.flags.Lookup(name); f != nil && f.Changed {
			value := strings.Trim(f.Value.String(), "[]")
			return cli.Usagef(fmt.Sprintf("my-station.csv --%s %s, with the name of your record", name, value),
				"--%s says something of your record, but no FILE is named", name)
		}
	}
	return nil
}

// The shore of the Dead Sea and the top of Mount Everest, rounded outwards.
const minElevationM, maxElevationM = -450, 9000
