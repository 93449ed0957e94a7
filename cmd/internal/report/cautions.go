package report

import (
	"fmt"
	"slices"
	"strings"

	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// WarningText puts a warning in words. The options are those of the answer it
// belongs to; they may be nil for warnings about the record alone.
func WarningText(u words.System, x forecast.Warning, o *forecast.Options) string {
	species, host := "this species", "the host"
	if o != nil {
		species, host = o.Species.Name, o.Host.Name
	}
	switch x.Kind {
	case forecast.WarnHostWinter:
		return fmt.Sprintf(
			"%s doesn't survive winters like these: %s averages %s here, and %s is about its limit (unverified). For a cool-season lawn add --host none.",
			words.Capital(host),
			x.Month,
			u.Temp(x.TempC),
			u.Temp(x.LimitC),
		)
	case forecast.WarnTooFew:
		return fmt.Sprintf(
			"Short record: %d usable %s. A safe date needs %d, and no chance from fewer can be trusted.",
			x.Seasons,
			words.Plural(x.Seasons, "season", "seasons"),
			forecast.MinSeasons,
		)
	case forecast.WarnNoSafeDate:
		return fmt.Sprintf("No sow date of %s is safe in %s.", species, Years10(x.Percent))
	case forecast.WarnOpensLate:
		return fmt.Sprintf(
			"In most years sowing opens only after the last safe date (%s; typical opening %s): the window is closed more often than open.",
			u.Date(x.Limit),
			u.Date(x.Day),
		)
	case forecast.WarnNoCutoff:
		return "In most years neither freeze nor dormancy ends the season here, so no date is the last for cold. What limits a late sowing is how long it is of use before spring."
	case forecast.WarnAfterWinter:
		return fmt.Sprintf(
			"By the model even %s is in time. Winter cold isn't what limits sowing here; dates after %s are left out of the advice.",
			u.LongDate(x.Day),
			u.Date(x.Limit),
		)
	case forecast.WarnRecordEnded:
		return fmt.Sprintf(
			"The record ends on %s. Past seasons stand in for the days since; add recent days for this year's weather.",
			u.LongDate(x.Day),
		)
	case forecast.WarnHindsight:
		return fmt.Sprintf(
			"The record already holds the outcome of a sowing on %s: this is hindsight, not a forecast.",
			u.LongDate(x.Day),
		)
	case forecast.WarnHostCold:
		return fmt.Sprintf(
			"When the season begins the soil is still near the dormancy threshold of %s: it barely grows here. For a cool-season lawn add --host none.",
			host,
		)
	case forecast.WarnNarrow:
		return fmt.Sprintf(
			"The window is narrow: in 2 of 10 years sowing opens only after %s, and %s is the last safe date.",
			u.Date(x.Day),
			u.Date(x.Limit),
		)
	case forecast.WarnFew:
		return fmt.Sprintf(
			"Short record: %d usable seasons. Dates and chances are rough; a longer record from nearby would help.",
			x.Seasons,
		)
	case forecast.WarnConfidence:
		return fmt.Sprintf(
			"%d seasons support a confidence of %.0f %% at most. Above that, the date depends on an assumed spread of years not seen.",
			x.Seasons,
			x.Percent,
		)
	}
	return string(x.Kind)
}

// Years10 is a percentage of years as a grower says it: 8 of 10 years.
func Years10(percent float64) string {
	if n := percent / 10; n == float64(int(n)) {
		return fmt.Sprintf("%.0f of 10 years", n)
	}
	return fmt.Sprintf("%g of 100 years", percent)
}

// OutlookWarnings are the warnings of outlooks in words, each kind once: the grave ones,
// which stand beneath the headline, and those that stand with the cautions.
func OutlookWarnings(
	u words.System, e *forecast.Ensemble, outlooks ...*forecast.Outlook,
) (grave, other []string) {
	seen := map[forecast.WarningKind]bool{}
	for _, o := range outlooks {
		for _, x := range e.Warnings(o) {
			if seen[x.Kind] {
				continue
			}
			seen[x.Kind] = true
			text := WarningText(u, x, &o.Options)
			if x.Kind == forecast.WarnHostWinter || x.Kind == forecast.WarnRecordEnded {
				grave = append(grave, text)
			} else {
				other = append(other, text)
			}
		}
	}
	return grave, other
}

// OutlookCautions are all warnings of outlooks and the usual cautions.
func OutlookCautions(u words.System, e *forecast.Ensemble, outlooks ...*forecast.Outlook) []string {
	grave, other := OutlookWarnings(u, e, outlooks...)
	return slices.Concat(grave, other, Cautions())
}

// WindowCautions are the warnings of windows, each once, and the usual cautions.
func WindowCautions(u words.System, windows []*forecast.Window, more ...forecast.Warning) []string {
	var out []string
	seen := map[string]bool{}
	add := func(text string) {
		if !seen[text] {
			seen[text] = true
			out = append(out, text)
		}
	}
	for _, x := range more {
		add(WarningText(u, x, nil))
	}
	for _, w := range windows {
		for _, x := range w.Warnings {
			text := WarningText(u, x, &w.Options)
			if len(windows) > 1 && !strings.Contains(text, w.Options.Species.Name) && ofSpecies[x.Kind] {
				text = words.Capital(w.Options.Species.Name) + ": " + text
			}
			add(text)
		}
	}
	return append(out, Cautions()...)
}

// ofSpecies are the warnings that depend on what is sown.
var ofSpecies = map[forecast.WarningKind]bool{
	forecast.WarnOpensLate: true, forecast.WarnAfterWinter: true, forecast.WarnNarrow: true,
}

// NoCutoff reports whether in the median neither freeze nor dormancy comes.
func NoCutoff(w *forecast.Window) bool {
	_, ok := w.Has(forecast.WarnNoCutoff)
	return ok
}

// Cautions are printed beneath every seeding answer. Sources: LSU AgCenter
// (herbicides), Kansas (licence), Maryland (fertilizer), extension services
// (frost); all seen.
func Cautions() []string {
	return []string{
		"A forecast is no guarantee: your extension service, local code and licensed practice come first.",
		"Herbicides: obey the label. Many pre-emergence products rule out seeding for months, and atrazine kills ryegrass. Spraying for pay needs a licence in most places.",
		"Fertilizer and watering: local rules differ by place and season. Some ban nitrogen and phosphorus in autumn; some exempt new seed from watering limits on request.",
		"Keep off frosted turf until it has thawed.",
	}
}

// Accuracy is how far off the soil estimate is.
const Accuracy = "Estimated from air temperature: off by about 1.2 °C (2.2 °F) in autumn at places it wasn't fitted on. Sensors a few steps apart differ by up to 5 °C (9 °F). For grass in humid climates or under irrigation; dry bare ground is hotter."
