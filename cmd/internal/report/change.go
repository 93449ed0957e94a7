package report

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// ChangeWords name what is taken otherwise to see how much an answer depends on it.
func ChangeWords(u words.System, c *forecast.Sensitivity) string {
	switch c.Kind {
	case forecast.ChangeFreeze:
		return "freeze counted at " + u.Temp(c.FreezeC)
	case forecast.ChangeSoil:
		return degrees(u, -c.SoilC) + " colder soil"
	case forecast.ChangeSow:
		return "sown " + u.Date(c.Sow)
	}
	return c.Species.Name
}

// degrees is a difference of temperatures in whole degrees.
func degrees(u words.System, c float64) string {
	if u == words.Metric {
		return fmt.Sprintf("%.0f °C", c)
	}
	return fmt.Sprintf("%.0f °F", c*1.8)
}

// A SensitivityJSON is what one change makes of an answer.
type SensitivityJSON struct {
	Change   string       `json:"change"`
	FreezeC  words.Number `json:"freeze_c"`
	SoilC    words.Number `json:"soil_warmer_c"`
	SowDays  int          `json:"sow_days"`
	Species  *string      `json:"species_id"`
	Sow      climate.Day  `json:"sow"`
	Chance   words.Number `json:"chance"`
	LastSafe *climate.Day `json:"last_safe_date"`
}

// Sensitivities are the changes to an answer with these options, as JSON; an empty list
// for none.
func Sensitivities(changes []forecast.Sensitivity, o *forecast.Options) []SensitivityJSON {
	list := []SensitivityJSON{}
	for _, c := range changes {
		freeze := *o.FreezeC
		if c.Kind == forecast.ChangeFreeze {
			freeze = c.FreezeC
		}
		var species *string
		if c.Kind == forecast.ChangeSpecies {
			species = &c.Species.ID
		}
		list = append(list, SensitivityJSON{string(c.Kind), words.Number(freeze), words.Number(c.SoilC),
			c.SowDays, species, c.Sow, words.Number(c.Chance), c.LastSafe})
	}
	return list
}
