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
	day     *climate.Day
	summary string
	details string // the range and what it means
}

// calendarFile writes events of one sowing. An event's UID is made of what it is
// of, not of its date, so that a later look, imported again, moves it; its
// sequence is that of the days, and its stamp the as-of day, not the clock. One
// that is not to be expected is written as cancelled, which takes it out again.
func calendarFile(in *stationInput, command string, o *forecast.Options, sow climate.Day, season int, events []event) ([]byte, error) {
	c := ical.NewCalendar()
	c.Props.SetText(ical.PropProductID, "-//swardcast//EN")
	c.Props.SetText(ical.PropVersion, "2.0")
	c.Props.SetText(ical.PropMethod, "PUBLISH")
	name := fmt.Sprintf("%s sown on %s, %s", capital(o.Species.Name), longDate(sow), in.displayName())
	c.Props.SetText(ical.PropName, name)
	often := *c.Props.Get(ical.PropName)
	often.Name = "X-WR-CALNAME" // what many programs read instead
	c.Props.Set(&often)
	place := in.record.Place
	for _, e := range events {
		v := ical.NewEvent()
		day, summary, status := in.Calendar.Last(season), e.summary+": not before the season is over", ical.EventCancelled
		if e.day != nil {
			day, summary, status = *e.day, e.summary, ical.EventTentative
		}
		v.Props.SetText(ical.PropUID, uid(command, e.kind, in.displayName(), fmt.Sprintf("%.4f %.4f", place.Latitude, place.Longitude), o.Species.ID, sow.String()))
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
	}
	return fmt.Sprintf("8 in 10 between %s and %s.", longDate(*low), longDate(*high))
}

func datesRange(d forecast.Dates) string {
	return rangeWords(dayOrNull(d.At(0.1)), dayOrNull(d.At(0.9)))
}

// stageEvents are the stages of a sowing.
func stageEvents(x *forecast.Outlook, what string) []event {
	var out []event
	for i, s := range x.Stages {
		summary := []string{"%s: half is up", "%s: first cut (third leaf)", "%s: established"}[i]
		out = append(out, event{string(s.Stage), s.P50, fmt.Sprintf(summary, what), rangeWords(s.P10, s.P90)})
	}
	return out
}

// freezeEvent is the killing freeze that is to be expected.
func freezeEvent(x *forecast.Outlook, u unitSystem) event {
	return event{"freeze", dayOrNull(x.Freeze.At(0.5)), fmt.Sprintf("Killing freeze expected (%s)", u.temp(*x.Options.FreezeC)),
		datesRange(x.Freeze) + " Keep off frosted turf until it has thawed."}
}

// safeEvent is the last safe date.
func safeEvent(x *forecast.Outlook, what string) event {
	o := &x.Options
	return event{"last-safe", dayOrNull(x.Latest.At(1 - o.Confidence/100)), fmt.Sprintf("%s of %s (%g %%)", what, o.Species.Name, o.Confidence),
		fmt.Sprintf("Sown by then, it is %s before the cutoff in %g %% of what may come. In the middle of what may come the last date is %s; %s",
			stageWords[o.Stage], o.Confidence, dateOr(dayOrNull(x.Latest.At(0.5))), lower(datesRange(x.Latest)))}
}

func lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }

// calendar are the dates of the sowing, and of its season.
func (v *outlookView) calendar(u unitSystem) ([]byte, error) {
	x := v.base
	what := capital(x.Options.Species.Name)
	events := append(stageEvents(x, what), safeEvent(x, "Last safe sow date"), freezeEvent(x, u),
		event{"cutoff", dayOrNull(x.Cutoff.At(0.5)), what + ": cutoff for seedlings", datesRange(x.Cutoff) + fmt.Sprintf(" Chance to be %s by then: %s.", stageWords[x.Options.Stage], percent(x.Chance))})
	return calendarFile(v.in, "outlook", &x.Options, x.Sow, v.ensemble.Season, events)
}

// calendarFile are the dates of a second pass sown today.
func (v *secondPassView) calendarFile(u unitSystem) ([]byte, error) {
	x := v.second[0].Outlook
	o := &v.first.Options
	events := []event{{"look-again", v.report.ClearOn, "Look again at the first pass", "Nearly all of it that lives should be up by now."}}
	stages := stageEvents(x, "Second pass")
	if !v.worth() {
		for i := range stages {
			stages[i].day = nil // no dates of a sowing that is not to be made
		}
	}
	events = append(append(events, stages...), safeEvent(x, "Deadline of a second pass"), freezeEvent(x, u))
	return calendarFile(v.in, "second-pass", o, v.first.Sow, v.ensemble.Season, events)
}
