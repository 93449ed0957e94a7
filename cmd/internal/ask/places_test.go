package ask

import (
	"strings"
	"testing"
)

func TestPlacesRefused(t *testing.T) {
	for text, want := range map[string]string{
		"name,latitude\nx,3\n":            `places:1: the header has no column "station"`,
		"station,latitude\na,north\n":     `places:2:3: "north" is no latitude between -90 and 90`,
		"station,latitude\na,NaN\n":       "is no latitude",
		"station,longitude\na,181\n":      "is no longitude between -180 and 180",
		"station,elevation_m\na,9999\n":   "is no elevation",
		"station,temp_unit\na,R\n":        `unknown unit "R"; it is one of auto, C, F, K, tenths-C`,
		"station,latitude\na,1\na,2\n":    `places:3:1: the station "a" stands twice`,
		"station,latitude\n,1\n":          "the station has no name",
		"station,latitude,latitude\n,1\n": "two columns",
	} {
		if list, err := ReadPlaces(strings.NewReader(text), "places"); err == nil || !strings.Contains(err.Error(),
			want) {
			t.Errorf("%q: %v, %v; want %s", text, list, err, want)
		}
	}
	list, err := ReadPlaces(strings.NewReader("Station,Latitude,temp_unit,remark\na.csv,12.5,F,dry\nb,,,\n"),
		"places")
	if err != nil {
		t.Fatal(err)
	}
	for file, want := range map[string]bool{"x/a.csv": true, "x/a.csv.gz": true, "a": false, "y/b.csv": true,
		"b.txt.gz": true, "c.csv": false} {
		if _, ok := list.Of(file); ok != want {
			t.Errorf("%s: %v", file, ok)
		}
	}
}
