package soil

import (
	"fmt"

	"swardcast/cmd/internal/ask"
	"swardcast/forecast"
	"swardcast/forecast/soil"
)

// An Answer is the soil of a station.
type Answer struct {
	In          *ask.Station
	ThresholdsC []float64
	Year        *forecast.SoilYear   // at the depth asked for
	Years       []*forecast.SoilYear // at every depth, in the order of soil.Depths
	Days        []forecast.SoilDay   // of the past year
}

// New looks at the past year of the soil at a depth and for when it crosses the
// thresholds, °C.
func New(in *ask.Station, depth soil.Depth, thresholdsC []float64) (*Answer, error) {
	if err := depth.Check(); err != nil {
		return nil, err
	}
	a := &Answer{In: in, ThresholdsC: thresholdsC}
	for _, d := range soil.Depths() {
		y, err := in.SoilYear(d, thresholdsC)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", in.Name, err)
		}
		if d == depth {
			a.Year = y
		}
		a.Years = append(a.Years, y)
	}
	a.Days = in.SoilDays(a.Year.From, a.Year.To)
	return a, nil
}
