package recordfile

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/gocarina/gocsv"

	"swardcast/climate"
	"swardcast/climate/check"
)

// Options settle what a file does not say, or not clearly. The zero value leaves
// everything to the file.
type Options struct {
	Unit    Unit   // of the temperatures; "": Auto
	Station string // ID or name of the station to read, where the file holds several
	// Columns says what columns hold. The keys are date, year, month, day,
	// yearday, tmax, tmin, precip, station, element and value; the values are
	// names in the header or numbers from 1.
	Columns map[string]string
	// Forecast reads rows of a forecast: a column lead (days ahead) or sd (standard
	// error of the temperatures) is taken in.
	Forecast bool
	// Until is the last day to read; nil: all. What later rows hold is not looked
	// at.
	Until *climate.Day

	reflected bool  // decode every row by gocsv, for comparison
	most      int64 // bytes of text, 0: maxTextBytes
}

// A File is a station record with what was found out about the file it is from.
type File struct {
	Record       *climate.Record
	Layout       string // in words
	Columns      []Column
	Dates        string // how dates are written
	Unit         Unit
	UnitReason   string // how the unit was found: from the flag, the header, the layout, the values
	PrecipUnit   string // mm, in. or tenths of mm; "" where there is no precipitation
	PrecipReason string
	Rows         int             // data rows
	Flagged      int             // values left out because their quality flag says they failed a check
	Short        int             // rows that end before the column of a temperature
	Repeated     int             // rows that repeat an earlier day with the same values
	Suspect      []check.Suspect // days that stand in the file with different values

	LeadDays []float64 // days ahead of each day of the record, NaN where it has none; nil without such a column
	ErrorC   []float64 // standard error of each day's temperatures, °C; likewise
}

// A Column is the meaning of one column.
type Column struct {
	Number  int // from 1
	Header  string
	Meaning string
}

// Read reads a station record. name stands for the file in messages. A fault of
// the file is an [*Error], one of the options an [*OptionError].
func Read(r io.Reader, name string, o Options) (*File, error) {
	if o.Unit != "" && !slices.Contains(Units(), o.Unit) {
		return nil, &OptionError{"Unit", fmt.Sprintf("there is no unit %q; it can be one of %s", o.Unit, unitList())}
	}
	most := o.most
	if most == 0 {
		most = maxTextBytes
	}
	in, err := plain(r, name, most)
	if err != nil {
		return nil, err
	}
	head, err := in.Peek(peekBytes)
	if err != nil && err != io.EOF {
		return nil, ioError(name, err)
	}
	if bytes.HasPrefix(head, []byte("\xef\xbb\xbf")) {
		in.Discard(3)
		head = head[3:]
	}
	if err := notText(head, name); err != nil {
		return nil, err
	}
	asked, err := askedColumns(o.Columns)
	if err != nil {
		return nil, err
	}
	l, err := sniff(head, name, asked)
	if err != nil {
		return nil, err
	}
	if o.Forecast {
		l.addForecast()
	}
	for range l.skip {
		if _, err := in.ReadSlice('\n'); err != nil {
			return nil, ioError(name, err)
		}
	}
	p := &parser{file: name, layout: l, options: o, obs: make([]observation, 0, 1<<14)}
	p.has.precip, p.has.long, p.has.station, p.has.date, p.has.month = l.has(rolePrecip), l.long(), l.has(roleStation),
		l.has(roleDate), l.has(roleMonth) && l.has(roleDay)
	p.preamble(head)
	if err := p.rows(in); err != nil {
		return nil, err
	}
	return p.assemble()
}

// plain returns a reader of the text of a file, unpacked where it is gzip, of so
// many bytes at most.
func plain(r io.Reader, name string, most int64) (*bufio.Reader, error) {
	in := bufio.NewReader(r)
	if magic, _ := in.Peek(2); bytes.Equal(magic, []byte{0x1f, 0x8b}) {
		unpacked, err := gzip.NewReader(in)
		if err != nil {
			return nil, &Error{Kind: Unreadable, File: name,
				Message: "the gzip file cannot be unpacked: " + err.Error()}
		}
		r = unpacked
	} else {
		r = in
	}
	return bufio.NewReaderSize(&textLimit{r: r, most: most}, peekBytes), nil
}

func ioError(name string, err error) error {
	var e *Error
	if errors.As(err, &e) {
		e.File = name
		return e
	}
	return fmt.Errorf("%s: %w", name, err)
}

// notText recognises what cannot be a table of text.
func notText(head []byte, name string) error {
	trimmed := bytes.TrimLeft(head, " \t\r\n")
	switch {
	case len(trimmed) == 0:
		return &Error{Kind: Empty, File: name, Message: "the file is empty"}
	case bytes.IndexByte(head, 0) >= 0:
		return &Error{Kind: Unreadable, File: name, Message: "this is not a text file", Hint: "save the record as CSV"}
	case trimmed[0] == '<':
		return &Error{Kind: Unreadable, File: name, Line: 1, Message: "this is a web page or XML, not a table",
			Hint: "download the record itself as CSV; the page may hold an error message"}
	case trimmed[0] == '{' || trimmed[0] == '[':
		return &Error{Kind: Unreadable, File: name, Line: 1, Message: "this is JSON, not a table",
			Hint: "download the record as CSV"}
	}
	return nil
}

// A parser turns the rows of a file into observations.
type parser struct {
	file    string
	layout  *layout
	options Options
	place   climate.Place

	csv      *csv.Reader
	limit    *rowLimit
	lines    *lines
	past     bool // the row read last was taken past the CSV reader
	lineFrom int  // line of the file before the first of these
	rowLine  int  // of the row read last
	form     dateForm
	month    monthMemo
	dates    string // how dates are written, in words
	obs      []observation
	has      struct{ precip, long, station, date, month bool } // of the layout
	ahead    map[int][2]float64                                // days ahead and standard error by line, of a forecast
	rowCount int                                               // of the station read
	flagged  int
	short    int
	later    int      // rows after the last day to read
	stations []string // every one seen, in the order of the file
	station  string   // of the row before, as it stands
	other    bool     // the row before is of a station not read
	precip   bool
}

// An observation is what a row says of a day; NaN where it says nothing.
type observation struct {
	date               date
	line               int
	tmax, tmin, precip float64 // as they stand in the file
}

// row is a data row as gocsv decodes it: the header is renamed to these names
// beforehand, and checked, since gocsv takes a column that is not there for
// zeros. Cells keep what is not a number, since gocsv takes a blank for zero.
type row struct {
	Station   string  `csv:"station"`
	Name      string  `csv:"name"`
	Date      string  `csv:"date"`
	Year      string  `csv:"year"`
	Month     string  `csv:"month"`
	Day       string  `csv:"day"`
	YearDay   string  `csv:"yearday"`
	TMax      reading `csv:"tmax"`
	TMin      reading `csv:"tmin"`
	Precip    reading `csv:"precip"`
	TMaxFlags string  `csv:"tmax_flags"`
	TMinFlags string  `csv:"tmin_flags"`
	Element   string  `csv:"element"`
	Value     reading `csv:"value"`
	Quality   string  `csv:"quality"`
	Latitude  reading `csv:"latitude"`
	Longitude reading `csv:"longitude"`
	Elevation reading `csv:"elevation"`
	Lead      reading `csv:"lead"`
	SD        reading `csv:"sd"`
}

// rows reads every data row.
func (p *parser) rows(in *bufio.Reader) error {
	l := p.layout
	if l.blanks {
		in = bufio.NewReader(newBlankSeparated(in))
	}
	p.lineFrom, p.lines = l.skip, &lines{in: in}
	p.limit = &rowLimit{r: p.lines, p: p}
	if l.noHeader {
		p.csv = csv.NewReader(io.MultiReader(strings.NewReader(strings.Join(l.header, ",")+"\n"), p.limit))
		p.lineFrom--
		p.lines.served++
	} else {
		p.csv = csv.NewReader(p.limit)
	}
	p.csv.Comma, p.csv.FieldsPerRecord, p.csv.ReuseRecord = l.delimiter, -1, true
	if !strings.HasPrefix(l.header[0], "#") {
		p.csv.Comment = '#'
	}
	decoder, err := gocsv.NewUnmarshaller(p.csv, row{})
	if err != nil {
		return p.csvError(err)
	}
	err = decoder.RenormalizeHeaders(func([]string) []string {
		names := make([]string, len(l.roles))
		for i, r := range l.roles {
			names[i] = string(r)
		}
		return names
	})
	if err != nil {
		return p.csvError(err)
	}
	p.limit.n, p.rowLine = 0, p.lineFrom+1 // the header
	direct := !p.options.reflected && l.direct()
	var r row
	for first := true; ; first = false {
		// gocsv binds the header and decodes the first row; where the layout
		// allows it the others are decoded without reflection.
		var err error
		if direct && !first {
			err = p.directRow(&r)
		} else {
			var v any
			if v, err = decoder.Read(); err == nil {
				r = v.(row)
			}
		}
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return p.csvError(err)
		}
		p.limit.n, p.rowLine = 0, p.line()
		if first && p.unitsRow(&r) {
			continue
		}
		if err := p.row(&r); err != nil {
			return err
		}
	}
}

// unitsRow takes the units from a row below the header that names them in place
// of values.
func (p *parser) unitsRow(r *row) bool {
	form := formUnknown
	if _, ok := parseDate(r.Date, &form); ok || !p.has.date || r.TMax.state != cellText || r.TMin.state != cellText {
		return false
	}
	hi, okHi := unitWord(r.TMax.text)
	lo, okLo := unitWord(r.TMin.text)
	if !okHi || !okLo {
		return false
	}
	p.layout.units[roleTMax], p.layout.units[roleTMin] = hi, lo
	if in, ok := unitWord(r.Precip.text); ok && p.has.precip {
		p.layout.units[rolePrecip] = in
	}
	return true
}

// csvError gives an error of the CSV reader its place in the file.
func (p *parser) csvError(err error) error {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		e := &Error{Kind: Unreadable, File: p.file, Line: p.lineFrom + p.lines.taken + parse.Line, Column: parse.Column,
			Message: parse.Err.Error()}
		if errors.Is(parse.Err, csv.ErrQuote) || errors.Is(parse.Err, csv.ErrBareQuote) {
			e.Message, e.Hint = "a quotation mark stands where none can",
				"put the whole cell between quotation marks, or none in it"
		}
		return e
	}
	return ioError(p.file, err)
}

// line is the line of the row read last.
func (p *parser) line() int {
	if p.past {
		return p.lineFrom + p.lines.line()
	}
	line, _ := p.csv.FieldPos(0)
	return p.lineFrom + p.lines.taken + line
}

// fault is an error in a cell of the row read last.
func (p *parser) fault(r role, hint, format string, args ...any) error {
	e := &Error{Kind: BadValue, Field: string(r), File: p.file, Line: p.line(), Message: fmt.Sprintf(format, args...),
		Hint: hint}
	if i := p.layout.column(r); i >= 0 {
		e.Message += fmt.Sprintf(" (column %d, %s)", i+1, strings.TrimSpace(p.layout.header[i]))
		switch {
		case p.layout.blanks:
		case p.past:
			e.Column = p.lines.column(i)
		default:
			e.Column = CellColumn(p.csv, i)
		}
	}
	return e
}

// CellColumn returns the byte at which cell i of the row that a CSV reader read
// last begins, counted from 1; 0 where the row is too short to have it. FieldPos
// panics then, and gocsv does not tell how wide the row is.
func CellColumn(r *csv.Reader, i int) (column int) {
	defer func() { _ = recover() }()
	_, column = r.FieldPos(i)
	return column
}

// row takes in one data row.
func (p *parser) row(r *row) error {
	if p.has.station {
		if len(r.Station) > maxIDBytes {
			return p.fault(roleStation, "", "the ID of a station is longer than %d bytes", maxIDBytes)
		}
		if !p.reads(r) {
			return nil
		}
	}
	d, err := p.date(r)
	if err != nil {
		return err
	}
	if p.rowCount == 0 {
		p.placeOf(r)
	}
	p.rowCount++
	if until := p.options.Until; until != nil && p.form != formDayMonth && d.day > *until {
		p.later++
		return nil
	}
	if len(p.obs) == maxRows {
		return &Error{Kind: TooLarge, File: p.file, Line: p.rowLine,
			Message: fmt.Sprintf("the station has more than %d rows", maxRows),
			Hint:    "keep one row a day, or one a day and element"}
	}
	o := observation{date: d, line: p.rowLine, tmax: math.NaN(), tmin: math.NaN(), precip: math.NaN()}
	if p.has.long {
		cell, of := &o.precip, r.Value.amount
		switch strings.ToUpper(strings.TrimSpace(r.Element)) {
		case "TMAX":
			cell, of = &o.tmax, r.Value.temperature
		case "TMIN":
			cell, of = &o.tmin, r.Value.temperature
		case "PRCP":
			p.precip = true
		default:
			return nil
		}
		if strings.TrimSpace(r.Quality) != "" {
			p.flagged++
		} else if err := p.cell(cell, of, roleValue, &r.Value); err != nil {
			return err
		}
		p.obs = append(p.obs, o)
		return nil
	}
	if failed(r.TMaxFlags) {
		p.flagged++
	} else if err := p.cell(&o.tmax, r.TMax.temperature, roleTMax, &r.TMax); err != nil {
		return err
	}
	if failed(r.TMinFlags) {
		p.flagged++
	} else if err := p.cell(&o.tmin, r.TMin.temperature, roleTMin, &r.TMin); err != nil {
		return err
	}
	if r.TMax.state == cellAbsent || r.TMin.state == cellAbsent {
		p.short++
	}
	if p.has.precip {
		p.precip = true
		if err := p.cell(&o.precip, r.Precip.amount, rolePrecip, &r.Precip); err != nil {
			return err
		}
	}
	p.obs = append(p.obs, o)
	return p.forecast(r)
}

// forecast takes in what a row says of the forecast that it is of.
func (p *parser) forecast(r *row) error {
	lead, sd := p.layout.has(roleLead), p.layout.has(roleSD)
	if !lead && !sd {
		return nil
	}
	v := [2]float64{math.NaN(), math.NaN()}
	for i, c := range []struct {
		has  bool
		role role
		cell *reading
	}{{lead, roleLead, &r.Lead}, {sd, roleSD, &r.SD}} {
		if !c.has {
			continue
		}
		if err := p.cell(&v[i], c.cell.temperature, c.role, c.cell); err != nil {
			return err
		}
		if v[i] < 0 {
			return p.fault(c.role, "", "%s is below 0", quoted(fmt.Sprint(v[i])))
		}
	}
	if p.ahead == nil {
		p.ahead = map[int][2]float64{}
	}
	p.ahead[p.rowLine] = v
	return nil
}

// failed reports whether the flags of a value, measurement, quality and source
// between commas, hold a quality flag: the value failed a check (GHCN-Daily).
func failed(flags string) bool {
	if flags == "" {
		return false
	}
	parts := strings.Split(flags, ",")
	return len(parts) > 1 && strings.TrimSpace(parts[1]) != ""
}

// cell reads one value.
func (p *parser) cell(to *float64, of func(bool) (float64, bool), r role, c *reading) error {
	v, ok := of(p.layout.decimalComma)
	if !ok {
		return p.fault(r, "write a number, or leave the cell blank where the value is missing", "%s is not a number",
			quoted(c.text))
	}
	*to = v
	return nil
}

// quoted shows a cell's text, cut where it is long.
func quoted(s string) string {
	const most = 40
	if len(s) > most {
		s = s[:most] + "…"
	}
	return fmt.Sprintf("%q", s)
}

// date reads the row's date from one column or three.
func (p *parser) date(r *row) (date, error) {
	if p.has.date {
		if d, ok := p.month.day(r.Date); ok {
			return d, nil
		}
		d, ok := parseDate(r.Date, &p.form)
		p.month.set(r.Date, p.form, d)
		if !ok {
			return d, p.fault(roleDate,
				"dates are understood as YYYY-MM-DD, YYYYMMDD, DD-MMM-YYYY and numbers with the year last, "+
					"one form a file",
				"%s is not a date%s", quoted(r.Date), p.formNote())
		}
		return d, nil
	}
	year := strings.TrimSpace(r.Year)
	if !p.has.month {
		d, ok := yearDay(year, strings.TrimSpace(r.YearDay))
		if !ok {
			return d, p.fault(roleYearDay, "", "day %s of %s is not a date", quoted(r.YearDay), quoted(r.Year))
		}
		return d, nil
	}
	d, ok := ymd(year, strings.TrimSpace(r.Month), strings.TrimSpace(r.Day))
	if !ok {
		return d, p.fault(roleYear, "", "%s, %s, %s is not a date", quoted(r.Year), quoted(r.Month), quoted(r.Day))
	}
	return d, nil
}

func (p *parser) formNote() string {
	if p.rowCount == 0 || p.form == formUnknown {
		return ""
	}
	return " written " + formNames[p.form] + " as those before it"
}

// reads tells whether the row is of the station to read: the one asked for, or
// else the first, until a second shows that one must be asked for.
func (p *parser) reads(r *row) bool {
	if len(p.stations) > 0 && r.Station == p.station {
		return !p.other
	}
	p.station = strings.Clone(r.Station)
	id := strings.TrimSpace(r.Station)
	if !slices.Contains(p.stations, id) && len(p.stations) <= maxStations {
		p.stations = append(p.stations, strings.Clone(id)) // not the whole row with it
	}
	if want := p.options.Station; want != "" {
		p.other = !strings.EqualFold(id, want) && !strings.EqualFold(strings.TrimSpace(r.Name), want)
	} else {
		p.other = id != p.stations[0]
	}
	return !p.other
}

// maxStations is how many stations of a file are told apart.
const maxStations = 1000

// stationError is the error of a file that does not hold just the one station
// to read.
func (p *parser) stationError() error {
	want := p.options.Station
	switch {
	case want != "" && !p.has.station:
		return &Error{Kind: NoStations, Field: string(roleStation), File: p.file,
			Message: fmt.Sprintf("there is no column of stations to find %s in", quoted(want))}
	case want != "" && p.rowCount == 0 && len(p.stations) > 0:
		return &Error{Kind: UnknownStation, Field: string(roleStation), File: p.file,
			Message:  fmt.Sprintf("there is no station %s; the file holds %s", quoted(want), p.stationList()),
			Stations: p.stations}
	case want == "" && len(p.stations) > 1:
		return &Error{Kind: SeveralStations, Field: string(roleStation), File: p.file,
			Message: "the file holds " + p.stationList(), Stations: p.stations}
	}
	return nil
}

func (p *parser) stationList() string {
	const most = 12
	list, count := p.stations, fmt.Sprint(len(p.stations))
	if len(list) > maxStations {
		count = fmt.Sprintf("over %d", maxStations)
	}
	var names []string
	for _, s := range list[:min(most, len(list))] {
		names = append(names, clipped(s))
	}
	text := strings.Join(names, ", ")
	if len(list) > most {
		text += ", …"
	}
	return fmt.Sprintf("%s stations: %s", count, text)
}

// placeOf takes the place of the station from its row.
func (p *parser) placeOf(r *row) {
	set := func(to **float64, c *reading) {
		if v, ok := c.temperature(p.layout.decimalComma); ok && !math.IsNaN(v) {
			*to = &v
		}
	}
	set(&p.place.Latitude, &r.Latitude)
	set(&p.place.Longitude, &r.Longitude)
	set(&p.place.ElevationM, &r.Elevation)
	switch {
	case strings.TrimSpace(r.Name) != "":
		p.place.Name = strings.TrimSpace(r.Name)
	case p.place.Name == "":
		p.place.Name = strings.TrimSpace(r.Station)
	}
}
