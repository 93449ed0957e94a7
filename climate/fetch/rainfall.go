package fetch

import (
	"time"

	"swardcast/climate"
)

// A rainfall is rain over intervals that do not overlap.
type rainfall []struct {
	from, to time.Time
	mm       float64
}

func (r *rainfall) add(from, to time.Time, mm float64) {
	*r = append(*r, struct {
		from, to time.Time
		mm       float64
	}{from, to, mm})
}

// share gives each day of a map its rain: of each interval the share that lies within
// the day. A day that the intervals do not cover, but for a minute, gets none.
func (r rainfall) share(days map[climate.Day]*ForecastDay, zone *time.Location) {
	for day, d := range days {
		from, to := startOf(day, zone), startOf(day+1, zone)
		var covered time.Duration
		mm := 0.0
		for _, x := range r {
			begin, end := later(from, x.from), earlier(to, x.to)
			if within := end.Sub(begin); within > 0 {
				covered += within
				mm += x.mm * within.Seconds() / x.to.Sub(x.from).Seconds()
			}
		}
		if to.Sub(from)-covered < time.Minute {
			d.PrecipMM = mm
		}
	}
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}
