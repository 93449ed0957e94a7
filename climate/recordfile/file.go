package recordfile

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"

	"github.com/gocarina/gocsv"

	"swardcast/climate"
	"swardcast/climate/check"
)

// Options settle what a file does not say, or not clearly. The zero value leaves
// everything to the file.
type Options struct {
	Unit    Unit     // of the temperatures; "": Auto
	Rain    RainUnit // of the precipitation; "": RainAuto
	Station string   // ID or name of the station to read, where the file holds several
	// Columns says what columns hold. The keys are date, year, month, day,
	// yearday, tmax, tmin, precip, station, element and value; the values are
	// names in the header or numbers from 1.
	Columns map[string]string
	// DateOrder says which number of a date is the day; "": DateAuto.
	DateOrder DateOrder
	// Forecast reads rows of a forecast: a column lead (days ahead) or sd (standard
	// error of the temperatures) is taken in.
	Forecast bool
	// OneExtreme reads a file that has one of the two temperatures alone; the other is
	// missing in the record.
	OneExtreme bool
	// Until is the last day to read; nil: all. What later rows hold is not looked
	// at.
	Until *climate.Day
	// Today is the last day that a year of two digits can mean; nil: 2068-12-31.
	Today *climate.Day

	epoch     climate.Day // to be added to the serial days of a spreadsheet
	reflected bool        // decode every row by gocsv, for comparison
	most      int64       // bytes of text, 0: maxTextBytes
}

// A File is a station record with what was found out about the file it is from.
type File struct {
	Record       *climate.Record
	Layout       string // in words
	Columns      []Column
	Dates        string // how dates are written
	Unit         Unit
	UnitReason   string // how the unit was found: from the flag, the header, the layout, the values
	PrecipUnit   string // in words; "" where there is no precipitation, or none of a unit that is sure
	PrecipReason string
	RainDoubtful bool            // precipitation of a doubtful unit is left out; Options.Rain settles it
	RainFits     []RainUnit      // in which doubtful precipitation could be
	Half         bool            // one of the two temperatures is not in the file: Options.OneExtreme
	Rows         int             // data rows
	Flagged      int             // values left out because their quality flag says they failed a check
	Short        int             // rows that end before the column of a temperature
	Repeated     int             // rows that repeat an earlier day with the same values
	Suspect      []check.Suspect // days that stand in the file with different values
	// Cautions say, in sentences, what makes an answer from the record less sure; Notes
	// how else the file was understood.
	Cautions, Notes []string
	Skipped         []Skipped // rows without a date, the first hundred: units, totals, what stands beneath

	LeadDays []float64 // days ahead of each day of the record, NaN where it has none; nil without such a column
	ErrorC   []float64 // standard error of each day's temperatures, °C; likewise
}

// A Column is the meaning of one column.
type Column struct {
	Number  int // from 1
	Header  string
	Meaning string
}

// A Skipped is a row that was left out since it holds no date.
type Skipped struct {
	Line int
	Text string // where the date should stand
}

// Read reads a station record. name stands for the file in messages. A fault of
// the file is an [*Error], one of the options an [*OptionError].
func Read(r io.Reader, name string, o Options) (*File, error) {
	if o.Unit != "" && !slices.Contains(Units(), o.Unit) {
		return nil, &OptionError{"Unit", fmt.Sprintf("there is no unit %q; it can be one of %s", o.Unit,
			list(Units()))}
	}
	if o.Rain != "" && !slices.Contains(RainUnits(), o.Rain) {
		return nil, &OptionError{"Rain", fmt.Sprintf("there is no unit of rain %q; it can be one of %s", o.Rain,
			list(RainUnits()))}
	}
	if o.DateOrder != "" && !slices.Contains(DateOrders(), o.DateOrder) {
		return nil, &OptionError{
			"DateOrder",
			fmt.Sprintf("there is no date order %q; it can be one of %s", o.DateOrder,
				list(DateOrders())),
		}
	}
	most := o.most
	if most == 0 {
		most = maxTextBytes
	}
	asked, err := askedColumns(o.Columns)
	if err != nil {
		return nil, err
	}
	tables, err := tablesOf(r, name, most)
	if err != nil {
		return nil, err
	}
	return readTables(tables, name, o, asked)
}

// readTable reads the record from a text, and looks at it again where the first look
// shows that it holds several stations under a name that is not known.
func readTable(text *keptText, name string, o Options, asked asked) (*File, error) {
	p, f, err := readOnce(text, name, o, asked)
	defer p.free()
	if p == nil || p.layout.months != nil || !p.severalSeries(err) {
		return f, err
	}
	again, ok := text.again()
	if !ok {
		return f, err
	}
	column := p.stationColumn(again)
	if column < 0 {
		return f, err
	}
	if again, ok = text.again(); !ok {
		return f, err
	}
	asked = maps.Clone(asked)
	asked[roleStation] = fmt.Sprint(column + 1)
	q, f, err := readOnce(again, name, o, asked)
	defer q.free()
	return f, err
}

// Memory that one file after another is read with.
var (
	buffers   = sync.Pool{New: func() any { return bufio.NewReaderSize(nil, peekBytes) }}
	obsMemory = sync.Pool{New: func() any { return new(make([]observation, 0, 1<<14)) }}
)

// free gives the memory of the observations back.
func (p *parser) free() {
	if p != nil {
		p.obs = p.obs[:0]
		obsMemory.Put(&p.obs)
	}
}

// readOnce reads the record in one pass. The parser is nil where it did not come to
// the rows.
func readOnce(r io.Reader, name string, o Options, asked asked) (*parser, *File, error) {
	in := buffers.Get().(*bufio.Reader)
	in.Reset(r)
	defer func() {
		in.Reset(nil)
		buffers.Put(in)
	}()
	head, err := in.Peek(peekBytes)
	if err != nil && err != io.EOF {
		return nil, nil, ioError(name, err)
	}
	read := head
	if bytes.HasPrefix(head, []byte("\xef\xbb\xbf")) {
		in.Discard(3)
		head = head[3:]
	}
	if err := notText(head, name); err != nil {
		return nil, nil, err
	}
	l, err := sniff(head, name, asked, o.OneExtreme)
	if err != nil {
		return nil, nil, err
	}
	if o.Forecast {
		l.addForecast()
	}
	if text, ok := r.(*keptText); ok && l.mayHoldSeveral() {
		text.keep(read)
	}
	for range l.skip {
		if _, err := in.ReadSlice('\n'); err != nil {
			return nil, nil, ioError(name, err)
		}
	}
	p := &parser{file: name, layout: l, options: o, obs: *obsMemory.Get().(*[]observation)}
	p.has.precip, p.has.long, p.has.station, p.has.name, p.has.date, p.has.month, p.has.place = l.has(rolePrecip),
		l.long(),
		l.has(roleStation), l.has(roleName), l.has(roleDate), l.has(roleMonth) && l.has(roleDay),
		l.has(roleLatitude) && l.has(roleLongitude)
	p.has.clock = l.moment || l.has(roleTime)
	above := l.above(head)
	if what := l.ofAnother(above); what != "" && asked[roleTMax] == "" {
		return nil, nil, &Error{Kind: AmbiguousColumn, Field: string(roleTMax), File: name, Line: l.skip + 1,
			Message: fmt.Sprintf("columns %d and %d do not say that they are of the air, and the file says %s",
				l.column(roleTMax)+1, l.column(roleTMin)+1, quoted(what))}
	}
	p.preamble(above)
	p.caution = p.origin(above)
	if err := p.rows(in); err != nil {
		return nil, nil, err
	}
	f, err := p.assemble()
	return p, f, err
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
	plain    []role // of the columns, where rows can be plain
	past     bool   // the row read last was taken past the CSV reader
	lineFrom int    // line of the file before the first of these
	rowLine  int    // of the row read last
	form     dateForm
	month    monthMemo
	dates    string                        // how dates are written, in words
	dated    bool                          // a date was read
	twoDigit bool                          // years have two digits
	stamps   struct{ midnight, other int } // rows with a time of day beside the date
	caution  string                        // of a series that is not observed
	skipped  []Skipped                     // rows without a date
	skipRows int
	skipErr  error       // of the first of them
	before   climate.Day // of the row before, where they have
	within   withinDay
	obs      []observation
	has      struct{ precip, long, station, name, date, month, place, clock bool } // of the layout
	// days ahead and standard error by line, of a forecast
	ahead    map[int][2]float64
	rowCount int // of the station read
	flagged  int
	marked   int // values with a mark beside them
	short    int
	later    int        // rows after the last day to read
	stations []*Station // every one seen, in the order of the file
	byID     map[string]*Station
	station  string                     // of the row before, as it stands
	current  *Station                   // of the row before; nil beyond the first thousand
	other    bool                       // the row before is of a station not read
	at       struct{ lat, lon float64 } // of the first row
	moved    int                        // line of a row of another place, 0 for none
	precip   bool
}

// An observation is what a row says of a day; NaN where it says nothing.
type observation struct {
	date               date
	line               int32
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
	Temp      reading `csv:"temp"`
	Time      string  `csv:"time"`
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
	switch {
	case l.months != nil:
		in = bufio.NewReader(newMonthReader(in, l.months))
	case l.blanks:
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
	direct := !p.options.reflected
	p.plain = p.plainColumns()
	var r row
	for first := true; ; first = false {
		// gocsv binds the header and decodes the first row; the others are
		// decoded without reflection.
		var err error
		if direct && !first {
			p.plainRows()
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
		if err := p.row(&r); err != nil {
			return err
		}
	}
}

// csvError gives an error of the CSV reader its place in the file.
func (p *parser) csvError(err error) error {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		e := &Error{
			Kind:    Unreadable,
			File:    p.file,
			Line:    p.lineAt(p.lines.taken + parse.Line),
			Column:  parse.Column,
			Message: parse.Err.Error(),
		}
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
		return p.lineAt(p.lines.line())
	}
	line, _ := p.csv.FieldPos(0)
	return p.lineAt(p.lines.taken + line)
}

// lineAt is the line of the file that a line of the rows, from 1, is from.
func (p *parser) lineAt(n int) int {
	if p.layout.months != nil {
		return p.layout.skip + (n-2)/daysOfRow + 1
	}
	return p.lineFrom + n
}

// fault is an error in a cell of the row read last.
func (p *parser) fault(r role, hint, format string, args ...any) error {
	e := &Error{Kind: BadValue, Field: string(r), File: p.file, Line: p.line(), Message: fmt.Sprintf(format, args...),
		Hint: hint}
	if i := p.layout.column(r); i >= 0 && p.layout.months == nil {
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
	if p.has.station || p.has.name {
		if len(r.Station) > maxIDBytes || len(r.Name) > maxIDBytes {
			return p.fault(roleStation, "", "the ID of a station is longer than %d bytes", maxIDBytes)
		}
		if !p.reads(r) {
			return nil
		}
	}
	if p.has.place && p.moved == 0 {
		p.placed(r)
	}
	d, ok := p.month.day(r.Date)
	if !ok {
		var err error
		if d, err = p.date(r); err != nil {
			if p.skips(r, err) {
				return nil
			}
			return err
		}
	}
	if p.rowCount == 0 {
		p.placeOf(r)
	}
	p.rowCount++
	if p.has.clock {
		d = p.clock(r, d)
	}
	if until := p.options.Until; until != nil && !p.late() && d.day > *until {
		p.later++
		return nil
	}
	if len(p.obs) == maxRows {
		return &Error{Kind: TooLarge, File: p.file, Line: p.rowLine,
			Message: fmt.Sprintf("the station has more than %d rows", maxRows),
			Hint:    "keep one row a day, or one a day and element"}
	}
	o := observation{date: d, line: int32(p.rowLine), tmax: math.NaN(), tmin: math.NaN(), precip: math.NaN()}
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
		if r.Quality != "" && p.layout.badQuality(r.Quality) {
			p.flagged++
		} else if err := p.cell(cell, of, roleValue, &r.Value); err != nil {
			return err
		}
		p.obs = append(p.obs, o)
		return nil
	}
	if p.layout.moment {
		if err := p.cell(&o.tmax, r.Temp.temperature, roleTemp, &r.Temp); err != nil {
			return err
		}
		if o.tmin = o.tmax; !p.gather(&o) {
			p.obs = append(p.obs, o)
		}
		p.precip = p.precip || p.has.precip
		return nil
	}
	if r.TMaxFlags != "" && p.layout.maxFlag(r.TMaxFlags) {
		p.flagged++
	} else if err := p.cell(&o.tmax, r.TMax.temperature, roleTMax, &r.TMax); err != nil {
		return err
	}
	if r.TMinFlags != "" && p.layout.minFlag(r.TMinFlags) {
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
	if !p.has.clock || !p.gather(&o) {
		p.obs = append(p.obs, o)
	}
	if p.options.Forecast {
		return p.forecast(r)
	}
	return nil
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

// cell reads one value.
func (p *parser) cell(to *float64, of func(bool) (float64, bool), r role, c *reading) error {
	v, ok := of(p.layout.decimalComma)
	if !ok {
		if v, ok, err := p.dressed(r, c); ok || err != nil {
			*to = v
			return err
		}
		return p.fault(r, "write a number, or leave the cell blank where the value is missing", "%s is not a number",
			quoted(c.text))
	}
	*to = v
	return nil
}

// dressed reads a number that has its unit or a mark beside it, false where it is none.
func (p *parser) dressed(r role, c *reading) (float64, bool, error) {
	d, ok := undress(c.text)
	if !ok || c.state != cellText {
		return 0, false, nil
	}
	if d.unit != "" {
		switch stated := p.layout.units[r]; {
		case !(match{role: r, unit: d.unit}).fits() || r == roleValue:
			return 0, false, nil
		case stated == "":
			p.layout.units[r] = d.unit
		case stated != d.unit:
			return 0, false, p.fault(r, "bring the column to one unit", "%s is not in %s as the column",
				quoted(c.text), Unit(stated).Name())
		}
	}
	var number reading
	number.UnmarshalCSV(d.text)
	of := number.temperature
	if r == rolePrecip {
		of = number.amount
	}
	v, ok := of(p.layout.decimalComma)
	switch {
	case !ok:
		return 0, false, nil
	case d.mark == "":
	case strings.Contains(badMarks, d.mark):
		p.flagged++
		v = math.NaN()
	default:
		p.marked++
	}
	return v, true, nil
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
		d, ok := parseDate(r.Date, &p.form)
		switch {
		case !ok:
			d, ok = p.mixedDate(r.Date)
		case p.form == formSerial:
			d.day += p.options.epoch
		}
		if len(r.Date) > 10 && ok {
			p.stamp(r.Date)
			p.has.clock = p.has.clock || p.stamps.other > 0
		}
		p.month.set(r.Date, p.form, d)
		if !ok {
			err := p.fault(roleDate,
				"dates are understood as YYYY-MM-DD, YYYYMMDD, DD-MMM-YYYY and numbers with the year last, "+
					"one form a file",
				"%s is not a date%s", quoted(r.Date), p.formNote())
			if !p.dated {
				p.form = formUnknown
			}
			return d, err
		}
		return p.continued(d), nil
	}
	year := strings.TrimSpace(r.Year)
	if !p.has.month {
		d, ok := yearDay(year, strings.TrimSpace(r.YearDay))
		if !ok {
			return d, p.fault(roleYearDay, "", "day %s of %s is not a date", quoted(r.YearDay), quoted(r.Year))
		}
		return p.continued(d), nil
	}
	d, ok := ymd(year, strings.TrimSpace(r.Month), strings.TrimSpace(r.Day))
	if !ok {
		return d, p.fault(roleYear, "", "%s, %s, %s is not a date", quoted(r.Year), quoted(r.Month), quoted(r.Day))
	}
	return p.continued(d), nil
}

// mixedDate reads a date with the year first among others with the year last, or the
// other way round: a spreadsheet understood some as dates and left the rest as text.
func (p *parser) mixedDate(s string) (date, bool) {
	form := formUnknown
	d, ok := parseDate(s, &form)
	if form == formSerial {
		d.day += p.options.epoch
	}
	first := func(f dateForm) bool { return f == formYearFirst || f == formSerial }
	switch {
	case !ok || !p.dated:
		return d, false
	case first(form) && p.form == formDayMonth:
		d.fixed = true
	case first(p.form) && form == formDayMonth:
		// Those before it are written with the year first.
		for i := range p.obs {
			p.obs[i].date.fixed = true
		}
		p.form = formDayMonth
	case first(form) && first(p.form):
	default:
		return d, false
	}
	return d, true
}

// continued gives a year of two digits its century, from the row before.
func (p *parser) continued(d date) date {
	if d.centuries == twoDigits {
		p.twoDigit = true
		if d.centuries = 0; p.dated {
			d.centuries = int8(min(max(century(d, p.before), -99), 99))
		}
		p.before = d.either() + climate.Day(d.centuries)*centuryDays
	}
	p.dated = true
	return d
}

func (p *parser) formNote() string {
	if p.rowCount == 0 || p.form == formUnknown {
		return ""
	}
	return " written " + formNames[p.form] + " as those before it"
}

// placeOf takes the place of the station from its row.
func (p *parser) placeOf(r *row) {
	set := func(to **float64, c *reading) {
		v, ok := c.temperature(p.layout.decimalComma)
		if !ok {
			v, ok = coordinate(c.text)
		}
		if ok && !math.IsNaN(v) {
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
