package turf

// A Standing tells how far a figure can be trusted.
type Standing string

// The standings of a figure.
const (
	Seen      Standing = "S"  // seen in the source's own text or abstract
	Restated  Standing = "S2" // seen in a second-hand restatement
	Derived   Standing = "D"  // worked out from seen figures
	Memory    Standing = "M"  // from memory, unverified
	Practice  Standing = "CP" // common practice in the trade, no source
	OwnFigure Standing = "U"  // given by the user
)

// Meaning returns the standing in words, "" for one that is none.
func (s Standing) Meaning() string {
	switch s {
	case Seen:
		return "seen in the source"
	case Restated:
		return "seen restated second-hand"
	case Derived:
		return "worked out from seen figures"
	case Memory:
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
	Standing Standing
	Source   string
}
