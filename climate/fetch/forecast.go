package fetch

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"time"

	"swardcast/climate"
	"swardcast/climate/check"
)

// A Service is a source of forecasts.
type Service string

// The services.
const (
	USService Service = "nws"
	Norway    Service = "met"
)

// Name returns the name of the service.
func (s Service) Name() string {
	if s == Norway {
		return "MET Norway"
	}
	return "US National Weather Service"
}

// Attribution returns what must be said where rows of the service are used.
func (s Service) Attribution() string {
	if s == Norway {
		return "Forecast: MET Norway, CC BY 4.0, summed up to days."
	}
	return "Forecast: US National Weather Service (public domain), summed up to days."
}

// A Forecast is the weather of the days ahead of a place, and of earlier days as it was
// forecast then, as far as the client was asked on those days.
type Forecast struct {
	Service Service
	Issued  time.Time // when the service made the forecast
	Zone    string    // in which its days are civil days: a zone's name, or mean solar time such as UTC-05:38
	Days    []ForecastDay
	Source  Source
}

// A ForecastDay is the forecast of one civil day. Temperatures and rain are NaN where
// the forecast does not have them for the whole day.
type ForecastDay struct {
	Day      climate.Day
	TMaxC    float64
	TMinC    float64
	PrecipMM float64
	Lead     int       // days ahead: 0 is the day on which the forecast was made
	Issued   time.Time // when it was made
	Service  Service
}

// Whole reports whether the day has both temperatures.
func (d *ForecastDay) Whole() bool { return !math.IsNaN(d.TMaxC) && !math.IsNaN(d.TMinC) }

// Limits of forecasts.
const (
	maxForecastBytes = 8 << 20 // about 0.3 MB today
	forecastTime     = time.Minute
	forecastYoung    = time.Hour
	pointYoung       = 30 * 24 * time.Hour // the grid of a place
	maxLead          = 16                  // days
	maxForecastAge   = 48 * time.Hour      // of what a service calls its newest
	keptDays         = 60                  // for which earlier forecasts are kept
)

// Forecast returns the forecast for a place: of the US service where that has one, else
// of MET Norway. Days before the newest forecast are those of earlier ones that the
// store has, up to sixty days.
func (c *Client) Forecast(ctx context.Context, place Position) (*Forecast, error) {
	if !onEarth(place.Latitude, place.Longitude) {
		return nil, fmt.Errorf("forecast: the position of the place is not known")
	}
	f, err := c.usForecast(ctx, place)
	if errors.Is(err, errOutside) {
		f, err = c.metForecast(ctx, place)
	}
	if err != nil {
		return nil, fmt.Errorf("forecast: %w", err)
	}
	return f, c.withEarlier(f, place)
}

// errOutside is the error of a place for which the US service has no forecast.
var errOutside = errors.New("outside the United States")

// position is a part of a key.
func position(p Position) string { return degrees(p.Latitude) + "," + degrees(p.Longitude) }

// withEarlier puts the days of earlier forecasts before those of a new one, and keeps
// them all.
func (c *Client) withEarlier(f *Forecast, place Position) error {
	key := "days" + keptForm + "-" + position(place)
	e, err := c.store().Get(key)
	if err != nil {
		return err
	}
	var all []ForecastDay
	if e != nil {
		if all, err = decodeDays(e.Content); err != nil {
			return err
		}
	}
	before := string(encodeDays(all))
	for _, d := range f.Days {
		i, found := slices.BinarySearchFunc(
			all,
			d.Day,
			func(x ForecastDay, day climate.Day) int { return int(x.Day - day) },
		)
		switch {
		case !found:
			all = slices.Insert(all, i, d)
		case !d.Issued.Before(all[i].Issued) && (d.Whole() || !all[i].Whole()):
			// The rest of a day that has begun may lack what the forecast of the
			// morning had.
			all[i] = d
		}
	}
	oldest := DayAt(f.Issued, time.UTC) - keptDays
	all = slices.DeleteFunc(all, func(d ForecastDay) bool { return d.Day < oldest })
	f.Days = all
	if content := encodeDays(all); string(content) != before {
		now := c.now()
		return c.store().Put(key, &Entry{Fetched: now, Checked: now, Content: content})
	}
	return nil
}

// A keptDay is a day as the store keeps it.
type keptDay struct {
	Day      climate.Day `json:"day"`
	TMaxC    *float64    `json:"tmax_c"`
	TMinC    *float64    `json:"tmin_c"`
	PrecipMM *float64    `json:"prcp_mm"`
	Lead     int         `json:"lead"`
	Issued   time.Time   `json:"issued"`
	Service  Service     `json:"service"`
}

func encodeDays(days []ForecastDay) []byte {
	orNil := func(v float64) *float64 {
		if math.IsNaN(v) {
			return nil
		}
		return &v
	}
	list := make([]keptDay, 0, len(days))
	for _, d := range days {
		list = append(
			list,
			keptDay{d.Day, orNil(d.TMaxC), orNil(d.TMinC), orNil(d.PrecipMM), d.Lead, d.Issued, d.Service},
		)
	}
	b, err := json.Marshal(list)
	if err != nil {
		panic("fetch: " + err.Error()) // no value is NaN
	}
	return b
}

func decodeDays(content []byte) ([]ForecastDay, error) {
	var list []keptDay
	if err := json.Unmarshal(content, &list); err != nil {
		return nil, fmt.Errorf("the kept days of forecasts are damaged: %w", err)
	}
	orNaN := func(v *float64) float64 {
		if v == nil {
			return math.NaN()
		}
		return *v
	}
	var days []ForecastDay
	for _, d := range list {
		days = append(
			days,
			ForecastDay{d.Day, orNaN(d.TMaxC), orNaN(d.TMinC), orNaN(d.PrecipMM), d.Lead, d.Issued, d.Service},
		)
	}
	return days, nil
}

// A keptForecast is a forecast as the store keeps it.
type keptForecast struct {
	Service Service         `json:"service"`
	Issued  time.Time       `json:"issued"`
	Zone    string          `json:"zone"`
	Days    json.RawMessage `json:"days"`
}

// keep checks a forecast and writes it for the store.
func (f *Forecast) keep(now time.Time) ([]byte, error) {
	if err := f.sane(now); err != nil {
		return nil, err
	}
	return json.Marshal(keptForecast{f.Service, f.Issued, f.Zone, encodeDays(f.Days)})
}

// kept reads a forecast from the store.
func kept(e *Entry, stale error) (*Forecast, error) {
	var k keptForecast
	if err := json.Unmarshal(e.Content, &k); err != nil {
		return nil, fmt.Errorf("the kept forecast is damaged: %w", err)
	}
	days, err := decodeDays(k.Days)
	return &Forecast{k.Service, k.Issued, k.Zone, days, e.source(stale)}, err
}

// sane refuses a forecast that cannot be one of these days.
func (f *Forecast) sane(now time.Time) error {
	if age := now.Sub(f.Issued); age > maxForecastAge || age < -time.Hour {
		return refuse("the forecast was made on %s", f.Issued.UTC().Format(time.RFC3339))
	}
	whole := 0
	for _, d := range f.Days {
		for _, v := range []float64{d.TMaxC, d.TMinC} {
			if v < check.LowestEver || v > check.HighestEver {
				return refuse("the forecast of %s, %.1f °C, was never measured on Earth", d.Day, v)
			}
		}
		const mostRain = 2000 // mm in a day; 1825 were measured (WMO)
		switch {
		case d.TMaxC < d.TMinC:
			return refuse("the highest temperature of %s lies below the lowest", d.Day)
		case d.PrecipMM < 0 || d.PrecipMM > mostRain:
			return refuse("the rain of %s, %.0f mm, was never measured on Earth", d.Day, d.PrecipMM)
		case d.Lead > maxLead || d.Lead < -2:
			return refuse("it has a forecast of %s, made on %s", d.Day, f.Issued.UTC().Format(time.DateOnly))
		}
		if d.Whole() {
			whole++
		}
	}
	if whole == 0 {
		return refuse("no day has both temperatures")
	}
	return nil
}

// dated puts the days in order and dates them.
func (f *Forecast) dated(days map[climate.Day]*ForecastDay, zone *time.Location) {
	today := DayAt(f.Issued, zone)
	for day, d := range days {
		d.Day, d.Lead, d.Issued, d.Service = day, int(day-today), f.Issued, f.Service
		f.Days = append(f.Days, *d)
	}
	slices.SortFunc(f.Days, func(a, b ForecastDay) int { return int(a.Day - b.Day) })
}

// dayIn returns the day of a map, made where it is not there.
func dayIn(days map[climate.Day]*ForecastDay, d climate.Day) *ForecastDay {
	if days[d] == nil {
		days[d] = &ForecastDay{TMaxC: math.NaN(), TMinC: math.NaN(), PrecipMM: math.NaN()}
	}
	return days[d]
}

// WriteForecastCSV writes the days that have both temperatures as a file of forecast
// rows: notes behind #, then date,tmax_c,tmin_c,prcp_mm,lead. lead is how many days
// ahead the forecast of the day was made.
func WriteForecastCSV(w io.Writer, days []ForecastDay, notes ...string) error {
	b := bufio.NewWriter(w)
	for _, n := range notes {
		fmt.Fprintf(b, "# %s\n", n)
	}
	b.WriteString("date,tmax_c,tmin_c,prcp_mm,lead\n")
	for _, d := range days {
		if d.Whole() {
			fmt.Fprintf(b, "%s,%s,%s,%s,%d\n", d.Day, cell(d.TMaxC), cell(d.TMinC), cell(d.PrecipMM), d.Lead)
		}
	}
	return b.Flush()
}
