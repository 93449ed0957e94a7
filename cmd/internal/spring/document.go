package spring

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
	"swardcast/forecast/turf"
)

// Document puts the answer in words.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	x := a.Springs[0]
	d := report.New(a.In.Input, "Spring", headline(u, x), u)
	d.Notes = notes(u, x)
	for i, x := range a.Springs {
		s := report.Section{ID: "dates", Heading: "The dates that matter", Lead: true, Tables: []report.Table{dates(u, x)}}
		if i > 0 {
			s.Intro = []string{words.Capital(x.Options.Species.Name) + ": " + headline(u, x)}
		}
		d.Sections = append(d.Sections, s)
		if !overseeded(x) {
			d.Sections = append(d.Sections, report.Section{ID: "chance", Heading: "Chance by sow date", Lead: i == 0,
				Figures: []report.Figure{{Bars: bars(u, x)}}})
		}
	}
	cautions := append(a.cautions(), report.Cautions()...)
	d.Sections = append(d.Sections, report.Basis(a.In.Input, a.facts(u), cautions, u)...)
	return d, nil
}

// headline says what to do.
func headline(u words.System, x *forecast.Spring) string {
	if overseeded(x) {
		return letGo(u, x)
	}
	spring, good := sowing(u, x)
	dormant, ok := x.Dormant.At(0.5)
	if !ok || !x.CanBeDormant {
		return words.Capital(spring)
	}
	text := fmt.Sprintf("Dormant seeding from about %s, when soil stays below %s.", u.Date(dormant), u.Temp(turf.DormantSoilC))
	if !good {
		return text + " " + words.Capital(spring)
	}
	return text + " Else " + spring
}

// sowing says when to sow in spring, and whether there is such a time.
func sowing(u words.System, x *forecast.Spring) (text string, good bool) {
	sp := x.Options.Species.Name
	first, last := window(x)
	switch {
	case first == nil:
		return fmt.Sprintf("sow %s in autumn: no spring date can be given here.", sp), false
	case last == nil:
		return fmt.Sprintf("sow %s from %s on: no summer heat ends the spring here in most years.", sp, u.Date(*first)), true
	case *last < *first:
		return fmt.Sprintf("don't count on spring: %s sown about %s, when the soil is warm enough, meets summer heat first in "+
			"more than %s.", sp, u.Date(*first), failing(x)), false
	}
	return fmt.Sprintf("sow %s %s to %s; after that summer heat comes first in more than %s.", sp, u.Date(*first),
		u.Date(*last), failing(x)), true
}

// failing is the share of years in which a safe date does not hold.
func failing(x *forecast.Spring) string { return report.Years10(100 - x.Options.Confidence) }

// letGo says when the host is to have its ground back.
func letGo(u words.System, x *forecast.Spring) string {
	host, sp := x.Options.Host.Name, x.Options.Species.Name
	wakes, ok := x.HostUp.At(0.5)
	by := goBy(x)
	switch {
	case by == nil || !ok:
		return fmt.Sprintf("Let the %s go when the %s greens up: soil at %s (no typical date here).", sp, host,
			u.Temp(turf.WakeSoilC))
	case *by < wakes:
		return fmt.Sprintf("Let the %s go as soon as the %s wakes, about %s: %d days would have begun %s.", sp, host,
			u.Date(wakes), turf.FreeDays, u.Date(*by))
	}
	return fmt.Sprintf("Let the %s go by %s: the %s wakes about %s and needs %d days.", sp, u.Date(*by), host, u.Date(wakes),
		turf.FreeDays)
}

// goBy is the earlier of the two dates by which the cool-season grass should be gone.
func goBy(x *forecast.Spring) *climate.Day {
	a, b := x.LetGo.BeforeSowing, x.LetGo.BeforeDormancy
	if a == nil || b != nil && *b < *a {
		return b
	}
	return a
}

// notes carry the headline.
func notes(u words.System, x *forecast.Spring) []string {
	var out []string
	if overseeded(x) {
		if d := x.LetGo.BeforeSowing; d != nil {
			out = append(out, fmt.Sprintf("That is %d days before the next overseeding opens in a typical year.", turf.FreeDays))
		}
		if d := x.LetGo.BeforeDormancy; d != nil && (x.LetGo.BeforeSowing == nil || *d > *x.LetGo.BeforeSowing) {
			out = append(out, fmt.Sprintf("Where it isn't overseeded again, %s is early enough: %d days before it goes dormant.",
				u.Date(*d), turf.FreeDays))
		}
		return out
	}
	if first, last := window(x); first != nil && last != nil && *last >= *first {
		out = append(out, fmt.Sprintf("Sown by %s it was %s before the heat in %s.", u.Date(*last),
			words.Stages[x.Options.Stage], report.Years10(x.Options.Confidence)))
	}
	switch {
	case !x.CanBeDormant:
		out = append(out, fmt.Sprintf("Dormant seeding of %s is disputed: Purdue allows it, the University of Minnesota does not.",
			x.Options.Species.Name))
	default:
		if _, ok := x.Dormant.At(0.5); ok {
			out = append(out, fmt.Sprintf("For dormant seeding take %.0f to %.0f %% more seed.", 100*turf.DormantExtraLow,
				100*turf.DormantExtraHigh))
		} else {
			out = append(out, "Dormant seeding: soil here doesn't stay cold enough; seed would come up in winter.")
		}
	}
	return append(out, "Autumn is the better season for cool-season grass wherever it can still be used.")
}

// dates are the few dates, with the range of years.
func dates(u words.System, x *forecast.Spring) report.Table {
	t := report.Table{Caption: fmt.Sprintf("Winter and spring after the season of %d, %s", x.Season, x.Options.Species.Name),
		Head: []string{"date", "what", "meaning"}, Fixed: true, Plain: true}
	add := func(d forecast.Dates, what, meaning, never string) {
		day, ok := d.At(0.5)
		if !ok {
			t.Rows = append(t.Rows, []string{"–", what, never})
			return
		}
		low, okLow := d.At(0.1)
		high, okHigh := d.At(0.9)
		if okLow && okHigh {
			meaning += fmt.Sprintf("; %s to %s in 8 of 10 years", u.Date(low), u.Date(high))
		}
		t.Rows = append(t.Rows, []string{u.Date(day), what, meaning})
	}
	if overseeded(x) {
		add(x.HostUp, x.Options.Host.Name+" wakes", fmt.Sprintf("soil back at %s at 4 in. (10 cm)", u.Temp(turf.WakeSoilC)),
			"not in half of the years on record")
		for _, l := range []struct {
			day     *climate.Day
			meaning string
		}{
			{x.LetGo.BeforeSowing, fmt.Sprintf("%d days before overseeding opens", turf.FreeDays)},
			{x.LetGo.BeforeDormancy, fmt.Sprintf("%d days before the host goes dormant", turf.FreeDays)},
		} {
			if l.day != nil {
				t.Rows = append(t.Rows, []string{u.Date(*l.day), "let it go by", l.meaning})
			}
		}
		return t
	}
	if x.CanBeDormant {
		add(x.Dormant, "dormant seeding", fmt.Sprintf("soil under %s at 2 in. (5 cm), and hardly any seed germinates before midwinter",
			u.Temp(turf.DormantSoilC)), "soil doesn't stay cold in half of the years")
	}
	add(x.Wakes, "spring sowing", fmt.Sprintf("soil back at %s for good (common practice)", u.Temp(forecast.SpringSoilC)),
		"not in half of the years")
	add(x.Last, "last date", fmt.Sprintf("%s before summer heat in 5 of 10 years", words.Stages[x.Options.Stage]),
		"no summer heat sets one in half of the years")
	add(x.Heat, "summer heat", fmt.Sprintf("five days of nights over %s with days over %s, on average", u.Temp(turf.HeatNightC),
		u.Temp(turf.HeatDayC)), "not in half of the years")
	return t
}

// bars draw the chance to be ahead of the heat, every few days.
func bars(u words.System, x *forecast.Spring) *report.Bars {
	const rows = 12
	from, to := 0, len(x.ByDate)-1
	for i, c := range x.ByDate {
		if c.Soil >= 0.1 {
			from = i
			break
		}
	}
	for to > from && x.ByDate[to].Before < 0.03 {
		to--
	}
	b := &report.Bars{Title: fmt.Sprintf("Chance to be %s before summer heat, if sown on", words.ShortStage(x.Options.Stage)),
		Heads: "soil warm enough", Width: 30}
	for i := from; i <= to; i += max(1, (to-from)/rows) {
		c := x.ByDate[i]
		b.Rows = append(b.Rows, report.Bar{Label: u.Date(c.Sow), Low: c.Before, Mid: c.Before, High: c.Before,
			Cells: []string{words.Percent(c.Before), words.Percent(c.Soil)}})
	}
	return b
}

func (a *Answer) facts(u words.System) []report.Item {
	x := a.Springs[0]
	facts := report.StationFacts(a.In.Input, u)
	n := len(x.Years)
	facts = append(facts, report.Item{Label: "winters", Text: fmt.Sprintf("%d with their springs, %d to %d", n, x.Years[0], x.Years[n-1])})
	facts = append(facts, report.ModelFacts(a.In, &x.Options, &x.Trend, u)...)
	return append(facts, report.Item{Label: "sources", Text: "dormant seeding under 40 °F: University of Minnesota, published; " +
		"bermudagrass greens up at about 58 °F of soil: Miller 2022, published; about 100 days free of ryegrass: trade press, published; " +
		"heat that favors seedling disease: Ohio State University and University of Florida, published; " +
		"spring soil of 50 °F: common practice"})
}

func (a *Answer) cautions() []string {
	var out []string
	if n := len(a.Springs[0].Years); n < forecast.FewSeasons {
		out = append(out, fmt.Sprintf("Short record: %d winters with their springs. Take the dates as rough.", n))
	}
	return append(out, "Spring sowings compete with weeds, and most crabgrass preventers also stop grass seed: obey the label.")
}
