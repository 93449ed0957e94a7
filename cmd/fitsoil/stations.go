package main

import (
	"fmt"
	"math"
	"time"

	"swardcast/climate"
	"swardcast/cmd/internal/sensors"
	"swardcast/forecast/soil"
)

// spinUpDays are left out at the start of each record, until its own weather
// has filled the averages.
const spinUpDays = 90

// A station is one record with what the variants of the model draw on.
type station struct {
	name                string
	latitude, longitude float64
	marine              bool
	mean                stationMeans
	air                 *climate.Record
	days                []day
	rows                []soil.Row // design of the model in use
	observed            [2][]float64
}

// stationMeans are what a station's whole record is told by, every calendar month
// weighing the same.
type stationMeans struct {
	variability  float64 // day-to-day variability of the air, °C
	interdiurnal float64 // mean absolute difference of successive daily means, °C
	dailyRange   float64 // of the day's temperatures, °C
	annualRange  float64 // of the mean air of calendar months, °C
}

// A day holds the inputs of every variant tried.
type day struct {
	year           int
	month          time.Month
	usable         bool                // air measured that day, averages filled
	ema            map[float64]float64 // of the mean air, by days; 0 is the day itself
	swing, swing8  float64             // of the day's temperatures, and its EMA of 8 days
	ra, ra10, ra40 float64
	phase          float64 // angle of the year, 0 at its start
	rain3, rain20  float64 // EMAs of log(1+mm)
	meanAir        float64 // of the station's whole record
	latitude       float64
}

// timeConstants are the time constants that the variants draw on, days.
var timeConstants = []float64{0, 0.5, 1, 2, 3, 5, 8, 12, 20, 30, 60, 120}

// load reads the stations that keep accepts, nil for all.
func load(dir string, keep func(*sensors.Station) bool) ([]*station, error) {
	list, err := sensors.Load(dir, keep)
	if err != nil {
		return nil, err
	}
	var out []*station
	for _, x := range list {
		s, err := newStation(x)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", x.Name, err)
		}
		out = append(out, s)
	}
	return out, nil
}

func newStation(x *sensors.Station) (*station, error) {
	s := &station{
		name: x.Name, latitude: *x.Record.Place.Latitude, longitude: *x.Record.Place.Longitude,
		marine:   x.Climate.Marine(),
		observed: [2][]float64{x.Soil5C, x.Soil10C},
	}
	rain := make([]float64, x.Record.Len())
	for i, r := range x.Record.PrecipMM {
		if r > 0 {
			rain[i] = math.Log1p(r)
		}
	}
	air, filled, err := climate.Fill(x.Record)
	if err != nil {
		return nil, err
	}
	measured := func(i int) bool { return !filled[i] }
	if s.rows, err = soil.Design(air, measured); err != nil {
		return nil, err
	}
	s.mean = meansOf(air, measured)
	s.mean.annualRange = x.Climate.WarmestC - x.Climate.ColdestC
	if s.mean.variability, _, err = soil.Variability(air, measured); err != nil {
		return nil, err
	}
	s.air, s.days = air, inputs(air, filled, rain)
	return s, nil
}

// meansOf returns the interdiurnal variability and the daily range.
func meansOf(air *climate.Record, measured func(int) bool) stationMeans {
	var change, changes, dailyRange, days [13]float64
	last := math.NaN()
	for i := range air.TMaxC {
		t := (air.TMaxC[i] + air.TMinC[i]) / 2
		if !measured(i) {
			last = math.NaN()
			continue
		}
		_, month, _ := air.Day(i).Date()
		dailyRange[month] += air.TMaxC[i] - air.TMinC[i]
		days[month]++
		if !math.IsNaN(last) {
			change[month] += math.Abs(t - last)
			changes[month]++
		}
		last = t
	}
	var m stationMeans
	for month := 1; month <= 12; month++ {
		m.interdiurnal += change[month] / changes[month] / 12
		m.dailyRange += dailyRange[month] / days[month] / 12
	}
	return m
}

// inputs works out what the variants draw on. The averages start from the
// record's own first 60 days, since the first 90 are not used.
func inputs(air *climate.Record, filled []bool, rain []float64) []day {
	n := air.Len()
	mean, swing, ra := make([]float64, n), make([]float64, n), make([]float64, n)
	total := 0.0
	for i := range mean {
		mean[i] = (air.TMaxC[i] + air.TMinC[i]) / 2
		swing[i] = air.TMaxC[i] - air.TMinC[i]
		ra[i] = climate.ExtraterrestrialRadiation(*air.Place.Latitude, air.Day(i).YearDay())
		total += mean[i]
	}
	start := func(x []float64) float64 {
		sum := 0.0
		for _, v := range x[:60] {
			sum += v / 60
		}
		return sum
	}
	byTau := map[float64][]float64{0: mean}
	for _, tau := range timeConstants[1:] {
		byTau[tau] = soil.EMA(mean, tau, start(mean))
	}
	swing8 := soil.EMA(swing, 8, start(swing))
	ra10, ra40 := soil.EMA(ra, 10, start(ra)), soil.EMA(ra, 40, start(ra))
	rain3, rain20 := soil.EMA(rain, 3, start(rain)), soil.EMA(rain, 20, start(rain))
	days := make([]day, n)
	for i := range days {
		year, month, _ := air.Day(i).Date()
		ema := make(map[float64]float64, len(byTau))
		for tau, m := range byTau {
			ema[tau] = m[i]
		}
		days[i] = day{
			year: year, month: month, usable: !filled[i] && i >= spinUpDays, ema: ema,
			swing: swing[i], swing8: swing8[i], ra: ra[i], ra10: ra10[i], ra40: ra40[i],
			phase: 2 * math.Pi * float64(air.Day(i).YearDay()) / climate.TropicalYear,
			rain3: rain3[i], rain20: rain20[i], meanAir: total / float64(n), latitude: *air.Place.Latitude,
		}
	}
	return days
}

// neighbourKM is how near stations are left out together.
const neighbourKM = 60

// neighbours reports whether two stations share their weather.
func neighbours(a, b *station) bool {
	const kmPerDegree = 111.2
	north := (a.latitude - b.latitude) * kmPerDegree
	east := (a.longitude - b.longitude) * kmPerDegree * math.Cos((a.latitude+b.latitude)/2*math.Pi/180)
	return math.Hypot(north, east) < neighbourKM
}
