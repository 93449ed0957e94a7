package turf

import (
	"errors"
	"fmt"
	"math"

	"swardcast/climate"
	"swardcast/forecast/soil"
)

// A Threshold is a soil temperature at a depth.
type Threshold struct {
	TempC  float64
	Depth  soil.Depth
	Source string // with its evidence
}

// A Host is the turf that is overseeded. It sets when the window opens and
// when dormancy ends the season.
type Host struct {
	ID, Name string
	Open     Threshold // sowing opens when the soil has cooled below it
	Dormancy Threshold // the season ends when the soil has cooled to it
}

// ErrHost is the error of a host that [Host.Check] refuses.
var ErrHost = errors.New("invalid host")

// Check returns [ErrHost] where a threshold is not a temperature, and also
// [soil.ErrDepth] where one is at a depth that is not modelled.
func (h *Host) Check() error {
	for _, t := range []struct {
		name string
		Threshold
	}{{"opening", h.Open}, {"dormancy", h.Dormancy}} {
		if math.IsNaN(t.TempC) || math.IsInf(t.TempC, 0) {
			return fmt.Errorf("%w: %s: %w: %g °C", ErrHost, t.name, climate.ErrThreshold, t.TempC)
		}
		if err := t.Depth.Check(); err != nil {
			return fmt.Errorf("%w: %s: %w", ErrHost, t.name, err)
		}
	}
	return nil
}

// KillingFreezeC is the air temperature whose first occurrence ends the season
// for seedlings: 28 °F, the hard or killing freeze of the US National Weather
// Service (S). It is a cautious limit for grass: unhardened ryegrass seedlings
// are killed near −6 °C (Eagles et al. 1993, S).
const KillingFreezeC = (28 - 32) / 1.8

// WakeSoilC is the soil temperature at 10 cm at which bermudagrass greens up in spring:
// 58 °F (Miller 2022, S; the depth is not stated, taken as for dormancy).
const WakeSoilC = (58 - 32) / 1.8

// FreeDays is how many days without cool-season grass over it the host needs in a year:
// about 100 (trade press, S).
const FreeDays = 100

// Heat that favours diseases of cool-season seedlings: nights over 70 °F with days over
// 85 °F (Sherratt, Ohio State University 2024, S). Little damage is done below 68 °F
// (University of Florida PP124, S), so that nights count down to that.
const (
	HeatNightC = (68 - 32) / 1.8
	HeatDayC   = (85 - 32) / 1.8
)

// OpenDayC is the highest temperature of a day up to which overseeding opens by the air:
// days of 80 to 85 °F with nights near 55 °F (University of Arizona, S). The nights are
// not asked for: in moist air they come weeks after the days.
const OpenDayC = (85 - 32) / 1.8

var (
	open        = Threshold{(75 - 32) / 1.8, soil.Depth10, "University of Georgia, S; state services disagree"}
	hostDormant = Threshold{(55 - 32) / 1.8, soil.Depth10, "trade press, S2"}
	lawnDormant = Threshold{(40 - 32) / 1.8, soil.Depth5, "dormant seeding below it, University of Minnesota, S"}
)

var hosts = []Host{
	{"bermudagrass", "bermudagrass", open, hostDormant},
	{"zoysiagrass", "zoysiagrass", open, Threshold{hostDormant.TempC, hostDormant.Depth,
		"bermudagrass's figure, " + hostDormant.Source}},
	{"none", "bare soil or a cool-season lawn", open, lawnDormant},
}

// Hosts returns every host in a fixed order.
func Hosts() []Host { return append([]Host(nil), hosts...) }

// FindHost returns the host of an ID.
func FindHost(id string) (Host, bool) {
	for _, h := range hosts {
		if h.ID == id {
			return h, true
		}
	}
	return Host{}, false
}
