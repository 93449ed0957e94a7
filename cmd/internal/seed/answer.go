package seed

import "swardcast/forecast/turf"

// An Answer is the seed that an area needs.
type Answer struct{ Need *turf.Need }
