package forecast

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"swardcast/climate"
	"swardcast/forecast/soil"
	"swardcast/forecast/turf"
)

// An error of the soil estimate moves a thermal time, and that a date by the
// error over the degree days of a day. They are not known better than this, so
// that flat stretches do not give infinite errors.
const minDayDegreeDays = 1.0 // °C d a day

// A crossing is when a falling curve stays at or below a threshold, given the
// error of the curve. Element k is the chance that it has not by day k of the
// season, leap days left out: Φ of the standard deviations of its error by which
// the curve rises above the threshold on that day or later. Past the slice it
// has.
//
// The error is taken to lift or lower the whole curve by the same number of its
// standard deviations, so that a crossing on a flat stretch is as uncertain as
// the stretch is long, and one that the estimate does not have can still come.
type crossing []float64

// notBy is the chance that the curve has not crossed by a day of the season.
func (c crossing) notBy(day float64) float64 {
	k := int(day)
	switch {
	case k < 0:
		return 1
	case k >= len(c):
		return 0
	}
	return c[k]
}

// opening works out when a season's warmth ends, given the error of the soil; by the air
// it is known to the day.
func (s *Station) opening(se *Season, o *Options) crossing {
	warmth, a := s.warmth(o), s.openings(o)
	a.Lock()
	defer a.Unlock()
	c, ok := a.seasons[se.Year]
	if !ok {
		c = s.findOpening(se, warmth, o)
		a.seasons[se.Year] = c
	}
	return c
}

func (s *Station) findOpening(se *Season, warmth []float64, o *Options) crossing {
	sd := s.warmthSD(o)
	half := min(s.Calendar.Half(se.Year), se.RecordEnd)
	c := make(crossing, s.Calendar.Offset(se.Year, half)+1)
	leap := len(c) <= int(half-se.First)
	above, chance := math.Inf(-1), 0.0
	top, of := math.Inf(-1), 0.0 // the highest warmth of those with the latest standard deviation
	for d := half; d >= se.First; d-- {
		if i := s.Record.Index(d); i >= weekDays-1 {
			switch {
			case sd == nil && warmth[i] > 0:
				chance = 1
			case sd != nil:
				is := sd.at(d)
				if is == of && warmth[i] <= top {
					break // no higher than one before
				}
				top, of = warmth[i], is
				if z := top / of; z > above {
					above, chance = z, normalCDF(z)
				}
			}
		}
		k := int(d - se.First)
		if leap {
			k = s.Calendar.Offset(se.Year, d)
		}
		c[k] = chance
	}
	return c
}

// OpenBy returns the chance that sowing has opened by a day, given the error of
// the soil estimate. [Season.Opens] is where it is one half, to a day.
func (se *Season) OpenBy(d climate.Day) float64 {
	return 1 - se.opens.notBy(float64(se.calendar.Offset(se.Year, d)))
}

// A meanError yields the standard deviation of the error of a mean of the soil
// around days, °C: the site's, which changes with the month unless readings tell
// more, and own, which differs from season to season.
type meanError struct {
	station  *Station
	depth    soil.Depth
	own      float64
	from, to climate.Day // days that sd is of
	sd       float64
	byMonth  [13]float64 // the same of each month once it is asked for, where there are no readings
}

func (e *meanError) at(d climate.Day) float64 {
	if e.sd == 0 || d < e.from || d > e.to {
		if e.station.Site != nil {
			e.from, e.to, e.sd = d, d, math.Hypot(e.station.siteSD(e.depth, d), e.own)
			return e.sd
		}
		year, month, day := d.Date()
		e.from = d - climate.Day(day) + 1
		e.to = e.from + climate.Day(climate.DaysIn(year, month)) - 1
		if e.byMonth[month] == 0 {
			e.byMonth[month] = math.Hypot(e.station.siteSD(e.depth, d), e.own)
		}
		e.sd = e.byMonth[month]
	}
	return e.sd
}

// siteSD is the standard deviation of the site's error of the soil around a
// day, °C.
func (s *Station) siteSD(depth soil.Depth, d climate.Day) float64 {
	if s.Site != nil {
		return s.Site.SiteSD(d)
	}
	_, month, _ := d.Date()
	return soil.ResidualAt(depth).Site(month, s.Calendar.South)
}

// shifts is the number of equal parts that the error of the soil is cut into.
const shifts = 5

// shiftMean and shiftSD are the mean and standard deviation of each fifth of a
// standard normal distribution, coldest first.
var shiftMean, shiftSD = normalParts()

// normalParts works out, with a and b the quantiles that bound a part of the
// standard normal distribution that holds 1/n of it,
//
//	mean = n (φ(a) − φ(b)),  variance = 1 + n (a φ(a) − b φ(b)) − mean²
func normalParts() (mean, sd [shifts]float64) {
	density := func(z float64) (at, times float64) {
		if math.IsInf(z, 0) {
			return 0, 0
		}
		f := distuv.UnitNormal.Prob(z)
		return f, z * f
	}
	for k := range mean {
		a, b := distuv.UnitNormal.Quantile(float64(k)/shifts), distuv.UnitNormal.Quantile(float64(k+1)/shifts)
		fa, ta := density(a)
		fb, tb := density(b)
		mean[k] = shifts * (fa - fb)
		sd[k] = math.Sqrt(1 + shifts*(ta-tb) - mean[k]*mean[k])
	}
	return mean, sd
}

// An uncertainDate is a date with its error: that of the soil, drawn through
// the season, and that of the seed lot. All dates are in days from the first of
// the season, leap days left out, −Inf for never.
type uncertainDate struct {
	at     float64         // as estimated
	soil   [shifts]float64 // with the soil's error at the mean of each part, coldest first
	slope  [shifts]float64 // days by which it moves there with a standard deviation of the soil's error
	shared float64         // part of the soil's variance that all seasons of a station share
	lot    float64         // standard deviation of the lot's error, which they share too, days
	sd     [shifts]float64 // of the date within each part, the lot's error counted in, days

	surely, hardly float64 // days before and after which nothing is left to chance
}

// latestUncertainty works out the error of a season's latest date: what the
// error of the soil does to the cutoff, unless a freeze of the air set it, and to
// the growth up to it, and what lots do. Soil that is warmer than estimated goes
// dormant later and grows faster.
//
// That dormancy could have come before a freeze is left out: as often a freeze
// came first where the estimate says dormancy, so that over the seasons it
// counts already (docs/validation.md).
func (s *Station) latestUncertainty(se *Season, g *growth, o *Options, settled int) uncertainDate {
	u := uncertainDate{at: math.Inf(-1)}
	for k := range u.soil {
		u.soil[k] = math.Inf(-1)
	}
	if se.Latest == nil {
		u.bound()
		return u
	}
	g = g.deciding()
	end := s.Record.Index(se.end())
	i := s.Record.Index(*se.Latest)
	u.at = s.offset(se.Year, *se.Latest)
	days := end - i + 1
	site, own := s.siteSD(soil.Depth5, s.Record.Day((i+end)/2)), soil.ResidualAt(soil.Depth5).MeanSD(days)
	if o.Stage == turf.Covered { // counted in the air, which has no such error
		site, own = 0, 0
	} else {
		u.shared = site * site / (site*site + own*own)
	}
	perDay := func(i int) float64 { return math.Max(minDayDegreeDays, meanOf(g.degreeDays, i-3, i+4)) }
	u.lot = o.Species.ThermalTimeSD(o.Stage) / perDay(i)
	need := o.Species.ThermalTime(o.Stage)
	dormant := 0 // with colder soil: with warmer it is not before that
	for k, z := range shiftMean {
		to := end
		if o.Cutoff != CutoffFreeze && se.Cause != CauseFreeze {
			to = s.Record.Index(se.Last)
			if se.RecordEnd < se.Last {
				to = max(settled, end)
			}
			dormant = s.dormantFrom(se, o, dormant, to, z)
			to = min(to, dormant)
			if o.Cutoff == CutoffEarliest && se.Freeze != nil {
				to = min(to, s.Record.Index(*se.Freeze))
			}
		}
		j := i
		if to != end {
			j = g.latest(max(s.Record.Index(se.First), 0), to, need)
		}
		if j >= max(s.Record.Index(se.First), 0) {
			u.soil[k] = s.offset(se.Year, s.Record.Day(j)) + z*math.Hypot(site, own)*float64(to-j+1)/perDay(j)
		}
	}
	u.slopes()
	return u
}

// slopes takes for each part the smaller of the slopes to the parts beside it:
// where the date jumps, from one cause to another, it is one or the other, not
// between.
func (u *uncertainDate) slopes() {
	for k := range u.slope {
		u.slope[k] = math.Inf(1)
	}
	for k := range shifts - 1 {
		rise := math.Abs(u.soil[k+1]-u.soil[k]) / (shiftMean[k+1] - shiftMean[k])
		if math.IsNaN(rise) { // never at both
			rise = 0
		}
		u.slope[k], u.slope[k+1] = math.Min(u.slope[k], rise), math.Min(u.slope[k+1], rise)
	}
	u.slope[0], u.slope[shifts-1] = math.Min(u.slope[0], u.slope[1]), math.Min(u.slope[shifts-1], u.slope[shifts-2])
	for k, slope := range u.slope {
		u.sd[k] = math.Hypot(u.lot, shiftSD[k]*slope)
	}
	u.bound()
}

// bound works out between which days the date lies. It is NaN, so that no day is beyond
// it, where a part of the date is not known.
func (u *uncertainDate) bound() {
	u.surely, u.hardly = math.Inf(1), math.Inf(-1)
	for k, at := range u.soil {
		reach := certainSDs*u.sd[k] + 1e-6 // of rounding
		u.surely, u.hardly = math.Min(u.surely, at+0.5-reach), math.Max(u.hardly, at+0.5+reach)
	}
}

// from is the chance that the date is on or after day x.
func (u *uncertainDate) from(x float64) float64 {
	switch {
	case x < u.surely:
		return 1
	case x > u.hardly:
		return 0
	}
	sum := 0.0
	for k, at := range u.soil {
		switch z := (at + 0.5 - x) / u.sd[k]; {
		case z > certainSDs:
			sum += 1.0 / shifts
		case z > -certainSDs:
			sum += normalCDF(z) / shifts
		}
	}
	return sum
}

// certainSDs is how many standard deviations from a date nothing is left to
// chance: a billionth. Most days are as far off.
const certainSDs = 6

// given is the date where the error that the seasons share is shift standard deviations
// of its own.
func (u *uncertainDate) given(shift float64) uncertainDate {
	site := math.Sqrt(u.shared) * u.slope[shifts/2]
	both := math.Hypot(site, u.lot)
	if both == 0 || math.IsNaN(both) {
		return *u
	}
	soilShift := shift * math.Sqrt(u.shared) * site / both
	lotShift := shift * u.lot * u.lot / both
	own := math.Sqrt(1 - u.shared)
	g := *u
	for k, z := range shiftMean {
		at, slope := u.shifted(soilShift + own*z)
		g.soil[k], g.sd[k] = at+lotShift, math.Max(minOwnDays, own*shiftSD[k]*slope)
	}
	g.bound()
	return g
}

// minOwnDays keeps a date that is one to the day from being a step, days.
const minOwnDays = 0.5

// shifted is the date, and its slope, with the soil's error at z standard
// deviations.
func (u *uncertainDate) shifted(z float64) (at, slope float64) {
	k := 0
	for k < shifts-1 && math.Abs(shiftMean[k+1]-z) < math.Abs(shiftMean[k]-z) {
		k++
	}
	return u.soil[k] + (z-shiftMean[k])*u.slope[k], u.slope[k]
}

// offset is a day counted from the first of its season, leap days left out.
func (s *Station) offset(season int, d climate.Day) float64 {
	return float64(s.Calendar.Offset(season, d))
}

// offsets are the days from first to last counted so.
func (s *Station) offsets(season int, first, last climate.Day) []float64 {
	out := make([]float64, last-first+1)
	for k := range out {
		out[k] = s.offset(season, first+climate.Day(k))
	}
	return out
}

// meanOf is the mean of y[i:j], cut to what there is.
func meanOf(y []float64, i, j int) float64 {
	i, j = max(i, 0), min(j, len(y))
	sum := 0.0
	for _, v := range y[i:j] {
		sum += v
	}
	return sum / float64(j-i)
}
