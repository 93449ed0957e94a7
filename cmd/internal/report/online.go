package report

import (
	"fmt"
	"time"

	"swardcast/climate"
	"swardcast/cmd/internal/ask"
	"swardcast/cmd/internal/words"
)

// onlineFacts say where a record that was fetched is from, and which days are of a
// forecast.
func onlineFacts(in *ask.Input, u words.System) []Item {
	o := in.Online
	if o == nil {
		return nil
	}
	text := "station " + o.ID
	if o.DistanceKM != nil {
		text += ", " + u.Distance(*o.DistanceKM) + " away"
	}
	text += fmt.Sprintf("; fetched on %s", u.Moment(o.Fetched))
	if o.Checked.After(o.Fetched) {
		text += fmt.Sprintf(", unchanged on %s", u.Moment(o.Checked))
	}
	if n := int(in.AsOf - in.Checked.Last()); n > 0 {
		text += fmt.Sprintf("; its last day is %s before %s", words.Count(n, "day", "days"), u.LongDate(in.AsOf))
	}
	if o.Stale != nil {
		text += "; not refreshed: " + o.Stale.Error()
	}
	facts := []Item{{"source", text + ". " + o.Source}}
	if f := o.Forecast; f != nil {
		facts = append(facts, Item{"forecast", fmt.Sprintf("%s; of the %s, made on %s, its days in %s. %s",
			o.Days(), f.Service, u.Moment(f.Issued), f.Zone, f.Attribution)})
	}
	return facts
}

// filledText says how many of the last days of a record are of a forecast.
func filledText(in *ask.Input) string {
	if in.Online == nil || len(in.Online.Filled) == 0 {
		return ""
	}
	return fmt.Sprintf(" (the last %s of it forecast)", words.Count(len(in.Online.Filled), "day", "days"))
}

// attribution is what must be said beside an answer whose weather is partly a
// forecast, "" for none.
func attribution(in *ask.Input) string {
	if in.Online == nil || in.Online.Forecast == nil {
		return ""
	}
	return in.Online.Forecast.Attribution
}

// SourceJSON is where a record that was fetched is from.
type SourceJSON struct {
	StationID  string        `json:"station_id"`
	DistanceKM words.Number  `json:"distance_km"`
	URL        string        `json:"url"`
	Fetched    time.Time     `json:"fetched"`
	Checked    time.Time     `json:"checked"`
	Stale      *string       `json:"stale"`
	DaysOld    int           `json:"days_old"`
	Citation   string        `json:"citation"`
	Forecast   *ForecastJSON `json:"forecast"`
}

// ForecastJSON is the forecast whose days stand in for days that the record lacks, and
// for days to come.
type ForecastJSON struct {
	Service     string        `json:"service"`
	Attribution string        `json:"attribution"`
	Issued      time.Time     `json:"issued"`
	Zone        string        `json:"zone"`
	Stale       *string       `json:"stale"`
	Filled      []climate.Day `json:"filled_dates"`
	Ahead       []climate.Day `json:"ahead_dates"`
	Lacking     int           `json:"missing_day_count"`
}

// sourceOf is nil for a record of a file.
func sourceOf(in *ask.Input) *SourceJSON {
	o := in.Online
	if o == nil {
		return nil
	}
	s := &SourceJSON{
		StationID: o.ID, DistanceKM: words.Unknown, URL: o.URL, Fetched: o.Fetched.UTC(), Checked: o.Checked.UTC(),
		Stale: message(o.Stale), DaysOld: int(in.AsOf - in.Checked.Last()), Citation: o.Source,
	}
	if o.DistanceKM != nil {
		s.DistanceKM = words.Number(*o.DistanceKM)
	}
	if f := o.Forecast; f != nil {
		s.Forecast = &ForecastJSON{
			Service: f.Service, Attribution: f.Attribution, Issued: f.Issued.UTC(), Zone: f.Zone, Stale: message(f.Stale),
			Filled: []climate.Day{}, Ahead: []climate.Day{}, Lacking: o.Lacks,
		}
		for _, d := range o.Filled {
			s.Forecast.Filled = append(s.Forecast.Filled, d.Day)
		}
		for _, d := range o.Ahead {
			s.Forecast.Ahead = append(s.Forecast.Ahead, d.Day)
		}
	}
	return s
}

// message is nil for no error.
func message(err error) *string {
	if err == nil {
		return nil
	}
	return new(err.Error())
}
