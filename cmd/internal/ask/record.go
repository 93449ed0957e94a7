package ask

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/climate/demo"
	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// An Input is a record as it was read and checked.
type Input struct {
	File    *recordfile.File
	Name    string          // of the file; of the longest and the others where several are joined
	Checked *climate.Record // without rejected values; its gaps are not filled
	Suspect []check.Suspect
	AsOf    climate.Day // today
	Online  *Online     // where a record that was fetched is from; nil for a file
	Clock   climate.Day // today by the clock; 0 where the record is invented or the question names its day

	extended *climate.Record // Checked with days of a forecast after it; nil for none
	refusal  error           // why the record must not be answered from, or nil
	called   string          // what the station is called where the record has no name for it; "": as the file
}

// A Station is an input made ready for forecasts.
type Station struct {
	*Input
	*forecast.Station
	ProbeFile string // of soil readings, or ""
}

// A Reading says how a record is read. The zero value takes what the file says.
type Reading struct {
	Options  recordfile.Options
	Place    func(*climate.Place) // overrides what the file says of it; nil: nothing
	AsOf     *climate.Day         // today; nil: the last day of the record
	Today    climate.Day          // by the clock, to refuse records from the future
	Invented bool                 // the record may run on into the future
}

// Read reads a record and checks its values.
func Read(r io.Reader, name string, how Reading) (*Input, error) {
	file, err := readFile(r, name, &how)
	if err != nil {
		return nil, err
	}
	return newInput(file, name, &how)
}

// readFile reads a record up to today.
func readFile(r io.Reader, name string, how *Reading) (*recordfile.File, error) {
	o := how.Options
	if how.AsOf != nil {
		o.Until = how.AsOf
	}
	if how.Today != 0 {
		o.Today = &how.Today
	}
	return recordfile.Read(r, name, o)
}

// newInput checks a record.
func newInput(file *recordfile.File, name string, how *Reading) (*Input, error) {
	in := &Input{Name: name, File: file}
	rec := in.File.Record
	if how.Place != nil {
		was := rec.Place
		how.Place(&rec.Place)
		file.Cautions = append(file.Cautions, overridden(was, rec.Place)...)
	}
	if in.AsOf = rec.Last(); how.AsOf != nil {
		in.AsOf = *how.AsOf
	} else if !how.Invented {
		in.Clock = how.Today
	}
	if !how.Invented && rec.Last() > how.Today+1 {
		return nil, cli.Dataf("look for a mistyped year, or for the day and the month swapped",
			"%s: the record runs to %s, which is in the future (today is %s)", name, rec.Last(), how.Today)
	}
	clean, suspect, err := check.Clean(rec)
	in.Suspect = append(in.File.Suspect, suspect...)
	switch {
	case errors.Is(err, check.ErrColumns):
		in.refusal = cli.Dataf("look at a few rows; --columns tmax=NAME,tmin=NAME names the right columns",
			"%s: %w", name, err)
	case err != nil:
		in.refusal = cli.Dataf("bring the record to one unit", "%s: %w", name, err)
	}
	if err != nil {
		in.Checked = rec
		return in, nil
	}
	in.Checked = clean
	doubts, err := check.Place(clean)
	file.Cautions = append(file.Cautions, doubts...)
	if err != nil {
		in.refusal = cli.Dataf("look at the dates, and whether --lat is the latitude", "%s: %w", name, err)
	}
	return in, nil
}

// overridden says which coordinates of the file are not used, since a flag or a table
// of places gives others.
func overridden(file, used climate.Place) []string {
	var said []string
	for _, c := range []struct {
		name       string
		file, used *float64
	}{{"latitude", file.Latitude, used.Latitude}, {"longitude", file.Longitude, used.Longitude}} {
		if c.file != nil && c.used != nil && math.Abs(*c.file-*c.used) >= roundedDegrees {
			said = append(said, fmt.Sprintf("The %s used is %g, as given; the file says %g.", c.name, *c.used, *c.file))
		}
	}
	return said
}

// roundedDegrees is how far two coordinates of one place may be apart, °, for rounding.
const roundedDegrees = 0.1

// OpenRecord reads the record that the arguments name and checks it. Several files are
// those of one station and are joined. Without a file it is what is piped in, or else
// the demo station.
func OpenRecord(p *cli.Program, args []string, s *StationFlags) (*Input, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	how := Reading{
		Options: s.Options(),
		Place:   s.place, Today: p.Today(),
	}
	if s.online.asked() {
		s.AsOf.Past(p, how.Today)
		if s.AsOf.Given {
			how.AsOf = &s.AsOf.Day
		}
		return s.openOnline(p, args, how)
	}
	from, err := sourcesOf(p, args)
	if err != nil {
		return nil, err
	}
	if from == nil {
		if err := s.checkNoFile(); err != nil {
			return nil, err
		}
		p.Say("no FILE given: answering for the built-in demo station, which is invented")
		from = []source{{demo.Name,
			func(read func(io.Reader) error) error { return read(bytes.NewReader(demo.Station)) }}}
		how.Invented = true
	}
	if s.AsOf.Given && !s.AsOf.HasYear() {
		for i := range from { // they are read twice
			if err := from[i].keep(); err != nil {
				return nil, err
			}
		}
		whole, err := readAll(p, from, &how)
		if err != nil {
			return nil, err
		}
		s.AsOf.Past(p, whole.File.Record.Last())
	}
	if s.AsOf.Given {
		how.AsOf = &s.AsOf.Day
	}
	in, err := readAll(p, from, &how)
	var option *recordfile.OptionError
	switch {
	case errors.As(err, &option):
		return nil, cli.Usagef("--columns date=Day,tmax=High,tmin=3", "--columns: %s", option.Message)
	case err != nil:
		return nil, err
	}
	for _, c := range in.File.Cautions {
		p.Say("%s: %s", in.Name, strings.TrimSuffix(c, "."))
	}
	if in.File.RainDoubtful {
		p.Say("give the unit of the rain: --rain-unit %s", cli.Or(rainUnits(in.File.RainFits)))
	}
	const farAhead = 366 // days
	if latest := max(in.File.Record.Last(), how.Today); how.AsOf != nil && *how.AsOf > latest+farAhead {
		return nil, cli.Usagef("--as-of "+latest.String(), "--as-of %s: that is more than a year ahead of %s", *how.AsOf,
			latest)
	}
	if days, stale := in.Stale(); stale && !s.AmongMany {
		p.Say("%s: the record ends on %s, %d days before the as-of day %s", in.Name, in.Checked.Last(), days, in.AsOf)
	}
	return in, nil
}

// StaleDays is how many days before the as-of day a record may end unsaid.
const StaleDays = 200

// Stale is how many days before the as-of day the record ends, and whether that is to be
// said.
func (in *Input) Stale() (days int, stale bool) {
	days = int(in.AsOf - in.Checked.Last())
	return days, days > StaleDays
}

// rainUnits are the units that doubtful rain could be in, all where that is none.
func rainUnits(fits []recordfile.RainUnit) []string {
	if len(fits) == 0 {
		fits = recordfile.RainUnits()[1:]
	}
	return Names(fits)
}

// OpenStation reads the one record that the arguments name, makes it ready and takes
// in the user's own soil readings, where there are any.
func OpenStation(p *cli.Program, args []string, s *StationFlags) (*Station, error) {
	in, err := OpenRecord(p, args, s)
	if err != nil {
		return nil, err
	}
	if in.Online != nil {
		in.withForecast(p)
	}
	station, err := in.Ready()
	if err != nil {
		return nil, err
	}
	return station, calibrate(p, station, s.probe)
}

// CheckSeason refuses a season that lies outside the record and the year after a day; 0
// is none asked for.
func (in *Input) CheckSeason(c climate.Calendar, season int, day climate.Day) error {
	if season == 0 || season >= c.SeasonFor(in.Checked.First) && season <= c.SeasonFor(day)+1 {
		return nil
	}
	return cli.Usagef(fmt.Sprintf("--season %d", c.SeasonFor(day)),
		"the season of %d lies outside the record, %s to %s, and the year after it", season, in.Checked.First,
		in.Checked.Last())
}

// PlanFrom is the day that is planned from: the as-of day, or the clock's where the
// record ended so long before it that its season is over.
func (s *Station) PlanFrom() (day climate.Day, ended bool) {
	if s.Clock != 0 {
		if _, ended := s.RecordEnded(s.Clock); ended {
			return s.Clock, true
		}
	}
	return s.AsOf, false
}

// TodayFor takes the clock's day for today where the record ended so long ago that it
// says nothing of a sowing: one of a day after the record, or without a day or a year.
func (s *Station) TodayFor(sow *Date) {
	if day, ended := s.PlanFrom(); ended && (!sow.Given || !sow.HasYear() || sow.Day > s.Checked.Last()) {
		s.AsOf = day
	}
}

// Refusal returns why the record must not be answered from, nil for one that can be.
func (in *Input) Refusal() error { return in.refusal }

// ErrNoLatitude is the error of a record that is not known to be of any place.
var ErrNoLatitude = errors.New("the file gives no latitude")

// NeedLatitude returns the error of a record without a latitude, nil for one that
// has it.
func (in *Input) NeedLatitude(hint string) error {
	if in.Checked.Place.Latitude == nil {
		return cli.Dataf(hint, "%s: %w", in.Name, ErrNoLatitude)
	}
	return nil
}

// LatitudeHint says how the latitude of one file is given, and how near is near
// enough.
// A degree moves the dates of the demo station by about half a day (TestLatitudeNearEnough).
const LatitudeHint = "--lat 35.9, with your own latitude; the nearest degree will do " +
	"(1° moves the dates by about half a day)"

// Ready makes the record ready for forecasts.
func (in *Input) Ready() (*Station, error) {
	if in.refusal != nil {
		return nil, in.refusal
	}
	if err := in.NeedLatitude(LatitudeHint); err != nil {
		return nil, err
	}
	rec := in.Checked
	if in.extended != nil {
		rec = in.extended
	}
	station, err := forecast.NewStation(rec)
	switch {
	case errors.Is(err, climate.ErrTooShort):
		return nil, cli.Dataf("at least a year is needed for the soil, five autumns for a safe date",
			"%s: the record has %d days, from %s to %s: %w", in.Name, rec.Len(), rec.First, rec.Last(), err)
	case errors.Is(err, forecast.ErrHemisphere):
		return nil, cli.Dataf(fmt.Sprintf("--lat %g", -*rec.Place.Latitude), "%s: %w", in.Name, err)
	case err != nil:
		return nil, fmt.Errorf("%s: %w", in.Name, err)
	}
	return &Station{Input: in, Station: station}, nil
}

// DisplayName is the station's name, or the file's where it has none.
func (in *Input) DisplayName() string {
	name := in.Checked.Place.Name
	if name == "" {
		name = in.called
	}
	if name == "" {
		name = strings.TrimSuffix(filepath.Base(in.Name), filepath.Ext(in.Name))
	}
	return words.Harmless(name)
}

// MissingDays counts the days without both temperatures.
func (in *Input) MissingDays() int {
	n := 0
	for i := range in.Checked.TMaxC {
		if in.Checked.Missing(i) {
			n++
		}
	}
	return n
}

// SeasonsError adds the file, and what to do, to an error of the seasons.
func (in *Input) SeasonsError(err error) error {
	hint := ""
	if errors.Is(err, forecast.ErrNoSeasons) {
		hint = "a season needs its days from the opening to the cutoff: leave --years out, or add --completeness loose"
	}
	return cli.Dataf(hint, "%s: %w", in.Name, err)
}
