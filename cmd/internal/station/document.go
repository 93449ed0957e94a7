package station

import (
	"fmt"
	"math"
	"strings"

	"swardcast/climate/fetch"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/services"
	"swardcast/cmd/internal/words"
)

// Document puts the answer in words.
func (a *Answer) Document(u words.System, _ report.Medium) (*report.Document, error) {
	best := &a.Found[0]
	d := &report.Document{Kind: "Weather stations", Headline: a.sentence(u)}
	t := report.Table{
		Caption: "Stations, the one that suits best first",
		Head:    []string{"ID", "away", "height", "years", "station"},
	}
	for i := range a.Found {
		f := &a.Found[i]
		t.Rows = append(t.Rows, []string{f.ID, distance(f, u), height(f, u), years(f), name(f) + ": " + why(f)})
	}
	d.Sections = []report.Section{
		{ID: "stations", Heading: "Stations", Lead: true, Tables: []report.Table{t}},
		{ID: "next", Heading: "Next", List: []string{
			fmt.Sprintf("swardcast window --station-id %s answers for the first.", best.ID),
			fmt.Sprintf("swardcast fetch %s -o my-station.csv writes its record to a file.", best.ID),
		}},
		{ID: "basis", Heading: "Based on", Items: []report.Item{
			{Label: "list", Text: services.Source + "; fetched on " + u.Moment(a.Source.Fetched)},
			{
				Label: "years",
				Text: fmt.Sprintf(
					"with both temperatures, from the first to the last; some between may lack. At least %d.",
					fetch.MinYears,
				),
			},
			{
				Label: "order",
				Text: "by distance; a lack of years up to 30, a year without reports and a difference of height count as distance " +
					"(common practice, no source): 2 km a year that lacks, 20 km a silent year, 20 km for 100 m of height",
			},
		}},
	}
	return d, nil
}

// sentence names the best station.
func (a *Answer) sentence(u words.System) string {
	f := &a.Found[0]
	s := fmt.Sprintf("Best: %s (%s)", name(f), f.ID)
	if !math.IsNaN(f.DistanceKM) {
		s += ", " + u.Distance(f.DistanceKM) + " away"
	}
	s += fmt.Sprintf(
		", with %s of both temperatures up to %d.",
		words.Count(f.Years().Count(), "year", "years"),
		f.Years().Last,
	)
	if n := len(a.Found); n > 1 {
		s += fmt.Sprintf(" %d others follow.", n-1)
	}
	return s
}

func name(f *fetch.Found) string {
	if f.State != "" {
		return f.Name + ", " + f.State
	}
	return f.Name
}

func distance(f *fetch.Found, u words.System) string {
	if math.IsNaN(f.DistanceKM) {
		return "–"
	}
	return u.Distance(f.DistanceKM)
}

func height(f *fetch.Found, u words.System) string {
	if math.IsNaN(f.ElevationM) {
		return "–"
	}
	return u.Height(f.ElevationM)
}

func years(f *fetch.Found) string {
	return f.Years().String()
}

// why are the reasons, and what speaks against the station.
func why(f *fetch.Found) string {
	var list []string
	for _, r := range f.Reasons {
		list = append(list, string(r))
	}
	if len(list) == 0 {
		return "–"
	}
	return strings.Join(list, ", ")
}
