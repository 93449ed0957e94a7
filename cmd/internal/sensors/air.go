package sensors

import (
	"fmt"
	"os"
	"path/filepath"

	"swardcast/climate"
	"swardcast/climate/check"
	"swardcast/climate/recordfile"
)

// LoadAir returns the checked records of a directory, whatever their soil. It
// holds stations.csv with station, latitude or lat, and perhaps climate, and one
// record a station in any layout that package recordfile reads. keep is asked for
// the climate; nil: all.
func LoadAir(dir string, keep func(class string) bool) ([]*climate.Record, error) {
	var places []struct {
		Station  string   `csv:"station"`
		Latitude *float64 `csv:"latitude"`
		Lat      *float64 `csv:"lat"`
		Climate  string   `csv:"climate"`
	}
	if err := readCSV(filepath.Join(dir, "stations.csv"), &places); err != nil {
		return nil, err
	}
	var out []*climate.Record
	for _, p := range places {
		if keep != nil && !keep(p.Climate) {
			continue
		}
		if p.Latitude == nil {
			p.Latitude = p.Lat
		}
		if p.Latitude == nil {
			return nil, fmt.Errorf("%s: no latitude of %s", dir, p.Station)
		}
		rec, err := readAir(filepath.Join(dir, p.Station+".csv"))
		if err != nil {
			return nil, err
		}
		rec.Place.Name, rec.Place.Latitude = p.Station, p.Latitude
		out = append(out, rec)
	}
	return out, nil
}

func readAir(path string) (*climate.Record, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	file, err := recordfile.Read(f, path, recordfile.Options{Unit: recordfile.Celsius})
	if err != nil {
		return nil, err
	}
	rec, _, err := check.Clean(file.Record)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return rec, nil
}
