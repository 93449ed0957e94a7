package soil

import (
	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

type soilJSON struct {
	Schema    string             `json:"schema"`
	Station   report.StationJSON `json:"station"`
	AsOf      climate.Day        `json:"as_of"`
	State     string             `json:"soil_state"`
	StateEnds *climate.Day       `json:"soil_state_ends"`
	Normal    []normalJSON       `json:"normal"`
	Crossings []crossingJSON     `json:"crossings"`
	Days      []dayJSON          `json:"by_day"`
	Probe     *report.ProbeJSON  `json:"probe"`
	Accuracy  string             `json:"accuracy"`
}

type normalJSON struct {
	DepthCM    int          `json:"depth_cm"`
	MeanC      words.Number `json:"mean_c"`
	AmplitudeC words.Number `json:"amplitude_c"`
	Warmest    climate.Day  `json:"warmest"`
	Coldest    climate.Day  `json:"coldest"`
	WarmestC   words.Number `json:"warmest_c"`
	ColdestC   words.Number `json:"coldest_c"`
}

type crossingJSON struct {
	DepthCM   int          `json:"depth_cm"`
	SoilC     words.Number `json:"soil_c"`
	Direction string       `json:"direction"`
	Normal    *climate.Day `json:"normal_on"`
	PastYear  *climate.Day `json:"past_year_on"`
}

type dayJSON struct {
	Date     climate.Day  `json:"date"`
	Soil5C   words.Number `json:"soil5_c"`
	Soil10C  words.Number `json:"soil10_c"`
	Normal5  words.Number `json:"normal5_c"`
	Normal10 words.Number `json:"normal10_c"`
	Filled   bool         `json:"filled"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	out := soilJSON{Schema: "swardcast.soil/2", Station: report.Station(a.In.Input), AsOf: a.In.AsOf,
		Accuracy: report.Accuracy, Probe: report.Probe(a.In)}
	state, next := a.state()
	out.State = string(state)
	if next != nil {
		out.StateEnds = next.Normal
	}
	for _, y := range a.Years {
		out.Normal = append(
			out.Normal,
			normalJSON{int(y.Depth), words.Number(y.Normal.Mean), words.Number(y.Normal.Amplitude()),
				y.Warmest.Day, y.Coldest.Day, words.Number(y.Warmest.TempC), words.Number(y.Coldest.TempC)},
		)
	}
	for _, c := range a.Year.Crossings {
		direction := "falling"
		if c.Rising {
			direction = "rising"
		}
		out.Crossings = append(
			out.Crossings,
			crossingJSON{int(a.Year.Depth), words.Number(c.ThresholdC), direction, c.Normal, c.PastYear},
		)
	}
	for _, d := range a.Days {
		out.Days = append(out.Days, dayJSON{d.Day, words.Number(d.Soil5C), words.Number(d.Soil10C),
			words.Number(d.Normal5C), words.Number(d.Normal10C), d.Filled})
	}
	return out
}

// A row is a row of the CSV answer.
type row struct {
	Date     climate.Day  `csv:"date"`
	TMaxC    words.Number `csv:"tmax_c"`
	TMinC    words.Number `csv:"tmin_c"`
	Soil5C   words.Number `csv:"soil5_c"`
	Soil10C  words.Number `csv:"soil10_c"`
	Normal5  words.Number `csv:"normal5_c"`
	Normal10 words.Number `csv:"normal10_c"`
	Filled   int          `csv:"filled"`
}

// Rows are the days of the whole record.
func (a *Answer) Rows() (any, error) {
	var rows []row
	for _, d := range a.In.SoilDays(a.In.Record.First, a.In.Record.Last()) {
		r := row{d.Day, words.Number(d.TMaxC), words.Number(d.TMinC), words.Number(d.Soil5C), words.Number(d.Soil10C),
			words.Number(d.Normal5C), words.Number(d.Normal10C), 0}
		if d.Filled {
			r.Filled = 1
		}
		rows = append(rows, r)
	}
	return rows, nil
}
