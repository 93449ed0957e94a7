package out

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/emersion/go-ical"

	"swardcast/climate"
	"swardcast/cmd/internal/report"
)

// ICS is a calendar file. Where it replaces one, the program has read that one.
var ICS = Form{"ics", HasCalendar, func(a *Answer, f *Flags) ([]byte, error) {
	k, err := a.Calendar(f.System())
	if err != nil {
		return nil, err
	}
	return calendarFile(k, f.now, f.replaced)
}}

// calendarFile writes the events of one sowing as a calendar file (RFC 5545). An event's UID
// is made of what it is of, not of its date, so that a later look, imported again,
// moves it; its sequence is the time of the look in seconds since 2000 (until 2068, since
// RFC 5545 bounds it at 2^31), and above that of an earlier look. What the file replaced
// announced of this sowing, and this look no longer expects, is cancelled on the day that was
// announced; nothing else is.
func calendarFile(k *report.Calendar, now time.Time, replaced []byte) ([]byte, error) {
	c := ical.NewCalendar()
	c.Props.SetText(ical.PropProductID, "-//swardcast//EN")
	c.Props.SetText(ical.PropVersion, "2.0")
	c.Props.SetText(ical.PropMethod, "PUBLISH")
	c.Props.SetText(ical.PropUID, uid("calendar", k.Of, k.Place, k.Position)) // RFC 7986, 5.3
	c.Props.SetText(ical.PropName, k.Name)
	often := *c.Props.Get(ical.PropName)
	often.Name = "X-WR-CALNAME" // what many programs read instead
	c.Props.Set(&often)

	earlier := announced(replaced, c.Props.Get(ical.PropUID).Value)
	stamp := func(v *ical.Event, details string, before *ical.Event) {
		sequence := int64(now.Sub(instant(climate.Date(2000, time.January, 1))).Seconds())
		if before != nil {
			sequence = max(sequence, sequenceOf(before)+1)
		}
		number := ical.NewProp(ical.PropSequence)
		number.Value = fmt.Sprint(sequence)
		v.Props.Set(number)
		v.Props.SetDateTime(ical.PropDateTimeStamp, now.UTC())
		v.Props.SetDateTime(ical.PropLastModified, now.UTC())
		v.Props.SetText(ical.PropDescription, strings.Join(append([]string{details}, k.Footer...), "\n"))
		c.Children = append(c.Children, v.Component)
	}
	settled := map[string]bool{}
	for _, e := range k.Events {
		id := uid(e.Kind, e.Of, k.Place, k.Position)
		before := earlier[id]
		switch {
		case e.Unknown && before != nil:
			c.Children = append(c.Children, before.Component) // it stands
			settled[id] = true
		case e.Unknown || e.Day == nil:
		default:
			v := ical.NewEvent()
			status := ical.EventTentative
			if *e.Day <= k.AsOf {
				status = ical.EventConfirmed
			}
			v.Props.SetText(ical.PropUID, id)
			v.Props.SetDate(ical.PropDateTimeStart, instant(*e.Day))
			v.Props.SetDate(ical.PropDateTimeEnd, instant(*e.Day+1))
			v.Props.SetText(ical.PropTransparency, "TRANSPARENT")
			v.SetStatus(status)
			v.Props.SetText(ical.PropSummary, e.Summary)
			stamp(v, e.Details, before)
			settled[id] = true
		}
	}
	for _, id := range slices.Sorted(maps.Keys(earlier)) {
		if settled[id] {
			continue
		}
		v := earlier[id]
		summary, err := v.Props.Text(ical.PropSummary)
		if err != nil {
			continue
		}
		v.SetStatus(ical.EventCancelled)
		v.Props.SetText(ical.PropSummary, noLonger+strings.TrimPrefix(summary, noLonger))
		stamp(v, "An earlier look gave this day. This one does not.", v)
	}
	var b bytes.Buffer
	if err := ical.NewEncoder(&b).Encode(c); err != nil {
		return nil, err
	}
	return folded(b.Bytes()), nil
}

const noLonger = "No longer expected: "

// announced are the events of a calendar file by their UIDs; none where it is not the
// calendar with an ID.
func announced(file []byte, id string) map[string]*ical.Event {
	c, err := ical.NewDecoder(bytes.NewReader(file)).Decode()
	if err != nil {
		return nil
	}
	if of := c.Props.Get(ical.PropUID); of == nil || of.Value != id {
		return nil
	}
	events := map[string]*ical.Event{}
	for _, e := range c.Events() {
		whole := true
		for _, name := range []string{ical.PropUID, ical.PropDateTimeStamp, ical.PropDateTimeStart,
			ical.PropDateTimeEnd, ical.PropSummary} {
			whole = whole && len(e.Props[name]) == 1
		}
		if whole {
			events[e.Props.Get(ical.PropUID).Value] = &e
		}
	}
	return events
}

// sequenceOf is the sequence of an event, 0 where it has none.
func sequenceOf(e *ical.Event) int64 {
	if p := e.Props.Get(ical.PropSequence); p != nil {
		if n, err := strconv.ParseInt(p.Value, 10, 32); err == nil {
			return n
		}
	}
	return 0
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
