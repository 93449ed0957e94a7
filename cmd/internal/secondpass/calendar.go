package secondpass

import (
	"fmt"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// Calendar has the days of the first pass where it lives, or of a second pass sown
// today where it is worth it, and of the season.
func (a *Answer) Calendar(u words.System) (*report.Calendar, error) {
	x, season, today := a.Second[0].Outlook, a.Ensemble.Season, a.In.AsOf
	o := &a.First.Options
	of := report.SowingOf("second-pass", o, a.First.Sow)
	clear := a.Report.ClearOn
	look := report.Event{Kind: "look-again", Of: of, Day: clear, Unknown: clear == nil,
		Summary: "Look again at the first pass", Details: "Nearly all of it that lives should be up by now."}
	if clear != nil && *clear <= today {
		look.Day = nil
	}
	lives := a.Report.Judgement == forecast.KeepWaiting
	first := report.StageEvents(u, a.First, of, "First pass of "+u.Date(a.First.Sow))
	second := report.StageEvents(u, x, of+" again", "Second pass, if sown on "+u.Date(x.Sow))
	deadline := report.SafeEvent(u, x, "deadline", of, "Deadline of a second pass", today)
	for i := range second {
		if lives || !a.Worth {
			second[i].Day = nil // no dates of a sowing that is not to be made
		}
		if !lives {
			first[i].Day = nil // nor of one that is lost
		}
	}
	if lives {
		deadline.Day = nil
	}
	frost := report.Event{Kind: "frost", Of: fmt.Sprint(season), Day: a.Frost, Unknown: a.Frost == nil,
		Summary: "Freezing nights begin", Details: "Keep off frosted turf until it has thawed."}
	events := append(append([]report.Event{look}, first...), second...)
	events = append(append(events, deadline, frost), report.SeasonEvents(u, x, season, today)...)
	return report.NewCalendar(u, a.In, o, a.First.Sow, season, events), nil
}
