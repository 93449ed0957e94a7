package turf

// A Threshold is a soil temperature at a depth.
type Threshold struct {
	TempC   float64
	DepthCM int // 5 or 10
}

// A Host is the turf that is overseeded. It sets when the window opens and
// when dormancy ends the season.
type Host struct {
	ID, Name string
	Open     Threshold // sowing opens when the soil has cooled below it
	Dormancy Threshold // the season ends when the soil has cooled to it
	Source   string    // of both thresholds, with their standing
}

// KillingFreezeC is the air temperature whose first occurrence ends the season
// for seedlings: 28 °F, the hard or killing freeze of the US National Weather
// Service (S). It is a cautious limit for grass: unhardened ryegrass seedlings
// are killed near −6 °C (Eagles et al. 1993, S).
const KillingFreezeC = (28 - 32) / 1.8

const (
	openC        = (75 - 32) / 1.8 // 75 °F at 4 in.: University of Georgia, S
	hostDormantC = (55 - 32) / 1.8 // 55 °F at 4 in.: trade press, S2
	lawnDormantC = (40 - 32) / 1.8 // 40 °F: dormant seeding below it, University of Minnesota, S

	openSource = "opening 75 °F at 4 in.: University of Georgia, S (state services disagree)"
	warmSource = openSource + "; dormancy 55 °F at 4 in.: trade press, S2"
	coolSource = openSource + "; dormancy 40 °F at 2 in.: University of Minnesota, S"
)

var hosts = []Host{
	{"bermudagrass", "bermudagrass", Threshold{openC, 10}, Threshold{hostDormantC, 10}, warmSource},
	{"zoysiagrass", "zoysiagrass", Threshold{openC, 10}, Threshold{hostDormantC, 10}, warmSource + " (bermudagrass's figure)"},
	{"none", "bare soil or a cool-season lawn", Threshold{openC, 10}, Threshold{lawnDormantC, 5}, coolSource},
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
