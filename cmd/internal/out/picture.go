package out

import "swardcast/cmd/internal/chart"

// SVG is the one chart that is asked for.
var SVG = Form{"svg", HasCharts, func(a *Answer, f *Flags) ([]byte, error) {
	c, err := picture(a, f)
	if err != nil {
		return nil, err
	}
	return c.File(), nil
}}

func picture(a *Answer, f *Flags) (*chart.Chart, error) {
	c, err := a.Chart(f.chart.Value, f.System())
	if err != nil {
		return nil, err
	}
	c.Under = a.About(f.System())
	return c, nil
}
