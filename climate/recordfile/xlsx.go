package recordfile

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"swardcast/climate"
)

// A workbook is a spreadsheet of Office Open XML (ECMA-376), as excelize reads it. A
// sheet becomes CSV whose lines are its rows. Cells are taken as they are stored: a date
// is a serial day, which no format of the cell can make ambiguous.
type workbook struct {
	file *excelize.File
	name string
}

// days1904 is how many days later a workbook of the 1904 date system begins to count
// (ECMA-376 part 1, 18.17.4.1).
const days1904 = 1462

// sheets returns the sheets of a spreadsheet, in their order.
func sheets(content []byte, archive *zip.Reader, name string) (list []table, err error) {
	w := &workbook{name: name}
	defer func() {
		if r := recover(); r != nil { // the library fails so on some parts that are not as they must be
			err = w.fault(r)
		}
	}()
	if err := bounded(archive, name); err != nil {
		return nil, err
	}
	if w.file, err = excelize.OpenReader(bytes.NewReader(content),
		excelize.Options{RawCellValue: true, UnzipSizeLimit: maxXMLBytes, UnzipXMLSizeLimit: maxXMLBytes}); err != nil {
		return nil, w.fault(err)
	}
	var epoch climate.Day
	if props, err := w.file.GetWorkbookProps(); err == nil && props.Date1904 != nil && *props.Date1904 {
		epoch = days1904
	}
	for _, sheet := range w.file.GetSheetList() {
		list = append(list, table{member: sheet, of: fmt.Sprintf("sheet %q of a spreadsheet", sheet), epoch: epoch,
			open: func() (io.Reader, error) { return w.sheet(sheet) }})
	}
	if len(list) == 0 {
		return nil, w.fault("it has no sheet")
	}
	return list, nil
}

// bounded unpacks every part of a spreadsheet once and refuses one that is longer than
// it says or than a record is, or damaged: the library holds the parts in memory, and
// takes one that ends early for whole.
func bounded(archive *zip.Reader, name string) error {
	left := int64(maxXMLBytes)
	for _, f := range archive.File {
		r, err := f.Open()
		if err != nil {
			return &Error{Kind: Unreadable, File: name, Message: "the spreadsheet cannot be unpacked: " + err.Error(),
				Hint: "save it again, or as CSV"}
		}
		most := left
		if strings.EqualFold(f.Name, "xl/sharedStrings.xml") {
			most = min(left, maxTextsBytes)
		}
		n, err := io.Copy(io.Discard, io.LimitReader(r, most+1))
		r.Close()
		switch {
		case n > most:
			return &Error{Kind: TooLarge, File: name,
				Message: fmt.Sprintf("the spreadsheet unpacks to more than %d MiB, or its texts to more than %d MiB",
					maxXMLBytes>>20, maxTextsBytes>>20),
				Hint: "keep one station in it, or save it as CSV"}
		case err != nil:
			return &Error{Kind: Unreadable, File: name, Message: "the spreadsheet cannot be unpacked: " + err.Error(),
				Hint: "save it again, or as CSV"}
		}
		left -= n
	}
	return nil
}

func (w *workbook) fault(why any) error {
	return &Error{Kind: Unreadable, File: w.name, Message: fmt.Sprintf("the spreadsheet cannot be read: %v", why),
		Hint: "save it again, or as CSV"}
}

// sheet returns a sheet as CSV.
func (w *workbook) sheet(name string) (in io.Reader, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = w.fault(r)
		}
	}()
	rows, err := w.file.Rows(name)
	if err != nil {
		return nil, w.fault(err)
	}
	defer rows.Close()
	var out bytes.Buffer
	table := csv.NewWriter(&out)
	for line := 1; rows.Next(); line++ {
		cells, err := rows.Columns()
		switch {
		case err != nil:
			return nil, w.fault(err)
		case line > maxRows:
			return nil, &Error{Kind: TooLarge, File: w.name, Message: fmt.Sprintf("the sheet has more than %d rows",
				maxRows)}
		case len(cells) > maxColumns:
			return nil, &Error{Kind: TooLarge, File: w.name, Line: line,
				Message: fmt.Sprintf("the sheet has %d columns; at most %d are read", len(cells), maxColumns)}
		case len(cells) == 0:
			out.WriteByte('\n')
			continue
		}
		for i, c := range cells {
			cells[i] = stored(c)
		}
		if len(cells) == 1 {
			cells = append(cells, "") // so that a blank cell is no blank line
		}
		if err := table.Write(cells); err != nil {
			return nil, err
		}
		if table.Flush(); out.Len() > keptBytes {
			return nil, &Error{Kind: TooLarge, File: w.name, Message: fmt.Sprintf("the sheet is longer than %d MiB",
				keptBytes>>20)}
		}
	}
	if err := rows.Error(); err != nil {
		return nil, w.fault(err)
	}
	return &out, nil
}

// stored is the text of a cell on one line. Decimal numbers, which are stored with 17
// digits, have the twelve that matter.
func stored(s string) string {
	if strings.ContainsAny(s, "\r\n") {
		return strings.Join(strings.Fields(s), " ")
	}
	const few = 12
	if len(s) > few && strings.Trim(s, "0123456789.-+eE") == "" && strings.ContainsAny(s, ".eE") {
		if v, err := strconv.ParseFloat(s, 64); err == nil {
			if v, err = strconv.ParseFloat(strconv.FormatFloat(v, 'g', few, 64), 64); err == nil {
				return strconv.FormatFloat(v, 'f', -1, 64)
			}
		}
	}
	return s
}
