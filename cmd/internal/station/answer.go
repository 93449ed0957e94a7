package station

import (
	"swardcast/climate/fetch"
)

// An Answer has the stations that were found, the best first.
type Answer struct {
	Query  fetch.Query
	Found  []fetch.Found
	Source fetch.Source // of the list
}

// New searches the list of stations.
func New(index *fetch.Index, q fetch.Query) *Answer {
	return &Answer{q, index.Search(q), index.Source}
}
