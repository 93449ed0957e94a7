package main

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/emersion/go-ical"

	"swardcast/climate"
	"swardcast/forecast"
)

// An event is one day of a calendar file (RFC 5545).
type event struct {
	kind    string // stays the same from one look to the next
	of      string // what it is of: a sowing or a season
	day     *climate.Day
	unknown bool // it cannot be told whether it comes
	summary string
	details string // the range and what it means
}

// calendarFile writes the events of one sowing. An event's UID is made of what it
// is of, not of its date, so that a later look, imported again, moves it; its
// sequence is that of the days, and its stamp the as-of day, not the clock. One
// that is not to be expected, or no longer, is written as cancelled, which takes
// it out again; one that is not known is left out.
func calendarFile(in *stationInput, o *forecast.Options, sow climate.Day, season int, events []event) ([]byte, error) {
	c := ical.NewCalendar()
	c.Props.SetText(ical.PropProductID, "-//swardcast//EN")
	c.Props.SetText(ical.PropVersion, "2.0")
	c.Props.SetText(ical.PropMethod, "PUBLISH")
	name := fmt.Sprintf("%s sown on %s, %s", capital(o.Species.Name), longDate(sow), in.displayName())
	c.Props.SetText(ical.PropName, name)
	often := *c.Props.Get(ical.PropName)
	often.Name = "X-WR-CALNAME" // what many programs read instead
	c.Props.Set(&often)
	latitude, longitude, _ := in.checked.Place.Coordinates()
	for _, e := range events {
		if e.unknown {
			continue
		}
		v := ical.NewEvent()
		day, summary, status := in.Calendar.Last(season), e.summary+": not to be expected", ical.EventCancelled
		if e.day != nil {
			day, summary, status = *e.day, e.summary, ical.EventTentative
			if day <= in.asOf {
				status = ical.EventConfirmed
			}
		}
		v.Props.SetText(ical.PropUID, uid(e.kind, e.of, in.displayName(), fmt.Sprintf("%.4f %.4f", latitude, longitude)))
		v.Props.SetDateTime(ical.PropDateTimeStamp, instant(in.asOf))
		v.Props.SetDateTime(ical.PropLastModified, instant(in.asOf))
		sequence := ical.NewProp(ical.PropSequence)
		sequence.Value = fmt.Sprint(int(in.asOf - climate.Date(2000, time.January, 1)))
		v.Props.Set(sequence)
		v.Props.SetDate(ical.PropDateTimeStart, instant(day))
		v.Props.SetDate(ical.PropDateTimeEnd, instant(day+1))
		v.Props.SetText(ical.PropTransparency, "TRANSPARENT")
		v.SetStatus(status)
		v.Props.SetText(ical.PropSummary, summary)
		v.Props.SetText(ical.PropDescription, strings.Join([]string{e.details, fmt.Sprintf("As of %s, at %s.", longDate(in.asOf), in.displayName()), cautions()[0]}, "\n"))
		c.Children = append(c.Children, v.Component)
	}
	var b bytes.Buffer
	if err := ical.NewEncoder(&b).Encode(c); err != nil {
		return nil, err
	}
	return folded(b.Bytes()), nil
}

// folded breaks lines so that none is longer than 75 octets, and no character is
// parted (RFC 5545, 3.1): the library leaves them long.
func folded(file []byte) []byte {
	const most = 75
	var b bytes.Buffer
	for line := range bytes.Lines(file) {
		room := most
		text := bytes.TrimRight(line, "\r\n")
		for len(text) > 0 {
			n := min(room, len(text))
			for n < len(text) && !utf8.RuneStart(text[n]) {
				n--
			}
			b.Write(text[:n])
			if text = text[n:]; len(text) > 0 {
				b.WriteString("\r\n ")
				room = most - 1
			}
		}
		b.WriteString("\r\n")
	}
	return b.Bytes()
}

// instant is a day's first moment as the library wants it: only its date is
// written.
func instant(d climate.Day) time.Time {
	y, m, day := d.Date()
	return time.Date(y, m, day, 0, 0, 0, 0, time.UTC)
}

// uid is the same for the same parts.
func uid(parts ...string) string {
	sum := sha256.Sum256([]byte(strings.Join(parts, "\x00")))
	return fmt.Sprintf("%x@swardcast", sum[:16])
}

// rangeWords tells the range of a date.
func rangeWords(low, high *climate.Day) string {
	switch {
	case low == nil:
		return "Its range is not known."
	case high == nil:
		return fmt.Sprintf("8 in 10: from %s, or not before the season is over.", longDate(*low))
	case *low == *high:
		return fmt.Sprintf("It is known: %s.", longDate(*low))
	}
	return fmt.Sprintf("8 in 10 between %s and %s.", longDate(*low), longDate(*high))
}

func datesRange(d forecast.Dates) string {
	return rangeWords(dayOrNull(d.At(0.1)), dayOrNull(d.At(0.9)))
}

// stageEvents are the stages of a sowing; with too few seasons none is known.
func stageEvents(x *forecast.Outlook, of, what string) []event {
	var out []event
	for i, s := range x.Stages {
		summary := []string{"%s: half is up", "%s: first cut (third leaf)", "%s: established"}[i]
		out = append(out, event{string(s.Stage), of, s.P50, x.Members < forecast.MinSeasons, fmt.Sprintf(summary, what), rangeWords(s.P10, s.P90)})
	}
	return out
}

// seasonEvents are what the season brings, whatever is sown in it: the freeze that
// ends it, and the cutoff of the species.
func seasonEvents(x *forecast.Outlook, season int, asOf climate.Day, u unitSystem) []event {
	o := &x.Options
	few := x.Members < forecast.MinSeasons
	of := fmt.Sprint(season)
	frozen := "Killing freeze expected (%s)"
	day, ok := x.Freeze.At(0.5)
	if last, known := x.Freeze.At(0.9); ok && known && last <= asOf {
		frozen = "Killing freeze (%s)"
	}
	return []event{
		{"freeze", of, dayOrNull(day, ok), few, fmt.Sprintf(frozen, u.temp(*o.FreezeC)), datesRange(x.Freeze) + " Keep off frosted turf until it has thawed."},
		{"cutoff", of + " " + o.Species.ID, dayOrNull(x.Cutoff.At(0.5)), few, "Cutoff for seedlings of " + o.Species.Name, datesRange(x.Cutoff)},
	}
}

// safeEvent is the last safe date of a sowing that is still to come.
func safeEvent(x *forecast.Outlook, kind, of, what string, asOf climate.Day) event {
	o := &x.Options
	day, ok := x.Latest.At(1 - o.Confidence/100)
	return event{kind, of, dayOrNull(day, ok && day >= asOf), x.Members < forecast.MinSeasons, fmt.Sprintf("%s of %s (%g %%)", what, o.Species.Name, o.Confidence),
		fmt.Sprintf("Sown by then, it is %s before the cutoff in %g %% of what may come. In the middle of what may come the last date is %s; %s",
			stageWords[o.Stage], o.Confidence, dateOr(dayOrNull(x.Latest.At(0.5))), lower(datesRange(x.Latest)))}
}

func lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }

// sowingOf names a sowing, for UIDs.
func sowingOf(command string, o *forecast.Options, sow climate.Day) string {
	return command + " " + o.Species.ID + " " + sow.String()
}

// calendar are the dates of the sowing, and of its season.
func (v *outlookView) calendar(u unitSystem) ([]byte, error) {
	x := v.base
	o := &x.Options
	of := sowingOf("outlook", o, x.Sow)
	what := fmt.Sprintf("%s of %s", capital(o.Species.Name), shortDate(x.Sow))
	chance := fmt.Sprintf("Chance to be %s before the cutoff: %s (%.0f–%.0f).", stageWords[o.Stage], percent(x.Chance), 100*x.Low, 100*x.High)
	events := append([]event{{"sown", of, &x.Sow, false, what + ": sown", chance}}, stageEvents(x, of, what)...)
	if x.Sow >= v.in.asOf { // afterwards nothing is left to decide
		events = append(events, safeEvent(x, "last-safe", fmt.Sprint(v.ensemble.Season, " ", o.Species.ID), "Last safe sow date", v.in.asOf))
	}
	return calendarFile(v.in, o, x.Sow, v.ensemble.Season, append(events, seasonEvents(x, v.ensemble.Season, v.in.asOf, u)...))
}

// calendarFile are the dates of the first pass where it lives, or of a second pass
// sown today where it is worth it, and of the season.
func (v *secondPassView) calendarFile(u unitSystem) ([]byte, error) {
	x := v.second[0].Outlook
	o := &v.first.Options
	of := sowingOf("second-pass", o, v.first.Sow)
	look := event{"look-again", of, v.report.ClearOn, v.report.ClearOn == nil, "Look again at the first pass", "Nearly all of it that lives should be up by now."}
	if look.day != nil && *look.day <= v.in.asOf {
		look.day = nil
	}
	lives := v.report.Judgement == forecast.KeepWaiting
	first := stageEvents(v.first, of, "First pass of "+shortDate(v.first.Sow))
	second := stageEvents(x, of+" again", "Second pass, if sown on "+shortDate(x.Sow))
	deadline := safeEvent(x, "deadline", of, "Deadline of a second pass", v.in.asOf)
	for i := range second {
		if lives || !v.worth() {
			second[i].day = nil // no dates of a sowing that is not to be made
		}
		if !lives {
			first[i].day = nil // nor of one that is lost
		}
	}
	if lives {
		deadline.day = nil
	}
	events := append(append([]event{look}, first...), second...)
	frost := event{"frost", fmt.Sprint(v.ensemble.Season), v.frost, v.frost == nil, "Freezing nights begin", "Keep off frosted turf until it has thawed."}
	events = append(events, deadline, frost)
	return calendarFile(v.in, o, v.first.Sow, v.ensemble.Season, append(events, seasonEvents(x, v.ensemble.Season, v.in.asOf, u)...))
}
