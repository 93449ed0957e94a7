package plan

import (
	"fmt"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// Calendar has the steps of the plan, those gone by too.
func (a *Answer) Calendar(u words.System) (*report.Calendar, error) {
	x := a.Plan.Outlook
	of := report.SowingOf("plan", &x.Options, x.Sow)
	var events []report.Event
	weeks := 0
	for i := range a.Plan.Steps {
		s := &a.Plan.Steps[i]
		kind := string(s.Kind)
		if s.Kind == forecast.PlanWater {
			// The weeks are counted from the sowing, so that one keeps its event.
			weeks = int(s.Day-x.Sow)/7 + 1
			kind = fmt.Sprintf("%s-%d", kind, weeks)
		}
		details := a.advice(u, s)
		if s.Until != nil && *s.Until > s.Day {
			details += fmt.Sprintf(" Until %s.", u.LongDate(*s.Until))
		}
		if s.Low != nil && s.High != nil && *s.Low < *s.High {
			details += fmt.Sprintf(" 8 in 10 between %s and %s.", u.LongDate(*s.Low), u.LongDate(*s.High))
		}
		events = append(events, report.Event{Kind: kind, Of: of, Day: &s.Day, Summary: name(s, &x.Options),
			Details: details + " [" + basis(s) + "]"})
	}
	return report.NewCalendar(u, a.In, &x.Options, x.Sow, of, events), nil
}
