package fetch

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
	"swardcast/climate/stations"
)

// The service's maxima are of 7 to 19 h local standard time, its minima of 19 to 8 h
// (its documentation of gridpoints, from memory). Whatever the zone, a maximum is of the
// day on which it lies, also where its interval crosses midnight UTC, and a minimum of
// the morning on which it ends.
func TestLocalDays(t *testing.T) {
	for _, c := range []struct {
		zone      string
		longitude float64
		standard  int // hours of its standard time from UTC
	}{
		{"America/New_York", -84.6, -5},
		{"America/Los_Angeles", -120, -8},
		{"America/Anchorage", -150, -9},
		{"America/Adak", -176, -10},
		{"Pacific/Honolulu", -157, -10},
		{"Pacific/Pago_Pago", -170, -11},
		{"Pacific/Guam", 145, 10},
		{"", -84.6, -5},           // no zone given
		{"Mars/Olympus", 145, 10}, // one that is not known
		{"", -67, -5},             // the east of a zone, by the sun alone
		{"", -86.5, -5},           // its west
	} {
		// Clocks go back on 1 November 2026.
		first := climate.Date(2026, time.October, 29)
		var highs, lows []string
		at := func(d climate.Day, hour, length int) string {
			y, m, day := d.Date()
			return time.Date(y, m, day, hour-c.standard, 0, 0, 0, time.UTC).
				Format("2006-01-02T15:04:05+00:00") +
				fmt.Sprintf(
					"/PT%dH",
					length,
				)
		}
		for i := range 6 {
			highs = append(highs, fmt.Sprintf(`{"validTime":%q,"value":%d}`, at(first+climate.Day(i), 7, 12), 20+i))
			lows = append(lows, fmt.Sprintf(`{"validTime":%q,"value":%d}`, at(first+climate.Day(i), 19-24, 13), i))
		}
		content := fmt.Sprintf(`{"properties":{"updateTime":"2026-10-28T20:00:00+00:00",
			"maxTemperature":{"uom":"wmoUnit:degC","values":[%s]},"minTemperature":{"uom":"wmoUnit:degC","values":[%s]}}}`,
			strings.Join(highs, ","), strings.Join(lows, ","))
		f, err := parseUSGrid([]byte(content), c.zone, Position{Longitude: c.longitude})
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Days) != 6 {
			t.Errorf("%s %g: %d days", c.zone, c.longitude, len(f.Days))
			continue
		}
		for i, d := range f.Days {
			if d.Day != first+climate.Day(i) || d.TMaxC != float64(20+i) || d.TMinC != float64(i) ||
				!math.IsNaN(d.PrecipMM) {
				t.Errorf("%q at %g°, in %s: day %d is %+v", c.zone, c.longitude, f.Zone, i, d)
			}
		}
	}
}

// ISO 8601 durations as the service writes them.
func TestParseInterval(t *testing.T) {
	for s, want := range map[string]time.Duration{
		"2026-10-14T12:00:00+00:00/PT13H":   13 * time.Hour,
		"2026-10-14T12:00:00+00:00/P1D":     24 * time.Hour,
		"2026-10-14T12:00:00+00:00/P1DT6H":  30 * time.Hour,
		"2026-10-14T12:00:00-04:00/PT1H30M": 90 * time.Minute,
	} {
		if from, got, err := parseInterval(s); err != nil || got != want || from.Location() != time.UTC {
			t.Errorf("%s: from %s, %s, %v", s, from, got, err)
		}
	}
	for _, s := range []string{"", "2026-10-14T12:00:00+00:00", "2026-10-14T12:00:00+00:00/", "2026-10-14T12:00:00+00:00/P", "2026-10-14T12:00:00+00:00/PT",
		"2026-10-14T12:00:00+00:00/PT0H", "2026-10-14T12:00:00+00:00/P11D", "2026-10-14/PT1H", "2026-10-14T12:00:00+00:00/-PT1H", "2026-10-14T12:00:00+00:00/P1M"} {
		if _, got, err := parseInterval(s); err == nil {
			t.Errorf("%q is read as %s", s, got)
		}
	}
}

func TestSolarZone(t *testing.T) {
	for longitude, want := range map[float64]string{0: "UTC+00:00", -84.6: "UTC-05:38", 180: "UTC+12:00", -180: "UTC-12:00", -5: "UTC-00:20", 7.5: "UTC+00:30"} {
		z := SolarZone(longitude)
		if z.String() != want {
			t.Errorf("%g: %s, want %s", longitude, z, want)
		}
		if _, seconds := time.Now().In(z).Zone(); float64(seconds) != math.Round(4*longitude)*60 {
			t.Errorf("%g: %d s", longitude, seconds)
		}
	}
}

// The columns are those of the service's readme. The first line is its form with an
// invented station.
func TestFixedColumns(t *testing.T) {
	const (
		inventory = "XX000000001  35.4000  -84.6000 TMAX 1991 2026\nXX000000001  35.4000  -84.6000 TMIN 1992 2025\nXX000000001  35.4000  -84.6000 PRCP 1900 2026\n"
		listed    = "XX000000001  35.4000  -84.6000  240.0 TN WRENFIELD GREEN (INVENTED)     GSN HCN 99999\n"
	)
	years, err := parseInventory([]byte(inventory))
	if err != nil {
		t.Fatal(err)
	}
	list, err := parseStations([]byte(listed), years)
	if err != nil {
		t.Fatal(err)
	}
	want := Station{
		ID:       "XX000000001",
		Name:     "WRENFIELD GREEN (INVENTED)",
		State:    "TN",
		TMax:     Years{First: 1991, Last: 2026},
		TMin:     Years{First: 1992, Last: 2025},
		Position: Position{Latitude: 35.4, Longitude: -84.6, ElevationM: 240},
	}
	if len(list) != 1 || list[0] != want {
		t.Errorf("%+v", list)
	}
	if y := list[0].Years(); y != (Years{First: 1992, Last: 2025}) || y.Count() != 34 {
		t.Errorf("years %+v", y)
	}
	back, err := stations.Unpack(stations.Pack(list))
	if err != nil || len(back) != 1 || back[0] != want {
		t.Errorf("packed and unpacked: %+v, %v", back, err)
	}
}

// Whatever is read, nothing panics, and what is taken can be read again.

func FuzzStations(f *testing.F) {
	f.Add("XX000000001  35.4000  -84.6000 TMAX 1991 2026\nXX000000001  35.4000  -84.6000 TMIN 1992 2025\n",
		"XX000000001  35.4000  -84.6000  240.0 TN WRENFIELD GREEN (INVENTED)     GSN HCN 99999\n")
	f.Fuzz(func(t *testing.T, inventory, listed string) {
		years, err := parseInventory([]byte(inventory))
		if err != nil {
			return
		}
		list, err := parseStations([]byte(listed), years)
		if err != nil {
			return
		}
		if back, err := stations.Unpack(stations.Pack(list)); err != nil || len(back) != len(list) {
			t.Errorf("%d stations, %d unpacked, %v", len(list), len(back), err)
		}
		(&Index{Stations: list}).Search(
			Query{Near: &Position{Latitude: 35, Longitude: -84, ElevationM: math.NaN()}, Silent: true},
		)
	})
}

func FuzzRecord(f *testing.F) {
	f.Add(
		"ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\nXX000000001,20260101,TMAX,25,,,Z,0700\nXX000000001,20260101,TMIN,-52,,,Z,0700\n",
	)
	f.Add(
		"\"STATION\",\"DATE\",\"TMAX\",\"TMAX_ATTRIBUTES\",\"TMIN\",\"TMIN_ATTRIBUTES\"\n\"XX000000001\",\"2026-01-01\",\"   25\",\",,Z\",\"  -52\",\",X,Z\"\n",
	)
	f.Fuzz(func(t *testing.T, content string) {
		kept, err := takeRecord([]byte(content), "XX000000001", nil, climate.Date(2026, time.October, 14))
		if err != nil {
			return
		}
		if again, err := takeRecord(kept, "XX000000001", &Entry{Content: kept}, climate.Date(2026, time.October, 14)); err != nil ||
			string(again) != string(kept) {
			t.Errorf("what is kept is not taken again: %v", err)
		}
	})
}

func FuzzForecast(f *testing.F) {
	f.Add(
		`{"properties":{"updateTime":"2026-10-14T20:00:00+00:00","maxTemperature":{"uom":"wmoUnit:degC","values":[{"validTime":"2026-10-14T12:00:00+00:00/PT13H","value":21.5}]},"minTemperature":{"uom":"wmoUnit:degC","values":[{"validTime":"2026-10-14T00:00:00+00:00/PT14H","value":9.5}]}}}`,
	)
	f.Add(
		`{"geometry":{"type":"Point","coordinates":[-84.6,35.4,95]},"properties":{"meta":{"updated_at":"2026-10-14T20:00:00Z"},"timeseries":[{"time":"2026-10-15T06:00:00Z","data":{"instant":{"details":{"air_temperature":9}},"next_6_hours":{"details":{"air_temperature_max":12,"air_temperature_min":8,"precipitation_amount":1}}}}]}}`,
	)
	now := time.Date(2026, time.October, 14, 21, 0, 0, 0, time.UTC)
	place := Position{Latitude: 35.4, Longitude: -84.6}
	f.Fuzz(func(t *testing.T, content string) {
		for _, parse := range []func() (*Forecast, error){
			func() (*Forecast, error) { return parseUSGrid([]byte(content), "America/New_York", place) },
			func() (*Forecast, error) { return parseMET([]byte(content), place) },
		} {
			fc, err := parse()
			if err != nil {
				continue
			}
			packed, err := fc.keep(now)
			if err != nil {
				continue
			}
			if back, err := kept(&Entry{Content: packed}, nil); err != nil || len(back.Days) != len(fc.Days) {
				t.Errorf("%d days, %v", len(fc.Days), err)
			}
		}
	})
}
