package weather

import (
	"fmt"
	"io"

	"swardcast/climate"
)

// WriteCSV writes a generated record as a plain station file, its place in the
// lines before the header.
func WriteCSV(w io.Writer, r *climate.Record) error {
	latitude, longitude, elevation := r.Place.Coordinates()
	_, err := fmt.Fprintf(w, "Station Name: %s\nLatitude: %g, Longitude: %g\nElevation: %g m\n"+
		"date,tmax_c,tmin_c,prcp_mm\n",
		r.Place.Name, latitude, longitude, elevation)
	for i := 0; i < r.Len() && err == nil; i++ {
		_, err = fmt.Fprintf(w, "%s,%.1f,%.1f,%.1f\n", r.Day(i), r.TMaxC[i], r.TMinC[i], r.PrecipMM[i])
	}
	return err
}
