package report

import (
	"fmt"

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
