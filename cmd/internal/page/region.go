//go:build !js

package page

import (
	"embed"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

// regionRows is the most rows of a table that a script lays out at a time; readers ask for
// more. Without a script every row is there.
const regionRows = 100

// A regionView is what the page shows of many places.
type regionView struct {
	Kind, Answer, Version string
	Metric                bool
	Several               bool // more than one species
	Chances               bool // chances are of a day that was asked for
	SowHead, Level        string
	BestHead              string
	Species               []report.MatrixSpecies
	Maps                  []regionMap
	Head                  []regionHead
	Rows, Rest            []regionRow // Rest is for readers without a script
	Total                 int
	Sums                  []regionSum
	SumHead               []regionHead
	Settings, Accuracy    string
	Cautions              []string
	Data                  []byte // JSON
}

// A regionHead is the head of a column. A narrow screen leaves out those of class wide, paper
// those of class once, which repeat what stands beside them.
type regionHead struct{ Head, Class string }

type regionRow struct {
	Name  string
	Why   string // instead of cells
	Span  int    // of Why
	Cells []regionCell
}

type regionCell struct {
	Text, Beneath, Class string
}

type regionSum struct {
	Name  string
	Cells []regionCell
}

//go:embed region.css region.js
var regionFiles embed.FS

// Region writes the page of a matrix: its map, its table and, for each place, its window.
func Region(m *report.Matrix, kind string, u words.System, version string) ([]byte, error) {
	v := &regionView{Kind: kind, Answer: m.Headline(u, -1), Version: version, Metric: u == words.Metric,
		Several: len(m.Species) > 1, Chances: m.Sow != report.SowLastSafe, Level: fmt.Sprintf("%g %%", m.Level),
		Species: m.Species, Settings: m.Settings, Accuracy: report.Accuracy, Cautions: m.Cautions, Total: len(m.Places)}
	v.SowHead = "chance"
	if m.SowDay != "" {
		v.SowHead = "chance, sown " + m.SowDay
	}
	v.BestHead = bestHead(m)
	v.Maps = regionMaps(m, u)
	v.Head = v.heads()
	for i := range m.Places {
		v.Rows = append(v.Rows, v.row(m, &m.Places[i], u))
	}
	if len(v.Rows) > regionRows {
		v.Rows, v.Rest = v.Rows[:regionRows], v.Rows[regionRows:]
	}
	v.sums(m, u)
	var err error
	if v.Data, err = json.Marshal(regionDataOf(m, v.Maps, u)); err != nil {
		return nil, err
	}
	var w writer
	w.region(v)
	return w.Bytes(), nil
}

// bestHead is what the species to choose is called.
func bestHead(m *report.Matrix) string {
	if m.Sow != report.SowLastSafe {
		return "most likely species"
	}
	return "species with most time"
}

// heads are those of the table as it is without a script: of the one species, or of all.
func (v *regionView) heads() []regionHead {
	list := []regionHead{{"place", ""}, {"last safe, " + v.Level, "once"}}
	if v.Chances {
		list = append(list, regionHead{v.SowHead, "once"})
	}
	if v.Several {
		list = append(list, regionHead{v.BestHead, "once"})
		for _, s := range v.Species {
			list = append(list, regionHead{s.Name, "wide"})
		}
		return list
	}
	list = append(list, regionHead{"winter risk", ""})
	for _, head := range []string{"opens", "last safe, 90 %", "last safe, 50 %", "cutoff", "autumns used"} {
		list = append(list, regionHead{head, "wide"})
	}
	return list
}

// stateText says what there is instead of a last safe date.
var stateText = map[report.State]string{
	report.WithoutDate:   "none",
	report.WithoutCutoff: "no cutoff",
	report.FewSeasons:    "too few autumns",
}

func (v *regionView) row(m *report.Matrix, p *report.MatrixPlace, u words.System) regionRow {
	r := regionRow{Name: p.Name}
	if p.Cells == nil {
		r.Why, r.Span = p.Why, len(v.Head)-1
		return r
	}
	date := func(d int16) string { return words.Unbroken(report.MatrixDate(u, p.South, d)) }
	safe := func(c *report.Cell) string {
		if c.State == report.Dated {
			return date(c.Safe)
		}
		return stateText[c.State]
	}
	chance := func(c *report.Cell) string {
		if c.Sow == report.NoDay {
			return "–"
		}
		return words.Unbroken(words.Percent(float64(c.Chance)))
	}
	if !v.Several {
		c := &p.Cells[0]
		r.Cells = append(r.Cells, regionCell{Text: safe(c), Class: v.class(m, c)})
		if v.Chances {
			r.Cells = append(r.Cells, regionCell{Text: chance(c)})
		}
		winter := c.Winter
		if winter == "" {
			winter = "–"
		}
		r.Cells = append(r.Cells, regionCell{Text: winter})
		for _, d := range []int16{c.Opens, c.Safe90, c.Safe50, c.Cutoff} {
			r.Cells = append(r.Cells, regionCell{Text: date(d), Class: "wide"})
		}
		r.Cells = append(r.Cells, regionCell{Text: strconv.Itoa(p.Seasons), Class: "wide"})
		return r
	}
	name, date1, chance1, class := "none", "–", "–", ""
	best := m.Best(p)
	endless := func(c report.Cell) bool { return c.State == report.WithoutCutoff }
	switch {
	case best < 0 && !v.Chances && slices.ContainsFunc(p.Cells, endless):
		name, date1 = "any", stateText[report.WithoutCutoff]
	case best >= 0:
		c := &p.Cells[best]
		name, date1, chance1, class = m.Species[best].Name, safe(c), chance(c), v.class(m, c)
	}
	r.Cells = append(r.Cells, regionCell{Text: date1, Class: strings.TrimSpace("once " + class)})
	if v.Chances {
		r.Cells = append(r.Cells, regionCell{Text: chance1, Class: strings.TrimSpace("once " + class)})
	}
	r.Cells = append(r.Cells, regionCell{Text: name, Class: "once"})
	for i := range p.Cells {
		c := &p.Cells[i]
		cell := regionCell{Text: safe(c), Class: strings.TrimSpace("wide " + v.class(m, c))}
		if v.Chances {
			cell.Beneath = chance(c)
		}
		r.Cells = append(r.Cells, cell)
	}
	return r
}

// sums are what each species comes to over the places.
func (v *regionView) sums(m *report.Matrix, u words.System) {
	both := m.Hemispheres()
	dates, cutoffs := 0, 0
	for _, south := range both {
		for i := range m.Species {
			x := m.Sum(i, south)
			dates, cutoffs = dates+x.WithoutDate, cutoffs+x.WithoutCutoff
		}
	}
	class := ""
	if v.Chances {
		class = "wide" // a narrow screen has no room for dates and counts
	}
	type column struct {
		regionHead
		cell func(report.MatrixSum) string
		on   bool
	}
	date := func(d int16, south bool) string { return report.MatrixDate(u, south, d) }
	columns := slices.DeleteFunc([]column{
		{regionHead{"earliest", class}, func(x report.MatrixSum) string { return date(x.Earliest, x.South) }, true},
		{regionHead{"median", ""}, func(x report.MatrixSum) string { return date(x.Middle, x.South) }, true},
		{regionHead{"latest", class}, func(x report.MatrixSum) string { return date(x.Latest, x.South) }, true},
		{regionHead{"likely at", ""}, func(x report.MatrixSum) string {
			return fmt.Sprintf("%d\u00a0of\u00a0%d", x.Likely, x.Places)
		}, v.Chances},
		{regionHead{"gamble at", ""}, func(x report.MatrixSum) string { return strconv.Itoa(x.Doubtful) }, v.Chances},
		{regionHead{"no date at", "wide"}, func(x report.MatrixSum) string { return strconv.Itoa(x.WithoutDate) },
			dates > 0},
		{regionHead{"no cutoff at", "wide"}, func(x report.MatrixSum) string { return strconv.Itoa(x.WithoutCutoff) },
			cutoffs > 0},
	}, func(c column) bool { return !c.on })
	v.SumHead = []regionHead{{"species", ""}}
	for _, c := range columns {
		v.SumHead = append(v.SumHead, c.regionHead)
	}
	for _, south := range both {
		for i, s := range m.Species {
			x := m.Sum(i, south)
			row := regionSum{Name: s.Name}
			if len(both) > 1 {
				row.Name += map[bool]string{false: ", north", true: ", south"}[south]
			}
			for _, c := range columns {
				row.Cells = append(row.Cells, regionCell{Text: c.cell(x), Class: c.Class})
			}
			v.Sums = append(v.Sums, row)
		}
	}
}

// regionData is what the script needs. Of each place the cells of its species stand in one
// text, a code of two characters each; where all are alike there is one code.
type regionData struct {
	Species []string          `json:"species"`
	Level   string            `json:"level"`
	Sow     string            `json:"sow"` // head of the chances; "" for none of a day that was asked for
	Heads   []regionHead      `json:"-"`
	Best    string            `json:"best"`    // head of the species to choose
	Folder  string            `json:"folder"`  // of every file
	Answers []string          `json:"answers"` // of all species, then of each
	Maps    []regionMapData   `json:"maps"`
	Places  []regionPlace     `json:"places"`
	States  map[string]string `json:"states"`
	Winters map[string]string `json:"winters"`
}

type regionMapData struct {
	South bool            `json:"south"`
	Steps [][]regionStep  `json:"steps"` // by species; the last of the species to choose
	Cells []regionSurface `json:"cells"` // as Steps
	Wide  int             `json:"wide"`  // cells a row
	Best  []int           `json:"best"`  // species to choose, the one at most places first
}

type regionStep struct {
	From  int16  `json:"from"`
	Label string `json:"label"`
	Class int    `json:"class"`
}

// A regionPlace is a place: name, file, map, x, y, latitude, longitude, elevation, season,
// autumns, the species to choose, why there is no answer; then opens, cutoff, safe90, safe,
// safe50, sow, chance, state, winter.
type regionPlace []any

const digits = "0123456789abcdefghijklmnopqrstuvwxyz"

// code writes a number of up to 1295 in two characters, "--" for none.
func code(n int) string {
	if n < 0 || n >= len(digits)*len(digits) {
		return "--"
	}
	return string([]byte{digits[n/len(digits)], digits[n%len(digits)]})
}

// dayShift is added to days before they are written: a sowing may come before its season.
const dayShift = 100

func dayCode(d int16) string {
	if d == report.NoDay {
		return "--"
	}
	return code(int(d) + dayShift)
}

// chanceCode is ten times the chance in percent, as it is printed, and whether it is likely
// (2), a gamble (1) or not worth sowing.
func chanceCode(m *report.Matrix, c *report.Cell) string {
	if c.Sow == report.NoDay || math.IsNaN(float64(c.Chance)) {
		return "--"
	}
	text, standing := words.Percent(float64(c.Chance)), 0
	percent, err := strconv.Atoi(strings.TrimSuffix(text, " %"))
	switch {
	case err != nil && text[0] == '>':
		percent = 100
	case err != nil:
		percent = 0
	}
	if m.Likely(c) {
		standing = 2
	} else if m.MakesIt(c) {
		standing = 1
	}
	return code(10*percent + standing)
}

// stateCodes and winterCodes are the characters of a state and of a risk.
const (
	stateCodes  = "dnof" // of report.Dated, WithoutDate, WithoutCutoff, FewSeasons
	winterCodes = "lmhu" // low, moderate, high, unknown
)

func regionDataOf(m *report.Matrix, maps []regionMap, u words.System) *regionData {
	d := &regionData{Best: bestHead(m), Level: fmt.Sprintf("%g %%", m.Level),
		States:  map[string]string{},
		Winters: map[string]string{"l": "low", "m": "moderate", "h": "high", "u": "unknown", "-": "–"}}
	for s, text := range stateText {
		d.States[string(stateCodes[s])] = text
	}
	if m.Sow != report.SowLastSafe {
		d.Sow = "chance"
		if m.SowDay != "" {
			d.Sow = "chance, sown " + m.SowDay
		}
	}
	for i := -1; i < len(m.Species); i++ {
		d.Answers = append(d.Answers, words.Unbroken(m.Headline(u, i)))
	}
	for _, s := range m.Species {
		d.Species = append(d.Species, s.Name)
	}
	d.Folder = folderOf(m.Places)
	at := map[int]placed{}
	for k := range maps {
		x := regionMapData{South: maps[k].South, Best: maps[k].best, Cells: maps[k].drawn,
			Wide: int(math.Ceil(maps[k].Width / cellSize))}
		for i := range m.Species {
			x.Steps = append(x.Steps, stepsOf(m, u, i, maps[k].South))
		}
		x.Steps = append(x.Steps, stepsOf(m, u, -1, maps[k].South))
		d.Maps = append(d.Maps, x)
		for _, p := range maps[k].placed {
			p.of = k
			at[p.place] = p
		}
	}
	for i := range m.Places {
		d.Places = append(d.Places, placeData(m, &m.Places[i], d.Folder, at, i))
	}
	return d
}

// folderOf is what the names of all files begin with, up to the last slash.
func folderOf(places []report.MatrixPlace) string {
	if len(places) == 0 {
		return ""
	}
	folder := places[0].File
	for i := range places {
		for !strings.HasPrefix(places[i].File, folder) {
			folder = folder[:len(folder)-1]
		}
	}
	return folder[:strings.LastIndexByte(folder, '/')+1]
}

func placeData(m *report.Matrix, p *report.MatrixPlace, folder string, at map[int]placed, i int) regionPlace {
	number := func(v float64) any {
		if math.IsNaN(v) {
			return nil
		}
		return math.Round(v*100) / 100
	}
	row := regionPlace{p.Name, strings.TrimPrefix(p.File, folder), nil, nil, nil, number(p.Latitude),
		number(p.Longitude), number(p.ElevationM)}
	if q, ok := at[i]; ok {
		row[2], row[3], row[4] = q.of, math.Round(q.x*10)/10, math.Round(q.y*10)/10
	}
	if p.Cells == nil {
		return append(row, 0, 0, -1, p.Why)
	}
	south := 0
	if p.South {
		south = 1
	}
	row = append(row, p.Season, p.Seasons, m.Best(p), south)
	for _, of := range []func(*report.Cell) string{
		func(c *report.Cell) string { return dayCode(c.Opens) },
		func(c *report.Cell) string { return dayCode(c.Cutoff) },
		func(c *report.Cell) string { return dayCode(c.Safe90) },
		func(c *report.Cell) string { return dayCode(c.Safe) },
		func(c *report.Cell) string { return dayCode(c.Safe50) },
		func(c *report.Cell) string { return dayCode(c.Sow) },
		func(c *report.Cell) string { return chanceCode(m, c) },
		func(c *report.Cell) string {
			winter := "-"
			if i := slices.Index([]string{"low", "moderate", "high", "unknown"}, c.Winter); i >= 0 {
				winter = winterCodes[i : i+1]
			}
			return stateCodes[c.State:c.State+1] + winter
		},
	} {
		row = append(row, packedCodes(p.Cells, of))
	}
	return row
}

// packedCodes are the codes of every cell, or the one that all have.
func packedCodes(cells []report.Cell, of func(*report.Cell) string) string {
	var b strings.Builder
	first, alike := of(&cells[0]), true
	for i := range cells {
		c := of(&cells[i])
		alike = alike && c == first
		b.WriteString(c)
	}
	if alike {
		return first
	}
	return b.String()
}
