package ask

import (
	"fmt"
	"strings"
	"testing"
)

// A species file comes through a spreadsheet: parted by semicolons with decimal commas,
// units in plain ASCII; one that was saved in another encoding is refused with the reason.
func TestSpeciesFileFromASpreadsheet(t *testing.T) {
	for text, want := range map[string]float64{
		"species;parameter;value;unit\ntall-fescue;base;4,5;°C\n":                 4.5,
		"\ufeffspecies;parameter;value;unit\ntall-fescue;base;4.5;deg C\n":        4.5,
		"# mine, edited\nspecies,parameter,value,unit\ntall-fescue,base,4.5,°C\n": 4.5,
	} {
		list, _, err := ReadSpecies(strings.NewReader(text), "own.csv")
		if err != nil || len(list) != 1 || list[0].Base.Value != want {
			t.Errorf("%q: %+v, %v", text, list, err)
		}
	}
	for text, want := range map[string]string{
		"species,parameter,value,unit\ntall-fescue,base,4.5,Â°C\n":   "save the file as CSV UTF-8",
		"species,parameter,value,unit\ntall-fescue,base,4.5,\xb0C\n": "save the file as CSV UTF-8",
		"species,parameter,value,unit\ntall-fescue,base,4.5,°F\n":    "is in °C, not in °F",
		"species,parameter,value\ntall-fescue,base,\"4,5\"\n":        "is not a number",
	} {
		if _, _, err := ReadSpecies(strings.NewReader(text), "own.csv"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", text, err)
		}
	}
	many := "species,parameter,value\n"
	for i := range 101 {
		many += fmt.Sprintf("s%d,base,4\n", i)
	}
	if _, _, err := ReadSpecies(strings.NewReader(many), "own.csv"); err == nil || !strings.Contains(err.Error(), "more than 100") {
		t.Errorf("101 species: %v", err)
	}
}
