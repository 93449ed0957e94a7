package recordfile

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
)

// A repeated text comes again for ever, after a beginning.
type repeated struct {
	begin, text string
	at          int
	read        int64
}

func (e *repeated) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) {
		s := e.text
		if e.begin != "" {
			s = e.begin
		}
		k := copy(p[n:], s[e.at:])
		n += k
		if e.at += k; e.at == len(s) {
			e.begin, e.at = "", 0
		}
	}
	e.read += int64(n)
	return n, nil
}

const header = "station,date,tmax_c,tmin_c\n"

// What the limits stand for, measured: generous several times over, on a machine
// of two cores shared with others.
const (
	maxMemory = 512 << 20        // bytes taken from the system
	maxTime   = 60 * time.Second // 256 MiB at a tenth of the measured speed
)

// refusedWithin reads what must be refused, within the time and the memory, and
// returns how much of it was read.
func refusedWithin(t *testing.T, r *repeated, o Options, message string) int64 {
	t.Helper()
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	begin := time.Now()
	_, err := Read(r, "x", o)
	took := time.Since(begin)
	runtime.ReadMemStats(&after)
	var e *Error
	if !errors.As(err, &e) || !strings.Contains(err.Error(), message) {
		t.Errorf("%.60q…: %v, want %q", r.text, err, message)
	}
	grown := int64(after.Sys) - int64(before.Sys)
	if took > maxTime || grown > maxMemory {
		t.Errorf("%.60q…: %v, %d MiB", r.text, took, grown>>20)
	}
	t.Logf("%.40q…: %d MiB read, %v, %d MiB of memory", r.text, r.read>>20, took.Round(time.Millisecond), grown>>20)
	return r.read
}

// Input without an end is refused, whatever it repeats.
func TestEndlessInput(t *testing.T) {
	if testing.Short() {
		t.Skip("it reads much")
	}
	for _, c := range []struct {
		name, begin, text, message string
		maxMiB                     int64
	}{
		{"rows of the station", header, "a,2019-01-01,10,2\n", "the station has more than 1000000 rows", 20},
		{"rows of others", header + "a,2019-01-01,10,2\n", "b,2019-01-01,10,2\n", "the file is longer than 256 MiB",
			257},
		{"other elements", "ID,DATE,ELEMENT,VALUE\n", "a,20190101,SNOW,0\n", "the file is longer than 256 MiB", 257},
		{"comments", header, "# no row\n", "the row that begins here is longer than", 4},
		{"blank lines", header, "\n", "the row that begins here is longer than", 4},
		{"a quotation mark not closed", header + "a,\"", "2019-01-01\n", "the row that begins here is longer than", 4},
		{"one line", header + "a,2019-01-01,10,", "2", "the line is longer than", 3},
		{"one line of quotation marks", header + "a,2019-01-01,10,", `""`, "the line is longer than", 3},
		{"columns", header + "a,2019-01-01,10,2", ",2", "the line is longer than", 3},
		{"a line before the header", "", "x", "no header with a date", 1},
		{"lines before the header", "", "no header\n", "no header with a date", 1},
		{"columns of the header", "", "tmax,", "columns; at most 1000 are read", 1},
		{"blanks between columns", "WBANNO LST_DATE T_DAILY_MAX T_DAILY_MIN\n1 20190101 1 0\n", "1  20190101  1  0\n",
			"the station has more than 1000000 rows", 20},
		{"blank columns", "LST_DATE T_DAILY_MAX T_DAILY_MIN\n20190101 1 0\n", "1 ", "is not a date", 3},
		{"nothing", "", "\n", "the file is empty", 1},
		{"zeros", "", "\x00", "this is not a text file", 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			if n := refusedWithin(t, &repeated{begin: c.begin, text: c.text}, Options{}, c.message); n > c.maxMiB<<20 {
				t.Errorf("%d MiB were read before", n>>20)
			}
		})
	}
}

// A packed text counts by what it unpacks to.
func TestGzipBomb(t *testing.T) {
	if testing.Short() {
		t.Skip("it unpacks much")
	}
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	io.WriteString(z, header+"a,2019-01-01,10,2\n")
	row := strings.Repeat("b,2019-01-01,10,2\n", 1<<10)
	for n := 0; n < maxTextBytes; n += len(row) {
		if _, err := io.WriteString(z, row); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	begin := time.Now()
	_, err := Read(&packed, "bomb.gz", Options{})
	took := time.Since(begin)
	if err == nil || !strings.Contains(err.Error(), "bomb.gz: the file is longer than 256 MiB") || took > maxTime {
		t.Errorf("%v after %v", err, took)
	}
	// Packed twice, or broken: a message, no more.
	once := pack(t, []byte(header))
	for what, bad := range map[string][]byte{"twice": pack(t, once), "cut": once[:len(once)-6],
		"spoilt": append(once[:20:20], 1, 2, 3), "head alone": once[:5]} {
		if _, err := Read(bytes.NewReader(bad), "x", Options{}); err == nil || !strings.HasPrefix(err.Error(), "x") {
			t.Errorf("%s: %v", what, err)
		}
	}
}

func pack(t *testing.T, text []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	if _, err := z.Write(text); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The limits themselves hold: one less is read, one more refused.
func TestLimitsExactly(t *testing.T) {
	days := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "a,%s,%d,2\n", climate.Date(2019, 1, 1)+climate.Day(i), 10+i%20)
		}
		return b.String()
	}
	year := header + days(365)
	for _, c := range []struct {
		name, text string
		o          Options
		message    string // "" for one that is read
	}{
		{"text", year, Options{most: int64(len(year))}, ""},
		{"text and a byte", year + "\n", Options{most: int64(len(year))}, "the file is longer"},
		{"ID", strings.ReplaceAll(year, "a,", strings.Repeat("i", maxIDBytes)+","), Options{}, ""},
		{"ID and a byte", strings.ReplaceAll(year, "a,", strings.Repeat("i", maxIDBytes+1)+","), Options{},
			"the ID of a station is longer than 1000 bytes"},
		{"columns", "date,tmax_c,tmin_c" + strings.Repeat(",x", maxColumns-3) + "\n2019-01-01,10,2\n", Options{}, ""},
		{"columns and one", "date,tmax_c,tmin_c" + strings.Repeat(",x", maxColumns-2) + "\n2019-01-01,10,2\n",
			Options{}, "the line has 1001 columns"},
		{"years", "date,tmax_c,tmin_c\n1600-01-01,10,2\n1999-12-31,11,3\n", Options{}, ""},
		{"years and more", "date,tmax_c,tmin_c\n1600-01-01,10,2\n2001-12-31,11,3\n", Options{}, "more than 400 years"},
	} {
		f, err := Read(strings.NewReader(c.text), "x", c.o)
		switch {
		case c.message == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.message != "" && (err == nil || !strings.Contains(err.Error(), c.message)):
			t.Errorf("%s: %v, want %q", c.name, err, c.message)
		case err == nil && len([]rune(f.Record.Place.Name)) > maxNameRunes:
			t.Errorf("%s: a name of %d characters", c.name, len([]rune(f.Record.Place.Name)))
		}
	}
}

// Which of two columns is taken must not be left to chance.
func TestColumnAskedTwice(t *testing.T) {
	for range 20 {
		_, err := Read(strings.NewReader("date,a,b,tmin_c\n2019-01-01,10,20,2\n"), "x",
			Options{Columns: map[string]string{"tmax": "a", "TMAX": "b"}})
		if err == nil || err.Error() != "the column of the tmax is given twice" {
			t.Fatal(err)
		}
	}
}

// docs/interface.md tells the limits as they are.
func TestLimitsDocumented(t *testing.T) {
	doc, err := os.ReadFile("../../docs/interface.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []string{
		fmt.Sprintf("| text of a record, unpacked | %d MiB |", maxTextBytes>>20),
		fmt.Sprintf("| archive or spreadsheet, packed | %d MiB |", maxPackedBytes>>20),
		fmt.Sprintf("| spreadsheet, unpacked | %d MiB |", maxXMLBytes>>20),
		fmt.Sprintf("| texts of a spreadsheet | %d MiB |", maxTextsBytes>>20),
		fmt.Sprintf("| JSON | %d MiB |", maxJSONBytes>>20),
		fmt.Sprintf("| members of an archive | %d |", maxMembers),
		fmt.Sprintf("| line | %d MiB |", maxLineBytes>>20),
		fmt.Sprintf("| row of several lines | %d MiB |", maxRowBytes>>20),
		fmt.Sprintf("| header stands within | %d KiB |", peekBytes>>10),
		fmt.Sprintf("| columns of the header | %d |", maxColumns),
		fmt.Sprintf("| rows of the station that is read | %d |", maxRows),
		fmt.Sprintf("| years from the first to the last day | %d |", maxYears),
		fmt.Sprintf("| ID of a station | %d bytes |", maxIDBytes),
		fmt.Sprintf("| name of a station, cut | %d characters |", maxNameRunes),
	} {
		if !strings.Contains(string(doc), row) {
			t.Errorf("docs/interface.md does not say %s", row)
		}
	}
}
