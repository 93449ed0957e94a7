package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/words"

	ics "github.com/arran4/golang-ical"
)

// calendarOf reads a calendar file with another library than wrote it, and checks
// the rules of RFC 5545 that it must keep: lines end with CR LF and hold 75 octets
// at most, every event has a UID of its own, a stamp and a day.
func calendarOf(t *testing.T, args ...string) map[string]*ics.VEvent {
	t.Helper()
	status, file, stderr := runLine("", append(args, "--format", "ics")...)
	if status != cli.Answered {
		t.Fatal(stderr)
	}
	return eventsOf(t, args, file)
}

// look writes a calendar file at an instant, over what it held, and returns its events.
func look(t *testing.T, name string, at time.Time, args ...string) map[string]*ics.VEvent {
	t.Helper()
	var stdout, stderr bytes.Buffer
	p := testProgram(strings.NewReader(""), &stdout, &stderr)
	p.Now = func() time.Time { return at }
	if p.Main(context.Background(), append(args, "--format", "ics", "-o", name)) != cli.Answered {
		t.Fatal(&stderr)
	}
	file, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return eventsOf(t, args, string(file))
}

func eventsOf(t *testing.T, args []string, file string) map[string]*ics.VEvent {
	t.Helper()
	for line := range strings.SplitSeq(strings.TrimSuffix(file, "\r\n"), "\r\n") {
		if len(line) > 75 || strings.ContainsAny(line, "\r\n") {
			t.Errorf("%v: line %q", args, line)
		}
	}
	c, err := ics.ParseCalendar(strings.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	events := map[string]*ics.VEvent{}
	for _, e := range c.Events() {
		if e.Id() == "" || events[e.Id()] != nil {
			t.Errorf("%v: UID %q", args, e.Id())
		}
		events[e.Id()] = e
		start, err := e.GetAllDayStartAt()
		if err != nil {
			t.Errorf("%v: %v", args, err)
		}
		if end, err := e.GetAllDayEndAt(); err != nil || end.Sub(start).Hours() != 24 {
			t.Errorf("%v: from %s to %s: %v", args, start, end, err)
		}
	}
	return events
}

func property(e *ics.VEvent, p ics.ComponentProperty) string {
	if v := e.GetProperty(p); v != nil {
		return v.Value
	}
	return ""
}

// A later look, imported again, moves the events of the first: the UIDs are the
// same, the sequence is higher. Another sowing has others.
func TestCalendarUpdates(t *testing.T) {
	dir := t.TempDir()
	at := now()
	first := look(t, filepath.Join(dir, "a.ics"), at, "outlook", "--sow", "2019-10-05", "--as-of", "2019-10-06")
	later := look(t, filepath.Join(dir, "b.ics"), at.Add(time.Second), "outlook", "--sow", "2019-10-05",
		"--as-of", "2019-10-12", "--stage", "mow")
	other := look(t, filepath.Join(dir, "c.ics"), at, "outlook", "--sow", "2019-10-06", "--as-of", "2019-10-12")
	if len(first) != 6 { // sown, three stages, freeze, cutoff
		t.Errorf("%d events", len(first))
	}
	moved := 0
	for id, e := range first {
		l := later[id]
		if l == nil {
			t.Fatalf("%s is gone", property(e, ics.ComponentPropertySummary))
		}
		var before, after int
		fmt.Sscan(property(e, ics.ComponentPropertySequence), &before)
		fmt.Sscan(property(l, ics.ComponentPropertySequence), &after)
		if after <= before {
			t.Errorf("sequence %d after %d", after, before)
		}
		if property(e, ics.ComponentPropertyDtStart) != property(l, ics.ComponentPropertyDtStart) {
			moved++
		}
		// What the season brings is the same for every sowing in it.
		ofSeason := strings.Contains(property(e, ics.ComponentPropertySummary), "freeze") ||
			strings.Contains(property(e, ics.ComponentPropertySummary), "cold usually ends")
		if (other[id] != nil) != ofSeason {
			t.Errorf("%s: in two sowings %v, want %v", property(e, ics.ComponentPropertySummary), !ofSeason, ofSeason)
		}
	}
	if moved == 0 {
		t.Error("no event moved in a week")
	}
}

// The events say what JSON says; what will not come is cancelled, not forgotten.
func TestCalendarDates(t *testing.T) {
	date := func(day int, month time.Month) string { return words.US.Date(climate.Date(2019, month, day)) }
	summaries := func(events map[string]*ics.VEvent) string {
		var all []string
		for _, e := range events {
			all = append(
				all,
				property(
					e,
					ics.ComponentPropertyDtStart,
				)+" "+property(
					e,
					ics.ComponentPropertyStatus,
				)+" "+property(
					e,
					ics.ComponentPropertySummary,
				),
			)
		}
		return strings.Join(all, "\n")
	}
	got := summaries(calendarOf(t, "outlook", "--sow", "2019-10-05", "--as-of", "2019-10-15"))
	for _, want := range []string{"20191005 CONFIRMED Perennial ryegrass of " + date(5, time.October) + ": sown", "20191010 CONFIRMED Perennial ryegrass of " + date(5, time.October) + ": half is up", "TENTATIVE Killing freeze expected (28 °F)"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
	// Far too late for a second sowing: its stages were never announced, so nothing is to be cancelled.
	got = summaries(calendarOf(t, "second-pass", "--first", "2019-11-20", "--as-of", "2019-12-15", "--cover", "5",
		"--seed-found", "no"))
	if strings.Contains(got, "CANCELLED") || strings.Contains(got, "Second sowing, if") ||
		!strings.Contains(got, "20191113 CONFIRMED Killing freeze (28 °F)") {
		t.Errorf("a second sowing past the cutoff:\n%s", got)
	}
	// A first sowing that is left: its own dates, and no second sowing.
	got = summaries(calendarOf(t, "second-pass", "--first", "2019-10-01", "--as-of", "2019-10-25", "--cover", "95"))
	if !strings.Contains(got, "CONFIRMED First sowing of "+date(1, time.October)+": established") ||
		strings.Contains(got, "Second sowing, if") {
		t.Errorf("a first sowing that is left:\n%s", got)
	}
	// What too few seasons cannot show is left out, not cancelled.
	if got = summaries(calendarOf(t, "outlook", "--sow", "2019-10-05", "--as-of", "2019-10-15", "--years", "2001-2003")); strings.Contains(
		got,
		"CANCELLED",
	) ||
		!strings.Contains(got, "sown") {
		t.Errorf("three seasons:\n%s", got)
	}
	if status, _, stderr := runLine("", "outlook", "--format", "ics"); status != cli.Usage ||
		!strings.Contains(stderr, "hint: --sow 2026-06-30") {
		t.Errorf("no sow date: status %d: %s", status, stderr)
	}
	for _, e := range calendarOf(t, "second-pass", "--first", "2019-10-01", "--as-of", "2019-10-12", "--cover", "20", "--units", "metric") {
		if d := property(e, ics.ComponentPropertyDescription); !strings.Contains(d, "no guarantee") {
			t.Errorf("no caution in %q", d)
		}
	}
}

// A look cancels what an earlier file of its sowing announced and it no longer expects, on
// the day that was announced; a look in the same second is still a later one.
func TestCalendarCancels(t *testing.T) {
	name := filepath.Join(t.TempDir(), "sowing.ics")
	thin := []string{"second-pass", "--first", "2019-10-01", "--as-of", "2019-10-12", "--cover", "20", "--seed-found", "no"}
	full := []string{"second-pass", "--first", "2019-10-01", "--as-of", "2019-10-25", "--cover", "95"}
	of := func(e *ics.VEvent, p ics.ComponentProperty) string { return property(e, p) }
	sequence := func(e *ics.VEvent) (n int) {
		fmt.Sscan(of(e, ics.ComponentPropertySequence), &n)
		return n
	}
	first := look(t, name, now(), thin...)
	again := look(t, name, now(), thin...)
	if len(again) != len(first) {
		t.Errorf("%d events after %d", len(again), len(first))
	}
	for id, e := range again {
		if first[id] == nil || sequence(e) <= sequence(first[id]) || of(e, ics.ComponentPropertyStatus) == "CANCELLED" {
			t.Errorf("the second look of the day: %s", e.Serialize(&ics.SerializationConfiguration{}))
		}
	}
	later := look(t, name, now(), full...)
	cancelled := 0
	for id, e := range again {
		l := later[id]
		if l == nil {
			t.Errorf("%s is gone", of(e, ics.ComponentPropertySummary))
			continue
		}
		if sequence(l) <= sequence(e) {
			t.Errorf("sequence %d after %d", sequence(l), sequence(e))
		}
		if of(l, ics.ComponentPropertyStatus) != "CANCELLED" {
			continue
		}
		cancelled++
		if of(l, ics.ComponentPropertyDtStart) != of(e, ics.ComponentPropertyDtStart) ||
			of(l, ics.ComponentPropertySummary) != "No longer expected: "+of(e, ics.ComponentPropertySummary) ||
			strings.Contains(of(l, ics.ComponentPropertyDescription), "8 in 10") {
			t.Errorf("cancelled: %s", l.Serialize(&ics.SerializationConfiguration{}))
		}
	}
	if cancelled != 4 { // three stages of the second sowing, and its deadline
		t.Errorf("%d events are cancelled", cancelled)
	}
	// They stay cancelled, in the same words, until they are expected again.
	for id, e := range look(t, name, now(), full...) {
		if of(e, ics.ComponentPropertyStatus) != of(later[id], ics.ComponentPropertyStatus) ||
			of(e, ics.ComponentPropertySummary) != of(later[id], ics.ComponentPropertySummary) {
			t.Errorf("%s after %s", of(e, ics.ComponentPropertySummary), of(later[id], ics.ComponentPropertySummary))
		}
	}
	for id, e := range look(t, name, now(), thin...) {
		if first[id] != nil && of(e, ics.ComponentPropertySummary) != of(first[id], ics.ComponentPropertySummary) {
			t.Errorf("%s, not %s", of(e, ics.ComponentPropertySummary), of(first[id], ics.ComponentPropertySummary))
		}
	}
	// A file of another sowing, or of anything else, announces nothing of this one.
	for _, held := range []string{"", "BEGIN:VCALENDAR\r\n", "no calendar"} {
		if held != "" {
			if err := os.WriteFile(name, []byte(held), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		other := look(t, name, now(), "second-pass", "--first", "2019-10-02", "--as-of", "2019-10-25", "--cover", "95")
		for _, e := range other {
			if of(e, ics.ComponentPropertyStatus) == "CANCELLED" {
				t.Errorf("over %q %s is cancelled", held, of(e, ics.ComponentPropertySummary))
			}
		}
	}
}

// The steps of a plan that drop out are cancelled; the last safe date of an outlook stands
// once the sowing is made, since it is of every sowing of the season.
func TestCalendarOfLaterLooks(t *testing.T) {
	dir := t.TempDir()
	status := func(events map[string]*ics.VEvent, summary string) string {
		for _, e := range events {
			if strings.Contains(property(e, ics.ComponentPropertySummary), summary) {
				return property(e, ics.ComponentPropertyStatus)
			}
		}
		return "none"
	}
	sowing := filepath.Join(dir, "sowing.ics")
	look(t, sowing, now(), "outlook", "--sow", "2019-10-05", "--as-of", "2019-10-04")
	if got := status(look(t, sowing, now(), "outlook", "--sow", "2019-10-05", "--as-of", "2019-10-12"),
		"Last safe sow date"); got != "TENTATIVE" {
		t.Errorf("last safe sow date: %s", got)
	}
	plan := filepath.Join(dir, "plan.ics")
	first := look(t, plan, now(), "plan", "--sow", "2019-10-05", "--as-of", "2019-10-04")
	later := look(t, plan, now(), "plan", "--sow", "2019-10-05", "--as-of", "2019-10-25")
	for id, e := range first {
		if later[id] == nil {
			t.Errorf("%s is gone", property(e, ics.ComponentPropertySummary))
		}
	}
}
