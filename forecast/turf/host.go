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
