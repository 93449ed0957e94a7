package recordfile

import (
	"math"
	"strings"
	"testing"
)

// Forecast rows may say how far ahead they are and how far off they can be.
func TestForecastColumns(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name, text   string
		lead, errorC []float64
	}{
		{"days ahead and error",
			"date,tmax_c,tmin_c,lead,sd\n2024-10-01,21,9,1,1.5\n2024-10-03,20,8,3,\n",
			[]float64{1, nan, 3}, []float64{1.5, nan, nan}},
		{"in °F as the temperatures",
			"date,tmax_f,tmin_f,sd\n2024-10-01,70,48,3.6\n2024-10-02,68,47,1.8\n", nil, []float64{2, 1}},
		{"in °C beside °F", "date,tmax_f,tmin_f,sd_c\n2024-10-01,70,48,3.6\n", nil, []float64{3.6}},
		{"quoted", "date,tmax_c,tmin_c,\"days ahead\"\n2024-10-01,21,9,\"7\"\n", []float64{7}, nil},
		{"none", "date,tmax_c,tmin_c\n2024-10-01,21,9\n", nil, nil},
	} {
		f, err := Read(strings.NewReader(c.text), "f.csv", Options{Forecast: true})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		for _, x := range []struct{ got, want []float64 }{{f.LeadDays, c.lead}, {f.ErrorC, c.errorC}} {
			if len(x.got) != len(x.want) {
				t.Errorf("%s: %v, want %v", c.name, x.got, x.want)
				continue
			}
			for i := range x.got {
				if math.Abs(x.got[i]-x.want[i]) > 1e-12 || math.IsNaN(x.got[i]) != math.IsNaN(x.want[i]) {
					t.Errorf("%s: %v, want %v", c.name, x.got, x.want)
				}
			}
		}
	}
	for text, part := range map[string]string{
		"date,tmax_c,tmin_c,sd\n2024-10-01,21,9,-1\n":     "below 0",
		"date,tmax_c,tmin_c,lead\n2024-10-01,21,9,soon\n": "is not a number",
	} {
		_, err := Read(strings.NewReader(text), "f.csv", Options{Forecast: true})
		if err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%q: %v", text, err)
		}
	}
	// In a record such columns are others: the depth of snow, in words.
	text := "date,tmax_c,tmin_c,sd\n2024-10-01,21,9,patches\n2024-10-02,21,9,-3\n"
	f, err := Read(strings.NewReader(text), "r.csv", Options{})
	if err != nil || f.ErrorC != nil {
		t.Errorf("a record with a column sd: %v, %v", f, err)
	}
}
