package secondpass

import (
	"fmt"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/seed"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// Document puts the answer in words. On a page any date from today on and any
// species can be chosen for the second pass.
func (a *Answer) Document(u words.System, on report.Medium) (*report.Document, error) {
	s, err := a.every(on)
	if err != nil {
		return nil, err
	}
	d := report.New(a.In.Input, "Second pass", a.judgement(u), u)
	if n := a.First.Members; n < forecast.MinSeasons {
		d.Notes = append(d.Notes, fmt.Sprintf("Only %d past %s can stand for what may come: too few for dates.",
			n, words.Plural(n, "season", "seasons")))
	}
	d.Choices = s.Choices(u, a.In.AsOf, answerFor)
	d.Choices.From, d.Choices.What, d.Choices.Keep = a.In.AsOf.String(), "a second pass of", true
	d.Sections = append(d.Sections, a.stand(u), a.second(u, s))
	if a.Need != nil {
		items := append([]report.Item{{Label: "needed", Text: a.seedNeeded(u)}}, seed.Facts(a.Need, u)...)
		d.Sections = append(d.Sections, report.Section{ID: "seed", Heading: "Seed for it", Items: items})
	}
	d.Sections = append(d.Sections, a.next(u), report.Section{ID: "soil", Heading: "The soil so far", On: report.Page,
		Figures: []report.Figure{{Chart: s.Soil().Chart(u)}}})
	d.Sections = append(d.Sections, report.Basis(a.In.Input, a.facts(u), a.cautions(), u)...)
	return d, nil
}

// judgement is the first sentence.
func (a *Answer) judgement(u words.System) string {
	r := a.Report
	lost := words.Percent(r.LostProbability)
	clear := ""
	if r.ClearOn != nil && *r.ClearOn > a.In.AsOf {
		clear = u.Date(*r.ClearOn)
	}
	switch {
	case r.Judgement == forecast.KeepWaiting && clear == "":
		return fmt.Sprintf("The first pass lives: %s that more than half of the seed is gone."+
			" Nearly all that lives is up by now; more will hardly come of this seed.", lost)
	case r.Judgement == forecast.KeepWaiting:
		return fmt.Sprintf("Wait: the first pass is most likely slow or thin, not lost"+
			" (%s that more than half of the seed is gone)."+
			" Look again by %s, when nearly all that lives should be up.", lost, clear)
	case r.Judgement == forecast.SeedGone:
		s := fmt.Sprintf("Most of the seed is gone: %s that more than half of the first pass is lost.", lost)
		if a.Worth {
			return s + " A second pass still has a fair chance."
		}
		return s + " A second pass of it has little chance this season."
	case a.NothingUp:
		n := int(a.In.AsOf - a.First.Sow)
		s := fmt.Sprintf("Sown %d %s ago, nothing of it can be up yet: nothing is lost that could be seen.",
			n, words.Plural(n, "day", "days"))
		if clear != "" {
			s += fmt.Sprintf(" Look again by %s.", clear)
		}
		return s
	}
	s := fmt.Sprintf("Too early to tell: %s that more than half of the first pass is lost.", lost)
	switch {
	case clear == "":
		s += " Nearly all that lives is up by now, and the stand is between the two."
	case a.OnClear != nil:
		s += fmt.Sprintf(" It should be clearer by %s; a second pass on that day has a chance of %s, today %s.",
			clear, words.Percent(a.OnClear.Chance), words.Percent(a.Second[0].Chance))
	default:
		s += fmt.Sprintf(" It should be clearer by %s.", clear)
	}
	return s
}

// answerFor is the answer of a page where another species is chosen for the second
// pass.
func answerFor(x *forecast.Outlook) string {
	return fmt.Sprintf("A second pass of %s, sown today, %s %s before the cutoff: chance %s.",
		x.Options.Species.Name, report.Verdicts[x.Verdict], words.Verbs[x.Options.Stage], report.ChanceOf(x))
}

// stand is how the first pass looks.
func (a *Answer) stand(u words.System) report.Section {
	x := a.First
	s := report.Section{ID: "stand",
		Heading: fmt.Sprintf("The first pass, %s on %s", x.Options.Species.Name, u.LongDate(x.Sow)),
		Figures: []report.Figure{{Chart: a.standChart(u)}}, Tables: []report.Table{a.standTable(u)}}
	if a.Stand.Found != forecast.NotDug {
		s.Notes = append(s.Notes, fmt.Sprintf("Seed found on digging: %s.", a.Stand.Found))
	}
	if a.Report.MoreThanCan {
		s.Notes = append(s.Notes,
			"More is seen than the soil so far allows: look at the dates, the cover and the species given.")
	}
	s.Notes = append(s.Notes, report.SowingNotes(a.Ensemble, a.In, a.First, u)...)
	return s
}

func (a *Answer) standTable(u words.System) report.Table {
	r := a.Report
	whole := func(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }
	return report.Table{
		Caption: "The first pass, as part of its living seed or of the stand wanted",
		Head:    []string{"figure", "share", "8 in 10 between"},
		Rows: [][]string{
			{"should be up of the living seed by " + u.Date(a.In.AsOf), words.Percent(r.ExpectedUp),
				words.Interval(r.ExpectedLow, r.ExpectedHi)},
			{"is seen", whole(a.Stand.Cover), "your figure"},
			{"alive of its seed, up or not", whole(r.AliveP50), words.Interval(r.AliveP10, r.AliveP90)},
			{"will come to, without more seed", whole(r.FinalP50), words.Interval(r.FinalP10, r.FinalP90)},
			{"chance that more than half is lost", words.Percent(r.LostProbability), "–"},
		},
	}
}

// second are the second passes that are left, and the other ways.
func (a *Answer) second(u words.System, s *report.Sowings) report.Section {
	figures := s.Each(func(list []*forecast.Outlook) *chart.Chart {
		return s.Chance(u, list, s.Rules(u, list[a.In.AsOf-s.First]))
	}, report.OutlookCaption)
	figures[0].Bars = report.LaterBars(u, "", a.Second, func(inDays int) string {
		if inDays == 0 {
			return "today"
		}
		return fmt.Sprintf("in %d days", inDays)
	})
	return report.Section{ID: "chance", Heading: "A second pass, chance by sow date", Figures: figures,
		Tables: []report.Table{report.LaterTable(u, "A second pass, sown", a.Second), s.Table(u)},
		List:   append(a.otherWays(u), thinSupport)}
}

// thinSupport is said of every second pass.
const thinSupport = "That a second pass mends a stand has thin published support; repeated light sowing under play" +
	" kept about 90 % density (Cornell, S). Take it for a plan, not a rule."

// otherWays are the last safe date, a surer species, and what to fall back on.
func (a *Answer) otherWays(u words.System) []string {
	o := &a.First.Options
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if a.LastSafe != nil {
		past := ""
		if *a.LastSafe < a.In.AsOf {
			past = ", which is past"
		}
		add("Last safe date for it at %g %%: %s%s.", o.Confidence, u.Date(*a.LastSafe), past)
	}
	if x := a.Surer; x != nil {
		add("%s makes it more surely: %s if sown today.", words.Capital(x.Options.Species.Name), words.Percent(x.Chance))
	}
	if a.Worth {
		return out
	}
	switch {
	case a.Dormant != nil:
		add("Fallback: dormant seeding, once the soil at %s is down to %s, in its first such week about %s"+
			" (University of Minnesota, S; others say 50 °F): the seed lies until spring, some of it is lost over winter.",
			u.Depth(5), u.Temp(turf.DormantSoilC), u.Date(*a.Dormant))
	case !turf.DormantSeeding(o.Species.ID):
		add("Dormant seeding is no fallback: ryegrass is not used for it" +
			" (University of Minnesota, S, of perennial ryegrass).")
	}
	if a.Spring != nil {
		host := ""
		if o.Host.ID != "none" {
			host = " The host wakes then too and crowds spring seedlings."
		}
		add("Fallback: wait for spring; in a normal year the soil at %s is back at 50 °F (10 °C) about %s.%s",
			u.Depth(5), u.Date(*a.Spring), host)
	}
	return out
}

// seedNeeded is the seed for what is bare.
func (a *Answer) seedNeeded(u words.System) string {
	n := a.Need
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

// next is what comes.
func (a *Answer) next(u words.System) report.Section {
	t := report.Table{Caption: "What comes next, if sown today", Head: []string{"date", "what"}, Fixed: true, Plain: true}
	for _, c := range a.Coming {
		t.Rows = append(t.Rows, []string{u.LongDate(c.Day), a.comingWords(u, c)})
	}
	return report.Section{ID: "next", Heading: "What comes next, if sown today",
		Figures: []report.Figure{{Chart: report.StagesChart(u, a.Second[0].Outlook, a.In.AsOf), Fixed: true}},
		Tables:  []report.Table{t}, Items: a.Water.Items(u)}
}

// comingWords say what a day brings.
func (a *Answer) comingWords(u words.System, c forecast.Coming) string {
	text := map[forecast.ComingKind]string{
		forecast.LookAgain:         "look again at the first pass: nearly all that lives should be up",
		forecast.SecondUp:          "half of the second pass is up",
		forecast.SecondMow:         "third leaf: first cut, with a sharp blade on dry ground",
		forecast.SecondTillered:    "established",
		forecast.LastSafeSowing:    fmt.Sprintf("last safe date for sowing at %g %%", a.First.Options.Confidence),
		forecast.FrostBegins:       "freezing nights begin: from here keep off while the turf is frosted",
		forecast.CutoffExpected:    "cutoff of the middle season",
		forecast.CutoffHasBeenSeen: "the season's cutoff has come",
	}[c.Kind]
	if c.Since != nil {
		return fmt.Sprintf("freezing nights since %s: keep off while the turf is frosted", u.Date(*c.Since))
	}
	if c.P10 != nil {
		text += fmt.Sprintf(" (8 in 10 between %s and %s)", u.Date(*c.P10), u.Date(*c.P90))
	}
	return text
}

// assumptions are those of the model of a thin stand.
const assumptions = "prior: 60 % that the sowing went as sowings do, most seed alive, spread as the field emergence" +
	" of perennial ryegrass is (68-94 %, Bellotti & Blair 1989, S; taken for every species, M), 40 % that anything" +
	" is possible (M); an eye judges cover to 10 % of the stand (M); a search finds ten seeds where all of them lie," +
	" and seed found is living seed (M); one search in fifty and one look in five hundred go wrong altogether (M);" +
	" lost means more than half; judged from 80 % on; a second pass has a fair chance from one in three"

// facts are what the answer rests on.
func (a *Answer) facts(u words.System) []report.Item {
	o := &a.First.Options
	facts := append(report.StationFacts(a.In.Input, u), report.EnsembleFact(a.Ensemble, a.In, u))
	facts = append(facts, report.Item{Label: "model", Text: assumptions})
	facts = append(facts, report.ModelFacts(a.In, o, &a.Ensemble.Trend, u)...)
	return append(facts, report.Item{Label: "species", Text: report.Evidence(&o.Species)})
}
