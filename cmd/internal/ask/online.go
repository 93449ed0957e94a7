package ask

import (
	"bytes"
	"math"
	"slices"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
)

// ReachFlags say how services are asked.
type ReachFlags struct{ reach cli.Reach }

// Declare declares the flags.
func (r *ReachFlags) Declare(f *pflag.FlagSet) {
	f.BoolVar(&r.reach.Offline, "offline", false, "ask no service: answer from what was fetched before")
	f.StringToStringVar(
		&r.reach.Bases,
		"base",
		nil,
		"addresses of mirrors or of a server on this machine, by service: ncei=https://example.org/ (also mirror, nws, met)",
	)
	f.Lookup("base").DefValue = "[]" // which is not printed
}

// Reach is what the flags say.
func (r *ReachFlags) Reach() cli.Reach { return r.reach }

// online are the flags of a station that a service has.
type online struct {
	near Position
	id   string
	ReachFlags
}

func (o *online) declare(f *pflag.FlagSet) {
	f.Var(
		&o.near,
		"near",
		"in place of a FILE: the record of the station that suits this place best, fetched or fetched before: 35.9,-78.8 or \"35°54'N 78°47'W\"",
	)
	f.StringVar(
		&o.id,
		"station-id",
		"",
		"in place of a FILE: the record of the station with this `ID`, as swardcast station lists them",
	)
	o.ReachFlags.Declare(f)
}

// asked reports whether a station of a service is asked for.
func (o *online) asked() bool { return o.near.Given || o.id != "" }

// openOnline reads the record of the station that is asked for.
func (s *StationFlags) openOnline(p *cli.Program, args []string, how Reading) (*Input, error) {
	o := &s.online
	switch {
	case len(args) > 0:
		return nil, cli.Usagef("give one of them", "a FILE, %s, and --near or --station-id", args[0])
	case o.near.Given && o.id != "":
		return nil, cli.Usagef("give one of them", "--near and --station-id both name a station")
	case p.Online == nil:
		return nil, cli.Dataf("give the FILE of a record", "this program reaches no network")
	}
	for _, name := range []string{"lat", "lon", "station", "columns", "temp-unit"} {
		if s.flags.Changed(name) {
			return nil, cli.Usagef("leave it out", "--%s is of a FILE, not of a station that is fetched", name)
		}
	}
	w := &cli.Wanted{ID: o.id, Latitude: o.near.Latitude, Longitude: o.near.Longitude, Reach: o.Reach()}
	if s.flags.Changed("elevation") {
		w.ElevationM = &s.elevation
	}
	rec, err := p.Online.Record(p.Context(), p, w)
	if err != nil {
		return nil, err
	}
	how.Options = recordfile.Options{Unit: recordfile.TenthsC}
	how.Place = func(at *climate.Place) {
		*at = rec.Place
		if s.flags.Changed("name") {
			at.Name = s.name
		}
	}
	if how.AsOf == nil {
		how.AsOf = &rec.Today
	}
	in, err := Read(bytes.NewReader(rec.Text), rec.ID, how)
	if err != nil {
		return nil, err
	}
	in.Online = &Online{OnlineRecord: rec}
	away := ""
	if rec.DistanceKM != nil {
		away = ", " + words.BothDistances(*rec.DistanceKM) + " away"
	}
	p.Say("station %s, %s%s: record to %s, %s", rec.ID, in.DisplayName(), away, in.Checked.Last(), in.Online.age(p))
	if rec.Stale != nil {
		p.Say("the record was not refreshed: %v", rec.Stale)
	}
	if d := rec.DistanceKM; d != nil && *d > farKM {
		p.Say(
			"no station that suits is nearer than %s: its climate may not be that of the place",
			words.BothDistances(*d),
		)
	}
	return in, nil
}

// farKM is beyond which a station hardly stands for a place. Common practice, no source.
const farKM = 80

// An Online is where a record that was fetched is from, and what forecasts put to it.
type Online struct {
	*cli.OnlineRecord
	Forecast *cli.OnlineForecast // nil: none is used
	// Filled are the days between the record and today whose weather is the forecast's,
	// made on the day or before it.
	Filled []cli.OnlineDay
	Ahead  []cli.OnlineDay // days after today
	Lacks  int             // days between the record and today that no forecast has
}

// age says when a record was fetched.
func (o *Online) age(p *cli.Program) string {
	return "fetched " + words.Age(p.Clock().Sub(o.Fetched)) + " ago"
}

// withForecast puts a forecast after a record that was fetched: the days up to today
// into the record that answers are made from, those after it ahead. Nothing of that is
// silent, and without a forecast the record stays as it is. One that is looked at as of
// another day gets none: what was forecast then is not known.
func (in *Input) withForecast(p *cli.Program) {
	o := in.Online
	if in.AsOf != o.Today {
		return
	}
	last := in.Checked.Last()
	f, err := p.Online.Forecast(p.Context(), p, o.OnlineRecord)
	if err != nil {
		p.Warn(err, "; answering without it")
		o.Lacks = int(o.Today - last)
		return
	}
	whole := slices.DeleteFunc(slices.Clone(f.Days), func(d cli.OnlineDay) bool {
		return d.Day <= last || math.IsNaN(d.TMaxC) || math.IsNaN(d.TMinC)
	})
	for _, d := range whole {
		if d.Day <= o.Today {
			o.Filled = append(o.Filled, d)
		} else {
			o.Ahead = append(o.Ahead, d)
		}
	}
	o.Lacks = max(0, int(o.Today-last)-len(o.Filled))
	if len(whole) == 0 {
		p.Say("the forecast of the %s has no day after %s", f.Service, last)
		return
	}
	o.Forecast = f
	if len(o.Filled) > 0 {
		in.extended = extended(in.Checked, o.Filled)
	}
	p.Say("%s; forecast of the %s, made on %s", o.Days(), f.Service, f.Issued.Format("2006-01-02 15:04 UTC"))
	p.Say("%s", f.Attribution)
	if f.Stale != nil {
		p.Say("the forecast was not refreshed: %v", f.Stale)
	}
}

// Days says which days are of the forecast, and which nobody knows.
func (o *Online) Days() string {
	s := "no day up to today is of a forecast"
	if n := len(o.Filled); n > 0 {
		s = words.Count(
			n,
			"day",
			"days",
		) + " up to today (" + o.Filled[0].Day.String() + " to " + o.Filled[n-1].Day.String() + ") are of a forecast"
		if n == 1 {
			s = "1 day up to today (" + o.Filled[0].Day.String() + ") is of a forecast"
		}
	}
	if o.Lacks > 0 {
		s += ", " + words.Count(o.Lacks, "day", "days") + " before today not known"
	}
	if n := len(o.Ahead); n > 0 {
		s += ", " + words.Count(n, "day", "days") + " ahead"
	}
	return s
}

// extended is a record with days of a forecast after it.
func extended(r *climate.Record, days []cli.OnlineDay) *climate.Record {
	out := rowsOf(r.First, days[len(days)-1].Day, days, r.PrecipMM != nil)
	out.Place = r.Place
	copy(out.TMaxC, r.TMaxC)
	copy(out.TMinC, r.TMinC)
	copy(out.PrecipMM, r.PrecipMM)
	return out
}

// rowsOf is a record of days of a forecast.
func rowsOf(first, last climate.Day, days []cli.OnlineDay, rain bool) *climate.Record {
	out := climate.NewRecord(climate.Place{}, first, int(last-first)+1)
	if rain {
		out.PrecipMM = slices.Repeat([]float64{math.NaN()}, out.Len())
	}
	for _, d := range days {
		i := out.Index(d.Day)
		out.TMaxC[i], out.TMinC[i] = d.TMaxC, d.TMinC
		if rain {
			out.PrecipMM[i] = d.PrecipMM
		}
	}
	return out
}

// ahead is the forecast of the days after today, nil for none.
func (in *Input) ahead() *climate.Record {
	if in.Online == nil || len(in.Online.Ahead) == 0 {
		return nil
	}
	days := in.Online.Ahead
	return rowsOf(days[0].Day, days[len(days)-1].Day, days, true)
}
