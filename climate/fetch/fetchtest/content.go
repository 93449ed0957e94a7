package fetchtest

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"strings"
	"sync"
	"time"

	"swardcast/climate"
	"swardcast/climate/weather"
)

// A Station is an invented station.
type Station struct {
	ID, Name                        string
	Latitude, Longitude, ElevationM float64 // NaN where it is not known
	First                           int     // year of both temperatures; 0: none
	Last                            int     // 0: it still reports
	RainOnly                        bool    // no temperatures
}

// Stations are those that the server has.
var Stations = []Station{
	{
		ID:         "XX000000001",
		Name:       "WRENFIELD GREEN (INVENTED)",
		Latitude:   35.40,
		Longitude:  -84.60,
		ElevationM: 240,
		First:      1991,
	},
	{
		ID:         "XX000000002",
		Name:       "MOSSWICK HILL (INVENTED)",
		Latitude:   35.45,
		Longitude:  -84.55,
		ElevationM: 640,
		First:      1981,
	},
	{
		ID:         "XX000000003",
		Name:       "FARWATER MILL (INVENTED)",
		Latitude:   35.41,
		Longitude:  -84.68,
		ElevationM: 255,
		First:      2011,
	},
	{
		ID:         "XX000000004",
		Name:       "OLD HOLLOW (INVENTED)",
		Latitude:   35.38,
		Longitude:  -84.57,
		ElevationM: 250,
		First:      1940,
		Last:       1998,
	},
	{
		ID:         "XX000000005",
		Name:       "BRIEF LANE (INVENTED)",
		Latitude:   35.39,
		Longitude:  -84.61,
		ElevationM: 245,
		First:      2020,
	},
	{
		ID:         "XX000000006",
		Name:       "RAIN ONLY (INVENTED)",
		Latitude:   35.37,
		Longitude:  -84.62,
		ElevationM: 230,
		First:      1950,
		RainOnly:   true,
	},
	{
		ID:         "XX000000007",
		Name:       "SEDGEBROOK MOOR (INVENTED)",
		Latitude:   52.60,
		Longitude:  -7.90,
		ElevationM: 95,
		First:      1986,
	},
	{
		ID:         "XX000000008",
		Name:       "NO HEIGHT (INVENTED)",
		Latitude:   35.70,
		Longitude:  -84.40,
		ElevationM: math.NaN(),
		First:      1996,
	},
}

const (
	text   = "text/plain"
	csv    = "text/csv"
	geo    = "application/geo+json"
	plain  = "application/json"
	grid   = "/nws/gridpoints/XXX/12,34"
	points = "/nws/points/"
)

// answer is what the server has at the path of a request.
func (s *Server) answer(r *http.Request) (Answer, bool) {
	path := r.URL.Path
	for _, root := range []string{"/ncei/pub/data/ghcn/daily/", "/mirror/"} {
		switch path {
		case root + "ghcnd-stations.txt":
			return Answer{text, stationList()}, true
		case root + "ghcnd-inventory.txt":
			return Answer{text, s.inventory()}, true
		}
	}
	for _, st := range Stations {
		switch path {
		case "/mirror/csv/by_station/" + st.ID + ".csv":
			return Answer{csv, s.byStation(st)}, true
		case "/ncei/data/global-historical-climatology-network-daily/access/" + st.ID + ".csv":
			return Answer{csv, s.access(st)}, true
		}
	}
	switch {
	case strings.HasPrefix(path, points):
		var lat, lon float64
		fmt.Sscanf(strings.TrimPrefix(path, points), "%f,%f", &lat, &lon)
		if lat > 49 {
			return Answer{}, false // another country
		}
		return Answer{geo, s.point(lat, lon)}, true
	case path == grid:
		return Answer{geo, s.grid()}, true
	case path == "/met/weatherapi/locationforecast/2.0/complete":
		var lat, lon float64
		fmt.Sscan(r.URL.Query().Get("lat"), &lat)
		fmt.Sscan(r.URL.Query().Get("lon"), &lon)
		return Answer{plain, s.met(lat, lon)}, true
	}
	return Answer{}, false
}

func stationList() []byte {
	var b strings.Builder
	for _, st := range Stations {
		p, elevation := st, st.ElevationM
		if math.IsNaN(elevation) {
			elevation = -999.9
		}
		state := "TN"
		if p.Latitude > 49 {
			state = "  "
		}
		fmt.Fprintf(
			&b,
			"%-11s %8.4f %9.4f %6.1f %2s %-30s %3s %3s %5s\n",
			st.ID,
			p.Latitude,
			p.Longitude,
			elevation,
			state,
			p.Name,
			"",
			"",
			"",
		)
	}
	return []byte(b.String())
}

func (s *Server) inventory() []byte {
	var b strings.Builder
	for _, st := range Stations {
		last := st.Last
		if last == 0 {
			last = s.Now.Year()
		}
		for _, element := range []string{"TMAX", "TMIN", "PRCP", "SNOW"} {
			if st.RainOnly && element[0] == 'T' {
				continue
			}
			fmt.Fprintf(&b, "%-11s %8.4f %9.4f %s %d %d\n", st.ID, st.Latitude, st.Longitude, element, st.First, last)
		}
	}
	return []byte(b.String())
}

// record is the invented weather of a station. It is the same whenever it ends.
func (s *Server) record(st Station) *climate.Record {
	c := weather.Piedmont()
	c.Place = climate.Place{
		Name:       st.Name,
		Latitude:   &st.Latitude,
		Longitude:  &st.Longitude,
		ElevationM: &st.ElevationM,
	}
	if st.Latitude > 49 { // a milder climate by the sea
		c.Mean, c.Amplitude, c.Swing, c.SummerSD, c.WinterSD, c.Outbreaks = 9.8, 5.6, 7.6, 2.2, 3, 1
	}
	y, m, d := s.Now.Date()
	last := climate.Date(y, m, d) - climate.Day(s.Days)
	if st.Last != 0 {
		last = climate.Date(st.Last, time.December, 31)
	}
	key := fmt.Sprint(st.ID, last)
	if r, ok := drawn.Load(key); ok {
		return r.(*climate.Record)
	}
	r := weather.Generate(c, uint64(st.ID[10]), climate.Date(st.First, time.January, 1), last)
	drawn.Store(key, r)
	return r
}

// drawn has the records and files that were made, since many tests ask for the same.
var drawn sync.Map

// flagged is the day of each record whose maximum failed a check of the service, and is
// absurd.
const flagged = 100

func (s *Server) byStation(st Station) []byte {
	r := s.record(st)
	key := fmt.Sprint("by-station ", st.ID, r.Last())
	if b, ok := drawn.Load(key); ok {
		return b.([]byte)
	}
	b := byStation(st, r)
	drawn.Store(key, b)
	return b
}

func byStation(st Station, r *climate.Record) []byte {
	var b strings.Builder
	b.WriteString("ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n")
	row := func(i int, element string, v float64, quality string) {
		fmt.Fprintf(
			&b,
			"%s,%s,%s,%.0f,,%s,X,0700\n",
			st.ID,
			r.Day(i).Format("20060102"),
			element,
			math.Round(10*v),
			quality,
		)
	}
	for i := range r.Len() {
		if !st.RainOnly {
			if i == flagged {
				row(i, "TMAX", 166.6, "X")
			} else {
				row(i, "TMAX", r.TMaxC[i], "")
			}
			row(i, "TMIN", r.TMinC[i], "")
		}
		row(i, "PRCP", r.PrecipMM[i], "")
		row(i, "SNOW", 0, "")
	}
	return []byte(b.String())
}

func (s *Server) access(st Station) []byte {
	r := s.record(st)
	var b strings.Builder
	b.WriteString(
		`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n",
	)
	for i := range r.Len() {
		tmax, quality := r.TMaxC[i], ""
		if i == flagged {
			tmax, quality = 166.6, "X"
		}
		fmt.Fprintf(
			&b,
			`"%s","%s","%.4f","%.4f","%.1f","%s","%5.0f",",,X,0700","%5.0f",",%s,X","%5.0f",",,X"`+"\n",
			st.ID,
			r.Day(i),
			st.Latitude,
			st.Longitude,
			st.ElevationM,
			st.Name,
			math.Round(10*r.PrecipMM[i]),
			math.Round(10*tmax),
			quality,
			math.Round(10*r.TMinC[i]),
		)
	}
	return []byte(b.String())
}

func (s *Server) point(lat, lon float64) []byte {
	return encode(map[string]any{
		"type":     "Feature",
		"geometry": map[string]any{"type": "Point", "coordinates": []float64{lon, lat}},
		"properties": map[string]any{
			"gridId": "XXX", "gridX": 12, "gridY": 34, "timeZone": "America/New_York",
			"forecastGridData": s.http.URL + grid,
		},
	})
}

// HighC and LowC are the forecast temperatures of the days from today on, °C.
func HighC(lead int) float64 { return 21.5 - float64(lead) }

// LowC is the forecast minimum of a day.
func LowC(lead int) float64 { return 9.5 - float64(lead) }

func (s *Server) grid() []byte {
	type value struct {
		ValidTime string  `json:"validTime"`
		Value     float64 `json:"value"`
	}
	var highs, lows, rain []value
	today := s.Now.Truncate(24 * time.Hour)
	at := func(t time.Time, length string) string { return t.Format("2006-01-02T15:04:05-07:00") + "/" + length }
	for lead := range 7 {
		day := today.AddDate(0, 0, lead)
		highs = append(highs, value{at(day.Add(12*time.Hour), "PT13H"), HighC(lead)})
		lows = append(lows, value{at(day, "PT14H"), LowC(lead)})
		if lead < 3 {
			for h := 0; h < 24; h += 6 {
				rain = append(rain, value{at(day.Add(time.Duration(h)*time.Hour), "PT6H"), 1.5})
			}
		}
	}
	series := func(unit string, v []value) map[string]any { return map[string]any{"uom": unit, "values": v} }
	return encode(map[string]any{
		"type":     "Feature",
		"geometry": map[string]any{"type": "Polygon", "coordinates": []any{}},
		"properties": map[string]any{
			"updateTime":     s.Now.Add(-40 * time.Minute).Format("2006-01-02T15:04:05-07:00"),
			"maxTemperature": series("wmoUnit:degC", highs), "minTemperature": series("wmoUnit:degC", lows),
			"quantitativePrecipitation": series("wmoUnit:mm", rain),
		},
	})
}

// met is hourly for sixty hours, then six-hourly, to ten days. The temperature of an hour
// follows a cosine that is warmest at 15 h of solar time.
func (s *Server) met(lat, lon float64) []byte {
	start := s.Now.Truncate(time.Hour)
	noon := 15 - lon/15 // UTC hour of the warmest
	temperature := func(t time.Time) float64 {
		days := t.Sub(s.Now.Truncate(24*time.Hour)).Hours() / 24
		hour := float64(t.Hour()) + float64(t.Minute())/60
		return math.Round(10*(13-0.5*days+5*math.Cos(2*math.Pi*(hour-noon)/24))) / 10
	}
	var steps []any
	for t := start; t.Before(start.AddDate(0, 0, 10)); {
		hourly := t.Sub(start) < 60*time.Hour
		data := map[string]any{"instant": map[string]any{"details": map[string]any{"air_temperature": temperature(t)}}}
		if hourly {
			data["next_1_hours"] = map[string]any{"details": map[string]any{"precipitation_amount": 0.1}}
		}
		high, low := math.Inf(-1), math.Inf(1)
		for k := range 25 {
			v := temperature(t.Add(time.Duration(k) * 15 * time.Minute))
			high, low = max(high, v), min(low, v)
		}
		data["next_6_hours"] = map[string]any{
			"details": map[string]any{
				"air_temperature_max":  high,
				"air_temperature_min":  low,
				"precipitation_amount": 0.6,
			},
		}
		steps = append(steps, map[string]any{"time": t.Format(time.RFC3339), "data": data})
		t = t.Add(time.Hour)
		if !hourly {
			t = t.Add(5 * time.Hour)
		}
		if !hourly || t.Sub(start) >= 60*time.Hour { // on to the synoptic hours
			if r := t.Hour() % 6; r != 0 {
				t = t.Add(time.Duration(6-r) * time.Hour)
			}
		}
	}
	return encode(map[string]any{
		"type":     "Feature",
		"geometry": map[string]any{"type": "Point", "coordinates": []float64{lon, lat, 95}},
		"properties": map[string]any{
			"meta": map[string]any{
				"updated_at": s.Now.Add(-25 * time.Minute).Format(time.RFC3339),
				"units": map[string]string{
					"air_temperature": "celsius", "air_temperature_max": "celsius", "air_temperature_min": "celsius", "precipitation_amount": "mm"},
			},
			"timeseries": steps,
		},
	})
}

func encode(v any) []byte {
	b, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		panic("fetchtest: " + err.Error())
	}
	return append(b, '\n')
}
