package page

import (
	"bytes"
	"fmt"
	"html/template"

	"swardcast/cmd/internal/words"
)

// A RegionPage is a page of many stations, written piece by piece: a table, of
// which its script makes a map, and finds, filters and sorts. The answer comes first,
// the coordinates last.
type RegionPage struct {
	Kind    string
	Answer  string
	Level   string // confidence of the column that the map shows, "80 %"
	Version string
	Metric  bool // dates as metric units have them
	Species []Choice
}

// A Choice is a name by its ID.
type Choice struct{ ID, Name string }

// A RegionRow is a station and species. A date is YYYY-MM-DD, "" for none.
type RegionRow struct {
	Station             string
	Latitude, Longitude float64 // NaN where not known
	SpeciesID, Species  string
	First               string // day of the season that the dates are for
	Seasons             int    // used
	Opens               RegionDate
	Safe90, Safe        RegionDate
	Safe50, Cutoff      RegionDate
}

// A RegionDate is a date as it is sorted and as it is shown.
type RegionDate struct{ Sorted, Shown string }

// A RegionSum is what all rows of a species come to.
type RegionSum struct {
	Species           string
	Stations, Without int
	Earliest, Latest  string // last safe dates
}

// regionColumns are the columns of the table; the first is the row's header.
var regionColumns = []struct{ Key, Head string }{
	{
		"station",
		"station",
	}, {"safe", "last safe, %s"}, {"species", "species"}, {"opens", "opens"}, {"safe90", "last safe, 90 %"},
	{
		"safe50",
		"last safe, 50 %",
	}, {"cutoff", "cutoff"}, {"seasons", "autumns used"}, {"lat", "latitude"}, {"lon", "longitude"},
}

var regionTmpl = template.Must(template.New("region").Funcs(template.FuncMap{
	"style":  func() template.CSS { return template.CSS(read("page.css")) },
	"script": func() template.JS { return template.JS(read("region.js")) },
	"glued":  words.Unbroken,
	"degrees": func(v float64) string {
		if v != v {
			return ""
		}
		return fmt.Sprintf("%.4g", v)
	},
	"exact": func(v float64) string {
		if v != v {
			return ""
		}
		return fmt.Sprintf("%.6g", v)
	},
}).Parse(read("top.html") + read("region.html")))

func regionPart(name string, data any) []byte {
	var b bytes.Buffer
	if err := regionTmpl.ExecuteTemplate(&b, name, data); err != nil {
		panic("page: " + err.Error()) // the types of a row can all be written
	}
	return b.Bytes()
}

// Head is what stands before the first row.
func (p *RegionPage) Head() []byte {
	type column struct{ Key, Head string }
	var columns []column
	for _, c := range regionColumns {
		head := c.Head
		if c.Key == "safe" {
			head = fmt.Sprintf(head, p.Level)
		}
		columns = append(columns, column{c.Key, head})
	}
	return regionPart("head", struct {
		*RegionPage
		Columns []column
	}{p, columns})
}

// Rows are the rows of a station.
func (p *RegionPage) Rows(rows []RegionRow) []byte { return regionPart("rows", rows) }

// Foot is what stands behind the last row.
func (p *RegionPage) Foot(sums []RegionSum, settings, accuracy string, cautions []string) []byte {
	return regionPart("foot", struct {
		*RegionPage
		Sums               []RegionSum
		Settings, Accuracy string
		Cautions           []string
	}{p, sums, settings, accuracy, cautions})
}
