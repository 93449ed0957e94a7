package ask

import (
	"math"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
)

// StationFlags tell where a record is from and how to read it.
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
	flags          *pflag.FlagSet
}

// Declare declares the flags of one record, or of several.
func (s *StationFlags) Declare(f *pflag.FlagSet) {
	f.Float64SliceVar(&s.Lats, "lat", nil, "latitude in `degrees`, south negative, where the file does not give it; of several files one each, in their order")
	f.Float64Var(&s.lon, "lon", 0, "longitude in `degrees`, west negative")
	f.Float64Var(&s.elevation, "elevation", 0, "elevation in `metres`")
	f.Lookup("lat").DefValue = "[]" // which is not printed
	f.StringVar(&s.name, "name", "", "name of the station")
	f.StringVar(&s.station, "station", "", "ID or name of the station to read, where the file holds several")
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
	f.Var(s.DateOrder, "date-order", "which number of a date is the day; swapped: a spreadsheet has swapped days 1 to 12")
	f.StringToStringVar(&s.Columns, "columns", nil, "what columns hold where their names do not say it, by name or number: date=Day,tmax=High,tmin=3 (also year, month, day, precip, station, element, value)")
	f.Lookup("columns").DefValue = "[]"
	f.Var(&s.AsOf, "as-of", "pretend today is this day: later rows are not read (default the last day)")
}

// DeclareProbe declares the flag of the user's own soil readings.
func (s *StationFlags) DeclareProbe(f *pflag.FlagSet) {
	f.StringVar(&s.probe, "probe", "", "your own soil readings (date,depth_cm,soil_c or soil_f, time): calibrates the soil to the site")
	cli.MarkInput(f, "probe")
}

// Options are what the flags say of reading the file.
func (s *StationFlags) Options() recordfile.Options {
	return recordfile.Options{Unit: recordfile.Unit(s.Unit.Value), Station: s.station, Columns: s.Columns,
		Rain: recordfile.RainUnit(s.RainUnit.Value), DateOrder: recordfile.DateOrder(s.DateOrder.Value)}
}

// place overrides what the file says with what the flags say.
func (s *StationFlags) place(p *climate.Place) {
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

// CheckSeveral refuses what cannot be told of several files at once.
func (s *StationFlags) CheckSeveral(files int) error {
	if files < 2 {
		return nil
	}
	if n := len(s.Lats); n > 0 && n != files {
		return cli.Usagef("give one each, as in --lat 46.1,33.8, or none where the files have them", "%d files, %d latitudes", files, n)
	}
	for _, name := range []string{"name", "lon", "elevation", "station", "probe"} {
		if s.flags.Changed(name) {
			return cli.Usagef("", "--%s cannot be that of several files", name)
		}
	}
	return nil
}

// check refuses a place that is not on Earth.
func (s *StationFlags) check() error {
	for _, lat := range s.Lats {
		if !(math.Abs(lat) <= 90) {
			return cli.Usagef("", "latitude %g is not between -90 and 90", lat)
		}
	}
	if len(s.Lats) > 1 {
		return cli.Usagef("", "%d latitudes for one FILE", len(s.Lats))
	}
	if !(math.Abs(s.lon) <= 180) {
		return cli.Usagef("", "longitude %g is not between -180 and 180", s.lon)
	}
	if s.flags.Changed("elevation") && !(s.elevation >= minElevationM && s.elevation <= maxElevationM) {
		return cli.Usagef("", "elevation %g is not between %d and %d m", s.elevation, minElevationM, maxElevationM)
	}
	return nil
}

// The shore of the Dead Sea and the top of Mount Everest, rounded outwards.
const minElevationM, maxElevationM = -450, 9000
