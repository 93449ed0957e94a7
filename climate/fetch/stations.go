package fetch

import "swardcast/climate/stations"

// The list of stations is that of package stations.
type (
	Position = stations.Position
	Station  = stations.Station
	Years    = stations.Years
	Query    = stations.Query
	Found    = stations.Found
	Reason   = stations.Reason
)

// MinYears is how many years with both temperatures a station of an index has at least.
const MinYears = stations.MinYears

// Search returns the stations of a query, the one that suits best first.
func (x *Index) Search(q Query) []Found { return stations.Search(x.Stations, q) }
