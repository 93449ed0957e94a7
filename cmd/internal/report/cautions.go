package report

import (
	"fmt"

	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// SeasonCautions are what a thin record makes of an answer.
func SeasonCautions(seasons int) []string {
	switch {
	case seasons < forecast.MinSeasons:
		return []string{fmt.Sprintf("Short record: %d usable %s. Under %d no safe date is given; the chances are hardly more than a guess.", seasons, words.Plural(seasons, "season", "seasons"), forecast.MinSeasons)}
	case seasons < forecast.FewSeasons:
		return []string{fmt.Sprintf("Short record: %d usable seasons. Dates and chances are rough; a longer record from near by would tell more.", seasons)}
	}
	return nil
}

// WindowCautions are those of windows: what they rest on, and the usual ones.
func WindowCautions(windows []*forecast.Window) []string {
	fewest := windows[0]
	for _, w := range windows {
		if len(w.Seasons) < len(fewest.Seasons) {
			fewest = w
		}
	}
	out := SeasonCautions(len(fewest.Seasons))
	if n := len(fewest.Seasons); n >= forecast.MinSeasons && fewest.Options.Confidence > fewest.MaxConfidence() {
		out = append(out, fmt.Sprintf("%d seasons can vouch for a confidence of %.0f %% at most; at more, the date rests on how seasons not seen are taken to spread.", n, fewest.MaxConfidence()))
	}
	if dormant, ok := fewest.Dormancy.At(0.5); ok {
		if opens, ok := fewest.Opens.At(0.5); ok && dormant <= opens+coldStart {
			out = append(out, fmt.Sprintf("When the season begins the soil is not yet, or hardly, above the dormancy threshold of the host (%s): this host barely grows here. Look at --host none.", fewest.Options.Host.Name))
		}
	}
	if NoCutoff(fewest) {
		out = append(out, "In most seasons neither freeze nor dormancy comes: the late dates are set by the end of the season in the calendar, and spring warmth, not cold, is what ends the sowing.")
	}
	return append(out, Cautions()...)
}

// coldStart is how many days after the opening dormancy is no dormancy but soil
// that has not warmed up.
const coldStart = 10

// NoCutoff tells whether in the middle season neither freeze nor dormancy comes.
func NoCutoff(w *forecast.Window) bool {
	_, ok := w.Cutoff.At(0.5)
	return !ok && len(w.Seasons) >= forecast.MinSeasons
}

// Cautions are printed beneath every seeding answer. Sources: LSU AgCenter
// (herbicides), Kansas (licence), Maryland (fertilizer), extension services
// (frost); all seen.
func Cautions() []string {
	return []string{
		"A forecast is not a guarantee: local extension service, local code and licensed practice come first.",
		"Herbicides: obey the label. Many pre-emergence products bar overseeding for months, and atrazine kills ryegrass. Spraying for pay needs a licence in most places.",
		"Fertilizer and watering: local rules differ by place and season; some bar autumn nitrogen and phosphorus, some exempt new seed from watering limits on request.",
		"Keep off frosted turf until it has thawed.",
	}
}

// Accuracy tells how far off the soil estimate is.
const Accuracy = "Soil temperature is estimated from the air: at stations it was not fitted on it is off by about 1.2 °C (2.2 °F) in autumn, and sensors a few steps apart differ by up to 5 °C (9 °F). It stands for grass in humid climates or under water; dry bare ground is hotter."
