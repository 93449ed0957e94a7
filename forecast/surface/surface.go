// Package surface draws dates, or any other value, between stations: a trend in latitude
// and elevation, and kriging of what it leaves.
package surface

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// MinSites is the fewest sites that a surface is drawn through.
const MinSites = 12

// ErrFewSites is the error of fewer sites.
var ErrFewSites = fmt.Errorf("a surface needs %d places", MinSites)

// A Site is a value at a place. An elevation that is not known is NaN; unless all sites have
// it, it is not used.
type Site struct {
	Latitude, Longitude, ElevationM float64
	Value                           float64
}

// A Surface is a value anywhere between sites:
//
//	z(x) = b0 + b1 latitude + b2 elevation + u(x)
//
// where u is a Gaussian process with the covariance
//
//	C(h) = σ² (1 − g) exp(−h/L),  C(0) = σ²
//
// of the distance h on the sphere, which is positive definite there. L and g are those of the
// highest restricted likelihood on a grid, the trend is that of generalised least squares
// (universal kriging).
//
// References: Cressie 1993, Statistics for Spatial Data, sections 2.6.2 and 3.4 (from memory);
// Gneiting 2013, Bernoulli 19:1327–1349, for the sphere (from memory).
type Surface struct {
	Trend     []float64 // constant, per degree of latitude, per metre of elevation where that is used
	RangeKM   float64   // L
	Nugget    float64   // g
	SD        float64   // σ
	Elevation bool      // the trend is one of elevation too

	sites []Site
	whole *kriging // of all sites, where they are few
}

// What the grid holds. A site far from the others in kind needs the nugget.
var (
	rangesKM = []float64{50, 100, 200, 400, 800, 1600, 3200}
	nuggets  = []float64{0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.75, 1}
)

const (
	maxFitted  = 150 // sites that L and g are looked for with
	maxWhole   = 300 // sites that are drawn from all at once
	neighbours = 60  // sites that a value is drawn from
	earthKM    = 6371.0
	degree     = math.Pi / 180
)

// Fit draws a surface through sites. It returns [ErrFewSites]. Sites without coordinates or a
// value must be left out before.
func Fit(sites []Site) (*Surface, error) {
	if len(sites) < MinSites {
		return nil, ErrFewSites
	}
	unknown := func(x Site) bool { return math.IsNaN(x.ElevationM) }
	s := &Surface{sites: sites, Elevation: !slices.ContainsFunc(sites, unknown)}
	if s.Elevation { // a plain has no trend with it
		s.Elevation = spread(sites, func(x Site) float64 { return x.ElevationM }) > 0
	}
	some := sites
	if len(sites) > maxFitted {
		some = nil
		for i := range maxFitted {
			some = append(some, sites[i*len(sites)/maxFitted])
		}
	}
	best := math.Inf(-1)
	for _, L := range rangesKM {
		for _, g := range nuggets {
			k, err := s.krige(some, L, g)
			if err != nil {
				continue // sites at one place with too small a nugget
			}
			if k.likelihood > best {
				best = k.likelihood
				s.RangeKM, s.Nugget, s.SD, s.Trend = L, g, k.sd, mat.Col(nil, 0, k.beta)
			}
		}
	}
	if math.IsInf(best, -1) {
		return nil, errors.New("the places are too close to each other for a surface")
	}
	if len(sites) <= maxWhole {
		var err error
		if s.whole, err = s.krige(sites, s.RangeKM, s.Nugget); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// spread is the difference of the highest and the lowest.
func spread(sites []Site, of func(Site) float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range sites {
		low, high = math.Min(low, of(x)), math.Max(high, of(x))
	}
	return high - low
}

// drift are the terms of the trend at a site.
func (s *Surface) drift(x Site) []float64 {
	f := []float64{1, x.Latitude}
	if s.Elevation {
		f = append(f, x.ElevationM)
	}
	return f
}

// A kriging is the equations of some sites solved for a range and a nugget.
type kriging struct {
	chol       mat.Cholesky
	f          *mat.Dense // drift
	z          *mat.VecDense
	vf         *mat.Dense    // V⁻¹ F
	fvf        *mat.Cholesky // Fᵀ V⁻¹ F
	beta       *mat.VecDense
	weights    *mat.VecDense // V⁻¹ (z − F β)
	sd         float64
	likelihood float64
}

var errSingular = errors.New("singular")

// krige solves the equations. Distances are correlations here, σ² is a factor.
func (s *Surface) krige(sites []Site, L, g float64) (*kriging, error) {
	n, p := len(sites), len(s.drift(sites[0]))
	v := mat.NewSymDense(n, nil)
	k := &kriging{f: mat.NewDense(n, p, nil), z: mat.NewVecDense(n, nil), vf: mat.NewDense(n, p, nil),
		beta: mat.NewVecDense(p, nil), weights: mat.NewVecDense(n, nil), fvf: &mat.Cholesky{}}
	for i := range n {
		k.f.SetRow(i, s.drift(sites[i]))
		k.z.SetVec(i, sites[i].Value)
		v.SetSym(i, i, 1)
		for j := range i {
			v.SetSym(i, j, (1-g)*math.Exp(-DistanceKM(sites[i], sites[j])/L))
		}
	}
	if !k.chol.Factorize(v) || k.chol.SolveTo(k.vf, k.f) != nil {
		return nil, errSingular
	}
	var m mat.Dense
	m.Mul(k.f.T(), k.vf)
	sym := mat.NewSymDense(p, nil)
	for i := range p {
		for j := range i + 1 {
			sym.SetSym(i, j, m.At(i, j))
		}
	}
	if !k.fvf.Factorize(sym) {
		return nil, errSingular
	}
	var right mat.VecDense
	right.MulVec(k.vf.T(), k.z)
	if k.fvf.SolveVecTo(k.beta, &right) != nil {
		return nil, errSingular
	}
	var rest mat.VecDense
	rest.MulVec(k.f, k.beta)
	rest.SubVec(k.z, &rest)
	if k.chol.SolveVecTo(k.weights, &rest) != nil {
		return nil, errSingular
	}
	free := float64(n - p)
	variance := math.Max(mat.Dot(&rest, k.weights)/free, 1e-12)
	k.sd = math.Sqrt(variance)
	k.likelihood = -0.5 * (free*math.Log(variance) + k.chol.LogDet() + k.fvf.LogDet())
	return k, nil
}

// nearest are the sites that a value at a place is drawn from, without one of them.
func (s *Surface) nearest(at Site, but int) []Site {
	type far struct {
		site Site
		km   float64
	}
	var all []far
	for i, x := range s.sites {
		if i != but {
			all = append(all, far{x, DistanceKM(x, at)})
		}
	}
	slices.SortStableFunc(all, func(a, b far) int { return cmp.Compare(a.km, b.km) })
	var list []Site
	for _, x := range all[:min(neighbours, len(all))] {
		list = append(list, x.site)
	}
	return list
}

// At returns the value at a place and its standard error. Where the trend is one of elevation
// and that of the place is not known (NaN), it is taken from the sites around.
func (s *Surface) At(latitude, longitude, elevationM float64) (value, sd float64, err error) {
	return s.from(Site{Latitude: latitude, Longitude: longitude, ElevationM: elevationM}, -1)
}

// Value is At without the standard error, which takes most of its time.
func (s *Surface) Value(latitude, longitude, elevationM float64) (float64, error) {
	at := Site{Latitude: latitude, Longitude: longitude, ElevationM: elevationM}
	sites, k, err := s.equations(&at, -1)
	if err != nil {
		return 0, err
	}
	value, _, _ := s.drawn(at, sites, k)
	return value, nil
}

// equations are the sites that a value at a place is drawn from, solved. They fill in its
// elevation where that is needed and not known.
func (s *Surface) equations(at *Site, but int) (sites []Site, k *kriging, err error) {
	sites, k = s.sites, s.whole
	if k == nil || but >= 0 {
		sites = s.nearest(*at, but)
		if k, err = s.krige(sites, s.RangeKM, s.Nugget); err != nil {
			return nil, nil, err
		}
	}
	if s.Elevation && math.IsNaN(at.ElevationM) {
		at.ElevationM = elevationAround(*at, sites)
	}
	return sites, k, nil
}

// drawn is the value at a place, with its drift and its covariances.
func (s *Surface) drawn(at Site, sites []Site, k *kriging) (value float64, f0, c0 *mat.VecDense) {
	f0 = mat.NewVecDense(k.beta.Len(), s.drift(at))
	c0 = mat.NewVecDense(len(sites), nil)
	for i, x := range sites {
		c0.SetVec(i, (1-s.Nugget)*math.Exp(-DistanceKM(x, at)/s.RangeKM))
	}
	return mat.Dot(f0, k.beta) + mat.Dot(c0, k.weights), f0, c0
}

// from is At without one of the sites; -1 for none.
func (s *Surface) from(at Site, but int) (value, sd float64, err error) {
	sites, k, err := s.equations(&at, but)
	if err != nil {
		return 0, 0, err
	}
	value, f0, c0 := s.drawn(at, sites, k)
	// σ² (1 − cᵀV⁻¹c + dᵀ(FᵀV⁻¹F)⁻¹d), d = f − FᵀV⁻¹c.
	var vc, d, fd mat.VecDense
	if err := k.chol.SolveVecTo(&vc, c0); err != nil {
		return 0, 0, err
	}
	d.MulVec(k.f.T(), &vc)
	d.SubVec(f0, &d)
	if err := k.fvf.SolveVecTo(&fd, &d); err != nil {
		return 0, 0, err
	}
	sd = s.SD * math.Sqrt(math.Max(0, 1-mat.Dot(c0, &vc)+mat.Dot(&d, &fd)))
	return value, sd, nil
}

// elevationAround is the mean elevation of sites, by the inverse square of their distance.
func elevationAround(at Site, sites []Site) float64 {
	sum, weights := 0.0, 0.0
	for _, x := range sites {
		w := 1 / math.Pow(math.Max(1, DistanceKM(x, at)), 2)
		sum, weights = sum+w*x.ElevationM, weights+w
	}
	return sum / weights
}

// NearestKM returns how far the nearest site of a place is.
func (s *Surface) NearestKM(latitude, longitude float64) float64 {
	km := math.Inf(1)
	for _, x := range s.sites {
		km = math.Min(km, DistanceKM(x, Site{Latitude: latitude, Longitude: longitude}))
	}
	return km
}

// A Skill is how far off a surface was at stations that it did not know.
type Skill struct {
	Sites            int
	Surface, Nearest float64 // mean absolute error, and that of taking the nearest station's value
	RMS              float64 // root mean square error of the surface
	Median           float64 // of the absolute errors
	Within           float64 // share of the values in the surface's interval of 80 %
	NearestKM        float64 // median distance of the nearest station
	Better           bool    // clearly, see ClearlyBetter
}

// intervalZ is the quantile of the normal distribution for an interval of 80 %.
const intervalZ = 1.2816

// ClearlyBetter is the part of the nearest station's error that a surface may have at most to
// be shown (our choice).
const ClearlyBetter = 0.9

// Skill leaves one site out at a time, or of very many every so manieth, and draws its value
// from the others, with the range and the nugget of all.
func (s *Surface) Skill() (Skill, error) {
	const most = 300
	var out Skill
	var errs, km []float64
	step := max(1, len(s.sites)/most)
	for i := 0; i < len(s.sites); i += step {
		x := s.sites[i]
		at := x
		at.ElevationM = math.NaN() // as of a place on a map
		value, sd, err := s.from(at, i)
		if err != nil {
			return out, err
		}
		near := s.nearest(x, i)[0]
		far := DistanceKM(near, x)
		if math.Abs(value-x.Value) <= intervalZ*sd {
			out.Within++
		}
		e := math.Abs(value - x.Value)
		errs, km = append(errs, e), append(km, far)
		out.Surface += e
		out.RMS += e * e
		out.Nearest += math.Abs(near.Value - x.Value)
	}
	n := float64(len(errs))
	out.Within /= n
	out.Sites, out.Surface, out.Nearest, out.RMS = len(errs), out.Surface/n, out.Nearest/n, math.Sqrt(out.RMS/n)
	slices.Sort(errs)
	slices.Sort(km)
	out.Median, out.NearestKM = errs[len(errs)/2], km[len(km)/2]
	out.Better = out.Surface <= ClearlyBetter*out.Nearest
	return out, nil
}

// DistanceKM is the distance of two places on the sphere.
func DistanceKM(a, b Site) float64 {
	sinLat := math.Sin((a.Latitude - b.Latitude) * degree / 2)
	sinLon := math.Sin((a.Longitude - b.Longitude) * degree / 2)
	h := sinLat*sinLat + math.Cos(a.Latitude*degree)*math.Cos(b.Latitude*degree)*sinLon*sinLon
	return 2 * earthKM * math.Asin(math.Min(1, math.Sqrt(h)))
}
