package turf

import "fmt"

// The sources of the figures of winter.
const (
	eagles   = "Eagles et al. 1993"
	goslee   = "Goslee 2017"
	abe      = "Abe 1980"
	zhang    = "Zhang 2012, North Dakota"
	purdue   = "Purdue, October advice for Indiana"
	rankings = "handbook rankings of turf grasses by cold hardiness"
)

// cold holds the figures of winter in which species differ.
type cold struct {
	unhardened, hardened, around, young Figure
}

// The hardiness of grown, hardened plants. Published figures of one species differ by
// more than those of two species in one study, so that the middle of what was seen is
// taken, with its range. Perennial ryegrass is published most often: −12.9 to −20.8 °C
// (Goslee 2017, S), −17.3 °C at a growing temperature of 6 °C (seen in a copy, S2),
// and 34 to 11 % alive after −12 °C (Abe 1980, S), which is a median near −10.5 °C with a
// standard deviation of 2 °C between plants (M). Tall and meadow fescue are set apart from
// it as in Abe 1980: 50 to 25 and 94 to 68 % alive, so hardier by 1 and by 3 °C.
//
// The share of a young stand that a winter leaves is read from cover: tall fescue sown in
// late August and September covered under 50 %, sown by mid August 80 % and more (Zhang
// 2012, S). Those sowings had about half of the 1000 °C d, so a stand just up is set at a
// quarter (D).
var (
	perennialRyegrassCold = cold{
		of(-6, Seen, eagles),
		of(-15.7, Derived, "middle of -10.5 ("+abe+") to -20.8 ("+goslee+")"),
		of(5, Derived, "the same range"),
		of(0.25, Unverified, likeTF+"; sown in November it died, "+purdue),
	}
	annualRyegrassCold = cold{
		of(-6, Seen, eagles+" (Italian ryegrass)"),
		of(-10, Unverified, rankings),
		of(3, Unverified, ""),
		of(0.15, Unverified, "less hardy than perennial ryegrass"),
	}
	intermediateRyegrassCold = cold{
		of(-6, Unverified, likePR),
		of(-13, Unverified, "between annual and perennial ryegrass"),
		of(4, Unverified, ""),
		of(0.20, Unverified, "between annual and perennial ryegrass"),
	}
	tallFescueCold = cold{
		of(-6, Unverified, likePR),
		of(-16.7, Derived, "1 °C hardier than perennial ryegrass: "+abe),
		of(5, Derived, "the range of perennial ryegrass"),
		of(0.25, Derived, "cover under 50 % against 80 % and more: "+zhang),
	}
	meadowFescueCold = cold{
		of(-6, Unverified, likePR),
		of(-18.7, Derived, "3 °C hardier than perennial ryegrass: "+abe),
		of(5, Derived, "the range of perennial ryegrass"),
		of(0.40, Unverified, "hardier than tall fescue"),
	}
	fineFescueCold = cold{
		of(-7, Unverified, ""), of(-21, Unverified, rankings), of(6, Unverified, ""),
		of(0.60, Unverified, "between tall fescue and Kentucky bluegrass"),
	}
	kentuckyBluegrassCold = cold{
		of(-8, Unverified, ""), of(-24, Unverified, rankings), of(6, Unverified, ""),
		of(0.80, Derived, "seedlings not severely hurt by winter: "+purdue),
	}
	roughBluegrassCold = cold{
		of(-8, Unverified, ""), of(-22, Unverified, rankings), of(6, Unverified, ""),
		of(0.80, Unverified, "taken as for Kentucky bluegrass"),
	}
	creepingBentgrassCold = cold{
		of(-8, Unverified, ""), of(-28, Unverified, rankings), of(7, Unverified, ""),
		of(0.80, Unverified, "taken as for Kentucky bluegrass"),
	}
)

// matureOf is the thermal time of a stand that comes through winter whole: 1000 °C d for
// tall fescue, others by their leaf interval.
func matureOf(leaf Figure) Figure {
	const tallFescueLeaf, tallFescue = 119, 1000
	if leaf.Value == tallFescueLeaf && leaf.Evidence == Derived {
		return of(tallFescue, Derived, zhang+"; of the air, base not stated, 0 °C inferred")
	}
	v := float64(int(leaf.Value*tallFescue/tallFescueLeaf/10+0.5) * 10)
	return of(v, Unverified, fmt.Sprintf("%d °C d of tall fescue (%s) by the leaf interval", tallFescue, zhang))
}

// Hardening: a plant hardens where it is cold. Perennial ryegrass grown at 12 °C was
// killed at −7.0 °C, at 6 °C at −17.3 (seen in a copy, S2).
const (
	HardensBelowC = 12.0 // °C, soil at which hardening begins
	HardenedAtC   = 6.0  // °C, soil at which it becomes whole
	HardenDays    = 10.0 // time constant, days (M)
)

// Hardening returns the part of full hardiness that a soil temperature in °C leads to: none
// at 12 °C, all at 6 °C, in a straight line between.
func Hardening(soilC float64) float64 {
	return min(1, max(0, (HardensBelowC-soilC)/(HardensBelowC-HardenedAtC)))
}

// KillTemp returns the temperature that kills half of the plants, °C, and the standard
// deviation of what is known of it:
//
//	unhardened + (hardened − unhardened) × hardening × growth
//
// hardening is the mean of [Hardening] over the past weeks, growth the part of the way from
// up to mature, both 0 to 1. It returns false for a species without figures.
func (s *Species) KillTemp(hardening, growth float64) (tempC, sdC float64, ok bool) {
	if s.Hardened.Value == 0 || s.Unhardened.Value == 0 {
		return 0, 0, false
	}
	part := hardening * growth
	const youngSD = 1.5 // of the figure of seedlings just up, °C (M)
	sd := youngSD + (s.HardenedRange.Value/eighty-youngSD)*part
	return s.Unhardened.Value + (s.Hardened.Value-s.Unhardened.Value)*part, sd, true
}

// eighty is half the width of an 80 % interval in standard deviations.
const eighty = 1.2816

// MatureShare returns the part of the way from up to mature at a
// thermal time of the air above 0 °C from sowing, 0 to 1; 1 for a species without the figure.
func (s *Species) MatureShare(thermalTime float64) float64 {
	up, mature := s.Emerged.Value, s.Mature.Value
	if mature <= up {
		return 1
	}
	return min(1, max(0, (thermalTime-up)/(mature-up)))
}
