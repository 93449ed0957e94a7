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
	Seasons       int                     `json:"season_count"`
	OccurredShare words.Number            `json:"occurred_share"`
	First         map[string]*climate.Day `json:"first_freeze"`
	FirstTrend    report.TrendJSON        `json:"first_freeze_trend"`
	Dropped       []report.DroppedJSON    `json:"seasons_dropped"`
	Springs       int                     `json:"spring_count"`
	SpringShare   words.Number            `json:"spring_share"`
	Last          map[string]*climate.Day `json:"last_freeze"`
	LastTrend     report.TrendJSON        `json:"last_freeze_trend"`
}

// JSON is the answer as scripts read it.
func (a *Answer) JSON() any {
	out := freezeJSON{
		Schema:   "swardcast.freeze/2",
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

// A row is a row of the CSV answer: a threshold in autumn or spring.
type row struct {
	TempC   words.Number `csv:"temp_c"`
	Event   string       `csv:"event"`
	Season  int          `csv:"season"`
	Seasons int          `csv:"season_count"`
	Share   words.Number `csv:"occurred_share"`
	P10     *climate.Day `csv:"p10"`
	P20     *climate.Day `csv:"p20"`
	P30     *climate.Day `csv:"p30"`
	P40     *climate.Day `csv:"p40"`
	P50     *climate.Day `csv:"p50"`
	P60     *climate.Day `csv:"p60"`
	P70     *climate.Day `csv:"p70"`
	P80     *climate.Day `csv:"p80"`
	P90     *climate.Day `csv:"p90"`
	Trend   words.Number `csv:"days_per_decade"`
	Low     words.Number `csv:"trend_low"`
	High    words.Number `csv:"trend_high"`
}

// Rows are the thresholds, each with the first freeze of autumn and the last of spring.
func (a *Answer) Rows() (any, error) {
	var rows []row
	for i := range a.Thresholds {
		t := &a.Thresholds[i]
		for _, x := range []struct {
			event string
			table *climate.FreezeTable
		}{{"first", t.First}, {"last", t.Last}} {
			d := a.dates(x.table)
			rows = append(
				rows,
				row{words.Number(t.TempC), x.event, a.Season, x.table.Seasons(), words.Number(x.table.Share()),
					d["p10"], d["p20"], d["p30"], d["p40"], d["p50"], d["p60"], d["p70"], d["p80"], d["p90"],
					words.Number(
						x.table.Trend.Slope,
					), words.Number(x.table.Trend.Low), words.Number(x.table.Trend.High)},
			)
		}
	}
	return rows, nil
}
