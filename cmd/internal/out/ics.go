package out

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/emersion/go-ical"

	"swardcast/climate"
	"swardcast/cmd/internal/report"
)

// ICS is a calendar file.
var ICS = Form{"ics", HasCalendar, func(a *Answer, f *Flags) ([]byte, error) {
	k, err := a.Calendar(f.System())
	if err != nil {
		return nil, err
	}
	return calendarFile(k)
}}

// calendarFile writes the events of one sowing as a calendar file (RFC 5545). An event's UID
// is made of what it is of, not of its date, so that a later look, imported again,
// moves it; its sequence is that of the days, and its stamp the as-of day, not the
// clock. One that is not to be expected, or no longer, is written as cancelled,
// which takes it out again; one that is not known is left out.
func calendarFile(k *report.Calendar) ([]byte, error) {
	c := ical.NewCalendar()
	c.Props.SetText(ical.PropProductID, "-//swardcast//EN")
	c.Props.SetText(ical.PropVersion, "2.0")
	c.Props.SetText(ical.PropMethod, "PUBLISH")
	c.Props.SetText(ical.PropName, k.Name)
	often := *c.Props.Get(ical.PropName)
	often.Name = "X-WR-CALNAME" // what many programs read instead
	c.Props.Set(&often)
	for _, e := range k.Events {
		if e.Unknown {
			continue
		}
		v := ical.NewEvent()
		day, summary, status := k.Last, e.Summary+": not to be expected", ical.EventCancelled
		if e.Day != nil {
			day, summary, status = *e.Day, e.Summary, ical.EventTentative
			if day <= k.AsOf {
				status = ical.EventConfirmed
			}
		}
		v.Props.SetText(ical.PropUID, uid(e.Kind, e.Of, k.Place, k.Position))
		v.Props.SetDateTime(ical.PropDateTimeStamp, instant(k.AsOf))
		v.Props.SetDateTime(ical.PropLastModified, instant(k.AsOf))
		sequence := ical.NewProp(ical.PropSequence)
		sequence.Value = fmt.Sprint(int(k.AsOf - climate.Date(2000, time.January, 1)))
		v.Props.Set(sequence)
		v.Props.SetDate(ical.PropDateTimeStart, instant(day))
		v.Props.SetDate(ical.PropDateTimeEnd, instant(day+1))
		v.Props.SetText(ical.PropTransparency, "TRANSPARENT")
		v.SetStatus(status)
		v.Props.SetText(ical.PropSummary, summary)
		v.Props.SetText(ical.PropDescription, strings.Join(append([]string{e.Details}, k.Footer...), "\n"))
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
