package turf

// Evidence says how far a figure can be trusted.
type Evidence string

// The kinds of evidence.
const (
	Seen       Evidence = "S"  // seen in the source's own text or abstract
	Restated   Evidence = "S2" // seen in a second-hand restatement
	Derived    Evidence = "D"  // worked out from seen figures
	Unverified Evidence = "M"  // from memory, unverified
	Practice   Evidence = "CP" // common practice in the trade, no source
	OwnFigure  Evidence = "U"  // given by the user
)

// Meaning returns the evidence in words, "" for one that is none.
func (s Evidence) Meaning() string {
	switch s {
	case Seen:
		return "seen in the source"
	case Restated:
		return "seen restated second-hand"
	case Derived:
		return "worked out from seen figures"
	case Unverified:
		return "from memory, unverified"
	case Practice:
		return "common practice, no source"
	case OwnFigure:
		return "the user's own figure"
	}
	return ""
}

// A Figure is a constant with what is known about it.
type Figure struct {
	Value    float64
	Unit     string
	Evidence Evidence
	Source   string
}
