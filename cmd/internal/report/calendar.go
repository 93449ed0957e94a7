package report

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// An Event is one day of a calendar file (RFC 5545).
type Event struct {
	Kind    string       // stays the same from one look to the next
	Of      string       // what it is of: a sowing or a season
	Day     *climate.Day // nil: it is not expected
	Unknown bool         // whether it comes is not known, or nothing more is to be said of it
	Summary string
	Details string // the range and what it means
}

// rangeWords gives the range of a date.
func rangeWords(u words.System, low, high *climate.Day) string {
	switch {
	case low == nil:
		return "Range not known."
	case high == nil:
		return fmt.Sprintf("8 in 10 from %s on, or not before the season ends.", u.LongDate(*low))
	case *low == *high:
		return fmt.Sprintf("Observed: %s.", u.LongDate(*low))
	}
	return fmt.Sprintf("8 in 10 between %s and %s.", u.LongDate(*low), u.LongDate(*high))
}

func datesRange(u words.System, d forecast.Dates) string {
	return rangeWords(u, words.DayOrNil(d.At(0.1)), words.DayOrNil(d.At(0.9)))
}

// StageEvents are the stages of a sowing; with too few seasons none is known.
func StageEvents(u words.System, x *forecast.Outlook, of, what string) []Event {
	var out []Event
	for i, s := range x.Stages {
		summary := []string{"%s: half is up", "%s: first mow (third leaf)", "%s: established"}[i]
		out = append(
			out,
			Event{
				string(s.Stage),
				of,
				s.P50,
				x.Members < forecast.MinSeasons,
				fmt.Sprintf(summary, what),
				rangeWords(u, s.P10, s.P90),
			},
		)
	}
	return out
}

// SeasonEvents are what the season brings, whatever is sown in it: the freeze that
// ends it, and the cutoff of the species.
func SeasonEvents(u words.System, x *forecast.Outlook, season int, asOf climate.Day) []Event {
	o := &x.Options
	few := x.Members < forecast.MinSeasons
	of := fmt.Sprint(season)
	frozen := "Killing freeze expected (%s)"
	day, ok := x.Freeze.At(0.5)
	if last, known := x.Freeze.At(0.9); ok && known && last <= asOf {
		frozen = "Killing freeze (%s)"
	}
	return []Event{
		{
			"freeze",
			of,
			words.DayOrNil(day, ok),
			few,
			fmt.Sprintf(frozen, u.Temp(*o.FreezeC)),
			datesRange(u, x.Freeze) + " Keep off frosted turf until it has thawed.",
		},
		{
			"cutoff",
			of + " " + o.Species.ID,
			words.DayOrNil(x.Cutoff.At(0.5)),
			few,
			"The cold usually ends growth of " + o.Species.Name,
			datesRange(u, x.Cutoff),
		},
	}
}

// SafeEvent is the last safe date of a sowing that is still to come.
func SafeEvent(u words.System, x *forecast.Outlook, kind, of, what string, asOf climate.Day) Event {
	o := &x.Options
	day, ok := x.LastSafe(o.Confidence)
	return Event{
		kind,
		of,
		words.DayOrNil(day, ok && day >= asOf),
		x.Members < forecast.MinSeasons,
		fmt.Sprintf("%s of %s (%g %%)", what, o.Species.Name, o.Confidence),
		fmt.Sprintf(
			"Sown by then, it is %s before the cold in %g %% of possible outcomes. The median last date is %s; %s",
			words.Stages[o.Stage],
			o.Confidence,
			u.DateOr(words.DayOrNil(x.Latest.At(0.5))),
			words.Lower(datesRange(u, x.Latest)),
		),
	}
}

// SowingOf names a sowing, for UIDs.
func SowingOf(command string, o *forecast.Options, sow climate.Day) string {
	return command + " " + o.Species.ID + " " + sow.String()
}

// A Calendar has the days of one sowing and of its season.
type Calendar struct {
	Name     string
	Of       string // the sowing, as SowingOf names it
	Place    string
	Position string // of the place, which separates places of one name
	AsOf     climate.Day
	Footer   []string // stands beneath every event's details
	Events   []Event
}

// NewCalendar names a calendar; of is the sowing that it is of.
func NewCalendar(
	u words.System,
	in *ask.Station,
	o *forecast.Options,
	sow climate.Day,
	of string,
	events []Event,
) *Calendar {
	latitude, longitude, _ := in.Checked.Place.Coordinates()
	footer := []string{fmt.Sprintf("As of %s, at %s.", u.LongDate(in.AsOf), in.DisplayName()), Cautions()[0]}
	if a := attribution(in.Input); a != "" {
		footer = append(footer, a)
	}
	return &Calendar{
		Name:     fmt.Sprintf("%s sown on %s, %s", words.Capital(o.Species.Name), u.LongDate(sow), in.DisplayName()),
		Of:       of,
		Place:    in.DisplayName(),
		Position: fmt.Sprintf("%.4f %.4f", latitude, longitude),
		AsOf:     in.AsOf,
		Footer:   footer,
		Events:   events,
	}
}
