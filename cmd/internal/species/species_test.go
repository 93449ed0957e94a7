package species_test

import (
	"encoding/csv"
	"strings"
	"testing"

	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/clitest"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/species"
	"swardcast/cmd/internal/words"
	"swardcast/forecast/turf"
)

const own = "species,name,parameter,value\ntall-fescue,My fescue,tillered,400\n"

func TestJSONHasEveryFigure(t *testing.T) {
	var got struct {
		Schema  string
		Species []struct {
			ID, Name   string
			Parameters []struct {
				Parameter, Meaning, Unit, Standing, Source string
				Value                                      float64
			}
		}
	}
	clitest.JSON(t, &got, species.Command, nil)
	all := turf.All()
	if got.Schema != "swardcast.species/1" || len(got.Species) != len(all) {
		t.Fatalf("%s, %d species of %d", got.Schema, len(got.Species), len(all))
	}
	for i, s := range got.Species {
		if s.ID != all[i].ID || len(s.Parameters) != len(all[i].Parameters()) {
			t.Errorf("%s: %d figures", s.ID, len(s.Parameters))
		}
		for _, p := range s.Parameters {
			if p.Meaning == "" || p.Unit == "" || turf.Evidence(p.Standing).Meaning() == "" {
				t.Errorf("%s: %+v", s.ID, p)
			}
		}
	}
	clitest.JSON(t, &got, species.Command, clitest.Files{"own.csv": own}, "annual-ryegrass", "own.csv")
	if len(got.Species) != 2 || got.Species[1].Name != "My fescue" {
		t.Errorf("asked for two: %+v", got.Species)
	}
}

// The CSV form is a parameter file: read again it is the same species.
func TestCSVIsAParameterFile(t *testing.T) {
	text := clitest.Answer(t, species.Command, nil, "--format", "csv")
	list, _, err := ask.ReadSpecies(strings.NewReader(text), "all.csv")
	if err != nil {
		t.Fatal(err)
	}
	for i, sp := range turf.All() {
		got := list[i].Parameters()
		for k, p := range sp.Parameters() {
			if words.RoundTo(p.Value, 4) != got[k].Value {
				t.Errorf("%s: %s is %g, was %g", sp.ID, p.Key, got[k].Value, p.Value)
			}
		}
	}
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if first := turf.All()[0]; err != nil || len(rows) != 1+len(turf.All())*len(first.Parameters()) {
		t.Errorf("%d rows, %v", len(rows), err)
	}
}

func TestForms(t *testing.T) {
	clitest.Forms(t, species.Command, nil)
	clitest.Forms(t, species.Command, clitest.Files{"own.csv": own}, "own.csv")
}

func TestDocument(t *testing.T) {
	sp, _ := turf.Find("tall-fescue")
	a := &species.Answer{Species: []turf.Species{sp}}
	base := func(u words.System) []string {
		d, err := a.Document(u, report.Page)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(d.Headline, "Allow tall fescue ") ||
			!strings.HasPrefix(d.Notes[0], "Based on 15 figures: ") {
			t.Errorf("headline %q", d.Headline)
		}
		table := clitest.Section(t, d, "tall-fescue").Tables[0]
		if len(table.Rows) != len(sp.Parameters()) {
			t.Errorf("%d rows", len(table.Rows))
		}
		for _, row := range table.Rows {
			if len(row) != len(table.Head) {
				t.Errorf("row %q", row)
			}
		}
		return table.Rows[0]
	}
	if us, metric := base(words.US), base(words.Metric); us[1] != "38.3 °F" || metric[1] != "3.5 °C" ||
		us[2] != metric[2] {
		t.Errorf("base %q, %q", us, metric)
	}
	clitest.Fails(
		t,
		species.Command,
		nil,
		cli.Usage,
		"rye: which one",
		"swardcast species perennial-ryegrass, ",
		"rye",
	)
	clitest.Fails(
		t,
		species.Command,
		clitest.Files{"bad.csv": "species,parameter,value\ntall-fescue,colour,3\n"},
		cli.NoAnswer,
		`unknown parameter "colour"`,
		"start from swardcast species --format csv",
		"bad.csv",
	)
}

// The days of the headline, by hand for perennial ryegrass (Black, Moot & Lucas 2006):
// 110, 312 and 373 °C d at 10 °C, which is 50 °F.
func TestDays(t *testing.T) {
	sp, _ := turf.Find("perennial-ryegrass")
	for u, want := range map[words.System]string{words.US: "; 11, 31 and 37 at 50 °F.", words.Metric: "; 11, 31 and 37 at 10.0 °C."} {
		d, err := (&species.Answer{Species: []turf.Species{sp}}).Document(u, report.Page)
		if err != nil || !strings.HasSuffix(d.Headline, want) {
			t.Errorf("%q, want %q, %v", d.Headline, want, err)
		}
		d, err = (&species.Answer{Species: turf.All()}).Document(u, report.Page)
		if err != nil || !strings.HasPrefix(d.Headline, "Allow ") ||
			!strings.Contains(d.Headline, "Kentucky bluegrass") {
			t.Errorf("%q, %v", d.Headline, err)
		}
		if rows := clitest.Section(t, d, "days").Tables[0].Rows; len(rows) != len(turf.All()) {
			t.Errorf("%d rows", len(rows))
		}
	}
}
