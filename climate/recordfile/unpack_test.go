package recordfile

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/unicode"

	"swardcast/climate"
)

// plainText is the sample that packings are tried on.
func plainText(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(layouts, "plain.csv"))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// zipped is an archive of members, each a name and a text.
func zipped(t testing.TB, members ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(members); i += 2 {
		w, err := z.Create(members[i])
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(w, members[i+1])
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// spreadsheet is a workbook with a sheet of notes and one of the rows of CSV. Dates are
// days of the spreadsheet, texts where asText says so.
func spreadsheet(t testing.TB, text string, from1904 bool, asText func(i int) bool) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	check := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	check(f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &from1904}))
	check(f.SetCellValue("Sheet1", "A1", "Invented readings of Mosswick Hollow"))
	_, err := f.NewSheet("Readings")
	check(err)
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	check(err)
	style, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	check(err)
	for i, row := range rows {
		for k, cell := range row {
			at, err := excelize.CoordinatesToCellName(k+2, i+4)
			check(err)
			day, err := climate.ParseDay(cell)
			switch v, errNumber := strconv.ParseFloat(cell, 64); {
			case err == nil && asText(i):
				check(f.SetCellValue("Readings", at, cell))
			case err == nil:
				serial := int(day - serialZero)
				if from1904 {
					serial -= days1904
				}
				check(f.SetCellValue("Readings", at, serial))
				check(f.SetCellStyle("Readings", at, at, style))
			case errNumber == nil:
				check(f.SetCellValue("Readings", at, v))
			default:
				check(f.SetCellValue("Readings", at, cell))
			}
		}
	}
	var b bytes.Buffer
	check(f.Write(&b))
	return b.Bytes()
}

func utf16Text(t testing.TB, text string, order unicode.Endianness, mark unicode.BOMPolicy) []byte {
	t.Helper()
	b, err := unicode.UTF16(order, mark).NewEncoder().Bytes([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// A packing changes nothing of what is read.
func TestPackings(t *testing.T) {
	plain := plainText(t)
	want := read(t, filepath.Join(layouts, "plain.csv"), Options{}).Record
	all, none := func(int) bool { return true }, func(int) bool { return false }
	for _, c := range []struct {
		name, layout string // layout: what the layout must say
		file         []byte
	}{
		{"zip", "in an archive", zipped(t, "readme.txt", "Invented.\n", "data/station.csv", plain)},
		{"zip of gzip", "in an archive", zipped(t, "station.csv.gz", string(pack(t, []byte(plain))))},
		{"zip with a folder's notes", "in an archive", zipped(t, "station.csv", plain, "__MACOSX/._station.csv", plain)},
		{"UTF-16 with a mark", "", utf16Text(t, plain, unicode.LittleEndian, unicode.UseBOM)},
		{"UTF-16, big end first", "", utf16Text(t, plain, unicode.BigEndian, unicode.UseBOM)},
		{"UTF-16 without a mark", "", utf16Text(t, plain, unicode.LittleEndian, unicode.IgnoreBOM)},
		{"big end first without a mark", "", utf16Text(t, plain, unicode.BigEndian, unicode.IgnoreBOM)},
		{"carriage returns alone", "", []byte(strings.ReplaceAll(plain, "\n", "\r"))},
		{"both", "", []byte(strings.ReplaceAll(plain, "\n", "\r\n"))},
		{"UTF-16 of carriage returns", "", utf16Text(t, strings.ReplaceAll(plain, "\n", "\r"), unicode.LittleEndian,
			unicode.UseBOM)},
		{"xlsx", `sheet "Readings" of a spreadsheet`, spreadsheet(t, plain, false, none)},
		{"xlsx from 1904", "spreadsheet", spreadsheet(t, plain, true, none)},
		{"xlsx with dates as text", "spreadsheet", spreadsheet(t, plain, false, all)},
		{"xlsx with some dates as text", "spreadsheet", spreadsheet(t, plain, false,
			func(i int) bool { return i > 100 && i%7 == 0 })},
		{"xlsx from 1904 with some dates as text", "spreadsheet", spreadsheet(t, plain, true,
			func(i int) bool { return i%7 == 0 })},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := Read(bytes.NewReader(c.file), "x", Options{})
			if err != nil {
				t.Fatal(err)
			}
			got := f.Record
			if got.First != want.First || got.Len() != want.Len() || !strings.Contains(f.Layout, c.layout) {
				t.Fatalf("%d days from %v, %s", got.Len(), got.First, f.Layout)
			}
			for i := range want.TMaxC {
				if got.TMaxC[i] != want.TMaxC[i] || got.TMinC[i] != want.TMinC[i] || got.PrecipMM[i] != want.PrecipMM[i] {
					t.Fatalf("%v: %g, %g, %g", got.Day(i), got.TMaxC[i], got.TMinC[i], got.PrecipMM[i])
				}
			}
		})
	}
}

// The files that must not be read say why, and where.
func TestPackingsRefused(t *testing.T) {
	plain := plainText(t)
	bad := strings.Replace(plain, "2019-01-03,3.9", "2019-01-03,warm", 1)
	for _, c := range []struct {
		name, message string
		kind          Kind
		file          []byte
	}{
		{"two records", "x: the archive holds 2 records: a.csv, b.csv", SeveralTables, zipped(t, "a.csv", plain, "b.csv", plain)},
		{"no record", "no header", NoHeader, zipped(t, "readme.txt", "Invented.\nNothing.\n")},
		{"empty archive", "x: the archive is empty", Empty, zipped(t)},
		{"a fault inside", `x (a.csv):4:12: "warm" is not a number`, BadValue, zipped(t, "a.csv", bad)},
		{"a fault in a sheet", `x (Readings):7:13: "warm" is not a number`, BadValue,
			spreadsheet(t, bad, false, func(int) bool { return true })},
		{"spoilt spreadsheet", "the spreadsheet cannot be", Unreadable, zipped(t, "xl/workbook.xml", "<a")},
		{"old spreadsheet", "old form", Unreadable, []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1more")},
		{"cut archive", "cannot be unpacked", Unreadable, zipped(t, "a.csv", plain)[:1000]},
		{"cut JSON", "the JSON cannot be read", Unreadable, []byte(`{"daily": {"time": [`)},
	} {
		_, err := Read(bytes.NewReader(c.file), "x", Options{})
		var e *Error
		if !errors.As(err, &e) || e.Kind != c.kind || !strings.Contains(err.Error(), c.message) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// Archives and spreadsheets that unpack to more than any record are refused, in
// bounded memory.
func TestPackedBombs(t *testing.T) {
	if testing.Short() {
		t.Skip("it unpacks much")
	}
	row := strings.Repeat("b,2019-01-01,10,2\n", 1<<10)
	for _, c := range []struct {
		name, message string
		file          func() []byte
	}{
		{"archive", "longer than 256 MiB", func() []byte {
			return zipped(t, "a.csv", header+"a,2019-01-01,10,2\n"+strings.Repeat(row, maxTextBytes/len(row)+1))
		}},
		{"many members", "more than 1000 members", func() []byte {
			var members []string
			for i := range maxMembers + 1 {
				members = append(members, fmt.Sprint(i), "x")
			}
			return zipped(t, members...)
		}},
		{"members that sum up", "longer than 256 MiB", func() []byte {
			part := header + "a,2019-01-01,10,2\n" + strings.Repeat(row, maxTextBytes/len(row)/4)
			return zipped(t, "a", part, "b", part, "c", part, "d", part, "e", part)
		}},
		{"sheet", "unpacks to more than 96 MiB", func() []byte {
			return bombSheet(t, strings.Repeat("<row><c><v>1</v></c></row>", maxXMLBytes/26+1), "")
		}},
		{"texts", "its texts to more than 8 MiB", func() []byte {
			return bombSheet(t, "", strings.Repeat("<si/>", maxTextsBytes/5+1))
		}},
		{"texts within the limit", "empty", func() []byte {
			return bombSheet(t, `<row><c t="s"><v>0</v></c></row>`, strings.Repeat("<si/>", maxTextsBytes/5-100))
		}},
		{"last column", "the sheet has 16384 columns", func() []byte {
			return bombSheet(t, strings.Repeat(`<row><c r="XFD1"><v>1</v></c></row>`, 100_000), "")
		}},
		{"last row", "the sheet has more than 1000000 rows", func() []byte {
			return bombSheet(t, `<row r="1048576"><c><v>1</v></c></row>`, "")
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := c.file()
			var before, after runtime.MemStats
			runtime.GC()
			runtime.ReadMemStats(&before)
			begin := time.Now()
			_, err := Read(bytes.NewReader(file), "x", Options{})
			took := time.Since(begin)
			runtime.ReadMemStats(&after)
			grown := int64(after.Sys) - int64(before.Sys)
			if err == nil || !strings.Contains(err.Error(), c.message) || took > maxTime || grown > maxMemory {
				t.Errorf("%v after %v and %d MiB", err, took, grown>>20)
			}
			t.Logf("%d KiB packed: %v, %d MiB of memory", len(file)>>10, took.Round(time.Millisecond), grown>>20)
		})
	}
}

// bombSheet is a spreadsheet of rows and texts.
func bombSheet(t *testing.T, rows, texts string) []byte {
	const ns = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" ` +
		`xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"`
	const rels = `http://schemas.openxmlformats.org/officeDocument/2006/relationships`
	return zipped(t,
		"[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`,
		"_rels/.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`+
			`<Relationship Id="rId1" Type="`+rels+`/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/workbook.xml", `<workbook `+ns+`><sheets><sheet name="A" sheetId="1" r:id="rId1"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`+
			`<Relationship Id="rId1" Type="`+rels+`/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`,
		"xl/sharedStrings.xml", `<sst `+ns+`>`+texts+`</sst>`,
		"xl/worksheets/sheet1.xml", `<worksheet `+ns+`><sheetData>`+rows+`</sheetData></worksheet>`)
}

// A month a row: days that a month does not have are none, flagged values are left
// out, and a fault has the line of its month.
func TestMonthRows(t *testing.T) {
	var header, tmax, tmin strings.Builder
	header.WriteString("year;month;variable")
	for d := range daysOfRow {
		fmt.Fprintf(&header, ";%02d;flag", d+1)
		fmt.Fprintf(&tmax, ";%d,5;", 10+d%9)
		fmt.Fprintf(&tmin, ";%d,5;", d%7)
	}
	text := header.String() + "\n2019;Feb;tmax" + tmax.String() + "\n2019;Feb;tmin" + tmin.String() + "\n"
	f, err := Read(strings.NewReader(text), "x", Options{Unit: Celsius})
	if err != nil {
		t.Fatal(err)
	}
	if r := f.Record; r.Len() != 28 || r.TMaxC[27] != 10.5 || r.TMinC[0] != 0.5 || f.Layout != "a month a row" {
		t.Errorf("%+v, %s", r, f.Layout)
	}
	_, err = Read(strings.NewReader(strings.Replace(text, ";1,5;", ";one;", 1)), "x", Options{Unit: Celsius})
	if err == nil || !strings.HasPrefix(err.Error(), `x:3: "one" is not a number`) {
		t.Error(err)
	}
	text, rest, _ := strings.Cut(monthsSample(t), "\n")
	if text[21:29] != "   24  Z" {
		t.Fatal(text)
	}
	spoilt := text[:21] + "   24 XZ" + text[29:]
	if f, err = Read(strings.NewReader(spoilt+"\n"+rest), "x.dly", Options{}); err != nil || f.Flagged != 1 ||
		f.PrecipUnit != "tenths of mm" {
		t.Errorf("%+v, %v", f, err)
	}
}

func monthsSample(t *testing.T) string {
	text, err := os.ReadFile(filepath.Join(layouts, "month-an-element.dly"))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
