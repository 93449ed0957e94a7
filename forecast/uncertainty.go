package forecast

import (
	"math"

	"swardcast/climate"
	"swardcast/forecast/soil"
)

// An error of the soil estimate moves a date by the error over the slope of
// what the date is read from: the degree days of a day where a sum of them is
// reached, the fall of the soil a day where a threshold is crossed. Neither
// slope can be told better than these, so that flat stretches do not give
// infinite errors.
const (
	minDayDegreeDays = 1.0  // °C d a day
	minFall          = 0.05 // °C a day
)

// latestUncertainty works out the error of a season's latest date from that of
// the soil at 5 cm over the days of growth, of the seed lot, and of the cutoff
// where dormancy sets it.
func (s *Station) latestUncertainty(se *Season, g growth, o Options, end climate.Day) uncertainDate {
	if se.Latest == nil {
		return uncertainDate{at: math.Inf(-1)}
	}
	i, j := s.Record.Index(*se.Latest), s.Record.Index(end)
	days := float64(j - i + 1)
	atSowing := math.Max(minDayDegreeDays, meanOf(g.degreeDays, i-3, i+4))
	site, season := s.siteSD(soil.Depth5, (*se.Latest+end)/2)*days, soil.ResidualAt(soil.Depth5).MeanSD(j-i+1)*days
	if se.Cause == CauseDormancy {
		// Soil that is warmer than estimated also goes dormant later: the
		// two errors add rather than cancel.
		depth := o.Host.Dormancy.Depth
		atEnd := meanOf(g.degreeDays, j-3, j+4) / s.fall(depth, end)
		site += s.siteSD(depth, end) * atEnd
		season += soil.ResidualAt(depth).MeanSD(weekDays) * atEnd
	}
	return uncertainDate{
		at:     s.offset(se.Year, *se.Latest),
		common: math.Hypot(site, o.Species.ThermalTimeSD(o.Stage)) / atSowing,
		own:    season / atSowing,
	}
}

// opensUncertainty works out the error of a season's opening.
func (s *Station) opensUncertainty(se *Season, o Options) uncertainDate {
	depth := o.Host.Open.Depth
	fall := s.fall(depth, se.Opens)
	return uncertainDate{
		at:     s.offset(se.Year, se.Opens),
		common: s.siteSD(depth, se.Opens) / fall,
		own:    soil.ResidualAt(depth).MeanSD(weekDays) / fall,
	}
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

// fall is how fast the normal soil cools around a day, °C a day.
func (s *Station) fall(depth soil.Depth, d climate.Day) float64 {
	const half = 15
	n := s.normal(depth)
	return math.Max(minFall, (n.At(d-half)-n.At(d+half))/(2*half))
}

// offset is a day counted from the first of its season, leap days left out.
func (s *Station) offset(season int, d climate.Day) float64 {
	return float64(s.Calendar.Offset(season, d))
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
