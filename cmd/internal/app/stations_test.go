package app

import (
	"fmt"
	"testing"

	"swardcast/climate/stations"
)

// BenchmarkFind times what a keystroke in the search for a station costs, in a list of
// 30,000 stations.
func BenchmarkFind(b *testing.B) {
	list := make([]stations.Station, 30_000)
	for i := range list {
		x := &list[i]
		x.ID, x.Name = fmt.Sprintf("XX%09d", i), fmt.Sprintf("FIELD %d (INVENTED)", i*7919%len(list))
		x.Latitude, x.Longitude = -60+float64(i%1200)/10, -180+float64(i%3599)/10
		x.TMax = stations.Years{First: 1950 + i%50, Last: 2026}
		x.TMin = x.TMax
	}
	s := session()
	if err := s.SetStations(stations.Pack(list)); err != nil {
		b.Fatal(err)
	}
	for _, sought := range []string{"f", "field 29", "35.9,-78.8"} {
		b.Run(sought, func(b *testing.B) {
			for b.Loop() {
				if len(s.Find(sought, false)) == 0 {
					b.Fatal("no station found")
				}
			}
		})
	}
}
