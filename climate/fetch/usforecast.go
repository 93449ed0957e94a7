package fetch

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"net/url"
	"regexp"
	"strconv"
	"time"

	"swardcast/climate"
	"swardcast/climate/stations"
)

// A box bounds latitudes and longitudes.
type box struct{ south, north, west, east float64 }

// territories are boxes about the United States and its territories. They hold places
// of other countries too, for which the service answers 404. From memory, rounded
// outwards.
var territories = []box{
	{24, 50, -125.5, -66},                    // the 48 states
	{51, 72, -180, -129}, {51, 54, 172, 180}, // Alaska
	{18, 23, -161, -154},   // Hawaii
	{17, 19, -68, -64},     // Puerto Rico, Virgin Islands
	{13, 21, 144, 147},     // Guam, Northern Marianas
	{-15, -10, -172, -168}, // American Samoa
}

func maybeUS(p Position) bool {
	for _, b := range territories {
		if p.Latitude >= b.south && p.Latitude <= b.north && p.Longitude >= b.west && p.Longitude <= b.east {
			return true
		}
	}
	return false
}

// A usPoint is what the service knows of a place.
type usPoint struct {
	Outside bool   `json:"outside,omitempty"` // it has no forecast there
	Grid    string `json:"grid,omitempty"`    // address of the forecast
	Zone    string `json:"zone,omitempty"`
}

// usForecast returns the forecast of the US service, or errOutside.
func (c *Client) usForecast(ctx context.Context, place Position) (*Forecast, error) {
	if !maybeUS(place) {
		return nil, errOutside
	}
	point, err := c.usPoint(ctx, place)
	if err != nil {
		return nil, err
	}
	e, stale, err := c.have(ctx, wanted{
		key:       "forecast" + keptForm + "-" + position(place),
		addresses: []string{point.Grid},
		form: form{
			accept:  "application/geo+json",
			types:   jsonTypes,
			most:    maxForecastBytes,
			limit:   forecastTime,
			contact: true,
		},
		young: forecastYoung, heeds: true,
		take: func(_ context.Context, _ string, content []byte, _ *Entry) ([]byte, error) {
			f, err := parseUSGrid(content, point.Zone, place)
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

// usPoint returns what the service knows of a place, from the store for a month.
func (c *Client) usPoint(ctx context.Context, place Position) (*usPoint, error) {
	w := wanted{
		key:       "point" + keptForm + "-" + position(place),
		addresses: []string{c.Bases.at(NWS, "points/"+position(place))},
		form: form{
			accept:  "application/geo+json",
			types:   jsonTypes,
			most:    1 << 20,
			limit:   forecastTime,
			contact: true,
		},
		young: pointYoung,
		take: func(_ context.Context, _ string, content []byte, _ *Entry) ([]byte, error) {
			p, err := c.parseUSPoint(content, place)
			if err != nil {
				return nil, err
			}
			return json.Marshal(p)
		},
	}
	e, _, err := c.have(ctx, w)
	if errors.Is(err, ErrNotFound) {
		now := c.now()
		content, _ := json.Marshal(usPoint{Outside: true})
		e = &Entry{URL: w.addresses[0], Fetched: now, Checked: now, Expires: now.Add(pointYoung), Content: content}
		err = c.store().Put(w.key, e)
	}
	if err != nil {
		return nil, err
	}
	var p usPoint
	if err := json.Unmarshal(e.Content, &p); err != nil {
		return nil, fmt.Errorf("the kept place is damaged: %w", err)
	}
	if p.Outside {
		return nil, errOutside
	}
	return &p, nil
}

func (c *Client) parseUSPoint(content []byte, place Position) (*usPoint, error) {
	var answer struct {
		Geometry   *geometry `json:"geometry"`
		Properties struct {
			Grid string `json:"forecastGridData"`
			Zone string `json:"timeZone"`
		} `json:"properties"`
	}
	if err := json.Unmarshal(content, &answer); err != nil {
		return nil, refuse("it is not the JSON of a place: %v", err)
	}
	if err := answer.Geometry.at(place); err != nil {
		return nil, err
	}
	u, err := url.Parse(answer.Properties.Grid)
	if err != nil || answer.Properties.Grid == "" || !c.Bases.of(NWS, u) {
		return nil, refuse("the address of the forecast, %.100q, is not of the service", answer.Properties.Grid)
	}
	return &usPoint{Grid: u.String(), Zone: answer.Properties.Zone}, nil
}

// A geometry is where an answer is of (RFC 7946).
type geometry struct {
	Type        string          `json:"type"`
	Coordinates json.RawMessage `json:"coordinates"`
}

// at refuses a point that is not that of a place. An area is not looked at.
func (g *geometry) at(place Position) error {
	if g == nil || g.Type != "Point" {
		return nil
	}
	var at []float64
	if err := json.Unmarshal(g.Coordinates, &at); err != nil || len(at) < 2 {
		return refuse("it does not say of which place it is")
	}
	const farKM = 5
	if d := stations.DistanceKM(place.Latitude, place.Longitude, at[1], at[0]); !(d <= farKM) {
		return refuse("it is of a place %.0f km away", d)
	}
	return nil
}

// A gridSeries is a series of the grid: values over intervals of time.
type gridSeries struct {
	Unit   string `json:"uom"`
	Values []struct {
		ValidTime string   `json:"validTime"`
		Value     *float64 `json:"value"`
	} `json:"values"`
}

// parseUSGrid reads the grid of a place. A day's maximum is that whose interval has its
// middle on the day, a day's minimum that whose interval ends on it, in the civil time
// of the zone: the service's maxima are of about 7 to 19 h, its minima of 19 to 8 h, so
// that a night's minimum is that of the morning. Rain is shared out by time, and a day
// has one only where its intervals cover the whole day.
func parseUSGrid(content []byte, zoneName string, place Position) (*Forecast, error) {
	var answer struct {
		Properties struct {
			Updated time.Time  `json:"updateTime"`
			TMax    gridSeries `json:"maxTemperature"`
			TMin    gridSeries `json:"minTemperature"`
			Rain    gridSeries `json:"quantitativePrecipitation"`
		} `json:"properties"`
	}
	if err := json.Unmarshal(content, &answer); err != nil {
		return nil, refuse("it is not the JSON of a forecast: %v", err)
	}
	p := &answer.Properties
	zone, err := time.LoadLocation(zoneName)
	if err != nil || zoneName == "" || zoneName == "Local" {
		zone = SolarZone(place.Longitude)
	}
	f := &Forecast{Service: USService, Issued: p.Updated.UTC(), Zone: zone.String()}
	if f.Issued.IsZero() {
		return nil, refuse("the forecast does not say when it was made")
	}
	days := map[climate.Day]*ForecastDay{}
	err = p.TMax.each("wmoUnit:degC", func(from, to time.Time, v float64) {
		d := dayIn(days, DayAt(from.Add(to.Sub(from)/2), zone))
		d.TMaxC = larger(d.TMaxC, v)
	})
	if err != nil {
		return nil, err
	}
	err = p.TMin.each("wmoUnit:degC", func(from, to time.Time, v float64) {
		d := dayIn(days, DayAt(to.Add(-time.Second), zone))
		d.TMinC = smaller(d.TMinC, v)
	})
	if err != nil {
		return nil, err
	}
	var rain rainfall
	if err := p.Rain.each("wmoUnit:mm", rain.add); err != nil {
		return nil, err
	}
	rain.share(days, zone)
	f.dated(days, zone)
	return f, nil
}

func larger(a, b float64) float64 {
	if math.IsNaN(a) {
		return b
	}
	return max(a, b)
}

func smaller(a, b float64) float64 {
	if math.IsNaN(a) {
		return b
	}
	return min(a, b)
}

// maxIntervals is how many values of a series are read: hourly ones of eight days, and
// twice that.
const maxIntervals = 400

// each calls with the interval and the value of every value that is there.
func (s *gridSeries) each(unit string, with func(from, to time.Time, v float64)) error {
	if len(s.Values) > maxIntervals {
		return refuse("a series has %d values", len(s.Values))
	}
	if len(s.Values) > 0 && s.Unit != unit {
		return refuse("a series is in %.40q, not in %s", s.Unit, unit)
	}
	for _, v := range s.Values {
		from, length, err := parseInterval(v.ValidTime)
		if err != nil {
			return err
		}
		if v.Value != nil {
			with(from, from.Add(length), *v.Value)
		}
	}
	return nil
}

var durationForm = regexp.MustCompile(`^P(?:(\d{1,2})D)?(?:T(?:(\d{1,2})H)?(?:(\d{1,2})M)?)?$`)

// parseInterval reads an instant and a length, 2026-10-14T12:00:00+00:00/PT13H, of ten
// days at most.
//
// Reference: ISO 8601-1:2019, 5.5.2.
func parseInterval(s string) (from time.Time, length time.Duration, err error) {
	bad := refuse("%.60q is not an interval of time", s)
	const stamp = len("2006-01-02T15:04:05+00:00")
	for i := range s {
		if s[i] != '/' {
			continue
		}
		from, err = time.Parse(time.RFC3339, s[:i])
		parts := durationForm.FindStringSubmatch(s[i+1:])
		if err != nil || parts == nil || i > stamp {
			return from, 0, bad
		}
		for k, unit := range []time.Duration{24 * time.Hour, time.Hour, time.Minute} {
			if parts[k+1] != "" {
				n, _ := strconv.Atoi(parts[k+1])
				length += time.Duration(n) * unit
			}
		}
		if length <= 0 || length > 10*24*time.Hour {
			return from, 0, bad
		}
		return from.UTC(), length, nil
	}
	return from, 0, bad
}
