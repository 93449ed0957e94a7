package forecast

import (
	"errors"

	"swardcast/climate"
)

// Adequacy is how far a record carries.
type Adequacy string

// The kinds of adequacy.
const (
	RecordGood     Adequacy = "good"
	RecordShort    Adequacy = "short"     // fewer than FewSeasons seasons: answered, with a warning
	RecordTooShort Adequacy = "too-short" // fewer than MinSeasons seasons: no safe date
	RecordUnusable Adequacy = "unusable"  // no season
)

// Adequacy returns how far the record of the station carries under a rule for missing
// days, and the window of the default options that this is drawn from. It
// returns the errors of [Station.Window] but [ErrNoSeasons]: that is
// RecordUnusable, and the window then has the seasons left out.
func (s *Station) Adequacy(rule climate.Completeness) (Adequacy, *Window, error) {
	w, err := s.Window(Options{Completeness: rule})
	switch {
	case errors.Is(err, ErrNoSeasons):
		return RecordUnusable, w, nil
	case err != nil:
		return RecordUnusable, w, err
	case len(w.Seasons) < MinSeasons:
		return RecordTooShort, w, nil
	case len(w.Seasons) < FewSeasons:
		return RecordShort, w, nil
	}
	return RecordGood, w, nil
}
