package species

import "swardcast/forecast/turf"

// An Answer is the species asked for, in their order.
type Answer struct{ Species []turf.Species }
