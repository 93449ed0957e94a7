package record

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// An Answer is how far a record carries and why.
type Answer struct {
	In      *ask.Input
	Rule    climate.Completeness
	Verdict forecast.Adequacy
	Reason  string           // of the verdict
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
	a.Verdict, a.Reason = a.judge()
	return a
}

// judge goes through the seasons and finds the verdict with its reason.
func (a *Answer) judge() (forecast.Adequacy, string) {
	station, err := a.In.Ready()
	switch {
	case errors.Is(err, ask.ErrNoLatitude):
		return forecast.RecordUnusable, "the latitude is not known, so that the seasons cannot be gone through: add --lat"
	case err != nil:
		return forecast.RecordUnusable, strings.TrimPrefix(err.Error(), a.In.Name+": ")
	}
	verdict, w, err := station.Adequacy(a.Rule)
	a.Window = w
	switch {
	case err != nil:
		return verdict, err.Error()
	case verdict == forecast.RecordUnusable:
		return verdict, "no autumn is complete enough to be used"
	}
	n := len(w.Seasons)
	switch verdict {
	case forecast.RecordTooShort:
		return verdict, fmt.Sprintf(
			"%d usable %s: too few for a safe date, which needs %d",
			n,
			words.Plural(n, "season", "seasons"),
			forecast.MinSeasons,
		)
	case forecast.RecordShort:
		return verdict, fmt.Sprintf(
			"%d usable seasons: enough for an answer with a warning; %d would be better",
			n,
			forecast.FewSeasons,
		)
	}
	return verdict, fmt.Sprintf("%d usable seasons", n)
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
