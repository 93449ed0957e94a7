package recordfile

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"path"
	"regexp"
	"strconv"
	"strings"
	"time"

	"swardcast/climate"
)

// The reading of spreadsheets, ECMA-376 part 1 (SpreadsheetML): the values of the
// cells, with dates by the format of their cell. A sheet becomes CSV whose lines are its
// rows.

// A workbook is what the sheets of a spreadsheet share.
type workbook struct {
	files   map[string]*zip.File
	left    int64        // bytes of XML that may still be read
	strings []string     // shared by the sheets
	dates   map[int]bool // formats of cells that show a date or a time
	zero    climate.Day  // that days are counted from
	name    string
	sheets  []struct{ name, part string }
}

// sheets returns the sheets of a spreadsheet, in their order.
func sheets(archive *zip.Reader, name string) ([]table, error) {
	w := &workbook{files: map[string]*zip.File{}, left: maxXMLBytes, dates: map[int]bool{}, zero: serialZero, name: name}
	for _, f := range archive.File {
		w.files[f.Name] = f
	}
	if err := w.index(); err != nil {
		return nil, err
	}
	if err := w.styles(); err != nil {
		return nil, err
	}
	if err := w.shared(); err != nil {
		return nil, err
	}
	var list []table
	for _, s := range w.sheets[:min(len(w.sheets), maxMembers)] {
		list = append(list, table{member: s.name, of: fmt.Sprintf("sheet %q of a spreadsheet", s.name),
			open: func() (io.Reader, error) { return w.sheet(s.part) }})
	}
	if len(list) == 0 {
		return nil, w.fault("it has no sheet")
	}
	return list, nil
}

func (w *workbook) fault(format string, args ...any) error {
	return &Error{Kind: Unreadable, File: w.name,
		Message: "the spreadsheet cannot be read: " + fmt.Sprintf(format, args...), Hint: "save it again, or as CSV"}
}

// each gives every element of a part that is named so to what reads it.
func (w *workbook) each(part string, element string, do func(*xml.Decoder, xml.StartElement) error) error {
	f := w.files[part]
	if f == nil {
		return nil
	}
	r, err := f.Open()
	if err != nil {
		return w.fault("%v", err)
	}
	defer r.Close()
	d := xml.NewDecoder(&byteLimit{r: r, left: &w.left})
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil }
	for {
		t, err := d.Token()
		switch start, ok := t.(xml.StartElement); {
		case err == io.EOF:
			return nil
		case err != nil:
			return w.readError(err)
		case ok && (element == "" || start.Name.Local == element):
			if err := do(d, start); err != nil {
				return w.readError(err)
			}
		}
	}
}

func (w *workbook) readError(err error) error {
	switch e := err.(type) {
	case *Error:
		e.File = w.name
		return e
	}
	return w.fault("%v", err)
}

// A byteLimit fails where more is read than is left.
type byteLimit struct {
	r    io.Reader
	left *int64
}

func (b *byteLimit) Read(p []byte) (int, error) {
	n, err := b.r.Read(p)
	if *b.left -= int64(n); *b.left < 0 {
		return 0, &Error{Kind: TooLarge, Message: fmt.Sprintf("the spreadsheet unpacks to more than %d MiB",
			maxXMLBytes>>20), Hint: "keep one station in it, or save it as CSV"}
	}
	return n, err
}

func attribute(s xml.StartElement, name string) string {
	for _, a := range s.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// index finds the sheets.
func (w *workbook) index() error {
	parts := map[string]string{} // by ID
	err := w.each("xl/_rels/workbook.xml.rels", "Relationship", func(_ *xml.Decoder, s xml.StartElement) error {
		target := attribute(s, "Target")
		if !strings.HasPrefix(target, "/") {
			target = path.Join("xl", target)
		}
		parts[attribute(s, "Id")] = strings.TrimPrefix(target, "/")
		return nil
	})
	if err != nil {
		return err
	}
	return w.each("xl/workbook.xml", "", func(_ *xml.Decoder, s xml.StartElement) error {
		switch s.Name.Local {
		case "workbookPr":
			if v := attribute(s, "date1904"); v == "1" || v == "true" {
				w.zero = climate.Date(1904, time.January, 1)
			}
		case "sheet":
			// The ID of the relationship is that with a name space.
			for _, a := range s.Attr {
				if a.Name.Local == "id" && a.Name.Space != "" && parts[a.Value] != "" {
					w.sheets = append(w.sheets, struct{ name, part string }{attribute(s, "name"), parts[a.Value]})
				}
			}
		}
		return nil
	})
}

// Numbers of the built-in formats that show a date or a time (ECMA-376 part 1, 18.8.30).
func builtInDate(id int) bool {
	return id >= 14 && id <= 22 || id >= 27 && id <= 36 || id >= 45 && id <= 58
}

// quotedFormat are the parts of a format that are shown as they stand.
var quotedFormat = regexp.MustCompile(`"[^"]*"|\\.|\[[^\]]*\]|_.`)

// styles finds the formats that show a date.
func (w *workbook) styles() error {
	custom := map[int]bool{}
	cells, inCells := 0, false
	return w.each("xl/styles.xml", "", func(_ *xml.Decoder, s xml.StartElement) error {
		id, _ := strconv.Atoi(attribute(s, "numFmtId"))
		switch s.Name.Local {
		case "numFmt":
			code := quotedFormat.ReplaceAllString(strings.ToLower(attribute(s, "formatCode")), "")
			custom[id] = strings.ContainsAny(code, "ydhs") || strings.Contains(code, "mm")
		case "cellXfs":
			inCells = true
		case "cellStyles", "dxfs":
			inCells = false
		case "xf":
			if inCells {
				if isDate, ok := custom[id]; ok && isDate || !ok && builtInDate(id) {
					w.dates[cells] = true
				}
				cells++
			}
		}
		return nil
	})
}

// text is the text of an element, of its parts named t; those of phonetic runs are left
// out.
func text(d *xml.Decoder, s xml.StartElement) (string, error) {
	var b strings.Builder
	depth, inText, phonetic := 1, s.Name.Local == "v", 0
	for depth > 0 {
		t, err := d.Token()
		if err != nil {
			return "", err
		}
		switch t := t.(type) {
		case xml.StartElement:
			depth++
			if t.Name.Local == "rPh" {
				phonetic = depth
			}
			inText = t.Name.Local == "t" && phonetic == 0
		case xml.EndElement:
			if depth == phonetic {
				phonetic = 0
			}
			depth--
			inText = false
		case xml.CharData:
			if inText {
				b.Write(t)
			}
		}
	}
	return b.String(), nil
}

// shared reads the texts that cells share.
func (w *workbook) shared() error {
	part := "xl/sharedStrings.xml"
	if w.files[part] == nil {
		part = "xl/SharedStrings.xml"
	}
	return w.each(part, "si", func(d *xml.Decoder, s xml.StartElement) error {
		v, err := text(d, s)
		w.strings = append(w.strings, v)
		return err
	})
}

// sheet returns a sheet as CSV.
func (w *workbook) sheet(part string) (io.Reader, error) {
	if w.files[part] == nil {
		return nil, w.fault("it lacks the part %s", quoted(part))
	}
	var out bytes.Buffer
	rows := csv.NewWriter(&out)
	line := 0
	err := w.each(part, "row", func(d *xml.Decoder, s xml.StartElement) error {
		n, err := strconv.Atoi(attribute(s, "r"))
		if err != nil || n <= line {
			n = line + 1
		}
		if n > maxRows {
			return &Error{Kind: TooLarge, Message: fmt.Sprintf("the sheet has more than %d rows", maxRows)}
		}
		cells, err := w.row(d)
		if err != nil {
			return err
		}
		if len(cells) == 0 {
			return nil
		}
		rows.Flush()
		for ; line < n-1; line++ {
			out.WriteByte('\n')
		}
		line = n
		if len(cells) == 1 {
			cells = append(cells, "") // so that a blank cell is no blank line
		}
		if err := rows.Write(cells); err != nil {
			return err
		}
		if out.Len() > keptBytes {
			return &Error{Kind: TooLarge, Message: fmt.Sprintf("the sheet is longer than %d MiB", keptBytes>>20)}
		}
		return nil
	})
	rows.Flush()
	return &out, err
}

// row reads the cells of a row.
func (w *workbook) row(d *xml.Decoder) ([]string, error) {
	var cells []string
	for {
		t, err := d.Token()
		if err != nil {
			return nil, err
		}
		switch t := t.(type) {
		case xml.EndElement:
			if t.Name.Local == "row" {
				return cells, nil
			}
		case xml.StartElement:
			if t.Name.Local != "c" {
				if err := d.Skip(); err != nil {
					return nil, err
				}
				continue
			}
			column := columnOf(attribute(t, "r"), len(cells))
			v, err := w.cell(d, t)
			if err != nil {
				return nil, err
			}
			if column >= maxColumns || v == "" {
				continue
			}
			for len(cells) <= column {
				cells = append(cells, "")
			}
			cells[column] = v
		}
	}
}

// columnOf is the column of a reference such as AB12, from 0.
func columnOf(reference string, next int) int {
	n := 0
	for _, r := range reference {
		if r < 'A' || r > 'Z' || n > maxColumns {
			break
		}
		n = n*26 + int(r-'A') + 1
	}
	if n == 0 {
		return next
	}
	return n - 1
}

// cell is the text of a cell.
func (w *workbook) cell(d *xml.Decoder, s xml.StartElement) (string, error) {
	kind, value := attribute(s, "t"), ""
	for {
		t, err := d.Token()
		if err != nil {
			return "", err
		}
		switch t := t.(type) {
		case xml.StartElement:
			switch t.Name.Local {
			case "v", "is":
				if value, err = text(d, t); err != nil {
					return "", err
				}
			default:
				if err := d.Skip(); err != nil {
					return "", err
				}
			}
		case xml.EndElement:
			return w.shown(kind, strings.TrimSpace(value), attribute(s, "s"))
		}
	}
}

// shown is what a cell shows: dates as YYYY-MM-DD with the time of day behind where
// there is one.
func (w *workbook) shown(kind, value, style string) (string, error) {
	oneLine := strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ")
	switch kind {
	case "s":
		i, err := strconv.Atoi(value)
		if err != nil || i < 0 || i >= len(w.strings) {
			return "", fmt.Errorf("a cell has a text that is not there")
		}
		return oneLine.Replace(w.strings[i]), nil
	case "e":
		return "", nil // a formula that failed
	case "str", "inlineStr", "d", "b":
		return oneLine.Replace(value), nil
	}
	v, err := strconv.ParseFloat(value, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return oneLine.Replace(value), nil
	}
	if id, err := strconv.Atoi(style); err == nil && w.dates[id] && v >= 0 && v < 3e6 {
		seconds := int(math.Round((v - math.Floor(v)) * 86400))
		day := w.zero + climate.Day(math.Floor(v))
		clock := fmt.Sprintf("%02d:%02d", seconds/3600, seconds/60%60)
		switch {
		case v < 1:
			return clock, nil
		case seconds == 0:
			return day.String(), nil
		}
		return day.String() + " " + clock, nil
	}
	const digits = 12 // of a decimal number that was written with fewer
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
	return strconv.FormatFloat(v, 'f', -1, 64), nil
}
