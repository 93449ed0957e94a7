package recordfile

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"time"

	"swardcast/climate"
)

// Files that have a month a row, with a column a day, are turned into rows of one
// element, 31 of each line: a day that the month does not have is a blank line.
const daysOfRow = 31

// monthColumns are those of the rows that they are turned into.
var monthColumns = []string{"ID", "DATE", "ELEMENT", "VALUE", "MFLAG", "QFLAG", "SFLAG", "TIME"}

// A monthRow is where the parts of such a row stand.
type monthRow struct {
	fixed                         bool // GHCN-Daily station files, .dly
	station, year, month, element int  // columns, -1 for none
	first                         int  // column of day 1; the others follow
	step                          int  // columns from day to day
	delimiter                     rune // ' ' for runs of blanks
	columns                       []Column
}

// dlyLine is the beginning of a line of a GHCN-Daily station file: ID, year, month and
// element, then value and three flags of every day (readme.txt of NOAA NCEI, III).
var dlyLine = regexp.MustCompile(`^[A-Z]{2}[A-Z0-9_-]{9}(?:1[789]|20)\d{2}(?:0[1-9]|1[0-2])[A-Z0-9]{4}[ -]`)

const dlyWidth = 21 + 8*daysOfRow

// fixedMonths recognises the first line of a GHCN-Daily station file.
func fixedMonths(line string) *layout {
	if len(line) < dlyWidth-8*3-3 || len(line) > dlyWidth || !dlyLine.MatchString(line) {
		return nil
	}
	l, _, _ := headerLayout(monthColumns, nil)
	l.noHeader, l.delimiter, l.name = true, ',', "GHCN-Daily, a month and an element a row"
	l.months = &monthRow{fixed: true, columns: []Column{{1, "characters 1 to 11", meaning[roleStation]},
		{2, "12 to 15", meaning[roleYear]}, {3, "16 and 17", meaning[roleMonth]},
		{4, "18 to 21", meaning[roleElement]}, {5, "22 and on", "values of the days with their flags"}}}
	l.units[roleTMax], l.units[roleTMin], l.units[rolePrecip] = string(TenthsC), string(TenthsC), ""
	return l
}

var dayColumn = regexp.MustCompile(`(?i)^(?:day|d|value|val|v)?[ _-]?0?([1-9]|[12]\d|3[01])$`)

// monthLayout recognises a header with a column a day of the month beside year, month
// and element.
func monthLayout(line string) *layout {
	for _, delimiter := range append([]rune{' '}, delimiters...) {
		if n := strings.Count(line, string(delimiter)); n < daysOfRow || n > maxColumns {
			continue
		}
		if l := monthHeader(cut(line, delimiter), delimiter); l != nil {
			return l
		}
	}
	return nil
}

// cut takes a line apart at a delimiter, at runs of blanks where it is a blank.
func cut(line string, delimiter rune) []string {
	if delimiter == ' ' {
		return strings.Fields(line)
	}
	return splitLine(line, delimiter)
}

// monthHeader is the layout of a header with a column a day, or nil.
func monthHeader(fields []string, delimiter rune) *layout {
	m := &monthRow{station: -1, year: -1, month: -1, element: -1, first: -1, delimiter: delimiter}
	last, at := 0, 0
	for i, f := range fields {
		f = strings.TrimSpace(strings.TrimPrefix(f, "\ufeff"))
		if d := dayColumn.FindStringSubmatch(f); d != nil {
			n, _ := strconv.Atoi(d[1])
			switch {
			case n != last+1:
				continue
			case n == 1:
				m.first = i
			case n == 2:
				m.step = i - at
			case i-at != m.step:
				return nil
			}
			last, at = n, i
			continue
		}
		for _, x := range meanings(f) {
			to := map[role]*int{roleStation: &m.station, roleYear: &m.year, roleMonth: &m.month, roleElement: &m.element}[x.role]
			if to != nil && *to < 0 {
				*to = i
				m.columns = append(m.columns, Column{i + 1, f, meaning[x.role]})
			}
		}
	}
	if last < daysOfRow || m.year < 0 || m.month < 0 || m.element < 0 {
		return nil
	}
	l, _, _ := headerLayout(monthColumns, nil)
	l.noHeader, l.delimiter, l.name, l.months = true, ',', "a month a row", m
	l.decimalComma = delimiter != ','
	m.columns = append(m.columns, Column{m.first + 1, strings.TrimSpace(fields[m.first]),
		"values of the days, here and in the columns behind"})
	if m.station < 0 {
		l.roles[0] = roleNone
	}
	return l
}

// A monthReader turns such rows into rows of one element.
type monthReader struct {
	in     *bufio.Reader
	row    *monthRow
	out    bytes.Buffer
	header bool // still to come
}

func newMonthReader(in *bufio.Reader, row *monthRow) io.Reader {
	return &monthReader{in: in, row: row, header: !row.fixed}
}

func (m *monthReader) Read(p []byte) (int, error) {
	for m.out.Len() == 0 {
		line, err := m.in.ReadString('\n')
		if line == "" {
			return 0, err
		}
		line = strings.TrimRight(line, "\r\n")
		switch {
		case m.header:
			m.header = false
		case m.row.fixed:
			m.fixed(line)
		default:
			m.columns(line)
		}
		if m.out.Len() == 0 {
			m.out.WriteString(strings.Repeat("\n", daysOfRow))
		}
	}
	return m.out.Read(p)
}

// day writes a row of one element, a blank line for a day that is none or has no value.
func (m *monthReader) day(station string, year, month, day int, element, value, flags string) {
	if value == "" || value == "-9999" || !climate.ValidDate(year, time.Month(month), day) {
		m.out.WriteByte('\n')
		return
	}
	fmt.Fprintf(&m.out, "%s,%04d%02d%02d,%s,%s,%s,\n", station, year, month, day, element, value, flags)
}

func (m *monthReader) fixed(line string) {
	if len(line) < 21 {
		return
	}
	element := line[17:21]
	if element != "TMAX" && element != "TMIN" && element != "PRCP" {
		return
	}
	year, errY := strconv.Atoi(line[11:15])
	month, errM := strconv.Atoi(line[15:17])
	if errY != nil || errM != nil {
		return
	}
	line += strings.Repeat(" ", max(0, dlyWidth-len(line)))
	for d := range daysOfRow {
		cell := line[21+8*d:]
		m.day(line[:11], year, month, d+1, element, fixedCell(cell[:5]),
			fixedCell(cell[5:6])+","+fixedCell(cell[6:7])+","+fixedCell(cell[7:8]))
	}
}

// fixedCell is a part of a line of fixed width as a cell.
func fixedCell(s string) string {
	return strings.Map(func(r rune) rune {
		if r == ',' || r == '"' || r == '#' {
			return '?'
		}
		return r
	}, strings.TrimSpace(s))
}

func (m *monthReader) columns(line string) {
	fields := cut(line, m.row.delimiter)
	cell := func(i int) string {
		if i < 0 || i >= len(fields) {
			return ""
		}
		return strings.TrimSpace(fields[i])
	}
	year, okY := yearOf(cell(m.row.year))
	month, errM := strconv.Atoi(cell(m.row.month))
	if errM != nil {
		named, ok := monthOf(cell(m.row.month))
		month = int(named)
		if !ok {
			return
		}
	}
	element := elementName(cell(m.row.element))
	if !okY || element == "" {
		return
	}
	for d := range daysOfRow {
		value := cell(m.row.first + m.row.step*d)
		m.day(escaped(cell(m.row.station)), year, month, d+1, escaped(element), escaped(value), ",,")
	}
}

// escaped is a cell of CSV.
func escaped(s string) string {
	if !strings.ContainsAny(s, ",\"\r\n#") {
		return s
	}
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.Write([]string{s})
	w.Flush()
	return strings.TrimSuffix(b.String(), "\n")
}

// elementName is the name by which GHCN-Daily knows an element, "" for one that does
// not matter here.
func elementName(s string) string {
	switch s {
	case "TMAX", "TMIN", "PRCP":
		return s
	}
	for _, m := range meanings(s) {
		if name := map[role]string{roleTMax: "TMAX", roleTMin: "TMIN", rolePrecip: "PRCP"}[m.role]; name != "" && m.fits() {
			return name
		}
	}
	return ""
}
