package region

import (
	"cmp"
	"fmt"
	"strings"

	"swardcast/climate"
	"swardcast/cmd/internal/out"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// formats are the names of the forms, the default first.
var formats = []string{"text", "csv", "jsonl", "geojson", "lines", "html"}

// form is the form of a name.
func form(format string, m *report.Matrix, confidence float64, u words.System) *out.Stream[Row] {
	switch format {
	case "csv":
		return out.CSVStream[Row]()
	case "jsonl":
		return out.JSONLines[Row]()
	case "geojson":
		return out.GeoJSON(position)
	case "lines":
		return out.LinesStream(m, u, placeOf)
	case "html":
		return out.MatrixStream(m, report.MatrixKind, u, placeOf)
	}
	return textForm(confidence, m, u)
}

func position(r Row) out.Position {
	return out.Position{
		ID:         string(r.File) + "#" + r.Species,
		Longitude:  float64(r.Longitude),
		Latitude:   float64(r.Latitude),
		ElevationM: float64(r.ElevationM),
	}
}

func textForm(confidence float64, m *report.Matrix, u words.System) *out.Stream[Row] {
	const wide = 7
	date := func(head string, day func(Row) *climate.Day) out.Column[Row] {
		return out.Column[Row]{
			Head:  head,
			Width: wide,
			Right: true,
			Cell:  func(r Row) string { return u.DateOr(day(r)) },
		}
	}
	text := func(head string, wide int, cell func(Row) string) out.Column[Row] {
		return out.Column[Row]{Head: head, Width: wide, Right: true, Cell: cell}
	}
	middle := func(r Row) *climate.Day { return r.Middle }
	columns := []out.Column[Row]{
		{Head: "station", Width: 24, Cell: func(r Row) string { return string(r.Station) }},
		{Head: "species", Width: 22, Cell: func(r Row) string { return r.SpeciesName }},
	}
	level := fmt.Sprintf("%g %%", report.MiddleLevel(confidence))
	above := words.Wrap("", "Sow at each station between its opening and its last safe date: at 80 % the grass was "+
		"established in time in 8 of 10 autumns.") + "\n"
	if m.Sow == report.SowOn {
		columns = append(columns, date("safe", middle),
			text("chance", 10, func(r Row) string {
				if r.Sow == nil {
					return "–"
				}
				return words.Percent(float64(r.Chance))
			}),
			text("winter", 11, func(r Row) string { return cmp.Or(r.WinterRisk, "–") }))
		above = words.Wrap("", fmt.Sprintf("Sown on %s: the chance to make it before the cold, and the risk to be "+
			"lost over winter. Safe: the last safe date at %s.", m.SowDay, level)) + "\n"
	} else {
		columns = append(columns, date("opens", func(r Row) *climate.Day { return r.OpensP50 }),
			date("90 %", func(r Row) *climate.Day { return r.LastSafeP90 }), date(level, middle),
			date("50 %", func(r Row) *climate.Day { return r.LastSafeP50 }),
			date("cutoff", func(r Row) *climate.Day { return r.CutoffP50 }))
		columns[2].Width = wide - 1 // the gap before it is that of the species
		before := 0
		for _, c := range columns[:6] {
			before += c.Width
		}
		above += words.PadLeft("last safe at", before)
	}
	typical := "opens, cutoff: typical year. "
	if m.Sow == report.SowOn {
		typical = ""
	}
	note := typical + fmt.Sprintf("–: none, or fewer than %d usable autumns. "+
		"swardcast window FILE explains one station; --format csv has every figure.", forecast.MinSeasons)
	cautions := report.Section{Heading: "Cautions", List: report.Cautions()}
	return out.TextStream(strings.TrimSuffix(above, "\n"), columns, note, cautions)
}

// placeOf is the station that rows are of.
func placeOf(rows []Row) report.MatrixPlace { return *rows[0].Place }
