package secondpass

import (
	"fmt"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/seed"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// Document puts the answer in words. On a page any date from today on and any
// species can be chosen for the second sowing.
func (a *Answer) Document(u words.System, on report.Medium) (*report.Document, error) {
	s, err := a.every(on)
	if err != nil {
		return nil, err
	}
	d := report.New(a.In.Input, "Second pass", a.headline(u), u)
	grave, other := report.OutlookWarnings(u, a.Ensemble, a.Second[0].Outlook)
	d.Notes = append(d.Notes, grave...)
	if a.Report.MoreThanCan {
		d.Notes = append(d.Notes, "If both are right, "+words.Lower(a.decision(u)))
	}
	if a.First.Members < forecast.MinSeasons {
		d.Notes = append(d.Notes, "By those few: "+words.Lower(a.decision(u)))
	}
	if s != nil {
		d.Choices = s.Choices(u, a.In.AsOf, answerFor)
		d.Choices.From, d.Choices.What, d.Choices.Keep = a.In.AsOf.String(), "a second sowing of", true
	}
	d.Sections = append(d.Sections, report.Section{ID: "decision", Heading: "What you can do", Lead: true,
		Tables: []report.Table{a.choices(u)}, Items: a.decided(u)}, a.next(u), a.second(u, s), a.stand(u))
	if g := a.Ground; g != nil && g.Need != nil && g.Area {
		items := append([]report.Item{{Label: "needed", Text: a.seedNeeded(u)}}, seed.Facts(g.Need, u)...)
		d.Sections = append(d.Sections, report.Section{ID: "seed", Heading: "Seed for it", Items: items})
	}
	if s != nil {
		d.Sections = append(d.Sections, report.Section{ID: "soil", Heading: "The soil so far", On: report.Page,
			Figures: []report.Figure{{Chart: s.Soil().Chart(u)}}})
	}
	d.Sections = append(d.Sections, report.Basis(a.In.Input, a.facts(u), append(other, report.Cautions()...), u)...)
	return d, nil
}

// answerFor is the answer of a page where another species is chosen for the second
// sowing.
func answerFor(x *forecast.Outlook) string {
	return fmt.Sprintf(
		"%s, sown today: %s to be %s before the cold.",
		words.Capital(x.Options.Species.Name),
		report.ChanceOf(x),
		words.ShortStage(x.Options.Stage),
	)
}

// stand is the state of the first sowing.
func (a *Answer) stand(u words.System) report.Section {
	x := a.First
	s := report.Section{ID: "stand",
		Heading: fmt.Sprintf("The first sowing, %s on %s", x.Options.Species.Name, u.LongDate(x.Sow)),
		Figures: []report.Figure{{Chart: a.standChart(u)}}, Tables: []report.Table{a.standTable(u)}}
	if a.Stand.Found != forecast.NotDug {
		s.Notes = append(s.Notes, fmt.Sprintf("Seed found on digging: %s.", a.Stand.Found))
	}
	s.Notes = append(s.Notes, report.SowingNotes(a.Ensemble, a.In, a.First, u)...)
	return s
}

func (a *Answer) standTable(u words.System) report.Table {
	r, left := a.Report, &a.Decision.Choices[len(a.Decision.Choices)-1]
	whole := func(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }
	return report.Table{
		Caption: "The first sowing, as share of the stand wanted",
		Head:    []string{"what", "share", "8 in 10 between"},
		Fixed:   true,
		Rows: [][]string{
			{
				"cover expected by today if no seed was lost",
				whole(r.ExpectedUp),
				words.Interval(r.ExpectedLow, r.ExpectedHi),
			},
			{"cover now", whole(a.Stand.Cover), "your figure"},
			{"surviving seed", whole(r.SurvivingP50), words.Interval(r.SurvivingP10, r.SurvivingP90)},
			{"expected cover without more seed", whole(left.Cover), words.Interval(left.Low, left.High)},
			{"chance that more than half is lost", words.Percent(r.LostProbability), "–"},
		},
	}
}

// second are the chances of a second sowing by date, and what else can be done.
func (a *Answer) second(u words.System, s *report.Sowings) report.Section {
	figures := make([]report.Figure, 1)
	tables := []report.Table{report.LaterTable(u, "A second sowing, sown", a.Second)}
	if s != nil {
		figures = s.Each(func(list []*forecast.Outlook) *chart.Chart {
			return s.Chance(u, list, s.Rules(u, list[a.In.AsOf-s.First]))
		}, report.OutlookCaption)
		tables = append(tables, s.Table(u))
	}
	figures[0].Bars = report.LaterBars(u, "", a.Second, func(inDays int) string {
		if inDays == 0 {
			return "today"
		}
		return fmt.Sprintf("in %d days", inDays)
	})
	return report.Section{ID: "chance", Heading: "A second sowing, chance by sow date", Figures: figures,
		Tables: tables,
		List:   append(a.otherWays(u), thinSupport)}
}

// thinSupport stands beneath every second sowing.
const thinSupport = "Few published trials show that a second sowing mends a stand: repeated light sowing under play" +
	" kept about 90 % density (published: Cornell). Take this as a plan, not a rule."

// otherWays are the last safe date, a quicker species, and what is left when it is too
// late.
func (a *Answer) otherWays(u words.System) []string {
	o := &a.First.Options
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if a.LastSafe != nil {
		past := ""
		if *a.LastSafe < a.In.AsOf {
			past = ", already past"
		}
		add("Last safe date (%g %%) for a second sowing: %s%s.", o.Confidence, u.Date(*a.LastSafe), past)
	}
	if x := a.Surer; x != nil {
		add(
			"%s is more likely to establish in time: %s if sown today.",
			words.Capital(x.Options.Species.Name),
			words.Percent(x.Chance),
		)
	}
	if a.Decision.WorthUntil == nil {
		out = append(out, report.InsteadNotes(u, o, a.Instead)...)
	}
	return out
}

// seedNeeded is the seed for what is bare.
func (a *Answer) seedNeeded(u words.System) string {
	n := a.Ground.Need
	w := n.Sowing.WeightG()
	line := fmt.Sprintf("%s for the bare %s", u.Weight(w), u.Area(n.Sowing.AreaM2))
	if n.BagG > 0 {
		line += fmt.Sprintf(": %d %s of %s", n.Bags(w), words.Plural(n.Bags(w), "bag", "bags"), u.Weight(n.BagG))
	}
	if n.Price > 0 {
		line += fmt.Sprintf(", costing %.2f", n.Cost(w))
	}
	return line
}

// next is what comes next.
func (a *Answer) next(u words.System) report.Section {
	heading, x := "What comes next", a.First
	if a.Decision.Sows() {
		heading, x = "What comes next, if sown today", a.Second[0].Outlook
	}
	t := report.Table{Caption: heading, Head: []string{"date", "what"}, Fixed: true, Plain: true}
	for _, c := range a.Coming {
		t.Rows = append(t.Rows, []string{u.LongDate(c.Day), a.comingWords(u, c)})
	}
	return report.Section{ID: "next", Heading: heading,
		Figures: []report.Figure{{Chart: report.StagesChart(u, x, a.In.AsOf), Fixed: true}},
		Tables:  []report.Table{t}, Items: a.Water.Items(u)}
}

// comingWords are what a day brings.
func (a *Answer) comingWords(u words.System, c forecast.Coming) string {
	text := map[forecast.ComingKind]string{
		forecast.LookAgain:         "look again at the first sowing: nearly all surviving seed should be up",
		forecast.FirstMow:          "the first sowing is ready to mow, with a sharp blade on dry ground",
		forecast.FirstTillered:     "the first sowing is established",
		forecast.SecondUp:          "half of the second sowing is up",
		forecast.SecondMow:         "it is ready to mow, with a sharp blade on dry ground",
		forecast.SecondTillered:    "it is established",
		forecast.LastSafeSowing:    fmt.Sprintf("last safe date for sowing again at %g %%", a.First.Options.Confidence),
		forecast.LastWorthSowing:   fmt.Sprintf("sowing again is not worth it after this day (%s)", words.Percent(a.Decision.ChanceUntil)),
		forecast.FrostBegins:       "freezing nights begin: keep off frosted turf until it has thawed",
		forecast.CutoffExpected:    "the cold usually comes",
		forecast.CutoffHasBeenSeen: "the cold came",
	}[c.Kind]
	if c.Kind == forecast.LookAgain && a.Decision.Best.Action == forecast.WaitUntil {
		return "look again at the first sowing, and decide then"
	}
	if c.Since != nil {
		return fmt.Sprintf("freezing nights since %s: keep off frosted turf until it has thawed", u.Date(*c.Since))
	}
	if c.P10 != nil {
		text += fmt.Sprintf(" (8 in 10 between %s and %s)", u.Date(*c.P10), u.Date(*c.P90))
	}
	return text
}

// assumptions are those of the model of a thin stand and of the decision.
var assumptions = fmt.Sprintf(
	"prior: 60 %% that the sowing was normal, with most seed surviving, spread like the field"+
		" emergence of perennial ryegrass (68-94 %%, published: Bellotti & Blair 1989; taken for every species, unverified), 40 %%"+
		" that any share survives (unverified); cover estimated by eye is good to 10 %% of the stand (unverified); a search finds ten"+
		" seeds where all of them lie, and seed found is surviving seed (unverified); one search in fifty and one look in five"+
		" hundred are wrong altogether (unverified); lost means more than half. The choices are compared by expected cover up to"+
		" %.0f %%, less the cost of sowing: %.0f points with seed at hand, %.0f with seed to buy; raking destroys %.0f %% of the surviving"+
		" seed that is not yet up; under %.0f %% chance no sowing is offered (our figures)",
	100*forecast.FullCover,
	100*forecast.CostAtHand,
	100*forecast.CostToBuy,
	100*forecast.RakingLoss,
	100*forecast.StopBelow,
)

// facts are what the answer is based on.
func (a *Answer) facts(u words.System) []report.Item {
	o := &a.First.Options
	facts := append(report.StationFacts(a.In.Input, u), report.EnsembleFact(a.Ensemble, a.In, u))
	facts = append(facts, report.Item{Label: "model", Text: assumptions})
	facts = append(facts, report.ModelFacts(a.In, o, &a.Ensemble.Trend, u)...)
	return append(facts, report.Item{Label: "species", Text: report.Evidence(&o.Species)})
}
