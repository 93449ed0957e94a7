package species

import (
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
)

type listJSON struct {
	Schema  string        `json:"schema"`
	Species []speciesJSON `json:"species"`
}

type speciesJSON struct {
	ID         string       `json:"id"`
	Name       string       `json:"name"`
	Parameters []figureJSON `json:"parameters"`
}

type figureJSON struct {
	Parameter string       `json:"parameter"`
	Meaning   string       `json:"meaning"`
	Value     words.Number `json:"value"`
	Unit      string       `json:"unit"`
	Evidence  string       `json:"standing"`
	Source    string       `json:"source"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	out := listJSON{Schema: "swardcast.species/1"}
	for i := range a.Species {
		sp := speciesJSON{ID: a.Species[i].ID, Name: a.Species[i].Name}
		for _, p := range a.Species[i].Parameters() {
			sp.Parameters = append(sp.Parameters,
				figureJSON{p.Key, p.Meaning, words.Number(p.Value), p.Unit, string(p.Evidence), p.Source})
		}
		out.Species = append(out.Species, sp)
	}
	return out
}

// Rows are the figures as a parameter file has them.
func (a *Answer) Rows() (any, error) {
	var rows []ask.SpeciesRow
	for i := range a.Species {
		sp := &a.Species[i]
		for _, p := range sp.Parameters() {
			value, err := words.Number(p.Value).MarshalCSV()
			if err != nil {
				return nil, err
			}
			rows = append(
				rows,
				ask.SpeciesRow{Species: sp.ID, Name: words.Cell(sp.Name), Parameter: p.Key, Value: value,
					Unit: p.Unit, Evidence: string(p.Evidence), Source: words.Cell(p.Source)},
			)
		}
	}
	return rows, nil
}
