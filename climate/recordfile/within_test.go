package recordfile

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"swardcast/climate"
)

// readings writes rows within the days of a plain climate, so many minutes apart: the
// temperature runs between the lowest of the day at 3 and its highest at 15 o'clock.
func readings(header string, n, every int, skip func(d climate.Day, minute int) bool,
	row func(at time.Time, c float64) string) string {
	var b strings.Builder
	b.WriteString(header + "\n")
	for i := range n {
		d := climate.Date(2019, 1, 1) + climate.Day(i)
		m := 12 - 11*math.Cos(2*math.Pi*float64(i)/365.25) + 3*math.Sin(float64(i))
		for minute := 0; minute < minutesPerDay; minute += every {
			if skip != nil && skip(d, minute) {
				continue
			}
			c := m - 6*math.Cos(2*math.Pi*float64(minute-180)/minutesPerDay)
			y, mo, day := d.Date()
			b.WriteString(row(time.Date(y, mo, day, 0, minute, 0, 0, time.UTC), c) + "\n")
		}
	}
	return b.String()
}

// Rows of an hour, of half of one, of 15 or 5 minutes give the extremes of their days.
func TestRowsWithinTheDay(t *testing.T) {
	iso := func(at time.Time, c float64) string { return fmt.Sprintf("%s,%.1f", at.Format("2006-01-02 15:04"), c) }
	for name, text := range map[string]string{
		"hours":      readings("Time,Temperature (°C)", 400, 60, nil, iso),
		"half hours": readings("timestamp,temp_c", 400, 30, nil, iso),
		"15 minutes": readings("Date Time,Outdoor Temperature (°C)", 400, 15, nil, iso),
		"5 minutes":  readings("date,temp_c", 400, 5, nil, iso),
		"date and time": readings("Date,Time,Temp Out (°C),In Temp", 400, 60, nil, func(at time.Time,
			c float64) string {
			return fmt.Sprintf("%s,%s,%.1f,20", at.Format("1/2/2006"), at.Format("3:04 PM"), c)
		}),
		"hour": readings("year,month,day,hour,min,temperature (°C),wind", 400, 60, nil, func(at time.Time,
			c float64) string {
			return fmt.Sprintf("%s,%d,0,%.1f,3", at.Format("2006,1,2"), at.Hour(), c)
		}),
		"compact": readings("STATIONS_ID;MESS_DATUM;TT_TU;eor", 400, 60, nil, func(at time.Time, c float64) string {
			return fmt.Sprintf("44;%s;%.1f;eor", at.Format("2006010215"), c)
		}),
		"°F": readings("station,valid,tmpf", 400, 60, nil, func(at time.Time, c float64) string {
			return fmt.Sprintf("XX1,%s,%.2f", at.Format("2006-01-02 15:04"), c*1.8+32)
		}),
		"of an interval": readings("Date & Time,High Temp - °C,Low Temp - °C", 400, 60, nil,
			func(at time.Time, c float64) string {
				return fmt.Sprintf("%s,%.1f,%.1f", at.Format("01/02/06 15:04"), c, c-0.0)
			}),
	} {
		f, err := Read(strings.NewReader(text), "x.csv", Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		r := f.Record
		if r.Len() != 400 || math.Abs(r.TMaxC[0]-7) > 0.1 || math.Abs(r.TMinC[0]+5) > 0.1 || len(f.Cautions) != 1 ||
			!strings.Contains(f.Cautions[0], "within the day") {
			t.Errorf("%s: %d days, first %.1f, %.1f; %q", name, r.Len(), r.TMaxC[0], r.TMinC[0], f.Cautions)
		}
	}
}

// A day needs rows in 20 hours; fewer are no day, whatever else the file has.
func TestHoursOfADay(t *testing.T) {
	iso := func(at time.Time, c float64) string { return fmt.Sprintf("%s,%.1f", at.Format("2006-01-02T15:04"), c) }
	hole := func(d climate.Day, minute int) bool { return d%10 == 0 && minute >= 12*60 && minute < 17*60 }
	text := readings("time,temp_c", 400, 60, hole, iso)
	f, err := Read(strings.NewReader(text), "x.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	missing := 0
	for i := range f.Record.TMaxC {
		if f.Record.Missing(i) {
			missing++
		}
	}
	if missing != 40 || !slices.ContainsFunc(f.Notes, func(s string) bool {
		return strings.Contains(s,
			"40 of 400 days")
	}) {
		t.Errorf("%d days missing, %q", missing, f.Notes)
	}
	var e *Error
	for what, text := range map[string]string{
		"every three hours": readings("time,temp_c", 400, 180, nil, iso),
		"one a day":         readings("time,temp_c", 400, minutesPerDay, nil, iso),
		"no time": readings("date,temp_c", 400, 60, nil, func(at time.Time, c float64) string {
			return fmt.Sprintf("%s,%.1f", at.Format("2006-01-02"), c)
		}),
	} {
		if _, err := Read(strings.NewReader(text), "x.csv", Options{}); !errors.As(err, &e) ||
			e.Kind != Empty && e.Kind != MissingColumn {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// Stamps in UTC are brought to the day of the place, where its longitude is known.
func TestStampsInUTC(t *testing.T) {
	// At 90° W the day begins at 6 UTC.
	local := func(at time.Time, c float64) string {
		return fmt.Sprintf("%sZ,%.1f", at.Add(6*time.Hour).Format("2006-01-02T15:04:05"), c)
	}
	text := "Longitude: 90 W\n" + readings("time,temp_c", 400, 60, nil, local)
	f, err := Read(strings.NewReader(text), "x.csv", Options{})
	if err != nil || f.Record.First != climate.Date(2019, 1, 1) || f.Record.Len() != 400 ||
		!strings.Contains(f.Cautions[0], "-6 hours from the UTC") {
		t.Errorf("%v, %v", f, err)
	}
}
