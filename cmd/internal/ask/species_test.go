package ask

import (
	"strings"
	"testing"
)

// A species is called as typed, and its figures are those of a grass.
func TestSpeciesThatCannotBe(t *testing.T) {
	own := func(id, parameter, value string) string {
		return "species,parameter,value\n" + id + "," + parameter + "," + value + "\n"
	}
	for text, want := range map[string]string{
		own("=cmd", "tillered", "380"):                      `x:2:1: "=cmd" cannot be the ID of a species`,
		own("-x", "tillered", "380"):                        "cannot be the ID",
		own("a b", "tillered", "380"):                       "cannot be the ID",
		own(strings.Repeat("x", 41), "tillered", "380"):     "cannot be the ID",
		own("perennial-ryegrass", "tillered", "1e300"):      "tillered 1e+300 is no figure of a grass",
		own("perennial-ryegrass", "spread", "1e-300"):       "spread 1e-300 is no figure of a grass",
		own("perennial-ryegrass", "spread", "30"):           "spread 30 is no figure",
		own("perennial-ryegrass", "seeds_per_gram", "-1"):   "seeds_per_gram -1 is no figure",
		own("perennial-ryegrass", "germination", "1e-9"):    "germination 1e-09 is no figure",
		own("perennial-ryegrass", "leaf_interval", "30000"): "leaf_interval 30000 is no figure",
	} {
		if list, err := ReadSpecies(strings.NewReader(text), "x"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, %v", text, list, err)
		}
	}
	name := "species,name,parameter,value\nperennial-ryegrass," + strings.Repeat("n", 61) + ",tillered,380\n"
	if _, err := ReadSpecies(strings.NewReader(name), "x"); err == nil {
		t.Error("an endless name is taken")
	}
}
