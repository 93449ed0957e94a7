package secondpass

import (
	"fmt"
	"math"
	"strings"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// headline is the decision in a sentence or two.
func (a *Answer) headline(u words.System) string {
	n := a.First.Members
	switch {
	case a.Report.MoreThanCan:
		return a.impossible(u)
	case n < forecast.MinSeasons:
		return fmt.Sprintf(
			"Use a longer record: %d %s can't carry the odds of new seed.",
			n,
			words.Plural(n, "season", "seasons"),
		)
	}
	return a.decision(u)
}

// decision is the decision by what was typed.
func (a *Answer) decision(u words.System) string {
	d := a.Decision
	switch d.Best.Action {
	case forecast.SowNow:
		return fmt.Sprintf("Sow today%s, raked in%s. %s", a.sownWords(u), a.moreWords(u), a.odds())
	case forecast.BuySeed:
		return fmt.Sprintf("Buy %s; sow %s. %s", a.boughtWords(u), a.deadline(u), a.odds())
	case forecast.WaitUntil:
		return fmt.Sprintf("Wait until %s: %s.", u.Date(d.Best.On), a.whyWait())
	case forecast.Stop:
		s := fmt.Sprintf("Too late for this autumn: %s.", words.Percent(a.Second[0].Chance))
		if instead := report.InsteadWords(u, &a.First.Options, a.Instead); instead != "" {
			s += " " + instead
		}
		return s
	}
	return a.leave(u)
}

// odds are the chance of seed sown today, and what a week costs.
func (a *Answer) odds() string {
	now := a.Second[0]
	s := fmt.Sprintf("%s to be %s", words.Percent(now.Chance), words.ShortStage(now.Options.Stage))
	if now.Options.Stage == turf.Tillered {
		s = words.Percent(now.Chance) + " to establish"
	}
	for _, l := range a.Second {
		if l.InDays != 7 {
			continue
		}
		if points := math.Round(100 * (now.Chance - l.Chance)); points >= 1 {
			return fmt.Sprintf(
				"%s; a week's wait costs %.0f %s.",
				s,
				points,
				words.Plural(int(points), "point", "points"),
			)
		}
		return s + "; a week's wait costs nothing."
	}
	return s + "."
}

// sownWords are the seed and the ground of a sowing today.
func (a *Answer) sownWords(u words.System) string {
	const where = " over the bare spots"
	g := a.Ground
	switch {
	case g == nil || g.LeftG == nil && (g.Need == nil || !g.Area):
		return where
	case g.LeftG == nil:
		return ": " + a.weightWords(u, g.Need.Sowing.WeightG()) + where
	case g.Need == nil || !g.Area || a.Supply.AtHand <= 1:
		return ": " + u.Weight(*g.LeftG) + where
	}
	return fmt.Sprintf(": %s of your %s%s", u.Weight(g.Need.Sowing.WeightG()), u.Weight(*g.LeftG), where)
}

// moreWords ask for the seed that lacks, where it is worth its price.
func (a *Answer) moreWords(u words.System) string {
	sow, buy := a.Decision.Best, a.Decision.Find(forecast.BuySeed)
	if buy == nil || buy.Worth < sow.Worth+forecast.CostAtHand {
		return ""
	}
	return fmt.Sprintf(", and buy %s more", u.Weight(a.Ground.Need.ShortG()))
}

// weightWords are a weight of seed, with its bags where their size is known.
func (a *Answer) weightWords(u words.System, weightG float64) string {
	s := u.Weight(weightG)
	if n := a.Ground.Need; n.BagG > 0 {
		s += fmt.Sprintf(
			" (%d %s of %s)",
			n.Bags(weightG),
			words.Plural(n.Bags(weightG), "bag", "bags"),
			u.Weight(n.BagG),
		)
	}
	return s
}

// boughtWords are the seed to buy: how much, and how many bags.
func (a *Answer) boughtWords(u words.System) string {
	g := a.Ground
	name := a.First.Options.Species.Name
	switch {
	case g.Need == nil:
		return name + " seed"
	case !g.Area:
		return fmt.Sprintf("%s seed, %s", name, u.Rate(g.Need.Sowing.RateGM2))
	}
	n, short := g.Need, g.Need.ShortG()
	if n.BagG > 0 {
		return fmt.Sprintf(
			"%s: %d %s of %s",
			u.Weight(short),
			n.Bags(short),
			words.Plural(n.Bags(short), "bag", "bags"),
			u.Weight(n.BagG),
		)
	}
	return fmt.Sprintf("%s of %s", u.Weight(short), name)
}

// deadline is by when to sow: the last safe date, or today at best.
func (a *Answer) deadline(u words.System) string {
	switch until := a.Decision.WorthUntil; {
	case a.LastSafe != nil && *a.LastSafe > a.In.AsOf:
		return "by " + u.Date(*a.LastSafe)
	case until != nil && *until > a.In.AsOf:
		return fmt.Sprintf("at once, by %s at the latest", u.Date(*until))
	}
	return "today"
}

// whyWait is the reason for another look.
func (a *Answer) whyWait() string {
	r := a.Report
	switch {
	case r.ExpectedHi < 0.05 && a.Stand.Cover == 0:
		return "nothing can be up yet"
	case a.Decision.TooSoon:
		return fmt.Sprintf("only about %s of the seed can be up yet", words.Percent(r.ExpectedUp))
	case r.LostProbability < 0.5:
		return fmt.Sprintf("%s that most of the seed is still coming", words.Percent(1-r.LostProbability))
	}
	return fmt.Sprintf("a look then settles whether the seed is lost, and new seed still has %s",
		words.Percent(a.Decision.Best.Chance))
}

// leave is the decision for no more seed.
func (a *Answer) leave(u words.System) string {
	d := a.Decision
	left := d.Best
	sow := d.Find(forecast.SowNow)
	if sow == nil {
		sow = d.Find(forecast.BuySeed)
	}
	switch {
	case a.Stand.Cover >= forecast.FullCover:
		return fmt.Sprintf("Leave it: %.0f %% cover fills in by itself.", 100*a.Stand.Cover)
	case left.Cover >= forecast.FullCover:
		return fmt.Sprintf(
			"Leave it: the first sowing should come to %s cover, which fills in by itself.",
			words.Percent(left.Cover),
		)
	case d.TooSoon && a.Report.ClearOn != nil:
		return fmt.Sprintf(
			"Leave it: too little can be up yet to judge, and by %s, when it shows, new seed comes too late.",
			u.Date(*a.Report.ClearOn),
		)
	case d.TooSoon:
		return "Leave it: too little can be up yet to judge, and before it shows, new seed comes too late."
	case sow == nil && a.Second[0].Chance < forecast.StopBelow:
		return fmt.Sprintf("Leave it: new seed has %s, and the first sowing should come to %s cover.",
			words.Percent(a.Second[0].Chance), words.Percent(left.Cover))
	case sow == nil:
		return fmt.Sprintf("Leave it: expect %s cover.", words.Percent(left.Cover))
	}
	points := math.Max(0, math.Round(100*(sow.Cover-left.Cover)))
	return fmt.Sprintf("Leave it: new seed has %s and would add only %.0f %s of cover to the %s expected.",
		words.Percent(sow.Chance), points, words.Plural(int(points), "point", "points"), words.Percent(left.Cover))
}

// impossible says which inputs cannot fit each other.
func (a *Answer) impossible(u words.System) string {
	s := fmt.Sprintf(
		"Check --first and --cover: seed sown on %s can't be %s up by %s (at most %s).",
		u.Date(a.First.Sow),
		words.Percent(a.Stand.Cover),
		u.Date(a.In.AsOf),
		words.Percent(a.Report.ExpectedHi),
	)
	if a.FitsSown != nil {
		return s + fmt.Sprintf(" That cover fits a sowing by %s: --first %s.", u.Date(*a.FitsSown), *a.FitsSown)
	}
	return s + " That cover fits no earlier day of sowing; check --species too."
}

// reasons are the two sentences that carry the decision.
func (a *Answer) reasons(u words.System) []string {
	r, d := a.Report, a.Decision
	dug := map[forecast.SeedFound]string{forecast.NoSeed: "; digging found none", forecast.FewSeeds: "; digging found a few",
		forecast.ManySeeds: "; digging found plenty"}[a.Stand.Found]
	seen := fmt.Sprintf(
		"By now %s of the surviving seed should be up and you see %.0f %% cover%s.",
		words.Percent(r.ExpectedUp),
		100*a.Stand.Cover,
		dug,
	)
	lost := fmt.Sprintf("More than half of the seed is probably lost (%s).", words.Percent(r.LostProbability))
	if left := d.Find(forecast.LeaveIt); r.LostProbability < 0.5 && left != nil {
		lost = fmt.Sprintf("Sown again, expect %s cover instead of %s; a clearer look later costs odds.",
			words.Percent(d.Best.Cover), words.Percent(left.Cover))
	}
	switch d.Best.Action {
	case forecast.WaitUntil:
		return []string{
			seen,
			fmt.Sprintf("Seed sown on %s, after that look, still has %s; today it has %s.", u.Date(d.Best.On),
				words.Percent(d.Best.Chance), words.Percent(a.Second[0].Chance)),
		}
	case forecast.Stop:
		x := a.Second[0]
		cold, ok := x.Cutoff.At(0.5)
		till := x.Stages[2].P50
		switch {
		case ok && cold < a.In.AsOf:
			return []string{
				seen,
				fmt.Sprintf("The cold came about %s: seed sown now doesn't establish before spring.", u.Date(cold)),
			}
		case ok && till != nil:
			return []string{
				seen,
				fmt.Sprintf("Seed sown today would establish about %s; the cold usually comes %s.", u.Date(*till),
					u.Date(cold)),
			}
		}
		return []string{seen, "Seed sown today would not establish before the cold."}
	case forecast.LeaveIt:
		return []string{seen, fmt.Sprintf("Without more seed expect %s cover (%s).", words.Percent(d.Best.Cover),
			words.Interval(d.Best.Low, d.Best.High))}
	}
	return []string{seen, lost}
}

// choices is the table of the choices.
func (a *Answer) choices(u words.System) report.Table {
	head := "final cover"
	if cold, ok := a.First.Cutoff.At(0.5); ok && cold >= a.In.AsOf {
		head = "cover by " + u.Date(cold)
	}
	t := report.Table{
		Caption: "Expected result of each choice",
		Head:    []string{"choice", head, "new seed makes it", "seed"},
		Fixed:   true,
	}
	for i := range a.Decision.Choices {
		c := &a.Decision.Choices[i]
		chance, seed := "–", "–"
		if !math.IsNaN(c.Chance) {
			chance, seed = words.Percent(c.Chance), a.seedWords(u, c)
		}
		name := map[forecast.Action]string{forecast.SowNow: "sow today", forecast.BuySeed: "buy and sow today",
			forecast.WaitUntil: "wait until " + u.Date(c.On), forecast.LeaveIt: "leave it", forecast.Stop: "leave it"}[c.Action]
		t.Rows = append(
			t.Rows,
			[]string{name, fmt.Sprintf("%s (%.0f–%.0f)", words.Percent(c.Cover), 100*c.Low, 100*c.High), chance, seed},
		)
	}
	return t
}

// seedOf is the seed that a choice sows, and how much of it is bought, g; NaN where
// it is not known.
func (a *Answer) seedOf(c *forecast.Choice) (seed, bought float64) {
	g := a.Ground
	switch {
	case c.Action == forecast.LeaveIt || c.Action == forecast.Stop:
		return 0, 0
	case math.IsNaN(c.Seed) || g == nil:
		return math.NaN(), math.NaN()
	case g.Need == nil || !g.Area:
		if g.LeftG != nil && c.Action == forecast.SowNow {
			return *g.LeftG, 0
		}
		return math.NaN(), math.NaN()
	}
	seed = c.Seed * g.Need.Sowing.WeightG()
	switch {
	case g.LeftG == nil:
		return seed, math.NaN()
	case c.Action == forecast.BuySeed:
		return seed, g.Need.ShortG()
	}
	return seed, 0
}

// seedWords are the seed of a choice in words.
func (a *Answer) seedWords(u words.System, c *forecast.Choice) string {
	seed, bought := a.seedOf(c)
	switch {
	case c.Action == forecast.WaitUntil:
		return "if the look asks for it"
	case math.IsNaN(seed):
		return "full rate"
	case bought > 0 && *a.Ground.LeftG == 0:
		return u.Weight(seed) + ", bought"
	case bought > 0:
		return fmt.Sprintf("%s (buy %s)", u.Weight(seed), u.Weight(bought))
	case a.Ground.LeftG != nil && seed >= *a.Ground.LeftG*(1-1e-9):
		return u.Weight(seed) + ", all you have"
	}
	return u.Weight(seed)
}

// seedAdvice says how to spread what is at hand, or what to get.
func (a *Answer) seedAdvice(u words.System) string {
	g := a.Ground
	const spread = " Spread half of it one way and half crosswise, and rake it in lightly (common practice)."
	switch {
	case g == nil:
		return "nothing is bare"
	case g.Need == nil && g.LeftG == nil:
		return "no published rate for this use: take the rate on the seed's label, or give --rate"
	case g.Need == nil && g.Area:
		return u.Weight(
			*g.LeftG,
		) + " at hand. No published rate for this use: take the rate on the label, or give --rate"
	case g.Need == nil:
		return u.Weight(*g.LeftG) + " at hand. Give --area and --rate to see how far it goes"
	}
	n := g.Need
	s := &n.Sowing
	use := "(" + a.useWords() + ")"
	full := u.Rate(s.RateGM2) + " " + use
	bare := "the bare " + u.Area(s.AreaM2)
	switch {
	case !g.Area && g.LeftG == nil:
		return fmt.Sprintf("%s of bare ground %s; give --area for the weight.%s", u.Rate(s.RateGM2), use, spread)
	case !g.Area && *g.LeftG == 0:
		return fmt.Sprintf(
			"none at hand; buy %s of bare ground %s. Give --area for the weight.%s",
			u.Rate(s.RateGM2),
			use,
			spread,
		)
	case !g.Area:
		return fmt.Sprintf(
			"%s covers %s of bare ground at %s. Give --area to see whether that is enough.%s",
			u.Weight(*g.LeftG),
			u.Area(s.AreaFrom(*g.LeftG)),
			full,
			spread,
		)
	case g.LeftG == nil || *g.LeftG == 0:
		return fmt.Sprintf(
			"%s for %s at %s%s.%s",
			a.weightWords(u, s.WeightG()),
			bare,
			full,
			a.cost(s.WeightG()),
			spread,
		)
	}
	left, short := *g.LeftG, n.ShortG()
	rate := s.RateFrom(left)
	if short == 0 {
		rest := ""
		if over := left - s.WeightG(); over > 0.02*left {
			rest = fmt.Sprintf(" Keep the other %s for spots that stay bare.", u.Weight(over))
		}
		return fmt.Sprintf(
			"%s of your %s sows %s at %s.%s%s",
			u.Weight(s.WeightG()),
			u.Weight(left),
			bare,
			full,
			spread,
			rest,
		)
	}
	text := fmt.Sprintf("%s over %s is %s, %s.", u.Weight(left), bare, u.Rate(rate), a.rateClass(u, rate))
	if left >= nearFull*s.WeightG() {
		return text + " Close enough to the full " + u.Rate(s.RateGM2) + ": spread it over all of it." + spread
	}
	return text + fmt.Sprintf(
		" The full %s needs %s more%s, sown %s; or sow %s at the full rate, the parts people see.",
		full,
		a.weightWords(u, short),
		a.cost(short),
		a.deadline(u),
		u.Area(s.AreaFrom(left)),
	) + spread
}

// cost is the price of a weight of seed, "" where no price is given.
func (a *Answer) cost(weightG float64) string {
	if n := a.Ground.Need; n.Price > 0 {
		return fmt.Sprintf(", for %.2f", n.Cost(weightG))
	}
	return ""
}

// useWords name what sets the rate.
func (a *Answer) useWords() string {
	n := a.Ground.Need
	switch {
	case n.Rate.Evidence == turf.OwnFigure:
		return "your rate"
	case a.Ground.NewLawn:
		return "the new-lawn rate; none is published for overseeding with it"
	}
	return "the " + string(n.Use) + " rate"
}

// rateClass is what a rate is published for.
func (a *Answer) rateClass(u words.System, rateGM2 float64) string {
	sp := a.First.Options.Species.ID
	lowest := math.Inf(1)
	for _, use := range turf.Uses() {
		r, ok := turf.RateFor(sp, use)
		if !ok || use == turf.NewLawn && !a.Ground.NewLawn {
			continue
		}
		lowest = math.Min(lowest, r.Low)
		if r.Low <= rateGM2 && rateGM2 <= r.High {
			return "a " + string(use) + " rate"
		}
	}
	switch {
	case math.IsInf(lowest, 1):
		return "with no published rate to compare"
	case rateGM2 < lowest:
		return fmt.Sprintf("thinner than any published rate (from %s)", u.Rate(lowest))
	}
	return "between the published rates"
}

// nextDates are the days ahead in a line.
func (a *Answer) nextDates(u words.System) string {
	var parts []string
	add := func(format string, args ...any) { parts = append(parts, fmt.Sprintf(format, args...)) }
	for _, c := range a.Coming {
		day := u.Date(c.Day)
		if c.P10 != nil {
			day = report.DateSpan(u, *c.P10, *c.P90)
		}
		switch c.Kind {
		case forecast.LookAgain:
			if a.Decision.Sows() || a.Decision.Best.Action == forecast.WaitUntil {
				add("look again %s", day)
			}
		case forecast.SecondUp:
			add("up %s", day)
		case forecast.FirstMow, forecast.SecondMow:
			add("first mow %s", day)
		case forecast.FirstTillered, forecast.SecondTillered:
			add("established %s", day)
		case forecast.LastWorthSowing:
			add("sowing not worth it after %s (%s)", day, words.Percent(a.Decision.ChanceUntil))
		case forecast.FrostBegins:
			add("freezing nights from %s", day)
		case forecast.CutoffExpected:
			add("cold usually %s", day)
		}
	}
	return strings.Join(parts, " · ")
}

// actionWords are an action as part of a sentence.
func actionWords(u words.System, c *forecast.Choice) string {
	return map[forecast.Action]string{forecast.SowNow: "sow today", forecast.BuySeed: "buy seed and sow",
		forecast.WaitUntil: "wait until " + u.Date(c.On), forecast.LeaveIt: "leave it", forecast.Stop: "too late"}[c.Action]
}

// changed says what would change the decision.
func (a *Answer) changed(u words.System) string {
	var parts []string
	for i := range a.Changes {
		c := &a.Changes[i]
		what, odds := "", ""
		switch c.Kind {
		case forecast.ChangeCover:
			side := "or more"
			if c.Cover < a.Stand.Cover {
				side = "or less"
			}
			what = fmt.Sprintf("cover %s %s", words.Percent(c.Cover), side)
			if c.Cover == 0 {
				what = "no cover at all"
			}
		case forecast.ChangeDigging:
			what = map[forecast.SeedFound]string{forecast.NoSeed: "no seed found on digging",
				forecast.ManySeeds: "plenty of seed found on digging"}[c.Found]
		default:
			what, odds = report.ChangeWords(u, &c.Sensitivity), ", "+words.Percent(c.Chance)
		}
		do := actionWords(u, &c.Best)
		if c.Best.Action == a.Decision.Best.Action {
			do = "still " + do
		}
		parts = append(parts, fmt.Sprintf("%s: %s%s", what, do, odds))
	}
	return strings.Join(parts, " · ")
}

// decided are the items beneath the table of choices.
func (a *Answer) decided(u words.System) []report.Item {
	items := []report.Item{{Label: "why", Text: strings.Join(a.reasons(u), " ")}}
	g, action := a.Ground, a.Decision.Best.Action
	if action != forecast.LeaveIt && action != forecast.Stop || g != nil && (g.Area || g.LeftG != nil) {
		items = append(items, report.Item{Label: "seed", Text: a.seedAdvice(u)})
	}
	if next := a.nextDates(u); next != "" {
		items = append(items, report.Item{Label: "next", Text: next})
	}
	if changed := a.changed(u); changed != "" {
		items = append(items, report.Item{Label: "what if", Text: changed})
	}
	return items
}
