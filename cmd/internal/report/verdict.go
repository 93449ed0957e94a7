package report

import (
	"fmt"
	"strings"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// VerdictWords returns a verdict as people read it: "too late".
func VerdictWords(v forecast.Verdict) string { return strings.ReplaceAll(string(v), "-", " ") }

// verdictOf is the verdict of an outlook, which too few seasons do not give.
func verdictOf(x *forecast.Outlook) string {
	if x.Members < forecast.MinSeasons {
		return "too few seasons"
	}
	return VerdictWords(x.Verdict)
}

// An OutlookAction is what an outlook says to do about a sowing.
type OutlookAction string

// The actions.
const (
	ActMoreSeasons OutlookAction = "more-seasons" // too few for a forecast
	ActHindsight   OutlookAction = "in-hindsight" // the record holds the outcome
	ActWait        OutlookAction = "wait"         // until sowing opens
	ActWatch       OutlookAction = "watch"        // it was sown before the opening
	ActDone        OutlookAction = "done"         // the stage is reached
	ActSown        OutlookAction = "sown"         // the verdict is that of a sowing in the ground
	ActSow         OutlookAction = "sow"
	ActGamble      OutlookAction = "gamble" // sow with a doubtful chance
	ActDontSow     OutlookAction = "dont-sow"
	ActTooLate     OutlookAction = "too-late"
)

// DecideOutlook says what to do about a sowing, and on which day: the opening where it has
// to wait, the sow date where seed is to be sown; nil for none.
func DecideOutlook(in *ask.Input, x *forecast.Outlook) (OutlookAction, *climate.Day) {
	opens, ok := x.Opens.At(0.5)
	early := ok && x.Sow+earlyDays < opens
	sown := x.Sow < in.AsOf
	switch {
	case x.Members < forecast.MinSeasons:
		return ActMoreSeasons, nil
	case x.Decided && !sown && afterCold(x):
		return ActTooLate, nil
	case x.Decided:
		return ActHindsight, nil
	case early && !sown:
		return ActWait, &opens
	case early:
		return ActWatch, nil
	case sown && reached(x) != nil && x.Verdict == forecast.Likely:
		return ActDone, nil
	case sown:
		return ActSown, nil
	case x.Verdict == forecast.Likely:
		return ActSow, &x.Sow
	case x.Verdict == forecast.Doubtful:
		return ActGamble, &x.Sow
	case x.Verdict == forecast.Unlikely:
		return ActDontSow, nil
	}
	return ActTooLate, nil
}

// OutlookDecision is what to do about a sowing as JSON.
func OutlookDecision(in *ask.Input, x *forecast.Outlook) DecisionJSON {
	action, on := DecideOutlook(in, x)
	return DecisionJSON{string(action), on}
}

// OutlookHeadline returns the answer for a sowing: a decision while there is one to
// make, the state of a sowing that is in the ground, and what became of it where the
// record already holds the outcome.
func OutlookHeadline(u words.System, in *ask.Input, x *forecast.Outlook) string {
	o := &x.Options
	chance := fmt.Sprintf("%s likely to be %s %s", words.Percent(x.Chance), words.ShortStage(o.Stage), beforeCold(x))
	day := "on " + u.Date(x.Sow)
	if x.Sow == in.AsOf {
		day = "today"
	}
	opens, _ := x.Opens.At(0.5)
	action, _ := DecideOutlook(in, x)
	switch action {
	case ActMoreSeasons:
		return fmt.Sprintf("Use a longer record: %d %s can't carry a forecast of this sowing.", x.Members,
			words.Plural(x.Members, "season", "seasons"))
	case ActHindsight:
		return hindsight(u, x)
	case ActWait:
		return fmt.Sprintf("Wait until %s, %s: %s %s%s.", OpenWhen(u, o), usually(u, x), day, StillTooWarm(o), crowding(o))
	case ActWatch:
		return fmt.Sprintf(
			"Watch it: sown before the opening of about %s, it is %s, if heat%s let it.",
			u.Date(opens),
			chance,
			andHost(o),
		)
	case ActDone:
		return fmt.Sprintf(
			"Done: %s since about %s, %s (%s).",
			words.ShortStage(o.Stage),
			u.Date(*reached(x)),
			beforeCold(x),
			words.Percent(x.Chance),
		)
	case ActSown:
		return fmt.Sprintf(
			"%s: %s.",
			map[forecast.Verdict]string{forecast.Likely: "On track", forecast.Doubtful: "At risk",
				forecast.Unlikely: "Running late", forecast.TooLate: "Too late"}[x.Verdict],
			chance,
		)
	case ActSow:
		return fmt.Sprintf("Sow %s: %s.", day, chance)
	case ActGamble:
		return fmt.Sprintf("Sow %s only as a gamble: %s.", day, chance)
	case ActDontSow:
		return fmt.Sprintf("Don't sow %s: %s.", day, chance)
	}
	if end, ok := x.Cutoff.At(0.5); ok && x.Decided {
		return fmt.Sprintf("Don't sow %s: the cold came %s.", day, u.Date(end))
	}
	return fmt.Sprintf("Don't sow %s: too late, %s.", day, chance)
}

// afterCold reports whether a sowing lies after the cutoff of its season.
func afterCold(x *forecast.Outlook) bool {
	end, ok := x.Cutoff.At(0.5)
	return ok && x.Sow > end
}

// usually is when sowing opens: from the day by which it has in half of the possible
// outcomes to the one in four of five.
func usually(u words.System, x *forecast.Outlook) string {
	half, _ := x.Opens.At(0.5)
	most, ok := x.Opens.At(0.8)
	if !ok || most == half {
		return "usually " + u.Date(half)
	}
	return fmt.Sprintf("usually %s to %s", u.Date(half), u.Date(most))
}

// earlyDays is how many days before the opening a sowing counts as early.
const earlyDays = 3

// OutlookSentence is the headline of a sowing with its species before it.
func OutlookSentence(u words.System, in *ask.Input, x *forecast.Outlook) string {
	return words.Capital(x.Options.Species.Name) + ": " + words.Lower(OutlookHeadline(u, in, x))
}

// reached is the day on which nearly all plants have reached the stage asked for; nil
// where they have not.
func reached(x *forecast.Outlook) *climate.Day {
	for _, s := range x.Stages {
		if s.Stage == x.Options.Stage && s.ReachedNow >= 0.9 && !x.Unseen {
			return s.P50
		}
	}
	return nil
}

// hindsight is what became of a sowing whose season is over for seedlings.
func hindsight(u words.System, x *forecast.Outlook) string {
	o := &x.Options
	stage := words.ShortStage(o.Stage)
	var day *climate.Day
	for _, s := range x.Stages {
		if s.Stage == o.Stage {
			day = s.P50
		}
	}
	end, ok := x.Cutoff.At(0.5)
	sure := ""
	if x.Chance < 0.95 && x.Chance > 0.05 {
		sure = fmt.Sprintf(" (%s, from the estimated soil)", words.Percent(x.Chance))
	}
	switch {
	case !ok && day != nil:
		return fmt.Sprintf("In hindsight: %s %s; no cold came%s.", stage, u.Date(*day), sure)
	case !ok:
		return fmt.Sprintf("In hindsight: not %s before the season ended%s.", stage, sure)
	case day != nil && *day <= end:
		return fmt.Sprintf(
			"In hindsight: %s %s, %s before %s (%s)%s.",
			stage,
			u.Date(*day),
			words.Days(float64(end-*day)),
			coldWords(x),
			u.Date(end),
			sure,
		)
	case day != nil:
		return fmt.Sprintf("In hindsight: not %s before %s (%s), %s too late%s.", stage, coldWords(x), u.Date(end),
			words.Days(float64(*day-end)), sure)
	}
	return fmt.Sprintf("In hindsight: not %s before %s (%s)%s.", stage, coldWords(x), u.Date(end), sure)
}

// coldWords names what ended the season of a sowing that is decided.
func coldWords(x *forecast.Outlook) string {
	end, _ := x.Cutoff.At(0.5)
	if freeze, ok := x.Freeze.At(0.5); ok && freeze == end {
		return "the first killing freeze"
	}
	if x.Options.Host.ID == "none" {
		return "the soil got too cold"
	}
	return "the " + x.Options.Host.Name + " went dormant"
}

// beforeCold is "before the cold", or what stands for it where no cold comes in most
// possible outcomes.
func beforeCold(x *forecast.Outlook) string {
	if _, ok := x.Cutoff.At(0.5); !ok && x.Members >= forecast.MinSeasons {
		return "before the season ends"
	}
	return "before the cold"
}

func crowding(o *forecast.Options) string {
	if o.Host.ID == "none" {
		return ""
	}
	return fmt.Sprintf(", and the %s crowds them", o.Host.Name)
}

func andHost(o *forecast.Options) string {
	if o.Host.ID == "none" {
		return ""
	}
	return " and " + o.Host.Name
}

// DateSpan is a range of dates, or one date: "Oct 9–12", "Oct 28–Nov 3".
func DateSpan(u words.System, low, high climate.Day) string {
	switch {
	case low == high:
		return u.Date(low)
	case low.Format("2006-01") != high.Format("2006-01"):
		return u.Date(low) + "–" + u.Date(high)
	case u == words.Metric:
		return low.Format("2") + "–" + u.Date(high)
	}
	return u.Date(low) + high.Format("–2")
}

// InsteadWords say when seed can go into the ground that is too late for this autumn,
// "" where no day is known.
func InsteadWords(u words.System, o *forecast.Options, f forecast.Fallback) string {
	spring := ""
	if f.Spring != nil {
		spring = u.Date(*f.Spring)
	}
	switch {
	case f.Dormant != nil && spring != "":
		return fmt.Sprintf("Dormant seeding from about %s, or spring from about %s.", u.Date(*f.Dormant), spring)
	case f.Dormant != nil:
		return fmt.Sprintf("Dormant seeding from about %s.", u.Date(*f.Dormant))
	case spring != "" && o.Host.ID != "none":
		return fmt.Sprintf("Seed in spring instead, from about %s; the %s wakes then too.", spring, o.Host.Name)
	case spring != "":
		return fmt.Sprintf("Seed in spring instead, from about %s.", spring)
	}
	return ""
}

// InsteadNotes explain the days of [InsteadWords].
func InsteadNotes(u words.System, o *forecast.Options, f forecast.Fallback) []string {
	var out []string
	switch {
	case f.Dormant != nil:
		out = append(
			out,
			fmt.Sprintf("Dormant seeding: once the soil at %s is down to %s, in its first such week about %s"+
				" (published: University of Minnesota; others say 50 °F). The seed lies until spring; some of it is lost over winter.",
				u.Depth(5), u.Temp(turf.DormantSoilC), u.Date(*f.Dormant)),
		)
	case !turf.DormantSeeding(o.Species.ID):
		out = append(out, "Dormant seeding isn't an option: ryegrass doesn't keep over winter"+
			" (published: University of Minnesota, of perennial ryegrass).")
	}
	if f.Spring != nil {
		host := ""
		if o.Host.ID != "none" {
			host = fmt.Sprintf(" The %s wakes then too and crowds spring seedlings.", o.Host.Name)
		}
		out = append(out, fmt.Sprintf("Spring: in a normal year the soil at %s is back at %s about %s.%s Its odds: swardcast spring.",
			u.Depth(5), u.Temp(forecast.SpringSoilC), u.Date(*f.Spring), host))
	}
	return out
}
