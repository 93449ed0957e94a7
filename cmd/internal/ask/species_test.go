package ask

import (
	"slices"
	"strings"
	"testing"

	"swardcast/forecast/turf"
)

// A species is called as typed, and its figures are those of a grass.
func TestSpeciesThatCannotBe(t *testing.T) {
	own := func(id, parameter, value string) string {
		return "species,parameter,value\n" + id + "," + parameter + "," + value + "\n"
	}
	for text, want := range map[string]string{
		own("=cmd", "tillered", "380"):                    `x:2:1: "=cmd" cannot be the ID of a species`,
		own("-x", "tillered", "380"):                      "cannot be the ID",
		own("a b", "tillered", "380"):                     "cannot be the ID",
		own(strings.Repeat("x", 41), "tillered", "380"):   "cannot be the ID",
		own("perennial-ryegrass", "tillered", "1e300"):    "tillered 1e+300 is no figure of a grass",
		own("perennial-ryegrass", "spread", "1e-300"):     "spread 1e-300 is no figure of a grass",
		own("perennial-ryegrass", "spread", "30"):         "spread 30 is no figure",
		own("perennial-ryegrass", "seeds_per_gram", "-1"): "seeds_per_gram -1 is no figure",
		own("perennial-ryegrass", "germination", "1e-9"):  "germination 1e-09 is no figure",
		own("perennial-ryegrass", "mature", "30000"):      "mature 30000 is no figure",
	} {
		if list, _, err := ReadSpecies(strings.NewReader(text), "x"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, %v", text, list, err)
		}
	}
	name := "species,name,parameter,value\nperennial-ryegrass," + strings.Repeat("n", 61) + ",tillered,380\n"
	if _, _, err := ReadSpecies(strings.NewReader(name), "x"); err == nil {
		t.Error("an endless name is taken")
	}
}

// A figure that earlier versions wrote, though it moved no answer, is ignored and named
// once.
func TestFormerParameterIsIgnored(t *testing.T) {
	text := "species,parameter,value,unit\ntall-fescue,leaf_interval,119,°C d\nred-fescue,leaf_interval,1e9,°C d\n" +
		"tall-fescue,emerged,140,°C d\n"
	list, ignored, err := ReadSpecies(strings.NewReader(text), "x")
	if err != nil || len(list) != 2 || list[0].Emerged.Value != 140 || !slices.Equal(ignored, []string{"leaf_interval"}) {
		t.Errorf("%+v, %v, %v", list, ignored, err)
	}
	red, _ := turf.Find("red-fescue")
	if list[1] != red {
		t.Errorf("%+v", list[1])
	}
}
