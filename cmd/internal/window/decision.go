package window

import (
	"fmt"
	"strings"

	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// An action is what a window says to do.
type action string

const (
	sow         action = "sow"           // between two days
	sowNow      action = "sow-now"       // today lies in the aim
	sowWhenCool action = "sow-when-cool" // by the last safe date, once the soil is cool enough; in many years it isn't
	noWinter    action = "no-winter"     // cold ends no sowing here
	sowAnyTime  action = "sow-any-time"  // neither the opening nor the cold bounds it
	sowToday    action = "sow-today"     // the last safe date is past; today is still likely
	sowLate     action = "sow-late"      // it is past, and today is doubtful
	dontSow     action = "dont-sow"      // it is past, and today is unlikely
	tooLate     action = "too-late"      // it is past, and today has next to no chance
	noSafeDate  action = "no-safe-date"
	otherHost   action = "other-host"   // the winters kill the host
	moreSeasons action = "more-seasons" // too few for any date
)

// A decision is what to do about a window, and what can be done instead where that
// is nothing, or not much.
type decision struct {
	action  action
	instead *forecast.Instead      // where the last safe date is past or there is none; nil else
	changes []forecast.Sensitivity // of the last safe date; nil where there is none to come
}

// decide chooses what to do.
func (a *Answer) decide(w *forecast.Window) (*decision, error) {
	d := &decision{action: a.actionOf(w)}
	var err error
	switch a.plain(w) {
	case sowToday, sowLate, dontSow, tooLate, noSafeDate:
		d.instead, err = a.In.Instead(w, max(a.Today, w.ByDate[0].Sow))
	}
	return d, err
}

// sense works out what would change the last safe date, where one is to come and
// the cold sets it.
func (a *Answer) sense(w *forecast.Window, d *decision) (err error) {
	if _, late := w.Has(forecast.WarnAfterWinter); late {
		return nil
	}
	switch d.action {
	case sow, sowNow, sowWhenCool:
		safe, _ := w.Safe()
		d.changes, err = a.In.Sensitivities(w, safe)
	}
	return err
}

func (a *Answer) actionOf(w *forecast.Window) action {
	has := func(kind forecast.WarningKind) bool { _, ok := w.Has(kind); return ok }
	if has(forecast.WarnHostWinter) {
		return otherHost
	}
	return a.plain(w)
}

// plain is the action for a host that survives.
func (a *Answer) plain(w *forecast.Window) action {
	if few(w) {
		return moreSeasons
	}
	if !w.ColdEnds() {
		return noWinter
	}
	safe, ok := w.Safe()
	if !ok {
		return noSafeDate
	}
	last := w.ByDate[len(w.ByDate)-1].Sow
	if a.Today > safe && a.Today <= last {
		switch c := chanceOn(w, a.Today); {
		case c < forecast.StopBelow:
			return tooLate
		case c < forecast.DoubtfulFrom:
			return dontSow
		case forecast.VerdictOf(c) == forecast.Likely:
			return sowToday
		}
		return sowLate
	}
	switch {
	case w.Aim == nil:
		if _, ok := w.Has(forecast.WarnOpensLate); ok {
			return sowWhenCool
		}
		return sowAnyTime
	case w.Aim.From <= a.Today && a.Today <= w.Aim.Until:
		return sowNow
	case w.Aim.Bound == forecast.AimMedian:
		return sowWhenCool
	}
	return sow
}

// few reports whether there are too few seasons for dates.
func few(w *forecast.Window) bool { return len(w.Seasons) < forecast.MinSeasons }

// date is a day with its year where that is not this year's.
func (a *Answer) date(u words.System, d climate.Day) string {
	if d.Year() != a.Today.Year() {
		return u.LongDate(d)
	}
	return u.Date(d)
}

// made says that the stage was reached in time.
var made = map[turf.Stage]string{
	turf.Emerged: "came up before the cold", turf.Mow: "was ready to mow before the cold",
	turf.Tillered: "established before the cold", turf.Covered: "closed before the cold",
}

// toMake is the stage as something that has a chance.
var toMake = map[turf.Stage]string{
	turf.Emerged: "to come up before the cold", turf.Mow: "to be ready to mow before the cold",
	turf.Tillered: "to establish before the cold", turf.Covered: "to close before the cold",
}

// lead is what to do, in one sentence.
func (a *Answer) lead(u words.System, w *forecast.Window, x *decision) string {
	if x.action == otherHost {
		cold, _ := w.Has(forecast.WarnHostWinter)
		return fmt.Sprintf(
			"Add --host none for a cool-season lawn: %s doesn't survive winters like those at %s (%s averages %s).",
			w.Options.Host.Name,
			a.In.DisplayName(),
			cold.Month,
			u.Temp(cold.TempC),
		)
	}
	return a.plainLead(u, w, x.action, x.instead)
}

func (a *Answer) plainLead(u words.System, w *forecast.Window, act action, instead *forecast.Instead) string {
	sp := w.Options.Species.Name
	safe, _ := w.Safe()
	switch act {
	case moreSeasons:
		n := len(w.Seasons)
		return fmt.Sprintf(
			"Get a longer record: %d usable %s %s too few for a safe date (%d at least, better %d).",
			n,
			words.Plural(n, "autumn", "autumns"),
			words.Plural(n, "is", "are"),
			forecast.MinSeasons,
			forecast.FewSeasons,
		)
	case noSafeDate:
		return fmt.Sprintf(
			"Don't plan on %s here in autumn: no sow date is safe in %s.",
			sp,
			report.Years10(w.Options.Confidence),
		)
	case sowNow:
		return fmt.Sprintf("Sow %s now, by %s at the latest.", sp, a.date(u, w.Aim.Until))
	case sowWhenCool:
		return fmt.Sprintf(
			"Sow %s by %s, as soon as %s.",
			sp,
			a.date(u, safe),
			report.OpenWhen(u, &w.Options),
		)
	case noWinter:
		day := a.useful(w)
		if day == w.ByDate[0].Sow {
			return fmt.Sprintf("Sow %s any time: cold doesn't end sowing here.", sp)
		}
		return fmt.Sprintf("Sow %s from %s on: cold doesn't end sowing here.", sp, a.date(u, day))
	case sowAnyTime:
		return fmt.Sprintf(
			"Sow %s any time before winter: at %s neither summer heat nor cold closes the window.",
			sp,
			a.In.DisplayName(),
		)
	case sowToday:
		return fmt.Sprintf("Sow %s today: %s %s, %s a week from now.", sp, words.Percent(instead.Chance),
			toMake[w.Options.Stage], words.Percent(instead.NextWeek))
	case sowLate:
		return fmt.Sprintf(
			"Sow %s today or not this autumn: %s %s, %s a week from now.",
			sp,
			words.Percent(instead.Chance),
			toMake[w.Options.Stage],
			words.Percent(instead.NextWeek),
		)
	case dontSow:
		return fmt.Sprintf(
			"Don't sow %s this autumn: %s %s.",
			sp,
			words.Percent(instead.Chance),
			toMake[w.Options.Stage],
		)
	case tooLate:
		return fmt.Sprintf(
			"Too late for %s this autumn: %s %s.",
			sp,
			words.Percent(instead.Chance),
			toMake[w.Options.Stage],
		)
	}
	return fmt.Sprintf("Sow %s between %s and %s.", sp, u.Date(w.Aim.From), a.date(u, w.Aim.Until))
}

// support are the facts that carry the decision.
func (a *Answer) support(u words.System, w *forecast.Window, x *decision) string {
	var s []string
	act := x.action
	if act == otherHost {
		// The dates hold for a host that survives all the same.
		if act = a.plain(w); act == moreSeasons {
			return a.plainLead(u, w, act, nil)
		}
		s = append(s, "The dates below hold only where it does survive.")
	}
	switch act {
	case moreSeasons:
		return fmt.Sprintf("The past autumns of %s are below.", a.In.DisplayName())
	case noSafeDate:
		first := w.ByDate[0]
		s = append(
			s,
			fmt.Sprintf(
				"Even sown on %s it %s in only %s of years.",
				u.Date(first.Sow),
				made[w.Options.Stage],
				words.Percent(first.Chance),
			),
		)
		s = append(s, a.otherwise(u, x)...)
	case noWinter:
		s = append(s, a.useText(u, w)...)
	case sowToday, sowLate, dontSow, tooLate:
		safe, _ := w.Safe()
		s = append(s, fmt.Sprintf("The last safe date, %s, is past.", a.date(u, safe)))
		s = append(s, a.otherwise(u, x)...)
	default:
		s = append(s, a.odds(u, w, act)...)
	}
	if w.Options.Unwatered {
		s = append(s, "Rain only, no irrigation.")
	} else if text := a.rainText(u, w); text != "" {
		s = append(s, text)
	}
	if text := a.winterText(u, w); text != "" && act != noSafeDate {
		s = append(s, text)
	}
	if n := len(w.Seasons); n < forecast.FewSeasons {
		s = append(s, fmt.Sprintf("Only %d seasons: take the dates as rough.", n))
	}
	if len(a.Warnings) == 0 && a.Today >= w.ByDate[0].Sow && a.Today <= w.ByDate[len(w.ByDate)-1].Sow {
		s = append(s, "These are past years; for this year's weather so far, see swardcast outlook.")
	}
	return strings.Join(s, " ")
}

// useful is the first day to sow on where cold ends no sowing: the opening in four of five
// years, or today once that is past.
func (a *Answer) useful(w *forecast.Window) climate.Day {
	day, ok := w.Opens.At(0.8)
	if !ok {
		day = w.ByDate[0].Sow
	}
	if a.Today > day && a.Today <= w.ByDate[len(w.ByDate)-1].Sow {
		return a.Today
	}
	return day
}

// useText are the days of use before the spring transition, instead of a deadline.
func (a *Answer) useText(u words.System, w *forecast.Window) []string {
	s := []string{fmt.Sprintf("In %d of %d years neither a freeze nor dormancy came.",
		len(w.Seasons)-w.WithCutoff(), len(w.Seasons))}
	if w.Options.Host.ID == "none" {
		return s
	}
	use := a.In.Use(w, a.useful(w))
	switch {
	case use.From == nil || use.To == nil:
	case use.Days.P50 <= 0:
		s = append(s, fmt.Sprintf("Sown on %s it is first mowed about %s, after the %s wakes, about %s: too late to be of use.",
			u.Date(use.Sow), u.Date(*use.From), w.Options.Host.Name, u.Date(*use.To)))
	default:
		s = append(s, fmt.Sprintf("Sown on %s it gives about %.0f days of use, from %s until the %s wakes about %s "+
			"(soil at %s). Each day later is a day less.", u.Date(use.Sow), use.Days.P50, u.Date(*use.From),
			w.Options.Host.Name, u.Date(*use.To), u.Temp(turf.WakeSoilC)))
	}
	return s
}

// winterText is what winter makes of a sowing on the last safe date, for lawns whose winters
// are cold enough to matter.
func (a *Answer) winterText(u words.System, w *forecast.Window) string {
	safe, ok := w.Safe()
	if !ok || few(w) {
		return ""
	}
	x := a.In.Winters(w, []climate.Day{safe})[0]
	if x.Risk == forecast.WinterLow && w.Options.Host.ID != "none" {
		return ""
	}
	if text := report.WinterText(u, x); text != "" {
		return "Sown on the last safe date: " + words.Lower(text)
	}
	return ""
}

// rainText is the last safe date without irrigation, beside that with it.
func (a *Answer) rainText(u words.System, w *forecast.Window) string {
	if _, ok := w.Safe(); w.Options.Unwatered || !ok || few(w) {
		return ""
	}
	rain, err := a.In.RainOnly(w.Options)
	if err != nil {
		return "" // no rain on record
	}
	dry, ok := rain.Safe()
	if !ok {
		return fmt.Sprintf("Rain only, no irrigation: no date is safe in %s.", report.Years10(w.Options.Confidence))
	}
	return fmt.Sprintf("Rain only, no irrigation: by %s.", u.Date(dry))
}

// odds are how often dates were in time.
func (a *Answer) odds(u words.System, w *forecast.Window, act action) []string {
	var s []string
	safe, _ := w.Safe()
	if act == sowWhenCool {
		median, _ := w.Opens.At(0.5)
		late, ok := w.Opens.At(0.8)
		text := fmt.Sprintf("That is %s in a typical year", u.Date(median))
		if ok {
			text += fmt.Sprintf(", later than %s in 2 of 10", u.Date(late))
		}
		switch {
		case median > safe:
			text += ": most years have no window"
		case !ok || late > safe:
			text += ": some years have no window"
		}
		s = append(s, text+".")
	}
	if _, late := w.Has(forecast.WarnAfterWinter); late {
		by := a.In.Solstice(w.Season)
		return append(
			s,
			fmt.Sprintf(
				"Sown by %s it %s, or before spring, in %s of years.",
				u.Date(by),
				made[w.Options.Stage],
				words.Percent(chanceOn(w, by)),
			),
		)
	}
	text := fmt.Sprintf(
		"Sown by %s it %s in %s",
		u.Date(safe),
		made[w.Options.Stage],
		report.Years10(w.Options.Confidence),
	)
	if half, ok := w.LastSafe(50); ok && w.Options.Confidence > 50 {
		text += fmt.Sprintf("; by %s in 5 of 10", u.Date(half))
	}
	return append(s, text+".")
}

// otherwise are what can be done instead.
func (a *Answer) otherwise(u words.System, x *decision) []string {
	var s []string
	i := x.instead
	if i.Quicker != nil {
		s = append(
			s,
			fmt.Sprintf(
				"%s is quicker: %s today.",
				words.Capital(i.Quicker.Species.Name),
				words.Percent(i.Quicker.Chance),
			),
		)
	}
	switch {
	case i.Dormant != nil && i.Spring != nil:
		s = append(
			s,
			fmt.Sprintf(
				"Otherwise dormant seeding from about %s, or spring from about %s.",
				a.date(u, *i.Dormant),
				a.date(u, *i.Spring),
			),
		)
	case i.Spring != nil:
		s = append(s, fmt.Sprintf("Otherwise wait for spring, from about %s.", a.date(u, *i.Spring)))
	}
	if i.Next != nil && x.action != sowToday && x.action != sowLate {
		s = append(s, fmt.Sprintf("Next year: %s to %s.", u.Date(i.Next.From), u.LongDate(i.Next.Until)))
	}
	return s
}

// change is what would change the last safe date, "" where there is none to come.
func (a *Answer) change(u words.System, w *forecast.Window, x *decision) string {
	if x.changes == nil {
		return ""
	}
	safe, _ := w.Safe()
	parts := []string{"last safe date " + u.Date(safe)}
	for i := range x.changes {
		c := &x.changes[i]
		becomes := "none"
		switch {
		case c.Kind == forecast.ChangeSow:
			becomes = words.Percent(c.Chance)
		case c.LastSafe != nil && *c.LastSafe == safe:
			becomes = "the same"
		case c.LastSafe != nil:
			becomes = u.Date(*c.LastSafe)
		}
		parts = append(parts, report.ChangeWords(u, c)+": "+becomes)
	}
	return strings.Join(parts, " · ")
}

// when are the first day to sow on and the last, as the decision has them; nil for none. It
// names no first day where the soil decides, and none where there is nothing to sow.
func (a *Answer) when(w *forecast.Window, act action) (on, until *climate.Day) {
	switch act {
	case sow:
		return &w.Aim.From, &w.Aim.Until
	case sowNow:
		return &a.Today, &w.Aim.Until
	case sowWhenCool:
		safe, _ := w.Safe()
		return nil, &safe
	case noWinter:
		return new(a.useful(w)), nil
	case sowToday, sowLate:
		return &a.Today, nil
	}
	return nil, nil
}
