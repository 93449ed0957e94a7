package freeze

import (
	"fmt"

	"swardcast/climate"
	"swardcast/cmd/internal/report"
	"swardcast/cmd/internal/words"
)

type freezeJSON struct {
	Schema     string             `json:"schema"`
	Station    report.StationJSON `json:"station"`
	Season     int                `json:"season"`
	Thresholds []thresholdJSON    `json:"thresholds"`
	Method     string             `json:"method"`
	Cautions   []string           `json:"cautions"`
}

type thresholdJSON struct {
	TempC         words.Number            `json:"temp_c"`
	Seasons       int                     `json:"seasons"`
	OccurredShare words.Number            `json:"occurred_share"`
	First         map[string]*climate.Day `json:"first"`
	FirstTrend    report.TrendJSON        `json:"first_trend"`
	Dropped       []report.DroppedJSON    `json:"seasons_dropped"`
	Springs       int                     `json:"springs"`
	SpringShare   words.Number            `json:"spring_share"`
	Last          map[string]*climate.Day `json:"last"`
	LastTrend     report.TrendJSON        `json:"last_trend"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	out := freezeJSON{
		Schema:   "swardcast.freeze/1",
		Station:  report.Station(a.In),
		Season:   a.Season,
		Method:   a.method(),
		Cautions: a.cautions(),
	}
	for _, t := range a.Thresholds {
		out.Thresholds = append(out.Thresholds, thresholdJSON{
			TempC: words.Number(t.TempC), Seasons: t.First.Seasons(), OccurredShare: words.Number(t.First.Share()),
			First: a.dates(t.First), FirstTrend: report.Trend(t.First.Trend), Dropped: report.Dropped(t.First.Dropped),
			Springs: t.Last.Seasons(), SpringShare: words.Number(t.Last.Share()),
			Last: a.dates(t.Last), LastTrend: report.Trend(t.Last.Trend),
		})
	}
	return out
}

// dates are those by which it had come in 10 to 90 % of seasons.
func (a *Answer) dates(t *climate.FreezeTable) map[string]*climate.Day {
	m := map[string]*climate.Day{}
	for p := 10; p <= 90; p += 10 {
		m[fmt.Sprintf("p%d", p)] = words.DayOrNil(t.At(float64(p)/100, a.Season))
	}
	return m
}
