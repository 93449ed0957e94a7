package secondpass

import (
	"fmt"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// Calendar has the days of the second sowing where the decision is to sow, else of the
// first, and of the season.
func (a *Answer) Calendar(u words.System) (*report.Calendar, error) {
	x, season, today := a.Second[0].Outlook, a.Ensemble.Season, a.In.AsOf
	o := &a.First.Options
	of := report.SowingOf("second-pass", o, a.First.Sow)
	clear := a.Report.ClearOn
	look := report.Event{Kind: "look-again", Of: of, Day: clear, Unknown: clear == nil,
		Summary: "Look again at the first sowing", Details: "Nearly all surviving seed should be up by now."}
	if best := a.Decision.Best; best.Action == forecast.WaitUntil {
		look.Day, look.Unknown, look.Details = &best.On, false, "Decide then whether to sow again."
	} else if clear != nil && *clear <= today {
		look.Day = nil
	}
	sows := a.Decision.Sows()
	first := report.StageEvents(u, a.First, of, "First sowing of "+u.Date(a.First.Sow))
	second := report.StageEvents(u, x, of+" again", "Second sowing, if sown on "+u.Date(x.Sow))
	deadline := report.SafeEvent(u, x, "deadline", of, "Deadline of a second sowing", today)
	for i := range second {
		if sows {
			first[i].Day = nil
		} else {
			second[i].Day = nil // no dates of a sowing that is not to be made
		}
	}
	if !sows && a.Decision.Best.Action != forecast.WaitUntil {
		deadline.Day = nil
	}
	frost := report.Event{Kind: "frost", Of: fmt.Sprint(season), Day: a.Frost, Unknown: a.Frost == nil,
		Summary: "Freezing nights begin", Details: "Keep off frosted turf until it has thawed."}
	events := append(append([]report.Event{look}, first...), second...)
	events = append(append(events, deadline, frost), report.SeasonEvents(u, x, season, today)...)
	return report.NewCalendar(u, a.In, o, a.First.Sow, of, events), nil
}
