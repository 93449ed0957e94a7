package turf

// Evidence says how far a figure can be trusted.
type Evidence string

// The kinds of evidence.
const (
	Seen       Evidence = "S"  // seen in the source's own text or abstract
	Restated   Evidence = "S2" // seen in a second-hand restatement
	Derived    Evidence = "D"  // derived from seen figures
	Unverified Evidence = "M"  // from memory, unverified
	Practice   Evidence = "CP" // common practice in the trade, no source
	OwnFigure  Evidence = "U"  // given by the user
)

// Meaning returns the evidence as a sentence has it, "" for one that is none.
func (s Evidence) Meaning() string {
	switch s {
	case Seen:
		return "published"
	case Restated:
		return "published (second-hand)"
	case Derived:
		return "derived"
	case Unverified:
		return "unverified"
	case Practice:
		return "common practice"
	case OwnFigure:
		return "your own figure"
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
