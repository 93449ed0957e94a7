package report

import (
	"math"

	"swardcast/climate"
	"swardcast/cmd/internal/words"
)

const linesSchema = "swardcast.region-lines/1"

// A LinesJSON is a map file (RFC 7946) of lines of equal last safe date. What it says of each
// surface stands beside the features, a foreign member.
type LinesJSON struct {
	Type     string        `json:"type"`
	Schema   string        `json:"schema"`
	Surfaces []SurfaceJSON `json:"surfaces"`
	Features []lineJSON    `json:"features"`
}

// A SurfaceJSON is how far off the dates between places are, in days, at places left out.
type SurfaceJSON struct {
	Species     string       `json:"species_id"`
	Hemisphere  string       `json:"hemisphere"`
	Places      int          `json:"place_count"`
	Drawn       bool         `json:"drawn"` // it is clearly better than the nearest place's date
	MeanError   words.Number `json:"mean_error_days"`
	NearestMean words.Number `json:"nearest_mean_error_days"`
	BlankKM     words.Number `json:"blank_beyond_km"`
}

type lineJSON struct {
	Type       string        `json:"type"`
	Geometry   geometryJSON  `json:"geometry"`
	Properties linePropsJSON `json:"properties"`
}

type geometryJSON struct {
	Type        string         `json:"type"`
	Coordinates [][][2]float64 `json:"coordinates"`
}

type linePropsJSON struct {
	Species    string       `json:"species_id"`
	Season     int          `json:"season"`
	Confidence words.Number `json:"confidence"`
	LastSafe   climate.Day  `json:"last_safe_date"`
	Label      string       `json:"label"`
}

// LinesJSON are the lines of equal date of every species whose surface is worth showing.
func (m *Matrix) LinesJSON(u words.System) *LinesJSON {
	out := &LinesJSON{Type: "FeatureCollection", Schema: linesSchema, Surfaces: []SurfaceJSON{}, Features: []lineJSON{}}
	for _, south := range m.Hemispheres() {
		season, points := 0, [][2]float64(nil)
		for i := range m.Places {
			p := &m.Places[i]
			if p.Cells != nil && p.South == south && !math.IsNaN(p.Longitude) && !math.IsNaN(p.Latitude) {
				season = max(season, p.Season)
				points = append(points, [2]float64{p.Longitude, p.Latitude})
			}
		}
		for k, sp := range m.Species {
			x := m.Surface(k, south)
			if x == nil {
				continue
			}
			hemisphere := map[bool]string{false: "north", true: "south"}[south]
			out.Surfaces = append(out.Surfaces, SurfaceJSON{sp.ID, hemisphere, x.Skill.Sites, x.Skill.Better,
				words.Number(x.Skill.Surface), words.Number(x.Skill.Nearest), words.Number(x.BlankKM)})
			if !x.Skill.Better {
				continue
			}
			for _, l := range x.Lines(m.Steps(u, k, south), points) {
				day := climate.Calendar{South: south}.Day(season, int(l.Day))
				out.Features = append(out.Features, lineJSON{"Feature", geometryJSON{"MultiLineString", l.Pieces},
					linePropsJSON{sp.ID, season, words.Number(m.Level / 100), day, MatrixDate(u, south, l.Day)}})
			}
		}
	}
	return out
}
