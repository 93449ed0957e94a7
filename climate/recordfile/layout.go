package recordfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// A layout is how a file is laid out: where its header stands and what each
// column holds.
type layout struct {
	name         string
	skip         int // lines before the header, or before the rows where there is none
	header       []string
	noHeader     bool // the header is not in the file
	one          bool // one of the two temperatures is in the file
	generic      bool // the names say which extremes they are, but not of what
	moment       bool // one temperature a row, several rows a day
	endOfDay     bool // its dates are the ends of the days
	delimiter    rune
	blanks       bool      // columns stand between runs of blanks
	months       *monthRow // a month a row; nil for other layouts
	decimalComma bool
	roles        []role
	units        map[role]string // as the header gives them
	// What the quality flags of the temperatures say, where they have columns, and the
	// columns of flags that are not used.
	maxFlag, minFlag flagRule
	unused           []string
	attributes       bool // the column of the quality flag has others beside it, between commas
}

// addForecast gives the columns that only a forecast has their roles.
func (l *layout) addForecast() {
	for i, h := range l.header {
		parts, unit := nameParts(h)
		name := strings.Join(parts, "")
		for r, list := range forecastWords {
			if l.roles[i] == roleNone && !l.has(r) && slices.Contains(list, name) {
				l.roles[i] = r
				l.units[r] = unit
			}
		}
	}
}

// long reports whether each row holds one element of one day.
func (l *layout) long() bool { return slices.Contains(l.roles, roleElement) }

func (l *layout) has(r role) bool { return slices.Contains(l.roles, r) }

// column returns the index of a role's column, or -1.
func (l *layout) column(r role) int { return slices.Index(l.roles, r) }

// maxPreamble is how many lines can stand before the header.
const maxPreamble = 400

// Columns of layouts that come without a header.
var (
	// GHCN-Daily by year and by station: readme-by_year.txt of NOAA NCEI.
	ghcnColumns = []string{"ID", "DATE", "ELEMENT", "VALUE", "MFLAG", "QFLAG", "SFLAG", "TIME"}
	// US Climate Reference Network daily01: readme.txt of NOAA NCEI; the
	// columns that matter here, of 28.
	uscrnColumns = []string{"WBANNO", "DATE", "CRX_VN", "LONGITUDE", "LATITUDE", "TMAX_C", "TMIN_C", "T_MEAN", "T_AVG",
		"PRCP_MM"}
)

const uscrnWidth = 28

// asked is what the user says a column holds, by its name or number.
type asked map[role]string

// askable are the roles a user can give to a column.
var askable = []role{roleDate, roleYear, roleMonth, roleDay, roleYearDay, roleTime, roleTMax, roleTMin, roleTemp,
	rolePrecip, roleStation, roleElement, roleValue}

func askedColumns(columns map[string]string) (asked, error) {
	a := asked{}
	for _, k := range slices.Sorted(maps.Keys(columns)) {
		v, r := columns[k], role(strings.ToLower(strings.TrimSpace(k)))
		if _, twice := a[r]; twice {
			return nil, &OptionError{"Columns", fmt.Sprintf("the column of the %s is given twice", r)}
		}
		if !slices.Contains(askable, r) {
			return nil, &OptionError{"Columns",
				fmt.Sprintf("a column cannot be %q; it can be one of %s", k, strings.Join(askableNames(), ", "))}
		}
		a[r] = strings.TrimSpace(v)
	}
	return a, nil
}

func askableNames() []string {
	names := make([]string, len(askable))
	for i, r := range askable {
		names[i] = string(r)
	}
	return names
}

// column returns the index of the column a name or number stands for, or -1. A
// name of the header goes before a number.
func (a asked) column(r role, header []string) int {
	for i, h := range header {
		if strings.EqualFold(strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")), a[r]) {
			return i
		}
	}
	if n, err := strconv.Atoi(a[r]); err == nil && n >= 1 && n <= len(header) {
		return n - 1
	}
	return -1
}

// byNumber reports whether every column asked for is a number, so that the file
// may lack a header.
func (a asked) byNumber() bool {
	for _, v := range a {
		if _, err := strconv.Atoi(v); err != nil {
			return false
		}
	}
	return len(a) > 0
}

// sniff finds the layout in the first part of a file. With one, the layout may have one
// of the two temperatures.
func sniff(head []byte, name string, ask asked, one bool) (*layout, error) {
	l, err := sniffBoth(head, name, ask)
	var e *Error
	if !one || !errors.As(err, &e) || e.Kind != MissingColumn {
		return l, err
	}
	// The column that is missing is taken to stand behind the others.
	lines := bytes.Split(head, []byte("\n"))
	if e.Line < 1 || e.Line > len(lines) {
		return l, err
	}
	line := strings.TrimRight(string(lines[e.Line-1]), "\r")
	for _, delimiter := range delimiters {
		fields := splitLine(line, delimiter)
		if len(fields) < 2 || len(fields) >= maxColumns {
			continue
		}
		more := maps.Clone(ask)
		if more == nil {
			more = asked{}
		}
		more[role(e.Field)] = strconv.Itoa(len(fields) + 1)
		if l, _, _ := headerLayout(append(fields, "none"), more); l != nil && !l.moment {
			i := len(fields)
			l.header, l.roles = l.header[:i], l.roles[:i]
			l.skip, l.delimiter, l.decimalComma = e.Line-1, delimiter, delimiter != ','
			l.name, l.one = "one row a day, of one temperature", true
			return l, nil
		}
	}
	return nil, err
}

func sniffBoth(head []byte, name string, ask asked) (*layout, error) {
	// A line behind # is a comment, unless nothing else is a header.
	l, err := sniffLines(head, name, ask, func(line string) bool { return !strings.HasPrefix(line, "#") })
	if err != nil {
		if commented, _ := sniffLines(head, name, ask, func(string) bool { return true }); commented != nil {
			return commented, nil
		}
	}
	return l, err
}

func sniffLines(head []byte, name string, ask asked, look func(line string) bool) (*layout, error) {
	// As many lines as are looked at; the last holds the rest.
	lines := bytes.SplitN(head, []byte("\n"), maxPreamble+lookedForDates+1)
	var closest []match // of the line that came nearest to being a header
	closestLine := 0
	var lesser *layout   // that will do where no header has both extremes
	var byValues *layout // that names no date, where a column holds dates
	for i, raw := range lines[:min(len(lines), maxPreamble)] {
		line := strings.TrimRight(string(raw), "\r")
		if !look(line) {
			continue
		}
		if l := headerless(line); l != nil && len(ask) == 0 {
			l.skip = i
			return l, nil
		}
		if l := blankHeader(line, lines[i+1:], ask); l != nil {
			if l.skip = i; l.noHeader {
				l.skip++
			}
			return l, nil
		}
		if l := monthLayout(line); l != nil && len(ask) == 0 {
			l.skip = i
			return l, nil
		}
		var best *layout
		agree := -1
		var fault error
		for _, delimiter := range delimiters {
			fields := splitLine(line, delimiter)
			if len(fields) < 2 {
				continue
			}
			if len(fields) > maxColumns {
				return nil, &Error{Kind: TooLarge, File: name, Line: i + 1,
					Message: fmt.Sprintf("the line has %d columns; at most %d are read", len(fields), maxColumns)}
			}
			if ask.byNumber() && dataRow(fields, ask) {
				// A row that holds data where the columns asked for stand:
				// there is no header.
				names := make([]string, len(fields))
				for k := range names {
					names[k] = fmt.Sprintf("column %d", k+1)
				}
				if l, _, _ := headerLayout(names, ask); l != nil {
					l.skip, l.delimiter, l.noHeader, l.decimalComma = i, delimiter, true, delimiter != ','
					return l, nil
				}
			}
			l, found, two := groupedLayout(lines, i, fields, delimiter, ask)
			if two != nil && fault == nil {
				fault = &Error{Kind: AmbiguousColumn, Field: string(two.role), File: name, Line: i + 1,
					Message: two.message}
			}
			if l != nil && l.moment {
				if lesser == nil {
					lesser = l
					l.skip, l.delimiter, l.decimalComma = i, delimiter, delimiter != ','
				}
				l = nil
			}
			if l != nil {
				if n := agreement(lines[i+1:], delimiter, l); n > agree {
					l.skip, l.delimiter, l.decimalComma = i, delimiter, delimiter != ','
					best, agree = l, n
				}
			}
			if byValues == nil && l == nil && two == nil {
				byValues = datedByValues(fields, lines[i+1:], delimiter, found, ask)
				if byValues != nil {
					byValues.skip, byValues.delimiter, byValues.decimalComma = i, delimiter, delimiter != ','
				}
			}
			if len(found) > len(closest) {
				closest, closestLine = found, i+1
			}
		}
		switch {
		case best != nil:
			return best, nil
		case fault != nil:
			return nil, fault
		}
	}
	switch {
	case byValues != nil:
		return byValues, nil
	case lesser != nil:
		return lesser, nil
	}
	if len(ask) > 0 && len(closest) == 0 {
		return nil, &Error{Kind: AskedColumn, File: name, Line: 1,
			Message: "no header was found that has every column asked for"}
	}
	return nil, noHeader(name, closest, closestLine)
}

// lookedForDates is how many lines below a header are looked through for a column of
// dates that its name does not tell.
const lookedForDates = 12

// datedByValues is the layout of a header that names the temperatures but no date,
// where just one column holds dates; nil for another.
func datedByValues(fields []string, below [][]byte, delimiter rune, found []match, ask asked) *layout {
	has := func(r role) bool {
		return ask[r] != "" || slices.ContainsFunc(found, func(m match) bool { return m.role == r })
	}
	if ask[roleDate] != "" || !(has(roleTMax) && has(roleTMin) || has(roleElement) && has(roleValue) || has(roleTemp)) {
		return nil
	}
	dates := make([]int, len(fields)) // cells that are dates, -1 for a column that holds others
	for _, raw := range below[:min(len(below), lookedForDates)] {
		for i, cell := range splitLine(strings.TrimRight(string(raw), "\r"), delimiter) {
			form := formUnknown
			switch _, ok := parseDate(cell, &form); {
			case i >= len(fields) || dates[i] < 0 || strings.TrimSpace(cell) == "":
			case ok && form != formSerial && form != formYearDay:
				dates[i]++
			default:
				dates[i] = -1
			}
		}
	}
	column := -1
	for i, n := range dates {
		if n > 1 || n == 1 && len(below) == 1 {
			if column >= 0 {
				return nil
			}
			column = i
		}
	}
	if column < 0 {
		return nil
	}
	more := maps.Clone(ask)
	if more == nil {
		more = asked{}
	}
	more[roleDate] = strconv.Itoa(column + 1)
	l, _, _ := headerLayout(fields, more)
	return l
}

// delimiters are those that columns can stand between, beside blanks.
var delimiters = []rune{',', ';', '\t', '|'}

// agreement counts the next lines, of ten, that have the columns of the layout.
func agreement(below [][]byte, delimiter rune, l *layout) int {
	needed := 0
	for i, r := range l.roles {
		if r == roleDate || r == roleTMax || r == roleTMin || r == roleValue {
			needed = max(needed, i)
		}
	}
	n := 0
	for _, line := range below[:min(len(below), 10)] {
		if bytes.Count(line, []byte(string(delimiter))) >= needed {
			n++
		}
	}
	return n
}

// groupedLayout is headerLayout of a line, or of the line with the names of groups
// of columns that stand above it, such as Air over Max and Min.
func groupedLayout(
	lines [][]byte,
	at int,
	fields []string,
	delimiter rune,
	ask asked,
) (*layout, []match, *twoColumns) {
	l, found, two := headerLayout(fields, ask)
	if at > 0 && (l == nil || l.moment) {
		for _, names := range stackedNames(lines[at-1], fields, delimiter) {
			if s, _, _ := headerLayout(names, ask); s != nil && !s.generic && !s.moment {
				return s, found, nil
			}
		}
	}
	if at == 0 || l != nil && (!l.generic || l.moment) {
		return l, found, two
	}
	group := ""
	above := splitLine(strings.TrimRight(string(lines[at-1]), "\r"), delimiter)
	if len(above) < 2 || len(above) > len(fields) {
		return l, found, two
	}
	names := slices.Clone(fields)
	for i, name := range names {
		if i < len(above) && strings.TrimSpace(above[i]) != "" {
			group = strings.TrimSpace(above[i])
		}
		if ms := meanings(name); slices.ContainsFunc(ms, func(m match) bool { return m.generic() }) {
			names[i] = group + " " + name
		}
	}
	if grouped, _, both := headerLayout(names, ask); grouped != nil || both != nil {
		if grouped != nil {
			grouped.header = fields
		}
		return grouped, found, both
	}
	if l != nil {
		// What the groups say is not the air.
		return nil, found, &twoColumns{roleTMax,
			fmt.Sprintf("columns %d and %d (%s) do not say what they are the extremes of",
				l.column(roleTMax)+1, l.column(roleTMin)+1, strings.Join(above, ","))}
	}
	return l, found, two
}

// stackedNames are the names of columns that stand on two lines, such as Hi over Temp:
// each by itself, and with the upper ones over all columns up to the next.
func stackedNames(raw []byte, fields []string, delimiter rune) [][]string {
	above := splitLine(strings.TrimRight(string(raw), "\r"), delimiter)
	blank := func(s string) bool { return strings.TrimSpace(s) == "" }
	if len(above) != len(fields) || !slices.ContainsFunc(above, blank) {
		return nil
	}
	each, over, group := make([]string, len(fields)), make([]string, len(fields)), ""
	for i, name := range fields {
		if strings.TrimSpace(above[i]) != "" {
			group = above[i]
		}
		each[i], over[i] = strings.TrimSpace(above[i]+" "+name), strings.TrimSpace(group+" "+name)
	}
	return [][]string{each, over}
}

// dataRow reports whether the fields hold a date where the user says it stands.
func dataRow(fields []string, ask asked) bool {
	i := ask.column(roleDate, fields)
	if i < 0 {
		return false
	}
	form := formUnknown
	_, ok := parseDate(fields[i], &form)
	return ok
}

func splitLine(line string, delimiter rune) []string {
	r := csv.NewReader(strings.NewReader(line))
	r.Comma, r.FieldsPerRecord = delimiter, -1
	fields, err := r.Read()
	if err != nil {
		return nil
	}
	return fields
}

// headerless recognises the first row of the layouts without a header.
func headerless(line string) *layout {
	if f := splitLine(line, ','); len(f) == len(ghcnColumns) && len(f[0]) == 11 && compactDate(f[1]) &&
		len(f[2]) == 4 {
		l, _, _ := headerLayout(ghcnColumns, nil)
		l.noHeader, l.delimiter = true, ','
		return l
	}
	if l := fixedMonths(line); l != nil {
		return l
	}
	if f := strings.Fields(line); len(f) == uscrnWidth && compactDate(f[1]) {
		l, _, _ := headerLayout(uscrnColumns, nil)
		l.noHeader, l.delimiter, l.blanks, l.name = true, ',', true, "USCRN daily"
		return l
	}
	return nil
}

var betweenBlanks = regexp.MustCompile(`[ ]{2,}`)

// blankHeader recognises a header whose columns stand between runs of blanks:
// one that is full, with as many names as the next line has values.
func blankHeader(line string, below [][]byte, ask asked) *layout {
	if strings.ContainsAny(line, ",;\t|") || len(below) == 0 {
		return nil
	}
	fields := strings.Fields(line)
	apart := betweenBlanks.Split(strings.TrimSpace(line), maxColumns)
	switch n := len(bytes.Fields(below[0])); {
	case len(fields) > maxColumns:
		return nil
	case n == len(fields):
	case n == len(apart) && n > 2:
		// Names of several words stand between two blanks and more.
		l, _, _ := headerLayout(apart, ask)
		if l != nil {
			l.delimiter, l.blanks, l.noHeader = ',', true, true
		}
		return l
	default:
		return nil
	}
	l, _, _ := headerLayout(fields, ask)
	if l != nil {
		l.delimiter, l.blanks = ',', true
	}
	return l
}

func compactDate(s string) bool {
	form := formCompact
	_, ok := parseDate(s, &form)
	return ok
}

// twoColumns is why a header can be read in two ways.
type twoColumns struct {
	role    role
	message string
}

// headerLayout gives the columns their roles, or returns nil and what it found
// where the line is not a full header.
func headerLayout(fields []string, ask asked) (*layout, []match, *twoColumns) {
	type candidate struct {
		match
		column int
	}
	byRole := map[role][]candidate{}
	for i, f := range fields {
		for _, m := range meanings(strings.TrimPrefix(f, "\ufeff")) {
			if m.fits() {
				byRole[m.role] = append(byRole[m.role], candidate{m, i})
			}
		}
	}
	l := &layout{header: fields, roles: make([]role, len(fields)), units: map[role]string{}}
	var found []match
	for _, r := range askable {
		if ask[r] == "" {
			continue
		}
		i := ask.column(r, fields)
		if i < 0 || l.roles[i] != roleNone {
			return nil, nil, nil
		}
		l.roles[i] = r
		found = append(found, match{role: r})
		if _, unit := nameParts(fields[i]); unit != "" {
			l.units[r] = unit
		}
		// What the user says goes before what the names say.
		for other, c := range byRole {
			byRole[other] = slices.DeleteFunc(c, func(x candidate) bool { return other == r || x.column == i })
		}
	}
	if len(byRole[roleTMax]) == 0 && len(byRole[roleTime]) > 0 {
		// Beside an hour "min" is the minute.
		byRole[roleTMin] = slices.DeleteFunc(byRole[roleTMin], func(x candidate) bool { return x.generic() })
	}
	// The two temperatures are taken in one unit where the file has both in it.
	for _, unit := range []string{"C", "", "F", "tenths-C", "K"} {
		other := func(x candidate) bool { return x.unit != unit }
		hi, lo := slices.DeleteFunc(slices.Clone(byRole[roleTMax]), other),
			slices.DeleteFunc(slices.Clone(byRole[roleTMin]), other)
		if len(hi) > 0 && len(lo) > 0 {
			byRole[roleTMax], byRole[roleTMin] = hi, lo
			break
		}
	}
	for _, r := range []role{roleTMax, roleTMin, rolePrecip, roleElement, roleValue,
		roleQuality, roleStation, roleName, roleLatitude, roleLongitude, roleElevation, roleYear, roleMonth, roleDay,
		roleYearDay, roleDate, roleTime, roleTemp} {
		c := byRole[r]
		if r == roleDate && l.has(roleDay) {
			// "day" beside year and month is no date.
			c = slices.DeleteFunc(c, func(x candidate) bool { return x.column == l.column(roleDay) })
		}
		if r == roleTime {
			c = slices.DeleteFunc(c, func(x candidate) bool { return l.roles[x.column] != roleNone })
		}
		if r == roleDay && !(l.has(roleYear) && l.has(roleMonth)) {
			continue
		}
		if len(c) == 0 {
			continue
		}
		slices.SortStableFunc(c, func(a, b candidate) int { return preference(a.match) - preference(b.match) })
		if len(c) > 1 && preference(c[0].match) == preference(c[1].match) &&
			(r == roleTMax || r == roleTMin || r == roleDate) {
			return nil, nil, &twoColumns{r, fmt.Sprintf("columns %d (%s) and %d (%s) both look like the %s",
				c[0].column+1, fields[c[0].column], c[1].column+1, fields[c[1].column], meaning[r])}
		}
		l.roles[c[0].column] = r
		if c[0].unit != "" {
			l.units[r] = c[0].unit
		}
		found = append(found, c[0].match)
		if (r == roleTMax || r == roleTMin) && c[0].generic() {
			l.generic = true
		}
	}
	// An "id" in rows of a day numbers the rows as often as it names a station.
	if i := l.column(roleStation); i >= 0 && ask[roleStation] == "" &&
		strings.EqualFold(strings.TrimSpace(fields[i]), "id") && !l.has(roleElement) {
		l.roles[i] = roleNone
	}
	if i := l.column(roleDate); i >= 0 {
		parts, _ := nameParts(fields[i])
		l.endOfDay = slices.ContainsFunc(parts, func(p string) bool {
			return p == "end" || p == "to" || strings.HasPrefix(p, "end") || strings.HasSuffix(p, "end")
		})
	}
	l.findFlags()
	dated := l.has(roleDate) || l.has(roleYear) && (l.has(roleMonth) && l.has(roleDay) || l.has(roleYearDay))
	long := l.has(roleElement) && l.has(roleValue)
	switch {
	case dated && l.has(roleTMax) && l.has(roleTMin):
		for _, r := range []role{roleElement, roleValue} {
			if i := l.column(r); i >= 0 {
				l.roles[i] = roleNone
			}
		}
		l.name = "one row a day"
		if l.has(roleTMaxFlags) || l.has(roleTMinFlags) {
			l.name = "one row a day with quality flags"
		}
	case dated && long:
		l.name = "GHCN-Daily, one row an element"
		l.findQuality()
		if i := l.column(roleQuality); i >= 0 {
			l.attributes = strings.EqualFold(strings.TrimSpace(fields[i]), "attributes")
		}
	case dated && l.has(roleTemp):
		// The extremes of a day are those of its rows.
		for i, r := range l.roles {
			if r == roleTMax || r == roleTMin {
				l.roles[i] = roleNone
			}
		}
		l.name, l.moment = "several rows a day", true
	default:
		return nil, found, nil
	}
	return l, found, nil
}

// preference orders the columns that could hold the same thing: one that names
// °C or mm before one that names another unit before one that names none, then
// by the word.
func preference(m match) int {
	p := m.rank
	switch m.unit {
	case "C", "mm":
	case "":
		p += 2000
	default:
		p += 1000
	}
	return p
}

// findQuality finds the quality flag of rows of one element where its column
// has no telling name: it is the second behind the value, between measurement
// and source flag (GHCN-Daily).
func (l *layout) findQuality() {
	v := l.column(roleValue)
	if l.has(roleQuality) || v+3 >= len(l.roles) {
		return
	}
	for i := v + 1; i <= v+3; i++ {
		if l.roles[i] != roleNone {
			return
		}
	}
	l.roles[v+2] = roleQuality
}

// noHeader says what a file lacks.
func noHeader(name string, closest []match, line int) error {
	has := func(r role) bool {
		return slices.ContainsFunc(closest, func(m match) bool { return m.role == r })
	}
	if len(closest) == 0 || !(has(roleTMax) || has(roleTMin) || has(roleDate)) {
		return &Error{Kind: NoHeader, File: name, Line: 1,
			Message: "no header with a date, a highest and a lowest temperature found",
			Hint:    "the first line should name the columns, such as date,tmax_c,tmin_c"}
	}
	var lacking []string
	var first role
	for _, r := range []role{roleDate, roleTMax, roleTMin} {
		if !has(r) && !(r == roleDate && has(roleYear) && (has(roleMonth) && has(roleDay) || has(roleYearDay))) {
			if lacking = append(lacking, "the "+meaning[r]); len(lacking) == 1 {
				first = r
			}
		}
	}
	return &Error{Kind: MissingColumn, Field: string(first), File: name, Line: line,
		Message: "the header has no column for " + strings.Join(lacking, " and ")}
}
