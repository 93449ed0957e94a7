package words

import "swardcast/forecast/turf"

// Stages are the stages as a grower says them.
var Stages = map[turf.Stage]string{
	turf.Emerged: "up", turf.Mow: "ready to mow", turf.Tillered: "established (tillered)",
	turf.Covered: "closed (covered)",
}

// Participles are the stages as something that has been reached.
var Participles = map[turf.Stage]string{
	turf.Emerged: "come up", turf.Mow: "become ready to mow", turf.Tillered: "established", turf.Covered: "closed",
}

// Verbs are the stages as something that is reached.
var Verbs = map[turf.Stage]string{
	turf.Emerged: "come up", turf.Mow: "be ready to mow", turf.Tillered: "establish", turf.Covered: "close",
}

// ShortStage is a stage in a word or two.
func ShortStage(s turf.Stage) string {
	switch s {
	case turf.Emerged:
		return "up"
	case turf.Mow:
		return "ready to mow"
	case turf.Covered:
		return "closed"
	}
	return "established"
}
