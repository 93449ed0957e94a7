package region

import (
	"bytes"
	"strings"
	"testing"

	"swardcast/cmd/internal/out"
	"swardcast/cmd/internal/words"
)

// kept goes through an output as it is gone through when it is resumed.
func kept(t *testing.T, format string, text []byte) (end int, done map[string]bool, err error) {
	t.Helper()
	w := &out.StreamWriter[Row]{Form: form(format, nil, 80, words.US), First: true, Last: true}
	e, err := newEarlier(w, []string{"a", "b"}, "s")
	if err != nil {
		t.Fatal(err)
	}
	at := 0
	for n := 1; ; n++ {
		line, rest, whole := bytes.Cut(text[at:], []byte("\n"))
		if !whole {
			return end, e.done, nil
		}
		at = len(text) - len(rest)
		stays, err := e.keep(n, string(line))
		if err != nil {
			return 0, nil, err
		}
		if stays {
			end = at
		}
	}
}

// Whatever is in an output that is resumed, it is refused or cut behind a station with
// all its rows.
func FuzzResumed(f *testing.F) {
	forms := []string{"csv", "jsonl", "geojson"}
	for i, format := range forms {
		var b bytes.Buffer
		w := &out.StreamWriter[Row]{Form: form(format, nil, 80, words.US), To: &b, First: true, Last: true}
		for _, file := range []words.Text{"x", "=y"} {
			rows := []Row{
				{Schema: schema, File: file, Species: "a", Settings: "s"},
				{Schema: schema, File: file, Species: "b", Settings: "s"},
			}
			if err := w.Add(rows); err != nil {
				f.Fatal(err)
			}
		}
		if err := w.End(); err != nil {
			f.Fatal(err)
		}
		f.Add(uint8(i), b.Bytes())
	}
	f.Fuzz(func(t *testing.T, form uint8, text []byte) {
		format := forms[int(form)%len(forms)]
		end, done, err := kept(t, format, text)
		if err != nil {
			return
		}
		if end < 0 || end > len(text) || end > 0 && text[end-1] != '\n' {
			t.Fatalf("cut at %d of %d", end, len(text))
		}
		if n, again, err := kept(t, format, text[:end]); err != nil || n != end || len(again) != len(done) {
			t.Fatalf("what is kept, %q, reads to %d with %d files, want %d; %v", text[:end], n, len(again),
				len(done), err)
		}
	})
}

// A file whose name is a formula to a spreadsheet is found again.
func TestEarlierHas(t *testing.T) {
	for _, format := range []string{"csv", "jsonl", "geojson"} {
		var b bytes.Buffer
		w := &out.StreamWriter[Row]{Form: form(format, nil, 80, words.US), To: &b, First: true, Last: true}
		first := Row{Schema: schema, File: "=1.csv", Species: "a", Settings: "s"}
		second := first
		second.Species = "b"
		if err := w.Add([]Row{first, second}); err != nil {
			t.Fatal(err)
		}
		_, done, err := kept(t, format, b.Bytes())
		if e := (&earlier{done: done}); err != nil || !e.has("=1.csv") || e.has("1.csv") {
			t.Errorf("%s: %v, %v", format, done, err)
		}
		other := strings.ReplaceAll(b.String(), schema, "swardcast.region/0")
		if _, _, err := kept(t, format, []byte(other)); (err == nil) != (format == "csv") {
			t.Errorf("%s of another schema: %v", format, err)
		}
	}
}
