package ask

import (
	"errors"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/climate/recordfile"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// DeclareAhead declares the flag of what lies ahead: a file of forecast rows, or a
// tendency such as warm:21. It had the name --outlook-file, which still works.
func DeclareAhead(f *pflag.FlagSet) *string {
	ahead := new(string)
	f.StringVar(ahead, "ahead", "", "what lies `ahead`: a file of daily forecast rows, or warm:21 (cool:21) "+
		"where the next 21 days will be warmer (colder) than normal")
	f.StringVar(ahead, "outlook-file", "", "`file` of daily forecast rows: the former name of --ahead")
	f.Lookup("outlook-file").Hidden = true
	cli.MarkInput(f, "ahead")
	cli.MarkInput(f, "outlook-file")
	return ahead
}

// tendencyForm is a tendency as it is typed: a word, and days or weeks.
var tendencyForm = regexp.MustCompile(
	`^(?i)(warm|warmer|cool|cooler|cold|colder):\s*([0-9]{1,4})\s*(d|days?|w|weeks?)?$`)

// parseTendency reads a tendency; nil for the name of a file.
func parseTendency(s string) (*forecast.Tendency, error) {
	s = strings.TrimSpace(s)
	m := tendencyForm.FindStringSubmatch(s)
	if m == nil {
		word, _, colon := strings.Cut(s, ":")
		word = strings.ToLower(strings.TrimSpace(word))
		known := slices.Contains([]string{"warm", "warmer", "cool", "cooler", "cold", "colder"}, word)
		switch {
		case !known:
			return nil, nil
		case strings.HasPrefix(word, "warm"):
			word = "warm:21"
		default:
			word = "cool:21"
		}
		if colon {
			return nil, cli.FlagError("ahead", s, cli.Valuef([]string{word}, "write for how many days"))
		}
		return nil, cli.FlagError("ahead", s, cli.Valuef([]string{word}, "for how many days?"))
	}
	days, err := strconv.Atoi(m[2])
	if err != nil {
		return nil, err
	}
	if strings.HasPrefix(strings.ToLower(m[3]), "w") {
		days *= 7
	}
	if days < 1 || days > forecast.MaxTendencyDays {
		return nil, cli.FlagError("ahead", s, cli.Valuef([]string{m[1] + ":21"}, "it can be of 1 to %d days",
			forecast.MaxTendencyDays))
	}
	return &forecast.Tendency{Days: days, Colder: strings.HasPrefix(strings.ToLower(m[1]), "c")}, nil
}

// SeasonAtHand makes the ensemble of a season from the record to the as-of day, what
// is known of the days ahead, and the past seasons. What the user gives of them goes
// before a forecast that was fetched.
func SeasonAtHand(
	p *cli.Program, in *Station, o forecast.Options, season int, ahead string,
) (*forecast.Ensemble, error) {
	at := forecast.EnsembleOptions{AsOf: &in.AsOf, Ahead: in.ahead()}
	if ahead != "" {
		var err error
		if at.Tendency, err = parseTendency(ahead); err == nil && at.Tendency == nil {
			at.Ahead, at.AheadSDC, err = readAhead(p, ahead, in)
		}
		if err != nil {
			return nil, err
		}
	}
	o.Season = season
	e, err := in.Ensemble(o, at)
	if errors.Is(err, forecast.ErrNoDaysAhead) && ahead == "" {
		// The season is over, or not near: nothing depends on the days that were fetched.
		at.Ahead = nil
		e, err = in.Ensemble(o, at)
	}
	end := min(in.AsOf, in.Calendar.Last(season))
	switch {
	case errors.Is(err, forecast.ErrNoDaysAhead) && at.Tendency != nil:
		return nil, cli.Dataf("leave --ahead out", "--ahead %s: the season ends on %s, and no day lies ahead", ahead,
			end)
	case errors.Is(err, forecast.ErrNoDaysAhead):
		return nil, cli.Dataf("rows of days after that, or leave --ahead out",
			"%s: no row is of a day after %s, the last of the record", ahead, end)
	case err != nil:
		return nil, in.SeasonsError(err)
	}
	if at.Tendency != nil {
		third := "warmest"
		if at.Tendency.Colder {
			third = "coldest"
		}
		p.Say("the next %d %s of each past season are moved by %+.1f °C (%+.1f °F), the mean of the %s third of them",
			e.TendencyDays, words.Plural(e.TendencyDays, "day", "days"), e.TendencyC, 1.8*e.TendencyC, third)
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
	file, err := read(recordfile.Auto)
	var unknown *recordfile.Error
	switch {
	case err == nil && offNormal(file.Record, normal) > plausibleOff:
		return nil, nil, cli.Dataf(unitHint,
			"%s: in %s (%s) the rows lie %.0f °C off what is normal here on their days",
			name, file.Unit.Name(), file.UnitReason, offNormal(file.Record, normal))
	case errors.As(err, &unknown) && unknown.Units != nil:
		if file = inNearestUnit(unknown.Units, normal, read); file == nil {
			return nil, nil, &cli.DataError{Err: err, Hint: unitHint}
		}
		p.Say("%s: the rows are taken to be in %s, in which they lie nearest to what is normal here", name,
			file.Unit.Name())
	case err != nil:
		return nil, nil, err
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
