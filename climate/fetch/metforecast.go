package fetch

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/url"
	"time"

	"swardcast/climate"
)

const metPath = "weatherapi/locationforecast/2.0/complete"

// metForecast returns the forecast of MET Norway. It asks nothing without a contact.
func (c *Client) metForecast(ctx context.Context, place Position) (*Forecast, error) {
	query := url.Values{"lat": {degrees(place.Latitude)}, "lon": {degrees(place.Longitude)}}
	if !math.IsNaN(place.ElevationM) {
		query.Set("altitude", fmt.Sprintf("%.0f", place.ElevationM))
	}
	var hold error
	if c.Contact == "" {
		hold = ErrNoContact
	}
	e, stale, err := c.have(ctx, wanted{
		key:       "forecast" + keptForm + "-" + position(place),
		addresses: []string{c.Bases.at(MET, metPath) + "?" + query.Encode()},
		form: form{
			accept:  "application/json",
			types:   jsonTypes,
			most:    maxForecastBytes,
			limit:   forecastTime,
			contact: true,
		},
		young: forecastYoung, heeds: true, hold: hold,
		take: func(_ context.Context, _ string, content []byte, _ *Entry) ([]byte, error) {
			f, err := parseMET(content, place)
			if err != nil {
				return nil, err
			}
			return f.keep(c.now())
		},
	})
	if err != nil {
		return nil, err
	}
	return kept(e, stale)
}

// metUnits are those of what is read.
var metUnits = map[string]string{
	"air_temperature": "celsius", "air_temperature_max": "celsius", "air_temperature_min": "celsius", "precipitation_amount": "mm",
}

// A metStep is the forecast from an instant on.
type metStep struct {
	Time time.Time `json:"time"`
	Data struct {
		Instant struct {
			Details struct {
				Temperature *float64 `json:"air_temperature"`
			} `json:"details"`
		} `json:"instant"`
		Hour *struct {
			Details struct {
				Rain *float64 `json:"precipitation_amount"`
			} `json:"details"`
		} `json:"next_1_hours"`
		SixHours *struct {
			Details struct {
				TMax *float64 `json:"air_temperature_max"`
				TMin *float64 `json:"air_temperature_min"`
				Rain *float64 `json:"precipitation_amount"`
			} `json:"details"`
		} `json:"next_6_hours"`
	} `json:"data"`
}

// The hours of a day, solar time, in which its maximum and its minimum nearly always
// lie. A day has the one only where the forecast covers the hours of it. Common practice,
// no source.
const (
	warmFrom, warmTo = 12, 17
	coldFrom, coldTo = 3, 8
)

// parseMET reads a forecast of MET Norway: hourly values for about two and a half days,
// six-hourly ones after. A day is one of mean solar time at the place's longitude, since
// the service gives no zone. Its maximum is the largest of the values at instants of the
// day and of the six-hourly maxima that begin on it, its minimum the smallest of the
// values and of the six-hourly minima that end on it: nights cool, so that six hours about
// midnight are warmest at their beginning and coldest at their end. A day has a maximum
// only where the forecast covers 12 to 17 h, a minimum only where it covers 3 to 8 h, but
// for an hour. Rain is shared out by time.
func parseMET(content []byte, place Position) (*Forecast, error) {
	var answer struct {
		Geometry   *geometry `json:"geometry"`
		Properties struct {
			Meta struct {
				Updated time.Time         `json:"updated_at"`
				Units   map[string]string `json:"units"`
			} `json:"meta"`
			Steps []metStep `json:"timeseries"`
		} `json:"properties"`
	}
	if err := json.Unmarshal(content, &answer); err != nil {
		return nil, refuse("it is not the JSON of a forecast: %v", err)
	}
	if err := answer.Geometry.at(place); err != nil {
		return nil, err
	}
	p := &answer.Properties
	for name, unit := range metUnits {
		if got, ok := p.Meta.Units[name]; ok && got != unit {
			return nil, refuse("%s is in %.20q, not in %s", name, got, unit)
		}
	}
	switch {
	case p.Meta.Updated.IsZero():
		return nil, refuse("the forecast does not say when it was made")
	case len(p.Steps) > maxIntervals:
		return nil, refuse("it has %d instants", len(p.Steps))
	}
	zone := SolarZone(place.Longitude)
	f := &Forecast{Service: Norway, Issued: p.Meta.Updated.UTC(), Zone: zone.String()}
	days := map[climate.Day]*ForecastDay{}
	for i := range p.Steps {
		if i > 0 && !p.Steps[i].Time.After(p.Steps[i-1].Time) {
			return nil, refuse("its instants are not in order")
		}
		dayIn(days, DayAt(p.Steps[i].Time, zone))
	}
	var rain rainfall
	for i := range p.Steps {
		addRain(&rain, p.Steps, i)
	}
	for day, d := range days {
		d.extremes(p.Steps, startOf(day, zone))
	}
	rain.share(days, zone)
	f.dated(days, zone)
	return f, nil
}

// addRain adds the rain from one instant up to the next.
func addRain(r *rainfall, steps []metStep, i int) {
	s := &steps[i]
	gap := 6 * time.Hour // to the next; the last has none
	if i+1 < len(steps) {
		gap = steps[i+1].Time.Sub(s.Time)
	}
	switch {
	case gap <= time.Hour && s.Data.Hour != nil && s.Data.Hour.Details.Rain != nil:
		r.add(s.Time, s.Time.Add(time.Hour), *s.Data.Hour.Details.Rain)
	case gap == 6*time.Hour && s.Data.SixHours != nil && s.Data.SixHours.Details.Rain != nil:
		r.add(s.Time, s.Time.Add(gap), *s.Data.SixHours.Details.Rain)
	}
}

// extremes fills in the maximum and the minimum of the day that begins at an instant.
func (d *ForecastDay) extremes(steps []metStep, start time.Time) {
	end := start.Add(24 * time.Hour)
	high, low := math.NaN(), math.NaN()
	var covered spans
	within := func(t time.Time) bool { return !t.Before(start) && t.Before(end) }
	for i := range steps {
		s := &steps[i]
		if t := s.Data.Instant.Details.Temperature; t != nil && within(s.Time) {
			high, low = larger(high, *t), smaller(low, *t)
			if i+1 < len(steps) && steps[i+1].Time.Sub(s.Time) <= time.Hour {
				covered.add(s.Time, steps[i+1].Time)
			}
		}
		six := s.Data.SixHours
		if six == nil {
			continue
		}
		last := s.Time.Add(6 * time.Hour)
		if v := six.Details.TMax; v != nil && within(s.Time) {
			high = larger(high, *v)
			covered.add(s.Time, last)
		}
		if v := six.Details.TMin; v != nil && within(last.Add(-time.Second)) {
			low = smaller(low, *v)
			covered.add(s.Time, last)
		}
	}
	hour := func(h int) time.Time { return start.Add(time.Duration(h) * time.Hour) }
	if covered.cover(hour(warmFrom), hour(warmTo)) {
		d.TMaxC = high
	}
	if covered.cover(hour(coldFrom), hour(coldTo)) {
		d.TMinC = low
	}
}

// Spans are stretches of time in the order of their beginnings. They may overlap.
type spans []struct{ from, to time.Time }

func (s *spans) add(from, to time.Time) {
	*s = append(*s, struct{ from, to time.Time }{from, to})
}

// cover reports whether the stretches cover the time between two instants, but for an
// hour: full hours of UTC fall between those of solar time.
func (s spans) cover(from, to time.Time) bool {
	open := to.Sub(from)
	at := from
	for _, x := range s {
		begin, end := later(at, x.from), earlier(to, x.to)
		if end.After(begin) {
			open -= end.Sub(begin)
			at = end
		}
	}
	return open <= time.Hour
}
