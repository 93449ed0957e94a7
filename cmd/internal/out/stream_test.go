package out

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

type streamed struct {
	Name  words.Text   `csv:"name"  json:"name"`
	Value words.Number `csv:"value" json:"value"`
	Lon   float64      `csv:"-"     json:"-"`
}

var lists = [][]streamed{{{"a", 1, 2.5}, {"=b", words.Unknown, math.NaN()}}, {{`c, "d" <é>`, 3, -4}}}

func position(r streamed) Position { return Position{string(r.Name), r.Lon, 10, math.NaN()} }

func written(t *testing.T, form *Stream[streamed], first, last bool, lists ...[]streamed) string {
	t.Helper()
	var b bytes.Buffer
	w := &StreamWriter[streamed]{Form: form, To: &b, First: first, Last: last}
	for _, rows := range lists {
		if err := w.Add(rows); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.End(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func resumable() map[string]*Stream[streamed] {
	return map[string]*Stream[streamed]{
		"csv":     CSVStream[streamed](),
		"jsonl":   JSONLines[streamed](),
		"geojson": GeoJSON(position),
	}
}

// Every row is read back from its line, and nothing else is taken for one.
func TestStreamsReadBack(t *testing.T) {
	for name, form := range resumable() {
		var got []string
		for line := range strings.Lines(written(t, form, true, true, lists...)) {
			if fields, ok := form.Back(strings.TrimSuffix(line, "\n")); ok {
				got = append(got, fields["name"])
			}
		}
		want := []string{"a", "=b", `c, "d" <é>`}
		if name == "csv" {
			want[1] = "'=b" // no formula
		}
		if strings.Join(got, "|") != strings.Join(want, "|") {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
		for _, line := range []string{"", "x", "null", "[]", `"name"`, "{",
			`{"type":"FeatureCollection","features":[`, "]}", "name,value", "a,1,2"} {
			if fields, ok := form.Back(line); ok {
				t.Errorf("%s: %q is taken for the row %v", name, line, fields)
			}
		}
	}
}

// Answers of parts, one behind the other, are that of the whole; those of a form whose
// answers stand apart are each whole.
func TestStreamsOfParts(t *testing.T) {
	for name, form := range resumable() {
		whole := written(t, form, true, true, lists...)
		a, b := written(t, form, true, false, lists[0]), written(t, form, false, true, lists[1])
		if together := a+b == whole; together == form.Apart {
			t.Errorf("%s: %q and %q of %q", name, a, b, whole)
		}
		if empty := written(t, form, true, true); strings.Count(empty, "\n") > 2 {
			t.Errorf("%s of nothing: %q", name, empty)
		}
	}
}

func TestCSVStream(t *testing.T) {
	rows, err := csv.NewReader(strings.NewReader(written(t, CSVStream[streamed](), true, true, lists...))).ReadAll()
	if err != nil || len(rows) != 4 || strings.Join(rows[0], " ") != "name value" || rows[2][1] != "" ||
		rows[3][0] != `c, "d" <é>` {
		t.Errorf("%q, %v", rows, err)
	}
}

// RFC 7946, sections 3.2 and 3.3: a FeatureCollection, longitude first, a null geometry
// where there is no place.
func TestGeoJSON(t *testing.T) {
	var got struct {
		Type     string
		Features []struct {
			Type, ID string
			Geometry *struct {
				Type        string
				Coordinates []float64
			}
			Properties map[string]any
		}
	}
	if err := json.Unmarshal([]byte(written(t, GeoJSON(position), false, false, lists...)), &got); err != nil {
		t.Fatal(err)
	}
	if got.Type != "FeatureCollection" || len(got.Features) != 3 {
		t.Fatalf("%+v", got)
	}
	for i, f := range got.Features {
		if none := f.Geometry == nil; f.Type != "Feature" || none != (i == 1) || f.Properties["name"] != f.ID {
			t.Errorf("%+v", f)
		}
	}
	if g := got.Features[0].Geometry; g.Type != "Point" || len(g.Coordinates) != 2 || g.Coordinates[0] != 2.5 ||
		g.Coordinates[1] != 10 {
		t.Errorf("%+v", g)
	}
}

func TestTextStream(t *testing.T) {
	form := TextStream("above", []Column[streamed]{
		{Head: "name", Width: 6, Cell: func(r streamed) string { return string(r.Name) }},
		{Head: "x", Width: 4, Right: true, Cell: func(streamed) string { return "1" }},
	}, "A note.", report.Section{Heading: "Cautions", List: []string{"Mind."}})
	got := written(t, form, true, true, []streamed{{Name: "ab"}, {Name: "abcdefgh"}, {Name: "日本語日本語"}})
	want := "above\nname     x\nab       1\nabcd…    1\n日本…    1\n\nA note.\nCautions\n  - Mind.\n"
	if got != want || form.Back != nil {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestMatrixStream(t *testing.T) {
	m := &report.Matrix{Species: []report.MatrixSpecies{{ID: "s", Name: "S"}}, Level: 80, Cautions: []string{"Mind."}}
	form := MatrixStream(m, "Test", words.US, func(rows []streamed) report.MatrixPlace {
		return report.MatrixPlace{Name: string(rows[0].Name), Longitude: rows[0].Lon, Season: 2025,
			Cells: []report.Cell{{Safe: 100}}}
	})
	var b bytes.Buffer
	w := &StreamWriter[streamed]{Form: form, To: &b}
	for _, rows := range lists {
		if err := w.Add(rows); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.AddFailed(report.MatrixPlace{Name: "Gone", Why: "no rows"}); err != nil {
		t.Fatal(err)
	}
	if b.Len() > 0 {
		t.Error("something stands before all places are known")
	}
	if err := w.End(); err != nil {
		t.Fatal(err)
	}
	got := b.String()
	if !strings.HasPrefix(got, "<!DOCTYPE html>") || strings.Count(got, `<th scope="row">`) != len(lists)+2 ||
		!strings.Contains(got, "No answer: no rows") || !strings.Contains(got, "Mind.") ||
		strings.Contains(got, `"d" <é>`) {
		t.Error(got[:min(len(got), 300)])
	}
}

type full struct{}

var errFull = errors.New("full")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestStreamWriterFails(t *testing.T) {
	w := &StreamWriter[streamed]{Form: CSVStream[streamed](), To: full{}, First: true}
	if err := w.Add(lists[0]); !errors.Is(err, errFull) {
		t.Error(err)
	}
	if err := w.End(); !errors.Is(err, errFull) {
		t.Error(err)
	}
}
