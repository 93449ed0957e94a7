package main

import (
	"fmt"

	"swardcast/forecast"
)

// seasonCautions are what a thin record makes of an answer.
func seasonCautions(seasons int) []string {
	switch {
	case seasons < forecast.LeastSeasons:
		return []string{fmt.Sprintf("Short record: %d usable seasons. Under %d no safe date is given; the chances are hardly more than a guess.", seasons, forecast.LeastSeasons)}
	case seasons < forecast.FewSeasons:
		return []string{fmt.Sprintf("Short record: %d usable seasons. Dates and chances are rough; a longer record from near by would tell more.", seasons)}
	}
	return nil
}

// cautions are printed beneath every seeding answer. Sources: LSU AgCenter
// (herbicides), Kansas (licence), Maryland (fertilizer), extension services
// (frost); all seen.
func cautions() []string {
	return []string{
		"A forecast is not a guarantee: local extension service, local code and licensed practice come first.",
		"Herbicides: obey the label. Many pre-emergence products bar overseeding for months, and atrazine kills ryegrass. Spraying for pay needs a licence in most places.",
		"Fertilizer and watering: local rules differ by place and season; some bar autumn nitrogen and phosphorus, some exempt new seed from watering limits on request.",
		"Keep off frosted turf until it has thawed.",
	}
}

// accuracy tells how far off the soil estimate is.
const accuracy = "Soil temperature is estimated from the air: at stations it was not fitted on it is off by about 1.2 °C (2.2 °F) in autumn, and sensors a few steps apart differ by up to 5 °C (9 °F). It stands for grass in humid climates or under water; dry bare ground is hotter."
