package stations

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"swardcast/climate"
)

// EarthRadiusKM is the mean radius of the Earth, km.
//
// Reference: Moritz 2000, Geodetic Reference System 1980, J. Geodesy 74:128–133, R1.
const EarthRadiusKM = 6371.0088

// DistanceKM returns the great-circle distance of two places given in degrees, km, on
// a sphere:
//
//	d = 2 R asin √( sin²(Δφ/2) + cos φ1 cos φ2 sin²(Δλ/2) )
//
// The Earth's flattening makes it wrong by up to 0.6 %.
//
// Reference: Sinnott 1984, Virtues of the Haversine, Sky and Telescope 68:159.
func DistanceKM(lat1, lon1, lat2, lon2 float64) float64 {
	const degree = math.Pi / 180
	square := func(x float64) float64 { return x * x }
	h := square(math.Sin((lat2-lat1)*degree/2)) +
		math.Cos(lat1*degree)*math.Cos(lat2*degree)*square(math.Sin((lon2-lon1)*degree/2))
	return 2 * EarthRadiusKM * math.Asin(math.Sqrt(min(1, h)))
}

// A Query says which stations are searched. Conditions that are not zero hold at once.
type Query struct {
	Near  *Position   // order by how well a station suits this place; its elevation NaN: as the stations about it
	ID    string      // of a station, in capitals or not
	Name  string      // a part of its name, in capitals or not
	Today climate.Day // by which a station still reports or not
	// Silent takes stations too that have not reported in the last two years.
	Silent bool
	Limit  int // how many; 0: all
}

// A Reason is why a station suits.
type Reason string

// The reasons. Their limits are common practice, without a source, but for the thirty
// years of a climatological normal (WMO-No. 1203).
const (
	Long          Reason = "long"           // LongYears and more of both temperatures
	Current       Reason = "current"        // it reported this year or last
	Close         Reason = "near"           // within CloseKM
	SimilarHeight Reason = "similar height" // within SimilarM of the place
)

// Limits of the reasons.
const (
	LongYears = 30
	CloseKM   = 25
	SimilarM  = 100 // 0.65 °C in the standard atmosphere (ISO 2533)
)

// A Found is a station that a search found.
type Found struct {
	Station
	DistanceKM float64  // NaN without a place
	AboveM     float64  // how far above the place it stands, m; NaN where that is not known
	Reasons    []Reason // why it suits, in the order of the constants
	// Cost is what the order goes by: the distance, km, with what else makes a station
	// suit less in km: see Search.
	Cost float64
}

// Search returns the stations of a query, the one that suits best first. The order is
// that of a cost in km:
//
//	cost = distance + 0.2 |Δheight| + 2 (30 − years, from 0 to 20) + 20 (years silent)
//
// with heights in metres: 100 m of height, 10 years lacking of thirty and a year without
// reports are worth 20 km each. Without a place the order is that of the rest, then of
// the name. The weights are common practice, without a source.
func Search(all []Station, q Query) []Found {
	thisYear, name := q.Today.Year(), strings.ToUpper(q.Name)
	var list []Found
	for i := range all {
		s := &all[i]
		if q.ID != "" && !strings.EqualFold(s.ID, q.ID) ||
			name != "" && !strings.Contains(strings.ToUpper(s.Name), name) ||
			!q.Silent && s.Years().Last < thisYear-2 {
			continue
		}
		f := Found{Station: *s, DistanceKM: math.NaN(), AboveM: math.NaN()}
		if q.Near != nil {
			f.DistanceKM = DistanceKM(q.Near.Latitude, q.Near.Longitude, s.Latitude, s.Longitude)
		}
		list = append(list, f)
	}
	height := math.NaN()
	if q.Near != nil {
		height = q.Near.ElevationM
		if math.IsNaN(height) {
			height = heightAbout(list)
		}
	}
	for i := range list {
		list[i].weigh(height, thisYear)
	}
	order := pointers(list) // moves less than the stations themselves
	slices.SortStableFunc(order, func(a, b *Found) int {
		return cmp.Or(cmp.Compare(a.Cost, b.Cost), cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
	})
	if q.Limit > 0 && len(order) > q.Limit {
		order = order[:q.Limit]
	}
	var sorted []Found
	for _, f := range order {
		f.Reasons = f.reasons(thisYear)
		sorted = append(sorted, *f)
	}
	return sorted
}

// pointers are those to the stations of a list.
func pointers(list []Found) []*Found {
	out := make([]*Found, len(list))
	for i := range list {
		out[i] = &list[i]
	}
	return out
}

// heightAbout is the median elevation of the nearest stations, m.
func heightAbout(list []Found) float64 {
	const nearest = 7
	near := slices.DeleteFunc(pointers(list), func(f *Found) bool { return math.IsNaN(f.ElevationM) })
	slices.SortFunc(near, func(a, b *Found) int { return cmp.Compare(a.DistanceKM, b.DistanceKM) })
	var heights []float64
	for _, f := range near[:min(nearest, len(near))] {
		heights = append(heights, f.ElevationM)
	}
	if len(heights) == 0 {
		return math.NaN()
	}
	slices.Sort(heights)
	return heights[len(heights)/2]
}

// weigh sets the cost and the height above the place.
func (f *Found) weigh(heightM float64, thisYear int) {
	f.Cost = 2*float64(min(20, max(0, LongYears-f.Years().Count()))) + 20*float64(f.silent(thisYear))
	if !math.IsNaN(f.DistanceKM) {
		f.Cost += f.DistanceKM
	}
	if f.AboveM = f.ElevationM - heightM; !math.IsNaN(f.AboveM) {
		f.Cost += 0.2 * math.Abs(f.AboveM)
	}
}

// silent is for how many years before this one the station has not reported.
func (f *Found) silent(thisYear int) int { return max(0, thisYear-1-f.Years().Last) }

// reasons are why a station that was weighed suits.
func (f *Found) reasons(thisYear int) []Reason {
	var list []Reason
	for _, r := range []struct {
		Reason
		holds bool
	}{
		{Long, f.Years().Count() >= LongYears},
		{Current, f.silent(thisYear) == 0},
		{Close, f.DistanceKM <= CloseKM},
		{SimilarHeight, math.Abs(f.AboveM) <= SimilarM},
	} {
		if r.holds {
			list = append(list, r.Reason)
		}
	}
	return list
}
