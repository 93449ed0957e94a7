package outlook

import (
	"fmt"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// Calendar has the days of the sowing, and of its season.
func (a *Answer) Calendar(u words.System) (*report.Calendar, error) {
	x, season := a.Outlook, a.Ensemble.Season
	o := &x.Options
	of := report.SowingOf("outlook", o, x.Sow)
	what := fmt.Sprintf("%s of %s", words.Capital(o.Species.Name), u.Date(x.Sow))
	chance := fmt.Sprintf("Chance to be %s before the cold: %s.", words.Stages[o.Stage], report.ChanceOf(x))
	events := []report.Event{{Kind: "sown", Of: of, Day: &x.Sow, Summary: what + ": sown", Details: chance}}
	events = append(events, report.StageEvents(u, x, of, what)...)
	safe := report.SafeEvent(u, x, "last-safe", fmt.Sprint(season, " ", o.Species.ID), "Last safe sow date", a.In.AsOf)
	safe.Unknown = safe.Unknown || x.Sow < a.In.AsOf // there is nothing left to decide
	events = append(events, safe)
	events = append(events, report.SeasonEvents(u, x, season, a.In.AsOf)...)
	return report.NewCalendar(u, a.In, o, x.Sow, of, events), nil
}
