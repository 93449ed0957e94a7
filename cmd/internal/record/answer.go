package record

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// An Answer is how far a record carries and why.
type Answer struct {
	In      *ask.Input
	Rule    climate.Completeness
	Verdict forecast.Adequacy
	Reason  string           // of the verdict
	Fix     string           // what to do about it, "" for a good record
	Window  *forecast.Window // that the verdict is drawn from; nil where no season could be gone through
	Months  []climate.Month
	Missing int      // days
	Notes   []string // on how the file was understood, in sentences
}

// New judges a record by a rule for missing days.
func New(in *ask.Input, rule climate.Completeness) *Answer {
	a := &Answer{In: in, Rule: rule, Months: rule.Months(in.Checked), Missing: in.MissingDays()}
	a.Notes = slices.Clone(in.File.Notes)
	if apart, ok := check.DayApart(in.Checked); ok {
		a.Notes = append(a.Notes, strings.ToUpper(apart[:1])+apart[1:]+".")
	}
	a.judge()
	return a
}

// latitudeFix says how near a latitude must be.
const latitudeFix = "add the latitude, as in --lat 35.9 (to the nearest degree is enough)"

// judge goes through the seasons and finds the verdict with its reason.
func (a *Answer) judge() {
	a.Verdict = forecast.RecordUnusable
	station, err := a.In.Ready()
	var data *cli.DataError
	switch {
	case errors.Is(err, ask.ErrNoLatitude):
		a.Reason, a.Fix = "the file does not give the latitude", latitudeFix
		return
	case errors.Is(err, climate.ErrTooShort):
		a.Reason = fmt.Sprintf("the record has %d days, and a year is the least", a.In.Checked.Len())
		a.Fix = "take a longer record: five autumns give a safe date, ten or more are better"
		return
	case err != nil:
		if errors.As(err, &data) {
			a.Fix = data.Hint
		}
		a.Reason = strings.TrimPrefix(err.Error(), a.In.Name+": ")
		return
	}
	a.Verdict, a.Window, err = station.Adequacy(a.Rule)
	switch {
	case err != nil:
		a.Reason = err.Error()
		return
	case a.Verdict == forecast.RecordUnusable:
		a.Reason = "no autumn is complete enough"
		a.Fix = "fill the gaps of the file, or take another station; the reason for each autumn stands below"
		return
	}
	n := len(a.Window.Seasons)
	a.Reason = fmt.Sprintf("%d usable %s", n, words.Plural(n, "autumn", "autumns"))
	switch a.Verdict {
	case forecast.RecordTooShort:
		a.Reason += fmt.Sprintf(", and a safe date needs %d", forecast.MinSeasons)
		a.Fix = "add the station's earlier years, or take a station with a longer record"
	case forecast.RecordShort:
		a.Reason += fmt.Sprintf("; %d or more would be better", forecast.FewSeasons)
		a.Fix = "add the station's earlier years, if there are any"
	}
}

// windows is the window, where there is one.
func (a *Answer) windows() []*forecast.Window {
	if a.Window == nil {
		return nil
	}
	return []*forecast.Window{a.Window}
}

// grouped joins suspect values of one test and series on days that follow each other.
func grouped(suspect []check.Suspect) [][]check.Suspect {
	var out [][]check.Suspect
	for _, d := range suspect {
		if n := len(out); n > 0 {
			last := out[n-1][len(out[n-1])-1]
			if d.Test == last.Test && d.Series == last.Series && d.First >= last.Last && d.First-last.Last <= 2 {
				out[n-1] = append(out[n-1], d)
				continue
			}
		}
		out = append(out, []check.Suspect{d})
	}
	return out
}
