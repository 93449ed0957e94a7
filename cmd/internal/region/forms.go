package region

import (
	"fmt"
	"slices"

	"swardcast/climate"
	"swardcast/cmd/internal/out"
	"swardcast/cmd/internal/page"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// formats are the names of the forms, the default first.
var formats = []string{"text", "csv", "jsonl", "geojson", "html"}

// form is the form of a name.
func form(format string, options []forecast.Options, settings string, u words.System) *out.Stream[Row] {
	switch format {
	case "csv":
		return out.CSVStream[Row]()
	case "jsonl":
		return out.JSONLines[Row]()
	case "geojson":
		return out.GeoJSON(position)
	case "html":
		return mapForm(options, settings, u)
	}
	return textForm(options[0].Confidence, u)
}

func position(r Row) out.Position {
	return out.Position{
		ID:         string(r.File) + "#" + r.Species,
		Longitude:  float64(r.Longitude),
		Latitude:   float64(r.Latitude),
		ElevationM: float64(r.ElevationM),
	}
}

func textForm(confidence float64, u words.System) *out.Stream[Row] {
	const wide = 7
	date := func(head string, day func(Row) *climate.Day) out.Column[Row] {
		return out.Column[Row]{
			Head:  head,
			Width: wide,
			Right: true,
			Cell:  func(r Row) string { return u.DateOr(day(r)) },
		}
	}
	columns := []out.Column[Row]{
		{Head: "station", Width: 24, Cell: func(r Row) string { return string(r.Station) }},
		{Head: "species", Width: 22, Cell: func(r Row) string { return r.SpeciesName }},
		date("opens", func(r Row) *climate.Day { return r.OpensP50 }),
		date("90 %", func(r Row) *climate.Day { return r.LastSafeP90 }),
		date(fmt.Sprintf("%g %%", report.MiddleLevel(confidence)), func(r Row) *climate.Day { return r.Middle }),
		date("50 %", func(r Row) *climate.Day { return r.LastSafeP50 }),
		date("cutoff", func(r Row) *climate.Day { return r.CutoffP50 }),
	}
	columns[2].Width = wide - 1 // the gap before it is that of the species
	before := 0
	for _, c := range columns[:6] {
		before += c.Width
	}
	note := fmt.Sprintf("opens, cutoff: typical year. –: none, or fewer than %d usable autumns. "+
		"swardcast window FILE explains one station; --format csv has every figure.", forecast.MinSeasons)
	cautions := report.Section{Heading: "Cautions", List: report.Cautions()}
	above := words.Wrap("", "Sow at each station between its opening and its last safe date: at 80 % the grass was "+
		"established in time in 8 of 10 autumns.") + "\n" + words.PadLeft("last safe at", before)
	return out.TextStream(above, columns, note, cautions)
}

// mapForm is a page. It holds no more of the stations than their number and the first
// and last of their dates.
func mapForm(options []forecast.Options, settings string, u words.System) *out.Stream[Row] {
	p := &page.RegionPage{
		Kind:   "Seeding windows of a region",
		Metric: u == words.Metric,
		Level:  fmt.Sprintf("%g %%", report.MiddleLevel(options[0].Confidence)),
		Answer: "Sow at each station between its opening and its last safe date.",
	}
	var sums []*sum
	for _, o := range options {
		p.Species = append(p.Species, page.Choice{ID: o.Species.ID, Name: o.Species.Name})
		sums = append(sums, newSum(o.Species.ID))
	}
	date := func(d *climate.Day) page.RegionDate {
		if d == nil {
			return page.RegionDate{Shown: u.DateOr(nil)}
		}
		return page.RegionDate{Sorted: d.String(), Shown: u.Date(*d)}
	}
	row := func(r Row) page.RegionRow {
		sums[slices.IndexFunc(sums, func(s *sum) bool { return s.species == r.Species })].add(r)
		return page.RegionRow{
			Station:   string(r.Station),
			Latitude:  float64(r.Latitude),
			Longitude: float64(r.Longitude),
			SpeciesID: r.Species,
			Species:   r.SpeciesName,
			First:     r.First.String(),
			Seasons:   r.SeasonsUsed,
			Opens:     date(r.OpensP50),
			Safe90:    date(r.LastSafeP90),
			Safe:      date(r.Middle),
			Safe50:    date(r.LastSafeP50),
			Cutoff:    date(r.CutoffP50),
		}
	}
	return out.MapStream(p, row, func() out.MapFoot {
		foot := out.MapFoot{Settings: settings, Accuracy: report.Accuracy, Cautions: report.Cautions()}
		for i, s := range sums {
			x := page.RegionSum{
				Species:  options[i].Species.Name,
				Stations: s.stations,
				Without:  s.stations - s.safe,
				Earliest: "–",
				Latest:   "–",
			}
			if s.safe > 0 {
				x.Earliest, x.Latest = u.LongDate(s.earliest), u.LongDate(s.latest)
			}
			foot.Sums = append(foot.Sums, x)
		}
		return foot
	})
}
