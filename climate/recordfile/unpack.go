package recordfile

import (
	"archive/zip"
	"bufio"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"swardcast/climate"
)

// Limits on what is packed. They bound memory and time for any input.
const (
	maxPackedBytes = 64 << 20 // of an archive or a spreadsheet, as it is
	maxXMLBytes    = 96 << 20 // of a spreadsheet, unpacked
	maxTextsBytes  = 8 << 20  // of the texts that its cells share
	maxJSONBytes   = 16 << 20 // of JSON
	maxMembers     = 1000     // of an archive, and sheets of a spreadsheet
)

// A table is one of the tables that a file holds.
type table struct {
	member string                    // within the file; "" for the file itself
	of     string                    // what it is, for the layout, such as sheet "Data" of a spreadsheet
	open   func() (io.Reader, error) // its text
	epoch  climate.Day               // to be added to the serial days of a spreadsheet
}

// tablesOf returns the tables of a file: itself, or what it packs. Whatever is read of
// them counts towards most.
func tablesOf(r io.Reader, name string, most int64) ([]table, error) {
	in := bufio.NewReader(r)
	magic, _ := in.Peek(8)
	limited := &textLimit{most: most}
	switch {
	case bytes.HasPrefix(magic, []byte{0x1f, 0x8b}):
		unpacked, err := gzip.NewReader(in)
		if err != nil {
			return nil, &Error{Kind: Unreadable, File: name,
				Message: "the gzip file cannot be unpacked: " + err.Error()}
		}
		return []table{{open: func() (io.Reader, error) { return limited.of(unpacked), nil }}}, nil
	case bytes.HasPrefix(magic, []byte("PK\x03\x04")), bytes.HasPrefix(magic, []byte("PK\x05\x06")):
		return packed(in, name, limited)
	case bytes.HasPrefix(magic, []byte{0xd0, 0xcf, 0x11, 0xe0}):
		return nil, &Error{Kind: Unreadable, File: name, Message: "this is a spreadsheet of the old form, .xls",
			Hint: "save it as .xlsx or as CSV"}
	}
	return []table{{open: func() (io.Reader, error) { return limited.of(in), nil }}}, nil
}

// packed returns the sheets of a spreadsheet, or the members of an archive.
func packed(in io.Reader, name string, limited *textLimit) ([]table, error) {
	content, err := io.ReadAll(io.LimitReader(in, maxPackedBytes+1))
	if err != nil {
		return nil, ioError(name, err)
	}
	if len(content) > maxPackedBytes {
		return nil, &Error{Kind: TooLarge, File: name, Message: fmt.Sprintf("the packed file is longer than %d MiB",
			maxPackedBytes>>20), Hint: "unpack it and name the table in it"}
	}
	archive, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return nil, &Error{Kind: Unreadable, File: name, Message: "the archive cannot be unpacked: " + err.Error()}
	}
	if len(archive.File) > maxMembers {
		return nil, &Error{Kind: TooLarge, File: name, Message: fmt.Sprintf("the archive has more than %d members",
			maxMembers), Hint: "unpack it and name the table in it"}
	}
	for _, f := range archive.File {
		if f.Name == "xl/workbook.xml" {
			return sheets(content, archive, name)
		}
	}
	var list []table
	for _, f := range archive.File {
		base := path.Base(f.Name)
		if f.FileInfo().IsDir() || strings.HasPrefix(base, ".") || strings.HasPrefix(f.Name, "__MACOSX/") {
			continue
		}
		list = append(list, table{member: f.Name, of: "in an archive", open: func() (io.Reader, error) {
			r, err := f.Open()
			if err != nil {
				return nil, &Error{Kind: Unreadable, File: name, Message: fmt.Sprintf("%s cannot be unpacked: %v",
					quoted(f.Name), err)}
			}
			text := bufio.NewReader(r)
			if magic, _ := text.Peek(2); bytes.Equal(magic, []byte{0x1f, 0x8b}) {
				unpacked, err := gzip.NewReader(text)
				if err != nil {
					return nil, &Error{Kind: Unreadable, File: name, Message: err.Error()}
				}
				return limited.of(unpacked), nil
			}
			return limited.of(text), nil
		}})
	}
	if len(list) == 0 {
		return nil, &Error{Kind: Empty, File: name, Message: "the archive is empty"}
	}
	return list, nil
}

// readTables reads the one table of a file that can be read as a record. Of the sheets
// of a spreadsheet it is the first, of an archive there must be one.
func readTables(tables []table, name string, o Options, asked asked) (*File, error) {
	if len(tables) == 1 && tables[0].member == "" {
		return readOne(tables[0], name, o, asked)
	}
	var found *File
	var foundErr, first error
	var members []string
	for _, t := range tables {
		f, err := readOne(t, fmt.Sprintf("%s (%s)", name, t.member), o, asked)
		var e *Error
		if errors.As(err, &e) {
			switch e.Kind {
			case NoHeader, MissingColumn, AskedColumn, Unreadable, Empty:
				if first == nil || e.Kind == MissingColumn {
					first = err
				}
				continue // not the record
			case TooLarge:
				return nil, err
			}
		}
		if err == nil {
			f.Layout += ", " + t.of
		}
		members = append(members, t.member)
		if len(members) == 1 {
			found, foundErr = f, err
		}
		if len(members) == 1 && t.of != "in an archive" || len(members) > 12 {
			break
		}
	}
	switch len(members) {
	case 0:
		return nil, first
	case 1:
		return found, foundErr
	}
	return nil, &Error{Kind: SeveralTables, File: name, Tables: members,
		Message: fmt.Sprintf("the archive holds %d records: %s", len(members), strings.Join(members, ", ")),
		Hint:    "unpack it and name one of them, or all where they are parts of one record"}
}

// readOne reads the record of one table.
func readOne(t table, name string, o Options, asked asked) (*File, error) {
	r, err := t.open()
	if err != nil {
		return nil, err
	}
	text, err := decoded(r, name)
	if err != nil {
		return nil, err
	}
	if text.json {
		return readJSON(text.in, name, o, asked)
	}
	o.epoch = t.epoch
	return readTable(&keptText{r: text.in}, name, o, asked)
}

// A decodedText is text in UTF-8 whose lines end in a line feed.
type decodedText struct {
	in   *bufio.Reader
	json bool
}

// decoded finds how a text is written.
func decoded(r io.Reader, name string) (decodedText, error) {
	const first = 4096 // bytes that show it
	in := bufio.NewReaderSize(r, first)
	head, err := in.Peek(first)
	if err != nil && err != io.EOF {
		return decodedText{}, ioError(name, err)
	}
	if order, ok := wide(head); ok {
		in = bufio.NewReaderSize(transform.NewReader(in, unicode.UTF16(order, unicode.UseBOM).NewDecoder()), first)
		if head, err = in.Peek(first); err != nil && err != io.EOF {
			return decodedText{}, ioError(name, err)
		}
	}
	if bytes.IndexByte(head, '\n') < 0 && bytes.IndexByte(head, '\r') >= 0 {
		in = bufio.NewReader(&lineFeeds{in})
	}
	trimmed := bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")), " \t\r\n")
	json := len(trimmed) > 0 && (trimmed[0] == '{' || trimmed[0] == '[')
	return decodedText{in, json}, nil
}

// wide reports whether a text is UTF-16, by its mark or by the zeros of plain letters,
// and in which order of bytes.
func wide(head []byte) (unicode.Endianness, bool) {
	switch {
	case bytes.HasPrefix(head, []byte{0xff, 0xfe}):
		return unicode.LittleEndian, true
	case bytes.HasPrefix(head, []byte{0xfe, 0xff}):
		return unicode.BigEndian, true
	}
	const letters = 16
	if len(head) < 2*letters {
		return unicode.LittleEndian, false
	}
	var zeros [2]int
	for i, b := range head[:2*letters] {
		if b == 0 {
			zeros[i%2]++
		}
	}
	switch zeros {
	case [2]int{0, letters}:
		return unicode.LittleEndian, true
	case [2]int{letters, 0}:
		return unicode.BigEndian, true
	}
	return unicode.LittleEndian, false
}

// lineFeeds makes line feeds of carriage returns, in a text whose lines end in these.
type lineFeeds struct{ r io.Reader }

func (l *lineFeeds) Read(p []byte) (int, error) {
	n, err := l.r.Read(p)
	for i, b := range p[:n] {
		if b == '\r' {
			p[i] = '\n'
		}
	}
	return n, err
}
