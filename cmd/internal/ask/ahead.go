package ask

import (
	"errors"
	"io"
	"math"
	"slices"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
	"swardcast/forecast"
)

// DeclareAhead declares the flag of forecast rows.
func DeclareAhead(f *pflag.FlagSet) *string {
	name := f.String("outlook-file", "", "daily forecast rows to put after the record, read as records are")
	cli.MarkInput(f, "outlook-file")
	return name
}

// SeasonAtHand makes the ensemble of a season from the record to the as-of day, a
// forecast where there is one, and the past seasons. The rows of a file go before a
// forecast that was fetched.
func SeasonAtHand(p *cli.Program, in *Station, o forecast.Options, season int, aheadFile string) (*forecast.Ensemble, error) {
	ahead := in.ahead()
	var sdC []float64
	if aheadFile != "" {
		var err error
		if ahead, sdC, err = readAhead(p, aheadFile, in); err != nil {
			return nil, err
		}
	}
	o.Season = season
	e, err := in.Ensemble(o, forecast.EnsembleOptions{AsOf: &in.AsOf, Ahead: ahead, AheadSDC: sdC})
	if errors.Is(err, forecast.ErrNoDaysAhead) && aheadFile == "" {
		// The season is over, or not near: nothing hangs on the days that were fetched.
		e, err = in.Ensemble(o, forecast.EnsembleOptions{AsOf: &in.AsOf})
	}
	switch {
	case errors.Is(err, forecast.ErrNoDaysAhead):
		return nil, cli.Dataf("", "%s: no row is of a day after %s, the last of the record", aheadFile, min(in.AsOf, in.Calendar.Last(season)))
	case err != nil:
		return nil, in.SeasonsError(err)
	}
	return e, nil
}

const unitHint = "name the columns with their unit, such as date,tmax_f,tmin_f"

// readAhead reads forecast rows and checks them. It returns them with the standard
// error of each day, °C, NaN where the file does not give it; nil where it gives
// none. So few rows seldom show their unit: then it is the one in which they lie
// near the normal of their days, if there is just one.
func readAhead(p *cli.Program, name string, in *Station) (rows *climate.Record, sdC []float64, err error) {
	read := func(unit recordfile.Unit) (*recordfile.File, error) {
		var f *recordfile.File
		err := p.Files.Read(name, func(r io.Reader) (err error) {
			f, err = recordfile.Read(r, name, recordfile.Options{Unit: unit, Forecast: true})
			return err
		})
		return f, err
	}
	normal, err := climate.FitNormal(in.Record.First, in.Record.TMaxC, climate.AirHarmonics)
	if err != nil {
		return nil, nil, err
	}
	// near tells how far the rows lie from the normal highest temperature of
	// their days, °C.
	near := func(r *climate.Record) float64 {
		sum, n := 0.0, 0.0
		for i, v := range r.TMaxC {
			if !math.IsNaN(v) {
				sum += v - normal.At(r.Day(i))
				n++
			}
		}
		return math.Abs(sum / n)
	}
	const (
		plausible = 15.0 // °C that some days can lie off the normal
		clearly   = 8.0  // °C by which the next unit must lie farther off
	)
	file, err := read(recordfile.Auto)
	if err == nil && near(file.Record) > plausible {
		return nil, nil, cli.Dataf(unitHint, "%s: in %s (%s) the rows lie %.0f °C off what is normal here on their days",
			name, file.Unit.Name(), file.UnitReason, near(file.Record))
	}
	if err != nil {
		var ambiguous *recordfile.Error
		if !errors.As(err, &ambiguous) {
			return nil, nil, err
		}
		best, next := math.Inf(1), math.Inf(1)
		for _, unit := range ambiguous.Units {
			f, e := read(unit)
			if e != nil {
				continue
			}
			switch d := near(f.Record); {
			case d < best:
				best, next, file = d, best, f
			case d < next:
				next = d
			}
		}
		if best > plausible || next-best < clearly {
			if ambiguous.Units != nil {
				err = &cli.DataError{Err: err, Hint: unitHint}
			}
			return nil, nil, err
		}
		p.Say("%s: the rows are taken to be in %s, in which they lie nearest to what is normal here", name, file.Unit.Name())
	}
	clean, suspect, err := check.Clean(file.Record)
	if err != nil {
		return nil, nil, cli.Dataf("", "%s: %w", name, err)
	}
	for _, d := range suspect {
		p.Say("%s: %s: %s; it is left out", name, d.First, d.Reason)
	}
	return clean, rowErrors(file), nil
}

// rowErrors are the standard errors that forecast rows give, by themselves or by
// the days they are ahead, °C.
func rowErrors(f *recordfile.File) []float64 {
	out := f.ErrorC
	if out == nil && f.LeadDays != nil {
		out = slices.Repeat([]float64{math.NaN()}, len(f.LeadDays))
	}
	for i := range f.LeadDays {
		if math.IsNaN(out[i]) && !math.IsNaN(f.LeadDays[i]) {
			out[i] = forecast.RowSD(f.LeadDays[i])
		}
	}
	return out
}
