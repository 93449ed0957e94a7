package out

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"

	"swardcast/cmd/internal/words"
)

// A Position is where a row is, and what tells it apart. What is not known is NaN.
type Position struct {
	ID                              string
	Longitude, Latitude, ElevationM float64
}

// GeoJSON is a map file (RFC 7946): one FeatureCollection, a point a row, a line a
// feature, whose properties are the row by its json tags. A comma stands before each
// feature but the first, so that the part of a file that ends with a feature is whole
// but for its foot.
func GeoJSON[R any](position func(R) Position) *Stream[R] {
	return &Stream[R]{Apart: true,
		Head: func() ([]byte, error) { return []byte(`{"type":"FeatureCollection","features":[` + "\n"), nil },
		Foot: func() ([]byte, error) { return []byte("]}\n"), nil },
		Rows: func(rows []R, first bool) ([]byte, error) {
			var b bytes.Buffer
			for _, r := range rows {
				if !first {
					b.WriteString(",")
				}
				first = false
				p := position(r)
				f := feature[R]{Type: "Feature", ID: p.ID, Geometry: p.geometry(), Properties: r}
				if err := writeLine(&b, f); err != nil {
					return nil, err
				}
			}
			return b.Bytes(), nil
		},
		Back: func(line string) (map[string]string, bool) {
			var f feature[map[string]any]
			if err := json.Unmarshal([]byte(strings.TrimPrefix(line, ",")), &f); err != nil {
				return nil, false
			}
			return texts(f.Properties), f.Properties != nil
		},
	}
}

type feature[R any] struct {
	Type       string `json:"type"`
	ID         string `json:"id"`
	Geometry   *point `json:"geometry"` // null where the place is not known (section 3.2)
	Properties R      `json:"properties"`
}

type point struct {
	Type        string         `json:"type"`
	Coordinates []words.Number `json:"coordinates"` // longitude, latitude, and metres above sea level where known
}

func (p *Position) geometry() *point {
	if math.IsNaN(p.Longitude) {
		return nil
	}
	g := &point{"Point", []words.Number{words.Number(p.Longitude), words.Number(p.Latitude)}}
	if !math.IsNaN(p.ElevationM) {
		g.Coordinates = append(g.Coordinates, words.Number(p.ElevationM))
	}
	return g
}
