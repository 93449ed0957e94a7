//go:build !js

package out

// PNG is the one chart that is asked for, in pixels. A browser, which draws SVG itself,
// does without it.
var PNG = Form{pngName, HasCharts, func(a *Answer, f *Flags) ([]byte, error) {
	c, err := picture(a, f)
	if err != nil {
		return nil, err
	}
	return c.PNG()
}}

func init() { forms = append(forms, &PNG) }
