package fetch

import (
	"math"
	"strconv"
)

func onEarth(lat, lon float64) bool { return math.Abs(lat) <= 90 && math.Abs(lon) <= 180 }

// degrees writes an angle with four decimals at most, as the services ask for: about
// ten metres.
func degrees(v float64) string {
	return strconv.FormatFloat(math.Round(v*1e4)/1e4+0, 'f', -1, 64)
}
